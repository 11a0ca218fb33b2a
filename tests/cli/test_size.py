"""`oxfade size`: the smallest source and vents that will do."""

import csv
import io
import json

import pytest

DRILLS = "0.4 mm, 0.6 mm, 0.8 mm, 1 mm"


def test_the_report_says_what_to_fit_and_what_binds(oxfade, small):
    done = oxfade("size", small, "--by", "2 d", "--drills", DRILLS)
    assert done.returncode == 0, done.stderr
    for words in ("Smallest that meets all limits", "vents with orifices", "What binds", "Trade-off"):
        assert words in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80


def test_what_is_found_keeps_its_limits_when_run(oxfade, small):
    done = oxfade("size", small, "--by", "2 d", "--drills", DRILLS, "--margin", "20 %", "--json", "-")
    found = json.loads(done.stdout)
    design = found["design"]
    assert max(design["target_use"], design["fill_use"], design["separator_use"]) <= 0.8
    flow = design["nitrogen_flow_std_m3_per_s"] * 60000
    air = design["air_flow_std_m3_per_s"] * 60000
    drill = design["drills"][0]["diameter_m"] * 1000
    run = oxfade(
        "predict", small, "--json", "-",
        "--set", f"source.nitrogen_flow={flow} L/min",
        "--set", f"source.air_flow={air} L/min",
        "--set", f"riser.'Loft, west'.vent.end vent.diameter={drill} mm",
    )  # fmt: skip
    riser = json.loads(run.stdout)["risers"][0]
    assert riser["time_to_target_s"] == pytest.approx(design["time_to_target_s"], rel=1e-3)
    assert riser["time_to_target_s"] <= 0.8 * 2 * 86400
    assert riser["fill_time_s"] <= 0.8 * 1800


def test_the_curve_never_asks_more_for_more_time(oxfade, small):
    rows = list(csv.DictReader(io.StringIO(oxfade("size", small, "--drills", DRILLS, "--csv", "-").stdout)))
    flows = [float(row["nitrogen_flow_std_m3_per_s"] or "inf") for row in rows]
    assert len(rows) == 8
    assert flows == sorted(flows, reverse=True)


def test_what_cannot_be_met_is_status_one_with_the_reason(oxfade, small):
    done = oxfade("size", small, "--by", "1 h", "--drills", DRILLS)
    assert done.returncode == 1
    assert "NOT MET" in done.stdout


@pytest.mark.parametrize(
    "arguments, fragment",
    [
        ([], "--drills is required"),
        (["--drills", "1 mm, 3 psi"], "3 psi"),
        (["--drills", "1 mm,"], "--drills"),
        (["--drills", "1 mm", "--by", "soon"], "soon"),
        (["--drills", "1 mm", "--margin", "95 %"], "margin"),
        (["--drills", "1 mm", "--flows", "0 L/min"], "flows"),
    ],
)
def test_bad_input_is_status_two_with_a_reason(oxfade, small, arguments, fragment):
    done = oxfade("size", small, *arguments)
    assert done.returncode == 2
    assert fragment in done.stderr


def test_cylinders_cannot_be_sized(oxfade, scenarios):
    done = oxfade("size", scenarios / "preaction_cylinders.toml", "--drills", DRILLS)
    assert done.returncode == 2
    assert "generator" in done.stderr
