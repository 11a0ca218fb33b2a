"""`oxfade check`: validation and what needs no simulation."""

import json


def test_shows_volumes(oxfade, small):
    done = oxfade("check", small, "--units", "si")
    assert done.returncode == 0
    assert "918 L of piping" in done.stdout
    assert "118 L, 60 m of 50 mm bore, 3 cells" in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80


def test_gives_volumes_as_json(oxfade, small):
    result = json.loads(oxfade("check", small, "--json", "-").stdout)
    pipes = result["risers"][0]["pipes"]
    assert [pipe["name"] for pipe in pipes] == ["main", "far"]
    assert abs(pipes[0]["volume_m3"] - 0.8) < 1e-12
    assert result["messages"] == []


def test_shows_all_mistakes_one_a_line(oxfade, tmp_path, small):
    text = small.read_text().replace('"60 L/min"', '"3 psi"').replace('at       = "far"', 'at       = "fur"')
    path = tmp_path / "wrong.toml"
    path.write_text(text)
    done = oxfade("check", path)
    assert done.returncode == 2
    assert done.stdout == ""
    problems = [line for line in done.stderr.splitlines() if "wrong.toml:" in line]
    assert len(problems) == 2
    assert any("nitrogen_flow" in line and "3 psi" in line for line in problems)
    assert any("fur" in line for line in problems)


def test_a_missing_file_is_status_two(oxfade, tmp_path):
    done = oxfade("check", tmp_path / "none.toml")
    assert done.returncode == 2
    assert "none.toml" in done.stderr


def test_predict_refuses_the_same_mistakes(oxfade, variant):
    path = variant('"2 barg"', '"2 furlong"')
    for verb in ("check", "predict"):
        done = oxfade(verb, path)
        assert done.returncode == 2
        assert "set_pressure" in done.stderr


def test_says_what_mixing_will_do_in_a_dead_end(oxfade, tmp_path, small):
    path = tmp_path / "dead.toml"
    dead = '[[riser.pipe]]\nname = "stub"\nfrom = "far"\nbore = "50 mm"\nlength = "20 m"\n[[riser.vent]]'
    path.write_text(small.read_text().replace("[[riser.vent]]", dead))
    done = oxfade("check", path, "--units", "si")
    assert "stub of Loft, west: 39.3 L, 20 m long." in done.stdout
    assert "With nitrogen at its mouth the far end goes from air to the target in" in " ".join(done.stdout.split())
    assert max(map(len, done.stdout.splitlines())) <= 80
    (end,) = json.loads(oxfade("check", path, "--json", "-").stdout)["dead_ends"]
    assert end["length_m"] == 20
    assert 0 < end["by_mixing_s"] < end["by_diffusion_s"]
    assert end["copies"] == 1


def test_tells_equal_dead_ends_in_one_line(oxfade, tmp_path, small):
    path = tmp_path / "dead.toml"
    line = '[[riser.pipe]]\nname = "branch line {}"\nfrom = "far"\nbore = "40 mm"\nlength = "9 m"\n'
    lines = "".join(line.format(k) for k in range(1, 23))
    path.write_text(small.read_text().replace("[[riser.vent]]", lines + "[[riser.vent]]"))
    done = oxfade("check", path, "--units", "si")
    assert done.stdout.count("branch lines 1 to 22") == 2  # the finding, and the dead ends
    assert "branch lines 1 to 22 of Loft, west: 11.3 L each, 9 m long." in done.stdout
    found = json.loads(oxfade("check", path, "--json", "-").stdout)
    assert len(found["dead_ends"]) == 22
    (finding,) = [m for m in found["messages"] if m["code"] == "no-way-out"]
    assert finding["where"] == "Loft, west / branch lines 1 to 22"
    assert len(finding["places"]) == 22


def test_says_what_size_and_margin_mean(oxfade, small, variant):
    assert "no quick-opening device required" in " ".join(oxfade("check", small).stdout.split())
    large = variant('volume = "800 L"', 'volume = "2500 L"')
    assert "needs a quick-opening device" in " ".join(oxfade("check", large).stdout.split())
    result = json.loads(oxfade("check", small, "--json", "-").stdout)
    assert result["risers"][0]["size_step"] == "plain"
    assert 0 < result["margin"] < 1
    asked = result["demand_std_m3_per_s"] / result["separator_std_m3_per_s"]
    assert abs(result["margin"] - (1 - asked)) < 1e-12
