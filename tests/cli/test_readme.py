"""README.md shows what the program prints and code that a test compiles."""

import pathlib
import re
import shlex

SOURCE = pathlib.Path(__file__).parents[2]


def blocks(language):
    text = (SOURCE / "README.md").read_text(encoding="utf-8")
    return re.findall(rf"^```{language}\n(.*?)^```$", text, re.MULTILINE | re.DOTALL)


def without_rounding(text):
    """The last line names rounding errors and steps, which differ between compilers."""
    return [line for line in text.splitlines() if not line.startswith("Gas balance")]


def test_the_report_is_what_the_program_prints(oxfade, scenarios):
    (shown,) = blocks("text")
    assert without_rounding(shown) == without_rounding(oxfade("predict", scenarios / "cold_store.toml").stdout)


def test_the_example_is_the_one_that_is_compiled():
    (shown,) = blocks("cpp")
    compiled = (SOURCE / "tests" / "unit" / "report" / "readme_example_test.cpp").read_text(encoding="utf-8")
    assert shown == re.search(r"// \[README\n(.*?)// README\]", compiled, re.DOTALL)[1]


def test_every_command_shown_works(oxfade, tmp_path):
    (tmp_path / "apps").symlink_to(SOURCE / "apps")
    (shown, *_) = blocks("sh")
    commands = [shlex.split(line, comments=True) for line in shown.splitlines() if line.startswith("oxfade ")]
    assert {command[1] for command in commands} == {"check", "predict"}
    for command in commands:
        assert oxfade(*command[1:], cwd=tmp_path).returncode == 0


def test_commands_come_early():
    lines = (SOURCE / "README.md").read_text(encoding="utf-8").splitlines()
    assert any("oxfade predict" in line for line in lines[:30])


def test_links_lead_somewhere():
    for name in ("README.md", "DEVELOPERS.md"):
        text = (SOURCE / name).read_text(encoding="utf-8")
        for target in re.findall(r"\]\(([^)#:]+)\)", text):
            assert (SOURCE / target).exists(), f"{name} links to {target}"
