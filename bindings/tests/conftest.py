import os
import pathlib

import matplotlib

matplotlib.use("Agg")

import pytest  # noqa: E402

import oxfade as ox  # noqa: E402

SOURCE = pathlib.Path(os.environ.get("OXFADE_SOURCE", pathlib.Path(__file__).resolve().parents[2]))
SCENARIOS = SOURCE / "apps" / "scenarios"
STORE = SOURCE / "tests" / "support" / "store.toml"  # a quick run: few cells

#: What a vent of the cold store is called, by the scenario file's keys and by attributes.
VENT = "riser.Store.vent.'end vent'.diameter"


def for_long(plant, days):
    """A plant that takes long: its temperature moves, so that no cycle of the source is like the last."""
    site = plant.site.with_(temperature_k=ox.DailySwing(mean_k=278.0, swing_k=6.0))
    return plant.with_(site=site, duration_s=days * 86400.0)


@pytest.fixture(scope="session")
def cold_store():
    return ox.load(STORE)


@pytest.fixture(scope="session")
def run(cold_store):
    return ox.predict(cold_store)


@pytest.fixture(scope="session")
def program():
    path = os.environ.get("OXFADE")
    if not path:
        pytest.skip("OXFADE does not name the program")
    return path


@pytest.fixture
def built():
    """A plant built from objects."""
    gauge = lambda text: ox.quantity(text, "pressure")  # noqa: E731
    receiver = ox.Receiver(
        volume_m3=0.3, start_pa=gauge("6 barg"), stop_pa=gauge("7.5 barg"), initial_pressure_pa=gauge("7.5 barg")
    )
    source = ox.Generator(
        purity=0.99, nitrogen_flow_m3_per_s=1e-3, air_flow_m3_per_s=5e-3, air_below_pa=gauge("5 barg"), power_w=3000,
        receiver=receiver,
    )
    main = ox.Pipe(name="main", shape=ox.Cylinder(bore_m=ox.pipe_bore_m("4", "10"), length_m=60.0), cells=2)
    arm = ox.Pipe(name="arm", shape=ox.VolumeOnly(volume_m3=0.2), from_pipe="main")
    riser = ox.Riser(
        name="North", set_pressure_pa=gauge("2 barg"), fill=ox.Orifice(diameter_m=0.012),
        supply=ox.Regulator(diameter_m=0.003), pipes=[main, arm],
        vents=[ox.Vent(name="end.vent", at="arm", diameter_m=0.6e-3, open=ox.OpenTimed(every_s=7200, for_s=3600))],
        leaks=[ox.Leak(size=ox.LeakByTest(loss_pa=5e3, over_s=86400, from_pa=gauge("40 psig")))],
    )
    return ox.Plant(title="Built", duration_s=3 * 86400.0, target=0.97, source=source, risers=[riser])
