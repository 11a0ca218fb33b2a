"""`oxfade compare`: strategies side by side."""

import json


def test_shows_measures_differences_and_the_best(oxfade, small, variant):
    larger = variant('diameter = "0.8 mm"', 'diameter = "1.2 mm"')
    done = oxfade("compare", small, larger)
    assert done.returncode == 0, done.stderr
    assert "Days to target" in done.stdout
    assert "riser.Loft, west.vent.end vent.diameter" in done.stdout
    assert "A: 0.8 mm; B: 1.2 mm" in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80
    line = next(line for line in done.stdout.splitlines() if "Days to target" in line)
    assert line.endswith("*")


def test_json_agrees_with_single_runs(oxfade, small, variant):
    larger = variant('diameter = "0.8 mm"', 'diameter = "1.2 mm"')
    both = json.loads(oxfade("compare", small, larger, "--json", "-").stdout)
    assert [strategy["name"] for strategy in both["strategies"]] == [str(small), str(larger)]
    for path, strategy in zip((small, larger), both["strategies"]):
        alone = json.loads(oxfade("predict", path, "--json", "-").stdout)
        assert abs(strategy["time_to_target_s"] - alone["risers"][0]["time_to_target_s"]) < 1
        for key in ("running_s", "starts", "energy_kwh", "nitrogen_std_m3"):
            assert abs(strategy[key] - alone["source"][key]) <= 1e-6 * strategy[key]
        assert 0 < strategy["oxygen_exposure"] < 1
    assert both["best"]["time_to_target"] == str(larger)
    assert both["best"]["nitrogen"] == str(small)
    assert both["best"]["longest_fill"] is None or both["best"]["longest_fill"] in (str(small), str(larger))
    (difference,) = both["differences"]
    assert difference["key"] == "riser.Loft, west.vent.end vent.diameter"


def test_what_misses_the_target_is_best_at_nothing(oxfade, small, variant):
    poor = variant('purity        = "99 %"', 'purity        = "94 %"')
    both = json.loads(oxfade("compare", small, poor, "--json", "-").stdout)
    assert both["strategies"][1]["target_met"] is False
    assert str(poor) not in both["best"].values()
    assert any(message["code"] == "target-above-purity" for message in both["strategies"][1]["messages"])
    assert oxfade("compare", small, poor).returncode == 0
    assert oxfade("compare", poor, poor).returncode == 1


def test_other_kinds_of_source_are_compared(oxfade, small, scenarios):
    done = oxfade("compare", scenarios / "cold_store.toml", scenarios / "preaction_cylinders.toml", small)
    assert done.returncode == 0, done.stderr
    assert "source.kind" in done.stdout
    assert "A: generator; B: cylinders; C: generator" in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80


def test_problems_of_all_files_are_shown_at_once(oxfade, tmp_path, small):
    wrong = []
    for name, old, new in (("a.toml", "95 %", "3 psi"), ("b.toml", "2 barg", "2 furlong")):
        path = tmp_path / name
        path.write_text(small.read_text().replace(f'"{old}"', f'"{new}"'))
        wrong.append(path)
    done = oxfade("compare", *wrong)
    assert done.returncode == 2
    assert "a.toml" in done.stderr and "b.toml" in done.stderr


def test_one_file_is_not_enough(oxfade, small):
    assert oxfade("compare", small).returncode == 2
