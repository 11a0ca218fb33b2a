"""`oxfade commission`: the sheet, and the sheet read back."""

import csv
import io
import json

import pytest
from conftest import STORE


def sheet_of(oxfade, path):
    return list(csv.DictReader(io.StringIO(oxfade("commission", path, "--csv", "-").stdout)))


def write(path, rows):
    with path.open("w", newline="") as file:
        writer = csv.DictWriter(file, rows[0].keys())
        writer.writeheader()
        writer.writerows(rows)
    return path


def seen_in(oxfade, path, rows, sets=(), weak=1.0, losses=None):
    """Fills the sheet in with what a plant with faults shows."""
    arguments = [argument for setting in sets for argument in ("--set", setting)]
    run = json.loads(oxfade("predict", path, "--json", "-", *arguments).stdout)
    series = list(csv.DictReader(io.StringIO(oxfade("predict", path, "--csv", "-", *arguments).stdout)))
    designed = json.loads(oxfade("commission", path, "--json", "-").stdout)["steps"]
    at = {"far branches": "4", "near branches": "3", "branches": "4", "far": "3"}
    pipes = {("Store", "end vent"): "far branches", ("Store", "near vent"): "near branches",
             ("Dock", "end vent"): "branches", ("Loft, west", "end vent"): "far"}  # fmt: skip
    for row, step in zip(rows, designed):
        assert row["step"] == step["step"]
        if step["step"] in ("charge", "rise"):
            row["measured"] = f"{step['expected'] / weak} s"
        elif step["step"] == "purity":
            row["measured"] = row["expected"]
        elif step["step"] == "fill":
            riser = next(riser for riser in run["risers"] if riser["name"] == step["riser"])
            row["measured"] = f"{riser['fill_time_s']} s"
        elif step["step"] == "hold":
            row["measured"] = (losses or {}).get(step["riser"], row["expected"])
        else:
            pipe = pipes[step["riser"], step["vent"]]
            there = [r for r in series if r["riser"] == step["riser"] and r["pipe"] == pipe and r["cell"] == at[pipe]]
            near = min(there, key=lambda r: abs(float(r["time_s"]) - step["time_s"]))
            row["measured"] = f"{100 * float(near['oxygen']):.2f} %"
    return rows


def test_the_sheet_has_every_step(oxfade):
    done = oxfade("commission", STORE)
    assert done.returncode == 0, done.stderr
    for words in ("Receiver charge on air", "Receiver rise on nitrogen", "Purity at the source", "Fill of Store",
                  "Fill of Dock", "Pressure lost by Dock", "Store, near vent", "__________"):  # fmt: skip
        assert words in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80
    rows = sheet_of(oxfade, STORE)
    assert len(rows) == 3 + 2 + 2 + 3 * 4
    assert all(row["measured"] == "" for row in rows)


def test_fills_and_readings_are_those_of_a_run(oxfade):
    path = STORE
    rows = seen_in(oxfade, path, sheet_of(oxfade, path))
    steps = json.loads(oxfade("commission", path, "--json", "-").stdout)["steps"]
    for row, step in zip(rows, steps):
        if step["step"] == "fill":
            assert float(row["measured"].split()[0]) == pytest.approx(step["expected"], rel=1e-6)
        if step["step"] == "oxygen":
            assert float(row["measured"].split()[0]) / 100 == pytest.approx(step["expected"], abs=2e-3)


def test_a_sound_plant_passes(oxfade, tmp_path):
    path = STORE
    filled = write(tmp_path / "sheet.csv", seen_in(oxfade, path, sheet_of(oxfade, path)))
    done = oxfade("commission", path, "--measured", filled)
    assert done.returncode == 0, done.stdout
    assert "MET: all 19 measured values" in done.stdout


def test_three_faults_are_each_found_with_their_size(oxfade, tmp_path):
    path = STORE
    faulty = [
        "source.nitrogen_flow=91 ft3/h",
        "source.air_flow=434 ft3/h",
        "riser.Dock.leak.0.loss=5 psi",
        "riser.Store.vent.near vent.diameter=0.001 in",
    ]
    rows = seen_in(oxfade, path, sheet_of(oxfade, path), faulty, 0.7, {"Dock": "5 psi"})
    filled = write(tmp_path / "sheet.csv", rows)
    done = oxfade("commission", path, "--measured", filled)
    assert done.returncode == 1
    assert "The compressor delivers 70 % of its rated flow" in done.stdout
    assert "does NOT pass" in done.stdout
    assert "'near vent' of 'Store' is blocked" in done.stdout
    verdicts = json.loads(oxfade("commission", path, "--measured", filled, "--json", "-").stdout)["verdicts"]
    found = {verdict["cause"]: verdict for verdict in verdicts}
    assert sorted((verdict["cause"], verdict["riser"], verdict["vent"]) for verdict in verdicts[1:]) == [
        ("fill-explained", "Dock", None),
        ("fill-explained", "Store", None),
        ("leak", "Dock", None),
        ("vent-restricted", "Store", "near vent"),
    ]
    assert found["compressor-weak"]["size"] == pytest.approx(0.7, abs=0.01)
    assert found["leak"]["riser"] == "Dock"
    assert found["leak"]["other"] == pytest.approx(5 / 1.5, rel=1e-3)
    assert found["vent-restricted"]["size"] < 0.05


@pytest.mark.parametrize(
    "changes, cause, size",
    [
        ({"purity": "97 %"}, "purity-off", 0.97),
        ({"rise": "30 min"}, "separator-off", None),
        ({"charge": "60 min"}, "compressor-weak", None),
        ({"charge": "60 min", "rise": "as expected"}, "air-flow-off", None),
        ({"fill": "30 min"}, "fill-slow", None),
        ({"fill": "10 s"}, "fill-fast", None),
        ({"hold": "3 psi"}, "leak", None),
    ],
)
def test_each_step_names_its_own_cause(oxfade, small, tmp_path, changes, cause, size):
    rows = sheet_of(oxfade, small)
    for row in rows:
        row["measured"] = changes.get(row["step"], "").replace("as expected", row["expected"])
    done = oxfade("commission", small, "--measured", write(tmp_path / "s.csv", rows), "--json", "-")
    assert done.returncode == 1
    (verdict,) = json.loads(done.stdout, parse_constant=pytest.fail)["verdicts"]
    assert verdict["cause"] == cause
    if size is not None:
        assert verdict["size"] == pytest.approx(size)


def test_a_half_blocked_vent_is_measured(oxfade, small, tmp_path):
    rows = seen_in(oxfade, small, sheet_of(oxfade, small), ["riser.'Loft, west'.vent.end vent.diameter=0.5657 mm"])
    done = oxfade("commission", small, "--measured", write(tmp_path / "s.csv", rows), "--json", "-")
    (verdict,) = json.loads(done.stdout)["verdicts"]
    assert verdict["cause"] == "vent-restricted"
    assert verdict["size"] == pytest.approx(0.5, abs=0.03)


@pytest.mark.parametrize(
    "column, value, fragment",
    [
        ("measured", "3 psi", "a time is wanted"),
        ("measured", "-3 min", "out of range"),
        ("step", "chargee", "no line of this plant's sheet"),
    ],
)
def test_a_wrong_entry_is_status_two_with_its_line(oxfade, small, tmp_path, column, value, fragment):
    rows = sheet_of(oxfade, small)
    rows[0]["measured"] = "8 min"
    rows[0][column] = value
    done = oxfade("commission", small, "--measured", write(tmp_path / "s.csv", rows))
    assert done.returncode == 2
    assert fragment in done.stderr
    assert "s.csv:2" in done.stderr
