"""The program against the independent solver peer_model.py, on twelve scenarios.

The peer's results are kept in expected/, because it takes seconds to minutes where the program takes milliseconds;
`test_model.py --write` computes them again, and OXFADE_PEER_ALL=1 makes the tests do so for every scenario instead
of the quick ones.
"""

import concurrent.futures
import json
import os
import pathlib
import subprocess
import sys

import pytest

HERE = pathlib.Path(__file__).resolve().parent
SCENARIOS = sorted((HERE / "scenarios").glob("*.toml"))
QUICK = ("04", "05", "12")
COMPUTED = 1e-3


def peer(path):
    done = subprocess.run([sys.executable, "-B", HERE / "peer_model.py", path], capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


def program(path):
    name = os.environ.get("OXFADE_PROGRAM")
    if not name:
        pytest.skip("OXFADE_PROGRAM names the program")
    done = subprocess.run([name, "predict", path, "--json", "-", "--quiet"], capture_output=True, text=True)
    assert done.returncode in (0, 1), done.stderr  # 1: the target is not met, which some of these want
    return json.loads(done.stdout)


def expected(path):
    return json.loads((HERE / "expected" / (path.stem + ".json")).read_text())


def compare(ours, theirs, tolerance):
    def same(a, b, what, absolute):
        if a is None or b is None:
            assert a is None and b is None, what
        else:
            assert a == pytest.approx(b, rel=tolerance, abs=absolute), what

    assert len(ours["risers"]) == len(theirs["risers"])
    for one, other in zip(ours["risers"], theirs["risers"]):
        same(one["fill_time_s"], other["fill_time_s"], "fill time", 0.01)
        same(one["time_to_target_s"], other["time_to_target_s"], "time to target", 0.01)
        assert len(one["at_target_s"]) == len(other["at_target_s"])
        for stretch, reference in zip(one["at_target_s"], other["at_target_s"]):
            same(stretch[0], reference[0], "begin of a stretch at target", 0.01)
            same(stretch[1], reference[1], "end of a stretch at target", 0.01)
        same(one["final"]["pressure_pa"], other["final"]["pressure_pa"], "final pressure", 1.0)
        for pipe, reference in zip(one["final"]["pipes"], other["final"]["pipes"]):
            assert pipe["name"] == reference["name"]
            for k, oxygen in enumerate(reference["oxygen"]):
                what = f"{pipe['name']}, cell {k + 1}"
                same(pipe["oxygen"][k], oxygen, "oxygen of " + what, 1e-7)
                same(pipe["time_to_target_s"][k], reference["time_to_target_s"][k], "time to target of " + what, 0.01)


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_program_agrees_with_the_peer(path):
    compare(program(path), expected(path), COMPUTED)


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_kept_results_are_those_of_the_peer(path):
    if not (path.stem.startswith(QUICK) or os.environ.get("OXFADE_PEER_ALL")):
        pytest.skip("slow; set OXFADE_PEER_ALL=1")
    compare(peer(path), expected(path), 1e-5)


def write():
    (HERE / "expected").mkdir(exist_ok=True)
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        for path, result in zip(SCENARIOS, pool.map(peer, SCENARIOS)):
            (HERE / "expected" / (path.stem + ".json")).write_text(json.dumps(result, indent=1) + "\n")


if __name__ == "__main__":
    if sys.argv[1:] != ["--write"]:
        sys.exit(__doc__)
    write()
