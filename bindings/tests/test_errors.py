import pickle
import subprocess

import pytest
from conftest import STORE, VENT, for_long

import oxfade as ox

WRONG = {
    "misspelt key": {"riser.Store.vent.'end vent'.diametre": "0.05 in"},
    "wrong dimension": {VENT: "3 psi"},
    "bare number": {"riser.Store.set_pressure": 28},
    "unknown riser": {"riser.North.set_pressure": "28 psig"},
    "impossible value": {"target": "120 %"},
    "two at once": {"duration": "-3 d", "source.purity": "101 %"},
}


@pytest.mark.parametrize("keys", WRONG.values(), ids=WRONG)
def test_says_what_the_program_says(keys, program, cold_store):
    sets = [word for key, value in keys.items() for word in ("--set", f"{key}={value}")]
    said = subprocess.run(
        [program, "check", STORE, *sets], capture_output=True, text=True, check=False
    )
    assert said.returncode == 2
    with pytest.raises(ox.InputError) as caught:
        cold_store.with_(keys)
    lines = [line for line in said.stderr.splitlines() if "problems, nothing was computed" not in line]
    assert str(caught.value).splitlines() == lines
    assert len(caught.value.problems) == len(lines)


def test_problems_carry_their_parts(cold_store):
    with pytest.raises(ValueError) as caught:
        cold_store.with_({VENT: "3 psi"})
    (problem,) = caught.value.problems
    assert problem.key == VENT.replace("'", "") and problem.value == '"3 psi"'
    assert "length" in problem.what and str(problem) == problem.text == str(caught.value)


def test_one_hierarchy():
    for error in (ox.InputError, ox.FileError, ox.ComputationError):
        assert issubclass(error, ox.Error)
    with pytest.raises(ox.FileError, match="'no_such_file.toml' cannot be opened"):
        ox.load("no_such_file.toml")
    with pytest.raises(OSError):
        ox.load("/")


def test_errors_can_be_sent_to_another_process(cold_store):
    with pytest.raises(ox.InputError) as caught:
        cold_store.with_(target=3.0)
    again = pickle.loads(pickle.dumps(caught.value))
    assert str(again) == str(caught.value) and again.problems == caught.value.problems
    failure = ox.ComputationError("it failed", 3.0, "Store", "feed", "fill")
    assert (pickle.loads(pickle.dumps(failure)).time_s, str(failure)) == (3.0, "it failed")


def test_mistakes_in_objects_read_well(built):
    with pytest.raises(ox.InputError, match=r"Orifice\.diameter: there is no such attribute .*diameter_m"):
        ox.Orifice(diameter=0.01)
    with pytest.raises(ox.InputError, match=r"Orifice\.diameter_m: is missing"):
        ox.Orifice()
    with pytest.raises(ox.InputError, match=r"Orifice\.diameter_m: a length is wanted, `3 psi`"):
        ox.Orifice(diameter_m="3 psi")
    with pytest.raises(ox.InputError, match=r"Vent\.liquid_stop: is of the wrong kind \(given: 1\); True or False"):
        built.risers[0].vents[0].with_(liquid_stop=1)
    with pytest.raises(ox.InputError, match=r"initial_gas.*'air' or 'source'"):
        built.risers[0].with_(initial_gas="argon")
    with pytest.raises(ox.InputError, match="`coefficient`|coefficient"):
        built.with_({"riser.North.fill.coefficient": 1.5})
    with pytest.raises(ox.InputError) as caught:
        built.with_(risers=[built.risers[0], built.risers[0]])
    assert "North" in str(caught.value)


def test_wrong_names_offer_what_there_is(run, cold_store):
    with pytest.raises(ox.InputError, match="Stor.*did you mean `Store`"):
        run.riser("Stor")
    with pytest.raises(ox.InputError, match="end vnt.*did you mean `end vent`"):
        cold_store.riser("Store").vent("end vnt")
    with pytest.raises(ox.InputError, match="units.*imperial.*'si' or 'us'"):
        run.report("imperial")
    with pytest.raises(ox.InputError, match="method.*euler"):
        ox.predict(cold_store, method="euler")
    with pytest.raises(ox.InputError, match="no such dimension"):
        ox.quantity("3 m", "lenght")
    with pytest.raises(ox.InputError, match="schedule.*did you mean `10`"):
        ox.pipe_bore_m("4", "11")


