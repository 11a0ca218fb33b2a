"""The example scenarios: each does what its opening comment says."""

import csv
import functools
import json

import pytest

EXAMPLES = [
    "cold_store.toml", "first_file.toml", "freezer.toml", "nine_systems.toml", "preaction_cylinders.toml", "training_rig.toml",
    "warehouse_large_vents.toml",
]  # fmt: skip


@functools.lru_cache(maxsize=None)
def text_of_run(oxfade, path, *more):
    done = oxfade("predict", path, "--skip-extras", "--json", "-", *more)
    assert done.returncode in (0, 1), done.stderr
    return done.returncode, done.stdout


def predict(oxfade, path, *more):
    """Status and result; the same run is not done twice."""
    status, text = text_of_run(oxfade, path, *more)
    return status, json.loads(text)


def codes(result):
    return {message["code"] for message in result["messages"]}


def test_every_example_is_listed_here(scenarios):
    assert sorted(path.name for path in scenarios.glob("*.toml")) == EXAMPLES


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_example_is_sound(oxfade, scenarios, name):
    assert oxfade("check", scenarios / name).returncode in (0, 1)


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_example_balances(oxfade, scenarios, name):
    result = predict(oxfade, scenarios / name)[1]
    assert abs(result["balance"]["worst_relative"]) < 1e-9


def test_the_cold_store_meets_everything(oxfade, scenarios):
    status, result = predict(oxfade, scenarios / "cold_store.toml")
    assert status == 0
    assert result["source"]["air_after_fill_s"] == 0
    for riser in result["risers"]:
        assert riser["fill_met"]
        assert riser["time_at_readings_s"] < 1.5 * 86400
        assert 14 * 86400 < riser["time_to_target_s"] < 26 * 86400
        assert "lines" in riser["limiting_pipe"]
        for pipe in riser["final"]["pipes"]:
            assert max(pipe["oxygen"]) < 0.02


def test_the_first_file_gives_an_answer_and_says_what_it_assumes(oxfade, scenarios, tmp_path):
    file = scenarios / "first_file.toml"
    lines = [line for line in file.read_text().splitlines() if line and not line.startswith("#")]
    assert len(lines) == 15
    page = tmp_path / "first.html"
    done = oxfade("predict", file, "--skip-extras", "--html", page)
    assert done.returncode == 0, done.stdout
    assert "-- Assumed, not in the file -" in done.stdout
    assert 'site.temperature = "20 degC" (common practice, no source)' in done.stdout
    assert "Not in the file, and so assumed: target = " in page.read_text()
    assumed = {value["key"]: value["value"] for value in predict(oxfade, file)[1]["assumed"]}
    assert len(assumed) == 14
    assert assumed["riser.Dock.pipe.main.schedule"] == "10"
    survey = oxfade("check", file, "--json", "-")
    assert {value["key"] for value in json.loads(survey.stdout)["assumed"]} == set(assumed)


def test_the_read_me_shows_the_first_file(scenarios):
    text = (scenarios / "first_file.toml").read_text().split("\n", 1)[1]
    assert f"```toml\n{text}```" in (scenarios.parents[1] / "README.md").read_text()


def test_the_archive_is_purged_in_cycles(oxfade, scenarios):
    status, result = predict(oxfade, scenarios / "preaction_cylinders.toml")
    assert status == 0
    (riser,) = result["risers"]
    assert riser["lowest_in_service_pa"] == pytest.approx(131325, rel=1e-3)
    assert riser["highest_in_service_pa"] == pytest.approx(301325, rel=1e-3)
    assert result["source"]["empty_at_s"] is None


def test_the_archives_cylinders_run_empty_in_the_end(oxfade, scenarios):
    _, result = predict(oxfade, scenarios / "preaction_cylinders.toml", "--set", "duration=6 d")
    assert 36 * 3600 < result["source"]["empty_at_s"] < 6 * 86400
    assert result["source"]["nitrogen_std_m3"] == pytest.approx(36, rel=1e-6)
    assert "source-empty" in codes(result)


