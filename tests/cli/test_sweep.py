"""`oxfade sweep`: grids, spreads, and taking up what was finished."""

import csv
import io
import json
import signal
import subprocess
import time

import pytest

PURITY = "source.purity=normal(98.8 %, 0.2 %, 97 %, 100 %)"
VENT = "riser.'Loft, west'.vent.end vent.diameter=uniform(0.7 mm, 0.9 mm)"


def test_a_grid_lists_its_runs(oxfade, small):
    done = oxfade("sweep", small, "--vary", "source.purity=98 %..99 %:3", "--csv", "-")
    assert done.returncode == 0
    rows = list(csv.DictReader(io.StringIO(done.stdout)))
    assert [float(row["source.purity"]) for row in rows] == pytest.approx([0.98, 0.985, 0.99])
    times = [float(row["time_to_target_s"]) for row in rows]
    assert times == sorted(times, reverse=True)


def test_the_report_says_seed_percentiles_and_what_matters(oxfade, small):
    done = oxfade("sweep", small, "--spread", PURITY, "--spread", VENT, "--runs", 80, "--within", "1 d")
    assert done.returncode in (0, 1), done.stderr
    for words in ("seed 20240501", "P10", "P50", "P90", "within 24 h", "What matters most", "±"):
        assert words in " ".join(done.stdout.split())
    assert max(map(len, done.stdout.splitlines())) <= 80
    assert done.stderr == ""


def test_indices_add_up_when_there_is_no_interplay(oxfade, small):
    done = oxfade("sweep", small, "--spread", PURITY, "--spread", VENT, "--runs", 400, "--json", "-")
    (point,) = json.loads(done.stdout)["points"]
    assert point["runs"] == 400
    assert [share["share"] for share in point["percentiles"]] == [0.1, 0.5, 0.9]
    vent = next(index for index in point["indices"] if "vent" in index["key"])
    assert vent["total"] > 0.5
    assert sum(index["first"] for index in point["indices"]) == pytest.approx(1, abs=0.25)


def test_a_spread_at_every_point_of_a_grid(oxfade, small):
    done = oxfade(
        "sweep", small, "--vary", "target=94 %, 97 %", "--spread", VENT, "--runs", 20, "--json", "-"
    )
    points = json.loads(done.stdout)["points"]
    assert [point["values"]["target"] for point in points] == pytest.approx([0.94, 0.97])
    early, late = (point["percentiles"][1]["days"] for point in points)
    assert early < late


def test_killed_and_resumed_gives_the_same_numbers(oxfade, program, small, tmp_path):
    store = tmp_path / "runs.csv"
    command = ["sweep", small, "--spread", PURITY, "--spread", VENT, "--runs", 6000, "--json", "-"]
    process = subprocess.Popen(
        [program, *map(str, command), "--results", store], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    deadline = time.monotonic() + 120
    while not (store.exists() and len(store.read_bytes().splitlines()) > 400):
        assert process.poll() is None and time.monotonic() < deadline
        time.sleep(0.01)
    process.send_signal(signal.SIGKILL)
    process.communicate()
    kept = len(store.read_bytes().splitlines()) - 3
    assert 0 < kept < 6000
    with store.open("ab") as file:
        file.write(b"17,1234.5,")  # half a line, as a power cut leaves it
    resumed = oxfade(*command, "--results", store)
    assert len(store.read_bytes().splitlines()) == 6003
    assert resumed.stdout == oxfade(*command).stdout
    report = oxfade(*command[:-2], "--results", store).stdout
    assert "6000 of the runs were finished before" in report


def test_results_of_another_sweep_are_refused(oxfade, small, tmp_path):
    store = tmp_path / "runs.csv"
    assert oxfade("sweep", small, "--spread", VENT, "--runs", 10, "--results", store).returncode == 0
    done = oxfade("sweep", small, "--spread", VENT, "--runs", 10, "--seed", 3, "--results", store)
    assert done.returncode == 2
    assert "other inputs" in done.stderr


@pytest.mark.parametrize(
    "arguments, fragment",
    [
        ([], "something to vary"),
        (["--vary", "source.puritty=97 %..99 %:3"], "did you mean `source.purity`?"),
        (["--vary", "source.purity=97 %..99 %"], "number of values"),
        (["--spread", "source.purity=beta(1, 2)"], "triangular"),
        (["--spread", PURITY, "--runs", "1"], "number of runs"),
        (["--spread", PURITY, "--within", "soon"], "soon"),
        (["--spread", PURITY, "--vary", "source.purity=97 %, 98 %"], "varied twice"),
        (["--spread", PURITY, "--results", "/nowhere/at/all"], "cannot be opened"),
    ],
)
def test_bad_input_is_status_two_with_a_reason(oxfade, small, arguments, fragment):
    done = oxfade("sweep", small, *arguments)
    assert done.returncode == 2
    assert done.stdout == ""
    assert fragment in done.stderr
