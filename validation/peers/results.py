"""Results of the program and of its peers on the scenarios of this folder, and how far they are apart."""

import json
import pathlib
import subprocess

HERE = pathlib.Path(__file__).resolve().parent
SCENARIOS = sorted((HERE / "scenarios").glob("*.toml"))
PEERS = {"SciPy": HERE / "expected", "deSolve": HERE / "desolve" / "expected"}


def kept(peer, path):
    return json.loads((PEERS[peer] / (path.stem + ".json")).read_text())


def computed(program, path):
    done = subprocess.run([program, "predict", path, "--json", "-", "--quiet"], capture_output=True, text=True)
    if done.returncode not in (0, 1):  # 1: the target is not met, which some of these want
        raise RuntimeError(done.stderr)
    return json.loads(done.stdout)


def numbers(result):
    """(name, value, absolute difference that means nothing) of every number that is compared; None is kept."""
    for riser in result["risers"]:
        name = riser["name"]
        yield f"{name}: fill time", riser["fill_time_s"], 0.01
        yield f"{name}: time to target", riser["time_to_target_s"], 0.01
        for k, (begin, end) in enumerate(riser["at_target_s"], 1):
            yield f"{name}: begin of stretch {k} at target", begin, 0.01
            yield f"{name}: end of stretch {k} at target", end, 0.01
        yield f"{name}: final pressure", riser["final"]["pressure_pa"], 1.0
        for pipe in riser["final"]["pipes"]:
            for k, (oxygen, time) in enumerate(zip(pipe["oxygen"], pipe["time_to_target_s"]), 1):
                yield f"{name}, {pipe['name']}, cell {k}: final oxygen", oxygen, 1e-7
                yield f"{name}, {pipe['name']}, cell {k}: time to target", time, 0.01


def differences(ours, theirs):
    """(name, relative difference) of every number; infinite where only one of the two has it."""
    one, other = list(numbers(ours)), list(numbers(theirs))
    if [name for name, _, _ in one] != [name for name, _, _ in other]:
        return [("stretches, pipes or cells", float("inf"))]
    found = []
    for (name, a, absolute), (_, b, _) in zip(one, other):
        if a is None or b is None:
            found.append((name, 0.0 if a is None and b is None else float("inf")))
        else:
            apart = abs(a - b)
            found.append((name, 0.0 if apart <= absolute else apart / abs(b)))
    return found
