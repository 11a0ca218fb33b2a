import copy
import inspect
import pickle
import re

import numpy as np
import pytest
from conftest import SCENARIOS, VENT

import oxfade as ox


def test_a_file_reads_as_attributes_with_units(cold_store):
    assert cold_store.title == "Cold store with two dry systems"
    assert cold_store.duration_s == pytest.approx(7 * 86400)
    assert cold_store.riser("Store").vent("end vent").diameter_m == pytest.approx(0.016 * 0.0254)
    assert cold_store.riser("Store").set_pressure_pa == pytest.approx(cold_store.site.pressure_pa + 28 * 6894.757293168)
    assert isinstance(cold_store.source, ox.Generator)
    assert cold_store.source.power_w == pytest.approx(3700)
    assert [riser.name for riser in cold_store.risers] == ["Store", "Dock"]
    assert cold_store.units == "us"


def test_a_text_goes_where_the_file_has_it(cold_store):
    changed = cold_store.with_({VENT: "0.05 in", "target": "97 %"})
    assert changed.riser("Store").vent("end vent").diameter_m == pytest.approx(0.05 * 0.0254)
    assert changed.target == pytest.approx(0.97)
    assert cold_store.target == pytest.approx(0.98)
    again = changed.with_({"duration": "3 d"})
    assert again.target == pytest.approx(0.97) and again.duration_s == pytest.approx(3 * 86400)


def test_tables_and_flags_go_where_the_file_has_them(cold_store):
    vent = "riser.Store.vent.'end vent'"
    changed = cold_store.with_({f"{vent}.open": {"every": "6 h", "for": "20 min"}, "mixing.buoyant": False})
    opening = changed.riser("Store").vent("end vent").open
    assert (opening.every_s, opening.for_s) == (pytest.approx(21600), pytest.approx(1200))
    assert changed.mixing.buoyant is False and changed.mixing.molecular is True


def test_a_number_goes_to_an_attribute(cold_store):
    changed = cold_store.with_({VENT + "_m": 1e-3, "source.receiver.volume_m3": np.float64(0.5)}, target=0.975)
    assert changed.riser("Store").vent("end vent").diameter_m == 1e-3
    assert changed.source.receiver.volume_m3 == 0.5
    assert changed.target == 0.975
    and_text = changed.with_({"riser.Dock.set_pressure": "25 psig"})
    assert and_text.riser("Store").vent("end vent").diameter_m == 1e-3
    assert and_text.riser("Dock").set_pressure_pa == pytest.approx(and_text.site.pressure_pa + 25 * 6894.757293168)


@pytest.mark.parametrize(
    "path, read",
    [
        ("duration_s", lambda p: p.duration_s),
        ("site.temperature_k", lambda p: p.site.temperature_k),
        ("site.reference.pressure_pa", lambda p: p.site.reference.pressure_pa),
        ("source.nitrogen_flow_m3_per_s", lambda p: p.source.nitrogen_flow_m3_per_s),
        ("riser.North.fill.diameter_m", lambda p: p.risers[0].fill.diameter_m),
        ("riser.North.supply.coefficient", lambda p: p.risers[0].supply.coefficient),
        ("riser.0.pipe.main.length_m", lambda p: p.risers[0].pipes[0].shape.length_m),
        ("riser.North.pipe.arm.volume_m3", lambda p: p.risers[0].pipes[1].shape.volume_m3),
        ("riser.North.pipe.arm.exchange_mol_per_s", lambda p: p.risers[0].pipes[1].exchange_mol_per_s),
        ("riser.North.vent.'end.vent'.open.every_s", lambda p: p.risers[0].vents[0].open.every_s),
        ("riser.North.leak.0.loss_pa", lambda p: p.risers[0].leaks[0].size.loss_pa),
    ],
)
def test_every_number_has_a_path(built, path, read):
    old = read(built) or 1.0
    changed = built.with_({path: old * 1.01})
    assert read(changed) == old * 1.01


def test_built_from_objects_and_written_as_a_file(built):
    again = ox.loads(built.to_toml())
    assert again.risers[0].vents[0] == built.risers[0].vents[0]
    assert again.risers[0].pipes[0].shape.bore_m == built.risers[0].pipes[0].shape.bore_m
    first, second = ox.predict(built), ox.predict(again)
    assert first.risers[0].time_to_target_s == pytest.approx(second.risers[0].time_to_target_s, rel=1e-9)
    assert first.all_met


