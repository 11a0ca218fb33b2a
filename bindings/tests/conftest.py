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


#: A main with branch lines on both sides, cut by the program, and an analyser at the end of one line: quick as well.
SHED = """
format   = 1
title    = "Small shed"
duration = "6 d"
target   = "97 %"

[site]
temperature = "15 degC"

[source]
kind          = "generator"
purity        = "99 %"
nitrogen_flow = "1 m3/h"
air_flow      = "6 m3/h"
receiver      = { volume = "100 L", start = "6 barg", stop = "7.5 barg", air_below = "5 barg" }

[[riser]]
name         = "Shed"
set_pressure = "2 barg"
fill         = { diameter = "8 mm" }
supply       = { kind = "regulator", diameter = "2 mm" }
pipe         = [{ name = "feed", nominal = "3 in", schedule = "10", length = "6 m", position = "vertical" },
                { name = "main", nominal = "3 in", schedule = "10", length = "12 m" }]
branch_lines = [{ name = "lines", along = "main", number = 4, sides = "both", pieces = [
                { nominal = "1 1/2 in", schedule = "40", length = "3 m" }] }]
vent         = [{ name = "end vent", at = "main", diameter = "0.3 mm" }]
leak         = [{ loss = "0.05 bar", over = "24 h", from = "2.75 barg", spread = "joints" }]
sample       = [{ name = "far end", at = "lines 3" }, { name = "half way", at = "lines 3", distance = "1.5 m" }]
"""


@pytest.fixture(scope="session")
def shed():
    return ox.loads(SHED, "shed")


@pytest.fixture(scope="session")
def purged(shed):
    return ox.predict(shed, vary=True)


@pytest.fixture(scope="session")
def missed(shed):
    """The same for too short a time, and what would help."""
    return ox.predict(shed.with_({"duration": "2 d"}), remedies=True)


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
