"""`oxfade draft`: a few questions, a valid file."""

import subprocess

import pytest


def test_the_usual_answers_make_a_plant_that_runs(oxfade, tmp_path):
    for units in ("us", "si"):
        path = tmp_path / f"{units}.toml"
        done = oxfade("draft", path, "--defaults", "--units", units)
        assert done.returncode == 0, done.stderr
        assert f"oxfade check {path}" in done.stdout
        assert oxfade("check", path).returncode == 0
        # Branch lines are many runs for what predict tells beside; one of the two will do.
        run = oxfade("predict", path, *(["--skip-extras"] if units == "si" else []))
        assert run.returncode in (0, 1), run.stdout  # branch lines are dead ends: three weeks may be too few
        assert ("psig" if units == "us" else "barg") in run.stdout
        text = path.read_text()
        assert text.count("assumed") > 10
        assert max(map(len, text.splitlines())) <= 120


@pytest.mark.parametrize("source, wanted, others", [
    ("generator", ["nitrogen_flow", "air_below", "[source.receiver]"], ["content"]),
    ("cylinders", ["content", "delivery_pressure"], ["air_flow", "[source.receiver]"]),
    ("compressor", ["air_flow", "[source.receiver]"], ["nitrogen_flow", "air_below =", "purity ="]),
])  # fmt: skip
def test_each_source_gets_its_own_keys(oxfade, tmp_path, source, wanted, others):
    path = tmp_path / "plant.toml"
    assert oxfade("draft", path, "--defaults", "--source", source).returncode == 0
    assert oxfade("check", path).returncode in (0, 1)
    body = "\n".join(line for line in path.read_text().splitlines() if not line.startswith("#"))
    assert all(key in body for key in wanted)
    assert not any(key in body for key in others)


def test_options_are_answers(oxfade, tmp_path):
    path = tmp_path / "plant.toml"
    done = oxfade(
        "draft", path, "--defaults", "--title", 'The "old" store', "--vent", "0.5 mm", "--leak", "none",
        "--system", 'Dock: 4" x 150 ft, 134 gal', "--system", "Store: 6 in sch 40 x 40 ft, 50 mm x 90 m",
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    check = oxfade("check", path, "--units", "us")
    assert check.stdout.startswith('The "old" store\n')
    assert "134 gal" in check.stdout
    assert "6.07 in bore" in check.stdout
    assert "1.97 in bore" in check.stdout
    assert "leak" not in [line.strip("[]") for line in path.read_text().splitlines()]


def test_answers_are_asked_for(program, oxfade, tmp_path):
    path = tmp_path / "plant.toml"
    answers = "Loft\nWest: 800 L\nEast: 2 in x 60 m\n12 lines of 1 in x 9 m\n\n\ncylinders\n99.9 %\n\n\n0.5 mm\nnone\n5 degC\n\n95 %\n3 d\n"
    done = subprocess.run([program, "draft", path], input=answers, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert "How pure is the nitrogen? [99 %]: " in done.stderr
    assert "receiver" not in done.stderr
    text = path.read_text()
    assert 'purity = "99.9 %"' in text
    assert 'name = "East"' in text
    assert "number = 12" in text and text.count("\n[[riser.branch_lines]]") == 1
    assert done.stderr.count("How many branch lines") == 1  # the other system is a volume
    assert oxfade("check", path).stdout.startswith("Loft\n")


def test_answers_that_end_early_are_no_plant(program, tmp_path):
    path = tmp_path / "plant.toml"
    done = subprocess.run([program, "draft", path], input="Loft\n", capture_output=True, text=True)
    assert done.returncode == 2
    assert "--system: the answers ended before this question" in done.stderr
    assert not path.exists()


@pytest.mark.parametrize("arguments, fragment", [
    (["--purity", "98"], "--purity: `98` has no unit"),
    (["--vent", "3 psi"], "--vent: a length is wanted"),
    (["--system", "Dock"], "--system: a system needs a name and its piping"),
    (["--system", "Dock: 4 in"], "--system: `4 in` is not a piece of piping"),
    (["--system", "Dock: 4 in schedule 7 x 10 ft"], "schedules: 5, 10, 40"),
    (["--system", "Dock: fat x 10 ft"], "`fat` is not a pipe size"),
    (["--system", "Dock: 4 in x 90 ft; 7 lines on both sides of 1 in x 9 ft"], "an odd number of branch lines"),
    (["--system", "Dock: 4 in x 90 ft; many"], "--system: `many` does not describe branch lines"),
    (["--leak", "1 psi"], "LOSS over TIME from PRESSURE"),
    (["--source", "genrator"], "did you mean `generator`?"),
    (["--start", "110 psig"], "--start: must be below `stop`"),
    (["--title", ""], ""),
])  # fmt: skip
def test_what_is_no_answer_is_status_two(oxfade, tmp_path, arguments, fragment):
    path = tmp_path / "plant.toml"
    done = oxfade("draft", path, "--defaults", *arguments)
    if not fragment:  # an empty answer is none
        assert done.returncode == 0
        return
    assert done.returncode == 2
    assert fragment in done.stderr
    assert not path.exists()


def test_a_file_is_not_replaced_unasked(oxfade, tmp_path):
    path = tmp_path / "plant.toml"
    path.write_text("mine")
    done = oxfade("draft", path, "--defaults")
    assert done.returncode == 2
    assert "--force" in done.stderr
    assert path.read_text() == "mine"
    assert oxfade("draft", path, "--defaults", "--force", "--quiet").stdout == ""
    assert path.read_text().startswith("# A first description")


def test_standard_output_carries_the_file(oxfade, tmp_path):
    done = oxfade("draft", "-", "--defaults")
    assert done.returncode == 0
    path = tmp_path / "plant.toml"
    path.write_text(done.stdout)
    assert oxfade("check", path).returncode == 0