def test_water_in_dips(built):
    north = built.risers[0]
    dips = [
        ox.LowPoint(name="dip", on="arm", water_m3=2e-3, shape=ox.WaterRise(rise_m=0.2)),
        ox.LowPoint(name="sag", on="tail", water_m3=4e-3, shape=ox.LegSlopes(before=0.01, behind=0.02)),
    ]
    tail = ox.Pipe(name="tail", shape=ox.Cylinder(bore_m=0.05, length_m=20.0))
    wet = built.with_(risers=[north.with_(pipes=[*north.pipes, tail], low_points=dips)])
    again = ox.loads(wet.to_toml())
    assert _rounded(repr(again.risers[0].low_points)) == _rounded(repr(wet.risers[0].low_points))
    more = wet.with_({"riser.North.low_point.dip.water_m3": 3e-3, "riser.North.low_point.dip.rise_m": 0.3})
    assert (more.risers[0].low_points[0].water_m3, more.risers[0].low_points[0].shape.rise_m) == (3e-3, 0.3)
    with pytest.raises(ox.InputError, match="there is no pipe `arn`.*did you mean `arm`"):
        built.with_(risers=[north.with_(low_points=[dips[0].with_(on="arn")])])


def test_how_piping_lies(built):
    north = built.risers[0]
    line = ox.Pipe(name="line", shape=ox.Cylinder(bore_m=0.027, length_m=12.0), from_pipe="main", count=6, pitch=0.004)
    drop = ox.Pipe(name="drop", shape=ox.Cylinder(bore_m=0.027, length_m=0.5), position="drop", cells=2)
    sloped = ox.Pipe(name="sloped", shape=ox.Cylinder(bore_m=0.05, length_m=9.0), elevations_m=(3.0, 3.1))
    assert (line.position, drop.pitch, drop.position, sloped.pitch, sloped.position) == (None, -1.0, "drop", None, None)
    assert ox.Pipe(name="x", shape=drop.shape, position="vertical").pitch == 1.0
    assert drop.with_(position="level").pitch == 0.0 and line.with_(name="other").pitch == 0.004
    assert line.cells is None and line.count == 6 and drop.cells == 2
    for pipe in (line, drop, sloped):
        assert pickle.loads(pickle.dumps(pipe)) == pipe and eval(repr(pipe), vars(ox)) == pipe
    with pytest.raises(ox.InputError, match="position.*expected 'level', 'vertical', 'drop' or None"):
        drop.with_(position="up")
    with pytest.raises(ox.InputError, match="elevations_m.*expected two numbers"):
        sloped.with_(elevations_m=(1.0,))
    main = north.pipes[0]
    pipes = [main, line, drop, sloped]
    leak = ox.Leak(size=north.leaks[0].size, spread="joints")
    vent = north.vents[0].with_(at="sloped")
    port = ox.SamplingPoint(name="port", at="line", distance_m=6.0)
    riser = north.with_(pipes=pipes, leaks=[leak], vents=[vent], samples=[port])
    mixing = ox.Mixing(shear=False, mouth_bores=3.0, warm_end_k=-1.0)
    plant = built.with_(risers=[riser], mixing=mixing, target_at="readings")
    again = ox.loads(plant.to_toml())
    assert _rounded(repr([again.risers, again.mixing])) == _rounded(repr([plant.risers, plant.mixing]))
    assert again.target_at == "readings" and pickle.loads(pickle.dumps(plant)) == plant
    assert plant.with_({"riser.North.pipe.line.pitch": -0.01}).risers[0].pipe("line").pitch == -0.01
    assert riser.volume_m3 == pytest.approx(sum(p.volume_m3 * n for p, n in zip(pipes, (1, 6, 6, 6))))
    with pytest.raises(ox.InputError, match="count: is out of range"):
        plant.with_(risers=[riser.with_(pipes=[main.with_(count=0), *pipes[1:]])])


def test_rows_of_branch_lines_are_plain_pipes():
    plant = ox.load(SCENARIOS / "nine_systems.toml")
    riser = plant.risers[0]
    assert riser.pipe("lines 1-2 piece 1").count == 2 and riser.pipe("lines 29-30").from_pipe == "lines 29-30 piece 2"
    fewer = plant.with_({f"riser.{riser.name}.branch_lines.lines.number": "20"})
    assert fewer.risers[0].volume_m3 < riser.volume_m3