def test_large_vents_send_the_warehouse_back_to_air(oxfade, scenarios):
    status, result = predict(oxfade, scenarios / "warehouse_large_vents.toml")
    assert status == 1
    assert result["source"]["air_after_fill_s"] > 6 * 3600
    assert "vents-above-separator" in codes(result)
    for riser in result["risers"]:
        assert riser["time_to_target_s"] is None
        assert riser["not_met_because"] in ("vents-above-separator", "air-after-fill")


def test_smaller_vents_mend_the_warehouse(oxfade, scenarios):
    smaller = [f"riser.Hall {hall}.vent.end vent.diameter=0.03 in" for hall in "AB"]
    status, result = predict(
        oxfade, scenarios / "warehouse_large_vents.toml", "--set", smaller[0], "--set", smaller[1], "--set", "duration=30 d"
    )
    assert status == 0
    assert result["source"]["air_after_fill_s"] == 0


def test_the_training_rig_waits_for_the_drain(oxfade, scenarios, tmp_path):
    status, result = predict(oxfade, scenarios / "training_rig.toml", "--csv", tmp_path / "oxygen.csv")
    assert status == 0
    (riser,) = result["risers"]
    (dip,) = riser["low_points"]
    assert dip["drained_s"] == 5 * 86400
    assert dip["stopped_vent"] == "far vent" and not dip["stopped_at_end"]
    assert 5 * 86400 < riser["time_to_target_s"] < 7 * 86400
    (stopped,) = [m for m in result["messages"] if m["code"] == "liquid-stop-shut"]
    assert "transparent dip" in stopped["text"]
    with open(tmp_path / "oxygen.csv", encoding="utf-8") as table:
        rows = list(csv.DictReader(table))
    end = str(max(int(row["cell"]) for row in rows if row["pipe"] == "far line"))
    far = {float(row["time_s"]): float(row["oxygen"]) for row in rows if row["pipe"] == "far line" and row["cell"] == end}
    assert min(far[t] for t in far if t <= 5 * 86400) > 0.15
    assert far[max(far)] < 0.011
    exposure = {pipe["name"]: max(pipe["oxygen_exposure"]) for pipe in riser["final"]["pipes"]}
    assert exposure["near line"] < 0.1 < 0.5 < exposure["far line"] < 1
    assert dip["oxygen_limit"]["wet_s"] == pytest.approx(5 * 86400, rel=1e-6)
    assert 0 < dip["oxygen_limit"]["penetration_m_per_s"] < dip["oxygen_limit"]["penetration_on_air_m_per_s"]
    assert result["exposure_assumptions"][0].startswith("Not a prediction of life")


def test_the_training_rig_without_draining_names_the_dip(oxfade, scenarios, tmp_path):
    text = (scenarios / "training_rig.toml").read_text(encoding="utf-8")
    (tmp_path / "undrained.toml").write_text(text[: text.index("[[action]]")], encoding="utf-8")
    status, result = predict(oxfade, tmp_path / "undrained.toml")
    assert status == 1
    (riser,) = result["risers"]
    assert riser["not_met_because"] == "liquid-stop-shut"
    (stopped,) = [m for m in result["messages"] if m["code"] == "liquid-stop-shut"]
    assert "transparent dip" in stopped["text"] and "meet the target after" in stopped["text"]
    (tmp_path / "dry.toml").write_text(text[: text.index("[[riser.low_point]]")], encoding="utf-8")
    status, dry = predict(oxfade, tmp_path / "dry.toml")
    assert status == 0
    assert dry["risers"][0]["time_to_target_s"] < 86400
    # One plant, two runs: the one asked for keeps a history, and so steps elsewhere.
    assert riser["time_to_target_without_water_s"] == pytest.approx(dry["risers"][0]["time_to_target_s"], rel=2e-5)


