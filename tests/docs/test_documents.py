"""What the documents point at is there, and what they state is what the code has."""

import pathlib
import re

import pytest

TOP = pathlib.Path(__file__).parents[2]
CODE = [
    path
    for folder in ("lib", "bindings", "apps", "tests", "validation")
    for path in sorted((TOP / folder).rglob("*"))
    if path.suffix in (".cpp", ".hpp", ".py", ".md", ".toml", ".csv") and "build" not in path.relative_to(TOP).parts
]
MODEL = (TOP / "lib" / "model.md").read_text(encoding="utf-8")


def test_every_pointer_into_the_model_resolves():
    equations = set(re.findall(r"\((\d+)\)", MODEL))
    sections = set(re.findall(r"^## (\d+) ", MODEL, re.MULTILINE)) | set(re.findall(r"\*\*(\d+\.\d+) ", MODEL))
    pointers = 0
    for path in CODE:
        text = re.sub(r"\s*\n[\s/*#]*", " ", path.read_text(encoding="utf-8"))
        for number in re.findall(r"model\.md eqs?\. (\d+)", text):
            pointers += 1
            assert number in equations, f"{path}: equation {number}"
        for number in re.findall(r"model\.md (?:sections? )?(\d+(?:\.\d)?)", text):
            pointers += 1
            assert number in sections, f"{path}: section {number}"
    assert pointers > 30


def test_every_source_named_in_the_model_is_in_the_references():
    keys = set(re.findall(r"^@\w+\{(\w+),", (TOP / "lib" / "references.bib").read_text(), re.MULTILINE))
    named = re.findall(r"\b[a-z]+[a-z_0-9]*_(?:\d{4}|\d{2,3}m?|if97|r14_08)\b", MODEL)
    assert len(named) > 10
    assert set(named) <= keys


@pytest.mark.parametrize("page", [path for path in CODE if path.suffix == ".md"] + [TOP / "README.md", TOP / "DEVELOPERS.md"],
                         ids=lambda path: str(path.relative_to(TOP)))  # fmt: skip
def test_every_link_leads_somewhere(page):
    for target in re.findall(r"\]\(([^)#\s]+)[^)]*\)", page.read_text(encoding="utf-8")):
        if not target.startswith(("http", "mailto:")):
            assert (page.parent / target).exists(), target


def limits_of_the_code():
    text = (TOP / "lib" / "include" / "oxfade" / "plant" / "limits.hpp").read_text()
    return dict(re.findall(r"inline constexpr \w+ (\w+) = ([^;]+);", text))


@pytest.mark.parametrize("name, value, row", [
    ("duration", "50.0 * 365.25 * 86400.0", "| simulated time | 50 years |"),
    ("cells", "10'000", "| compartments of a pipe (`cells`) | 10 000 |"),
    ("compartments", "20'000", "| compartments of the plant | 20 000 |"),
    ("count", "1'000", "| equal pipes side by side (`count`) | 1000 |"),
    ("copies", "1e6", "| cells of the plant, all copies counted | 1 000 000 |"),
    ("branch_lines", "1'000", "| branch lines of a row (`number`) | 1000 |"),
    ("joint_step", "0.3048", "| 1 ft (0.3048 m) apart |"),
    ("mouth", "20.0", "| `mixing.mouth` | from 0 to 20 bores |"),
    ("warm_end", "10.0", "| `mixing.warm_end` | from -10 to 10 K |"),
    ("openings", "2e6", "| openings of a timed vent in a run | 2 000 000 |"),
    ("openings_of_parts", "1e9", "times compartments | 1 000 000 000 |"),
    ("narrowest_band", "1e-4", "| 0.01 % of the higher |"),
    ("part_volume", "1e-6", "| 1 mL at least |"),
    ("part_length", "1e-3", "| 1 mm at least |"),
    ("water", "1e-9", "| water of a low point | 0.001 mL at least |"),
    ("machine_run", "1.0", "| 1 s at least |"),
    ("air_run", "1e-3", "generator on air | 1 ms at least |"),
    ("emptying", "1e-5", "| 0.01 ms at least |"),
    ("exchange_rate", "1e3", "all of a part's gas in 1 ms |"),
])  # fmt: skip
def test_limits_are_those_of_the_code(name, value, row):
    assert limits_of_the_code()[name] == value
    assert row in (TOP / "lib" / "limits.md").read_text()


def test_no_limit_is_left_out():
    assert len(limits_of_the_code()) == 19
