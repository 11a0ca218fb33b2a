"""`oxfade predict`: what goes where, and the exit status."""

import csv
import io
import json
import subprocess

import pytest


def test_report_goes_to_standard_output(oxfade, small):
    done = oxfade("predict", small)
    assert done.returncode == 0
    assert done.stderr == ""
    assert done.stdout.startswith("Small loft\n")
    assert "MET: the target is met in every part of the piping" in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80


def test_friction_is_resolved_on_request(oxfade, small):
    done = oxfade("predict", small, "--friction", "--quiet")
    assert done.returncode == 2  # the sample's main is given by its volume
    assert "pipe 'main' is given by its volume alone" in done.stderr
    text = small.read_text().replace('volume = "800 L"', 'bore = "100 mm"\nlength = "100 m"')
    small.write_text(text.replace('bore    = "50 mm"', 'bore    = "12 mm"'))
    times = []
    for flags in [], ["--friction"]:
        done = oxfade("predict", small, *flags, "--quiet", "--json", "-")
        result = json.loads(done.stdout)
        assert result["balance"]["worst_relative"] < 1e-9
        times.append(result["risers"][0]["time_to_target_s"])
    assert times[0] < times[1] < 1.05 * times[0]  # less pressure at the vent


def test_units_follow_the_option(oxfade, small):
    assert "barg" in oxfade("predict", small, "--units", "si").stdout
    assert "psig" in oxfade("predict", small, "--units", "us").stdout


def test_quiet_prints_nothing_and_still_writes(oxfade, small, tmp_path):
    done = oxfade("predict", small, "--quiet", "--json", tmp_path / "out.json")
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    assert json.loads((tmp_path / "out.json").read_text())["title"] == "Small loft"


def test_json_on_standard_output_stands_alone(oxfade, small):
    done = oxfade("predict", small, "--json", "-")
    assert done.returncode == 0
    json.loads(done.stdout)


def test_json_holds_every_key_of_the_contract(oxfade, small):
    result = json.loads(oxfade("predict", small, "--json", "-").stdout, parse_constant=pytest.fail)
    assert result["format"] == 1
    assert result["duration_s"] == 4 * 86400
    assert result["target_purity"] == pytest.approx(0.95)
    riser = result["risers"][0]
    assert riser["name"] == "Loft, west"
    assert riser["fill_limit_s"] == 1800
    assert riser["fill_met"] is True
    assert 0 < riser["fill_time_s"] < 1800
    assert riser["fill_time_s"] < riser["time_to_target_s"] < result["duration_s"]
    assert riser["at_target_s"][-1] == [riser["time_to_target_s"], result["duration_s"]]
    assert riser["limiting_pipe"] == "far"
    assert riser["not_met_because"] is None
    assert riser["final"]["pressure_pa"] == pytest.approx(301325, rel=1e-3)
    main, far = riser["final"]["pipes"]
    assert (main["name"], far["name"]) == ("main", "far")
    assert len(main["oxygen"]) == len(main["time_to_target_s"]) == 1
    assert len(far["oxygen"]) == len(far["time_to_target_s"]) == 3
    assert all(0.01 <= oxygen < 0.05 for oxygen in far["oxygen"])
    source = result["source"]
    assert source["running_s"] > source["air_s"] >= 0
    assert source["starts"] >= 1
    assert source["nitrogen_std_m3"] > 0
    assert source["energy_kwh"] == pytest.approx(3 * source["running_s"] / 3600)
    assert abs(result["balance"]["worst_relative"]) < 1e-9


def test_csv_is_long_form_with_quoted_names(oxfade, small):
    done = oxfade("predict", small, "--csv", "-")
    assert done.returncode == 0
    rows = list(csv.reader(io.StringIO(done.stdout)))
    assert rows[0] == ["time_s", "riser", "pipe", "cell", "pressure_pa", "oxygen", "nitrogen"]
    assert {tuple(row[1:4]) for row in rows[1:]} == {
        ("Loft, west", "main", "1"),
        ("Loft, west", "far", "1"),
        ("Loft, west", "far", "2"),
        ("Loft, west", "far", "3"),
    }
    for row in rows[1:]:
        oxygen, nitrogen = float(row[5]), float(row[6])
        assert 0.97 < oxygen + nitrogen <= 1 + 1e-9
    assert float(rows[-1][0]) == 4 * 86400


def test_a_setting_overrides_the_file(oxfade, small):
    result = json.loads(oxfade("predict", small, "--json", "-", "--set", "target=90 %").stdout)
    assert result["target_purity"] == pytest.approx(0.90)


def test_a_target_out_of_reach_is_status_one_with_the_reason(oxfade, variant):
    done = oxfade("predict", variant('target   = "95 %"', 'target   = "99.5 %"'), "--json", "-")
    assert done.returncode == 1
    result = json.loads(done.stdout)
    assert result["risers"][0]["not_met_because"] == "target-above-purity"
    assert result["risers"][0]["time_to_target_s"] is None
    message = next(m for m in result["messages"] if m["code"] == "target-above-purity")
    assert set(message) >= {"code", "level", "where", "text"}
    assert "{0}" not in message["text"]
    assert message["text"] in done.stderr


def test_a_missed_fill_limit_is_status_one(oxfade, small):
    done = oxfade("predict", small, "--quiet", "--set", "riser.'Loft, west'.fill_limit=30 s")
    assert done.returncode == 1


def test_results_do_not_depend_on_the_run(oxfade, small):
    first = oxfade("predict", small, "--json", "-").stdout
    assert first == oxfade("predict", small, "--json", "-").stdout


@pytest.mark.parametrize("option", ["--json", "--csv"])
def test_an_unwritable_path_is_status_two_and_leaves_nothing(oxfade, small, tmp_path, option):
    done = oxfade("predict", small, option, tmp_path / "missing" / "out")
    assert done.returncode == 2
    assert done.stdout == ""
    assert "there is no folder" in done.stderr
    assert sorted(path.name for path in tmp_path.iterdir()) == ["small.toml"]


def test_two_results_cannot_share_standard_output(oxfade, small):
    done = oxfade("predict", small, "--json", "-", "--csv", "-")
    assert done.returncode == 2
    assert "standard output" in done.stderr


def test_a_reader_that_leaves_early_is_no_error(program, small):
    with subprocess.Popen(
        [program, "predict", small, "--csv", "-"], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        process.stdout.readline()
        process.stdout.close()
        errors = process.stderr.read()
    assert process.returncode == 0
    assert errors == b""


def test_a_full_device_is_status_two(program, small):
    with open("/dev/full", "w") as full:
        done = subprocess.run([program, "predict", small], stdout=full, stderr=subprocess.PIPE, text=True)
    assert done.returncode == 2
    assert "cannot write to standard output" in done.stderr