def test_a_takeoff_is_read_from_the_folder_of_the_file(tmp_path):
    table = tmp_path / "pipes.csv"
    table.write_text((SCENARIOS / "takeoffs" / "nine_systems.csv").read_text())
    text = (SCENARIOS / "nine_systems.toml").read_text()
    whole = ox.loads(text)
    text = re.sub(r"^pipe = \[.*?\}\]\n", 'takeoff = "pipes.csv"\n', text, flags=re.MULTILINE | re.DOTALL)
    text = re.sub(r"^branch_lines = \[.*?\}\] \}\]\n", "", text, flags=re.MULTILINE | re.DOTALL)
    (tmp_path / "plant.toml").write_text(re.sub(r"^vent .*\n", "", text, flags=re.MULTILINE))

    def piping(of, riser):
        return [(pipe.name, pipe.shape, pipe.count) for pipe in of.riser(riser).pipes]

    plant = ox.load(tmp_path / "plant.toml", {"riser.8 Returns.pipe.feed main.length": "250 ft"})
    assert piping(plant, "1 Receiving") == piping(whole, "1 Receiving")
    table.unlink()  # a plant has all it needs
    assert pickle.loads(pickle.dumps(plant)) == plant
    changed = plant.with_({"riser.8 Returns.pipe.feed main.length": "240 ft"})
    assert piping(changed, "8 Returns") == piping(whole, "8 Returns")
    assert piping(plant, "8 Returns") != piping(whole, "8 Returns")
    with pytest.raises(ox.InputError, match="there is no file"):
        ox.load(tmp_path / "plant.toml")


def test_temperatures_that_change_and_dated_actions(cold_store):
    swing = ox.DailySwing(mean_k=278.0, swing_k=6.0, warmest_s=15 * 3600.0)
    knots = [ox.TemperatureKnot(time_s=t, temperature_k=k) for t, k in ((0.0, 280.0), (3600.0, 290.0))]
    table = ox.TemperatureTable(knots=knots, period_s=86400.0)
    site = cold_store.site.with_(temperature_k=swing)
    assert site.temperature_k == swing and site.with_(temperature_k=table).temperature_k.knots[1].temperature_k == 290.0
    riser = cold_store.risers[0].with_(temperature_k=table)
    assert pickle.loads(pickle.dumps(riser)) == riser and eval(repr(table), vars(ox)) == table
    action = ox.Action(at_s=9000.0, do="set", key="riser.Store.set_pressure", value=2.5e5)
    assert pickle.loads(pickle.dumps(action)) == action and action.do == "set"
    with pytest.raises(ox.InputError, match="do.*'drain', 'trip', 'outage'"):
        ox.Action(at_s=0.0, do="explode")
    with pytest.raises(ox.InputError, match="temperature_k.*a number, a DailySwing or a TemperatureTable"):
        site.with_(temperature_k=[277.15])


@pytest.mark.parametrize("file", sorted(SCENARIOS.glob("*.toml")), ids=lambda f: f.stem)
def test_every_example_survives_being_written(file):
    plant = ox.load(file)
    again = ox.loads(plant.to_toml())
    numbers = lambda p: repr([p.duration_s, p.target, p.site, p.source, p.risers, p.mixing])  # noqa: E731
    assert _rounded(numbers(again)) == _rounded(numbers(plant))
    assert again.units == plant.units and pickle.loads(pickle.dumps(plant)).units == plant.units


def _rounded(text):
    import re

    return re.sub(r"\d+\.\d+(e-?\d+)?", lambda m: f"{float(m.group()):.12g}", text)


def test_objects_do_not_change(built):
    with pytest.raises(AttributeError):
        built.risers[0].set_pressure_pa = 2e5
    assert isinstance(built.risers, tuple)
    vent = built.risers[0].vents[0]
    assert vent.with_(diameter_m=1e-3).diameter_m == 1e-3 and vent.diameter_m == 0.6e-3


def test_comparison_repr_and_pickling(built, cold_store):
    for plant in (built, cold_store, cold_store.with_({"target": "97 %"})):
        assert pickle.loads(pickle.dumps(plant)) == plant
        assert pickle.loads(pickle.dumps(plant.risers[0])) == plant.risers[0]
    assert cold_store != cold_store.with_(target=0.9)
    vent = built.risers[0].vents[0]
    assert eval(repr(vent), vars(ox)) == vent
    again = pickle.loads(pickle.dumps(cold_store))
    assert again.with_({"target": "97 %"}) == cold_store.with_({"target": "97 %"})


