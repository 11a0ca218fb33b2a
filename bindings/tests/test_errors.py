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
    with pytest.raises(ox.InputError, match=r"diameter_m: is of the wrong kind \(given: '0.5 in'\); a number"):
        ox.Orifice(diameter_m="0.5 in")
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
