"""The program against two independent solvers of the whole model, peer_model.py (SciPy) and desolve/model.R (R), on the
scenarios of this folder.

The peers' results are kept in expected/ and desolve/expected/, because they take seconds to minutes where the program
takes milliseconds. `test_model.py --write` computes those of SciPy again, and OXFADE_PEER_ALL=1 makes the tests do so
for every scenario instead of the quick ones; `desolve/run` computes those of R.
"""

import concurrent.futures
import json
import os
import subprocess
import sys

import pytest

from results import HERE, PEERS, SCENARIOS, computed, differences, kept

QUICK = ("04", "05", "12")
ALLOWED = 1e-3


def peer(path):
    done = subprocess.run([sys.executable, "-B", HERE / "peer_model.py", path], capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


def program(path):
    name = os.environ.get("OXFADE_PROGRAM")
    if not name:
        pytest.skip("OXFADE_PROGRAM names the program")
    return computed(name, path)


def assert_same(one, other, allowed):
    apart = [(name, value) for name, value in differences(one, other) if not value <= allowed]
    assert not apart


def test_there_are_twelve_scenarios_and_all_have_results():
    assert len(SCENARIOS) >= 12
    for folder in PEERS.values():
        assert sorted(path.stem for path in folder.glob("*.json")) == [path.stem for path in SCENARIOS]


@pytest.mark.parametrize("name", PEERS)
@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_program_agrees_with_the_peer(path, name):
    assert_same(program(path), kept(name, path), ALLOWED)


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_peers_agree_with_each_other(path):
    assert_same(kept("SciPy", path), kept("deSolve", path), 1e-6)


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_kept_results_are_those_of_the_peer(path):
    if not (path.stem.startswith(QUICK) or os.environ.get("OXFADE_PEER_ALL")):
        pytest.skip("slow; set OXFADE_PEER_ALL=1")
    assert_same(peer(path), kept("SciPy", path), 1e-5)


def write():
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        for path, result in zip(SCENARIOS, pool.map(peer, SCENARIOS)):
            (PEERS["SciPy"] / (path.stem + ".json")).write_text(json.dumps(result, indent=1) + "\n")


if __name__ == "__main__":
    if sys.argv[1:] != ["--write"]:
        sys.exit(__doc__)
    write()