def test_a_survey_without_a_run(cold_store):
    assert "392 gal" in cold_store.survey() and "L" in cold_store.survey("si")
    duty = cold_store.duty
    assert duty.demand_mol_per_s < duty.separator_mol_per_s
    assert duty.risers[0].volume_m3 == pytest.approx(cold_store.riser("Store").volume_m3)
    large = ox.load(SCENARIOS / "warehouse_large_vents.toml")
    assert "vents-above-separator" in [message.code for message in large.findings]


def test_quantities_and_pipe_sizes():
    assert ox.quantity("28 psig", "pressure", air_pressure_pa=1e5) == pytest.approx(1e5 + 28 * 6894.757293168)
    assert ox.pipe_bore_m("4", "10") == pytest.approx((4.5 - 2 * 0.120) * 0.0254)


def test_a_date_and_a_year_of_weather_come_back_from_toml(cold_store):
    knots = [ox.TemperatureKnot(time_s=3600.0 * hour, temperature_k=280.0 + hour % 24) for hour in range(8760)]
    table = ox.TemperatureTable(knots=knots, period_s=8760 * 3600.0)
    plant = cold_store.with_(start="2026-03-02T08:00:00", site=cold_store.site.with_(temperature_k=table))
    again = ox.loads(plant.to_toml())
    assert again.start == plant.start
    course = again.site.temperature_k
    assert course.period_s == table.period_s and [k.time_s for k in course.knots] == [k.time_s for k in knots]
    assert [k.temperature_k for k in course.knots] == pytest.approx([k.temperature_k for k in knots], rel=1e-13)
    seasons = ox.DailySwing(mean_k=280.0, swing_k=8.0, season_k=20.0, season_warmest_s=-3600.0)
    plant = cold_store.with_(site=cold_store.site.with_(temperature_k=seasons))
    again = ox.loads(plant.to_toml()).site.temperature_k
    for name in ("mean_k", "swing_k", "season_k", "season_warmest_s"):
        assert getattr(again, name) == pytest.approx(getattr(seasons, name), rel=1e-13)
    with pytest.raises(ox.InputError, match="start.*is not a date and time"):
        cold_store.with_(start="tomorrow")


@pytest.mark.parametrize("protocol", range(pickle.HIGHEST_PROTOCOL + 1))
def test_any_protocol_pickles(protocol, cold_store, built, run):
    for thing in (cold_store, built, built.risers[0], ox.OpenAlways(), cold_store.findings):
        assert pickle.loads(pickle.dumps(thing, protocol)) == thing
    for thing in (run, run.risers[0], run.history, run.resolution):
        assert repr(pickle.loads(pickle.dumps(thing, protocol))) == repr(thing)
    assert copy.copy(built) == built and copy.deepcopy(built) == built


def test_there_are_no_empty_objects():
    """Reading one would read memory that was never written."""
    for name in ox.__all__:
        kind = getattr(ox, name)
        if inspect.isclass(kind) and kind.__module__ == "oxfade._core":
            with pytest.raises(TypeError):
                repr(kind.__new__(kind))
            with pytest.raises(TypeError):
                repr(object.__new__(kind))
    with pytest.raises(TypeError, match="No constructor"):
        ox.Run()


def test_constructors_have_signatures():
    bore = inspect.signature(ox.Orifice)
    assert list(bore.parameters) == ["diameter_m", "coefficient"]
    assert bore.parameters["diameter_m"].default is inspect.Parameter.empty
    assert bore.parameters["coefficient"].default == ox.Orifice(diameter_m=1e-3).coefficient
    for name in ("Plant", "Riser", "Pipe", "Vent", "Site", "Generator", "OpenAlways", "Normal", "Action"):
        kind = getattr(ox, name)
        parameters = inspect.signature(kind).parameters
        assert all(parameter.kind is inspect.Parameter.KEYWORD_ONLY for parameter in parameters.values())
        assert not kind.__doc__.startswith(name + "(")
        attributes = {n for n, value in vars(kind).items() if isinstance(value, property) and not n.startswith("_")}
        assert set(parameters) <= attributes, name
