"""`oxfade fit`: what is wrong, from readings."""

import csv
import io
import json

import pytest


def readings_of(oxfade, path, pipes=("far",), times=(0.25, 0.5, 1, 1.5, 2, 3)):
    """What instruments without noise show in a plant."""
    rows = list(csv.DictReader(io.StringIO(oxfade("predict", path, "--csv", "-").stdout)))
    lines = ["time,pipe,oxygen,pressure"]
    for time in times:
        for pipe in pipes:
            cell = max(int(row["cell"]) for row in rows if row["pipe"] == pipe)
            there = [row for row in rows if row["pipe"] == pipe and int(row["cell"]) == cell]
            row = min(there, key=lambda row: abs(float(row["time_s"]) - time * 86400))
            lines.append(f"{row['time_s']} s,{pipe},{100 * float(row['oxygen'])} %,{row['pressure_pa']} Pa")
    return "\n".join(lines) + "\n"


@pytest.fixture
def visit(oxfade, tmp_path):
    def make(path, **more):
        file = tmp_path / "visit.csv"
        file.write_text(readings_of(oxfade, path, **more))
        return file

    return make


def test_a_sound_plant_is_seen_as_such_and_twice_in_the_same_bytes(oxfade, small, visit, tmp_path):
    file, first, second = visit(small), tmp_path / "first.json", tmp_path / "second.json"
    done = oxfade("fit", small, file, "--json", first)
    assert done.returncode == 0, done.stderr
    assert "BEST EXPLANATION: all is as designed" in done.stdout
    assert "can't tell vent coefficient" in done.stdout
    assert "on target on day" in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80
    assert oxfade("fit", small, file, "--json", second).stdout == done.stdout
    assert first.read_bytes() == second.read_bytes()


def test_low_purity_is_found_and_spoils_the_forecast(oxfade, small, variant, visit, tmp_path):
    file = visit(variant('purity        = "99 %"', 'purity        = "92 %"'))
    done = oxfade("fit", small, file, "--json", tmp_path / "fit.json")
    assert done.returncode == 1
    assert "  1. the source's purity is low" in done.stdout
    assert "not on target within 4 d" in done.stdout
    result = json.loads((tmp_path / "fit.json").read_text(encoding="utf-8"), parse_constant=pytest.fail)
    best = result["explanations"][0]
    assert best["fault"] == "low-purity"
    assert best["size"] == pytest.approx(0.08, abs=0.006)
    assert best["size_low"] < 0.08 < best["size_high"]


def test_one_vent_alone_does_not_tell_a_blocked_vent_from_a_closed_dip(oxfade, small, variant, visit):
    done = oxfade("fit", small, visit(variant('"0.8 mm"', '"0.02 mm"')))
    assert done.returncode == 1
    assert "CAN'T TELL" in done.stdout
    assert "'end vent' of 'Loft, west' is blocked" in done.stdout
    assert "a dip before 'far' of 'Loft, west' is closed by water" in done.stdout


@pytest.mark.parametrize(
    "text, fragment",
    [
        ("time,pipe,oxygen\n1 d,fur,4 %\n", "did you mean `far`?"),
        ("time,pipe,oxygen\n1 d,far,4 psi\n", "4 psi"),
        ("time,pipe,oxigen\n1 d,far,4 %\n", "did you mean `oxygen`?"),
        ("", "nothing in it"),
    ],
)
def test_bad_readings_are_status_two_with_their_line(oxfade, small, tmp_path, text, fragment):
    file = tmp_path / "visit.csv"
    file.write_text(text)
    done = oxfade("fit", small, file)
    assert done.returncode == 2
    assert fragment in done.stderr
    assert "visit.csv" in done.stderr


def test_missing_readings_are_status_two(oxfade, small, tmp_path):
    assert oxfade("fit", small).returncode == 2
    assert "none.csv" in oxfade("fit", small, tmp_path / "none.csv").stderr