def test_the_freezer_breathes_trips_and_is_purged_again(oxfade, scenarios):
    status, result = predict(oxfade, scenarios / "freezer.toml")
    assert status == 0
    assert result["balance"]["worst_relative"] < 1e-9
    (riser,) = result["risers"]
    before, tripped, stopped, restored = result["stretches"]
    assert [stretch["begin_s"] / 86400 for stretch in result["stretches"]] == [0, 10, 14, 14.5]
    assert [a["do"] for stretch in result["stretches"] for a in stretch["actions"]] == ["trip", "outage", "restore"]
    first = before["risers"][0]["time_to_target_s"]
    assert 4 * 86400 < first < 9 * 86400
    assert tripped["risers"][0]["time_to_target_s"] is None  # the outage comes before the purge is done once more
    assert tripped["risers"][0]["oxygen_begin"] > 0.209
    assert riser["at_target_s"][0][1] == 10 * 86400
    assert stopped["source"] == {"running_s": 0, "air_s": 0, "starts": 0, "nitrogen_std_m3": 0}
    assert stopped["risers"][0]["pressure_end_pa"] < 0.8 * before["risers"][0]["pressure_end_pa"]
    assert len(riser["refills_s"]) == 1 and riser["refills_s"][0][0] == 10.25 * 86400
    assert {"tripped", "source-stopped", "temperature-swing"} <= set(codes(result))
    assert 0.8 * first < restored["risers"][0]["time_to_target_s"] < 1.2 * first  # by way of air, the receiver being empty


def test_the_freezer_breathes_where_its_vent_is_shut(oxfade, scenarios):
    shut = ("--set", 'riser.Freezer.vent.end vent.open={ until = "3 d" }')
    _, swing = predict(oxfade, scenarios / "freezer.toml", *shut)
    _, steady = predict(oxfade, scenarios / "freezer.toml", *shut, "--set", "riser.Freezer.temperature=-22 degC")
    highest = [result["risers"][0]["highest_in_service_pa"] for result in (swing, steady)]
    assert 1.02 < highest[0] / highest[1] < 1.04  # 8 K of 250 K, less what leaks meanwhile


def test_a_plant_may_trip_in_its_dip_and_keep_the_water(oxfade, scenarios, tmp_path):
    text = (scenarios / "training_rig.toml").read_text(encoding="utf-8")
    trip = '[[action]]\nat = "7 d"\ndo = "trip"\nriser = "Rig"\n'
    (tmp_path / "tripped.toml").write_text(text + trip, encoding="utf-8")
    status, result = predict(oxfade, tmp_path / "tripped.toml")
    assert status == 1
    (riser,) = result["risers"]
    (dip,) = riser["low_points"]
    assert dip["water_end_m3"] > 0.5 * dip["water_start_m3"]
    assert riser["not_met_because"] in ("liquid-stop-shut", "water-blocks")
    assert any(m["code"] == "tripped" and "again, and nothing drains it" in m["text"] for m in result["messages"])
    assert result["balance"]["worst_relative"] < 1e-9


def test_a_building_of_nine_systems_fits_on_150_lines(oxfade, scenarios):
    file = scenarios / "nine_systems.toml"
    assert len(file.read_text().splitlines()) <= 150
    _, result = predict(oxfade, file)
    assert len(result["risers"]) == 9
    for riser in result["risers"]:
        assert riser["fill_met"]
        lines = [pipe for pipe in riser["final"]["pipes"] if pipe["name"].startswith("lines ")]
        assert len(lines) == 3 * 15  # three sizes, and two lines at each of 15 taps computed once
        mains = [pipe for pipe in riser["final"]["pipes"] if pipe["name"].startswith("cross main")]
        assert len(mains) == 15
        assert riser["limiting_pipe"].startswith("lines ")  # dead ends take longest