def test_a_failed_computation_says_when(cold_store):
    def stop(time_s):
        raise RuntimeError(f"enough at {time_s}")

    with pytest.raises(RuntimeError, match="enough"):
        ox.predict(for_long(cold_store, days=2000), progress=stop)


RAW = {
    "threads": lambda p: ox.ensemble(p, {"target": [0.95]}, threads=-1),
    "runs": lambda p: ox.sweep(p, spread={"target": "uniform(90 %, 95 %)"}, runs=-4),
    "seed": lambda p: ox.sweep(p, spread={"target": "uniform(90 %, 95 %)"}, seed=-1),
    "chunk": lambda p: ox.ensemble(p, {"target": [0.95]}, chunk=0),
    "draws": lambda p: ox.fit(p, [], draws=1.5),
    "source.purity": lambda p: ox.SobolDesign({"source.purity": "normal(98 %, 0.3 %)"}),
    "rows": lambda p: ox.SobolDesign({"source.purity": ox.Uniform(low=0.9, high=0.99)}, rows=0),
    "results": lambda p: ox.SobolDesign({"target": ox.Uniform(low=0.9, high=0.99)}, rows=1).indices(["a", "b", "c"]),
    "plant": lambda p: ox.predict("cold_store.toml"),
    "history_points": lambda p: ox.predict(p, history_points=-1),
    "relative_tolerance": lambda p: ox.predict(p, relative_tolerance="fine"),
    "progress": lambda p: ox.predict(p, progress="bar"),
    "by_s": lambda p: ox.size(p, ["0.3 mm"], by_s="2 d"),
    "drills": lambda p: ox.size(p, "0.3 mm"),
    "plants": lambda p: ox.predict_many([p, None]),
    "plants.b": lambda p: ox.compare({"a": p, "b": "text"}),
    "vary": lambda p: ox.sweep(p, ["target"]),
    "readings.0": lambda p: ox.fit(p, [0.04]),
    "oxygen_times_s": lambda p: ox.commission(p, oxygen_times_s="1 d"),
    "text": lambda p: ox.quantity(3.0, "length"),
    "file": lambda p: ox.load(None),
}


@pytest.mark.parametrize("key, call", RAW.items(), ids=RAW)
def test_whatever_is_given_is_refused_in_words(key, call, cold_store):
    with pytest.raises(ox.InputError) as caught:
        call(cold_store)
    assert caught.value.problems[0].key == key
    assert "incompatible function arguments" not in str(caught.value)


def test_what_no_scenario_file_can_hold_is_refused(cold_store):
    for value in (None, object(), {"every": None}):
        with pytest.raises(ox.InputError, match="title: is no value of a scenario file"):
            cold_store.with_({"title": value})


def test_an_air_pressure_of_no_place_on_land_is_told(built):
    assert "air-pressure-unusual" not in {message.code for message in built.findings}
    odd = built.with_(site=ox.Site(pressure_pa=14.7))
    (told,) = [message for message in ox.predict(odd, history_points=0).messages if message.code == "air-pressure-unusual"]
    assert told.level == "warning" and told.where == "site.pressure" and "Check its unit" in told.text


def test_texts_with_units_in_constructors(built):
    assert ox.Orifice(diameter_m="0.5 in").diameter_m == pytest.approx(0.0127)
    assert ox.Normal(mean="98 %", deviation="0.3 %").mean == pytest.approx(0.98)
    assert ox.Site(temperature_k="4 degC", pressure_pa="95 kPa").temperature_k == pytest.approx(277.15)
    assert ox.LeakByTest(loss_pa="1.5 psi", over_s="24 h", from_pa="55 psia").over_s == 86400.0
    riser = built.risers[0].with_(fill_limit_s="30 min", set_pressure_pa="45 psia")
    assert (riser.fill_limit_s, riser.set_pressure_pa) == (1800.0, pytest.approx(45 * 6894.757293168))
    assert built.with_(duration_s="7 d", target="97 %").target == pytest.approx(0.97)
    with pytest.raises(ox.InputError, match="Riser.set_pressure_pa: a gauge pressure counts from the air pressure"):
        built.risers[0].with_(set_pressure_pa="30 psig")
