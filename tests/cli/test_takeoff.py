"""`oxfade draft --takeoff` and `takeoff` in a scenario: piping out of a table of pipes."""

import json
import math
import re
import subprocess

import pytest
from conftest import SOURCE

TABLES = SOURCE / "tests" / "user_input" / "takeoffs"
NINE = SOURCE / "apps" / "scenarios" / "takeoffs" / "nine_systems.csv"

GOOD = """\
name,from,kind,size,schedule,length [ft],count,spacing [ft],sides,vent,sampling point,low point
riser pipe,,riser,4 in,10,20,,,,,,
main,riser pipe,main,4 in,10,100,,,,0.03 in,,
lines,main,branch line,1 1/4 in,40,30,20,,both,,,
lines outer,lines,branch line,1 in,40,12,20,,,,yes,
"""

DRAWN = """\
name,kind,size,schedule,x1 [m],y1 [m],z1 [m],x2 [m],y2 [m],z2 [m]
R,riser,DN100,10,0,0,0,0,0,6
M,main,DN80,10,0,0,6,20,0,6.04
B1,branch line,DN32,40,10,0,6.02,10,8,6.05
B2,branch line,DN32,40,20,0,6.04,20,8,6.07
"""


def edit(text, old, new):
    assert old in text
    return text.replace(old, new, 1)


@pytest.fixture
def draft(oxfade, tmp_path):
    """Drafts a plant from a takeoff given as text or path, in a folder of its own."""

    def run(table, *arguments):
        path = tmp_path / "pipes.csv"
        if isinstance(table, (str, bytes)):
            path.write_bytes(table.encode() if isinstance(table, str) else table)
        else:
            path.write_bytes(table.read_bytes())
        return oxfade("draft", "plant.toml", "--defaults", "--takeoff", "pipes.csv", *arguments, cwd=tmp_path)

    return run


def nine_by_takeoff(scenarios, more=""):
    """nine_systems.toml with its piping and vents left to the takeoff."""
    text = (scenarios / "nine_systems.toml").read_text()
    text = re.sub(r"^pipe = \[.*?\}\]\n", 'takeoff = "nine_systems.csv"\n' + more, text, flags=re.MULTILINE | re.DOTALL)
    text = re.sub(r"^branch_lines = \[.*?\}\] \}\]\n", "", text, flags=re.MULTILINE | re.DOTALL)
    return re.sub(r"^vent .*\n", "", text, flags=re.MULTILINE)


def json_of(oxfade, *arguments):
    done = oxfade(*arguments, "--quiet", "--json", "-")
    assert done.returncode in (0, 1), done.stderr
    return json.loads(done.stdout)


def inside(outer, wall, feet, count=1):
    """Volume of pipe by hand [m3], from diameters in inches."""
    return count * math.pi / 4 * ((outer - 2 * wall) * 0.0254) ** 2 * feet * 0.3048


@pytest.fixture(scope="module")
def both(oxfade, scenarios, tmp_path_factory):
    """The nine systems as the scenario has them, and as its takeoff has them: two files."""
    folder = tmp_path_factory.mktemp("nine")
    (folder / "nine_systems.csv").write_bytes(NINE.read_bytes())
    path = folder / "by_takeoff.toml"
    path.write_text(nine_by_takeoff(scenarios))
    assert "pipe = " not in path.read_text() and "branch_lines" not in path.read_text()
    return scenarios / "nine_systems.toml", path


def test_nine_systems_take_less_than_sixty_rows():
    rows = [line for line in NINE.read_text().splitlines() if not line.startswith(("#", "System"))]
    assert len(rows) == 54


def test_nine_systems_have_the_volumes_of_the_scenario_and_of_a_calculation_by_hand(oxfade, both):
    written, taken = (json_of(oxfade, "check", path) for path in both)
    by_name = [{riser["name"]: riser["volume_m3"] for riser in survey["risers"]} for survey in (written, taken)]
    assert by_name[0] == by_name[1]
    # Outside diameter and wall of 6 and 4 in schedule 10, 1 1/2, 1 1/4 and 1 in schedule 40.
    six, four, three = (6.625, 0.134), (4.5, 0.12), (3.5, 0.12)
    sizes = (1.9, 0.145), (1.66, 0.14), (1.315, 0.133)
    lines = [sum(inside(*size, feet, 30) for size, feet in zip(sizes, feet)) for feet in ((14, 24, 12), (8, 16, 16))]
    assert by_name[1]["1 Receiving"] == pytest.approx(inside(*six, 28 + 40) + inside(*four, 150) + lines[0], rel=1e-6)
    assert by_name[1]["8 Returns"] == pytest.approx(inside(*six, 24 + 240) + inside(*three, 120) + lines[1], rel=1e-6)


def test_nine_systems_give_the_predictions_of_the_scenario(oxfade, both):
    runs = [json_of(oxfade, "predict", path, "--skip-extras", "--set", "duration=6 h") for path in both]
    assert len(runs[0]["risers"]) == 9
    # The takeoff gives its vents no names; they are called after their pipes.
    written, taken = (json.dumps(run, sort_keys=True) for run in runs)
    assert taken.replace("cross main vent", "end vent") == written


@pytest.mark.parametrize("table, says", [
    ("spreadsheet.csv", ["10 rows, 2 systems", "1-1/2 in schedule 40 375.0 ft 39.7 gal",
                         "Branch lines 20", "Other open ends `Cross main end`", "Sampling points 1"]),
    ("cad_schedule.csv", ["29 rows, 1 system", "DN32 schedule 40 52.00 m 50.2 L",
                          "Branch lines 13", "Highest point 6.08 m, far end of `BL-12b`",
                          "Water can stand far ends of `CM-1 1`", "Columns not used Family and Type"]),
    ("metric_list.csv", ["9 rows, 2 systems", "82.5 mm bore 42.00 m 224.5 L",
                         "Branch lines 28", "Water can stand far ends of `Sag`", "Drains `Sag`"]),
])  # fmt: skip
def test_tables_as_they_come(oxfade, draft, tmp_path, table, says):
    done = draft(TABLES / table)
    assert done.returncode == 0, done.stderr
    for words in says:
        assert words in " ".join(done.stdout.split())
    assert max(map(len, done.stdout.splitlines())) <= 80
    assert oxfade("check", tmp_path / "plant.toml").returncode in (0, 1)
    run = json_of(oxfade, "predict", tmp_path / "plant.toml", "--skip-extras", "--set", "duration=1 h")
    assert all(riser["fill_time_s"] > 0.0 for riser in run["risers"])


def test_water_is_between_the_two_legs_the_table_gives(draft, tmp_path):
    assert draft(TABLES / "metric_list.csv").returncode == 0
    text = (tmp_path / "plant.toml").read_text()
    assert re.search(r'\[\[riser.low_point\]\]\nname = "Sag low point"\non = "Main"\nwater = "2.5 L"\nrise = "150 mm"', text)


def test_the_scenario_reads_a_takeoff_in_place(oxfade, tmp_path):
    (tmp_path / "pipes.csv").write_text(GOOD)
    assert oxfade("draft", "plant.toml", "--defaults", "--takeoff", "pipes.csv", cwd=tmp_path).returncode == 0
    text = (tmp_path / "plant.toml").read_text()
    lists = re.search(r"\[\[riser.pipe\]\].*?(?=\n\[\[riser.leak)", text, re.DOTALL)[0]
    other = tmp_path / "folder"
    other.mkdir()
    (other / "pipes.csv").write_text(GOOD)
    (other / "plant.toml").write_text(text.replace(lists, "").replace("[[riser]]\n", '[[riser]]\ntakeoff = "pipes.csv"\n'))
    mine, theirs = (json_of(oxfade, "predict", path, "--skip-extras", "--set", "duration=2 h")
                    for path in (tmp_path / "plant.toml", other / "plant.toml"))  # fmt: skip
    assert mine["risers"] == theirs["risers"]
    done = oxfade("check", other / "plant.toml", "--set", "riser.System.pipe.main.length=110 ft")
    assert "7.33 ft" not in done.stdout and "11 ft of 4.26 in bore" in done.stdout


def test_a_table_names_its_system_and_its_tolerance(oxfade, small, tmp_path):
    (tmp_path / "drawn.csv").write_text(edit(DRAWN, "B1,branch line,DN32,40,10,0,", "B1,branch line,DN32,40,10,0.08,"))
    text = small.read_text()
    start, end = text.index("[[riser.pipe]]"), text.index("[[riser.vent]]")
    text = (text[:start] + text[end:]).replace('at       = "far"', 'at       = "M"')
    small.write_text(text.replace("[[riser]]\n", '[[riser]]\ntakeoff = { file = "drawn.csv", tolerance = "100 mm" }\n'))
    assert oxfade("check", small).returncode in (0, 1)
    small.write_text(text.replace("[[riser]]\n", '[[riser]]\ntakeoff = "drawn.csv"\n'))
    done = oxfade("check", small)
    assert done.returncode == 2
    (line, *_) = done.stderr.splitlines()
    assert re.search(r"drawn\.csv:4: `B1` does not connect with the rest; the nearest pipe, `M` \(line 3\), is 0\.08 m away", line)


@pytest.mark.parametrize("setting, fragment", [
    ('takeoff = "none.csv"', "there is no file"),
    ('takeoff = "."', "is no regular file"),
    ("takeoff = 3", "a text in quotes is wanted"),
    ('takeoff = { file = "pipes.csv", sytem = "x" }', "did you mean `system`?"),
    ('takeoff = { file = "pipes.csv", system = "Loft, east" }', "did you mean `Loft, west`?"),
    ('takeoff = { file = "pipes.csv", tolerance = "3 m" }', "from 1 mm to 1 m"),
])  # fmt: skip
def test_a_takeoff_that_cannot_be_had(oxfade, variant, tmp_path, setting, fragment):
    named = "\n".join(("system," if k == 0 else '"Loft, west",') + line for k, line in enumerate(GOOD.splitlines()))
    (tmp_path / "pipes.csv").write_text(named)
    done = oxfade("check", variant("[[riser]]\n", f"[[riser]]\n{setting}\n"))
    assert done.returncode == 2
    assert fragment in done.stderr, done.stderr
    assert "variant.toml:23: riser.Loft, west.takeoff" in done.stderr


def test_systems_that_nobody_takes_are_told(oxfade, scenarios, tmp_path):
    text = nine_by_takeoff(scenarios)
    one = tmp_path / "one.toml"
    one.write_text(text[: text.index("[[riser]]", text.index("[[riser]]") + 1)])
    (tmp_path / "nine_systems.csv").write_bytes(NINE.read_bytes())
    done = oxfade("check", one)
    assert done.returncode in (0, 1)
    assert "hint: " in done.stderr and "the takeoff has systems that no riser uses: 2 Aisles 1-6, 3 Aisles" in done.stderr


#: A takeoff with something wrong in it, and the lines that are said of it.
BROKEN = {
    "unit left out": (edit(GOOD, "length [ft]", "length"),
                      ["pipes.csv:2: length: `20` has no unit (given: 20); write it in the heading, such as [ft], or in the cell"]),
    "size that there is not": (edit(GOOD, "1 1/4 in", "1 3/8 in"), ["pipes.csv:4: size: is not a nominal pipe size known here (given: 1 3/8 in); in inches: 1/2"]),
    "outside diameter for a size": (edit(GOOD, "1 1/4 in", "42.4 mm"), ["or give the inside diameter in a column of that name"]),
    "schedule that there is not": (edit(GOOD, "1 1/4 in,40", "1 1/4 in,80"), ["pipes.csv:4: schedule: there is no such schedule of nominal 1 1/4 in (given: 80); allowed: 5, 10, 40"]),
    "wall left out": (edit(GOOD, "1 1/4 in,40", "1 1/4 in,"), ["pipes.csv:4: schedule: the wall of nominal 1 1/4 in is missing; allowed: 5, 10, 40"]),
    "length below zero": (edit(GOOD, ",10,100,", ",10,-100,"), ["pipes.csv:3: length [ft]: must be above 0 (given: -100)"]),
    "length that is no number": (edit(GOOD, ",10,100,", ",10,long,"), ["pipes.csv:3: length [ft]: `long` does not begin with a number (given: long)"]),
    "length left out": (edit(GOOD, ",10,100,", ",10,,"), ["pipes.csv:3: length [ft]: the length is missing; a length such as 12 ft"]),
    "misspelt heading": (edit(GOOD, "length [ft]", "lenght [ft]"), ["pipes.csv:1: lenght [ft]: is no heading known here; did you mean `length`?"]),
    "two columns for one thing": (edit(GOOD, "spacing [ft]", "Run (ft)"), ["pipes.csv:1: Run (ft): says the same as the column `length [ft]`; keep one of the two"]),
    "name that is there twice": (edit(GOOD, "lines outer,", "lines,"), ["pipes.csv:5: name: the row of line 4 has this name too (given: lines)"]),
    "pipe that there is not": (edit(GOOD, "lines,main,", "lines,mian,"), ["pipes.csv:4: from: there is no row of this name in the system (given: mian); did you mean `main`?"]),
    "nothing to hang on": (edit(GOOD, "main,riser pipe,", "main,,"), ["pipes.csv:3: from: nothing says what `main` hangs on; the name of that row; only the pipe at the valve, here `riser pipe` (line 2), hangs on none"]),
    "pipes in a ring": (edit(GOOD, "main,riser pipe,", "main,lines outer,"), ["pipes.csv:3: from: `main` does not connect with the pipe at the valve, `riser pipe` (line 2)", "pipes.csv:4: from: `lines` does not connect", "pipes.csv:5: from: `lines outer` does not connect"]),
    "odd number on both sides": (edit(edit(GOOD, "30,20,", "30,21,"), "12,20,", "12,21,"), ["pipes.csv:4: count: must be even where lines leave on both sides (given: 21)"]),
    "pieces that do not go with the lines": (edit(GOOD, "12,20,", "12,18,"), ["pipes.csv:5: count: does not go with the 20 branch lines of `lines` (given: 18); 20, or nothing"]),
    "lines that do not fit the main": (edit(GOOD, "30,20,,both", "30,20,12,both"), ["pipes.csv:4: spacing [ft]: does not fit the main: 10 taps, 12 ft apart, need 108 ft (given: 12)"]),
    "vent wider than its pipe": (edit(GOOD, "0.03 in", "30 in"), ["pipes.csv:3: vent: is wider than the pipe it is on (given: 30 in)"]),
    "water at a closed end": (edit(GOOD, ",0.03 in,,", ",,,2 gal"), ["pipes.csv:3: rise: nothing says how far the water can be pushed up"]),
    "decimal sign or thousands": (edit(edit(GOOD, ",10,100,", ',10,"1,250",'), "[ft]", "[mm]").replace("0.03", "1/32"), ["pipes.csv:3: length [mm]: `1,250` may be 1250 or 1.250 (given: 1,250); write one decimal sign throughout the file"]),
    "a cell too many": (edit(GOOD, "10,100,", "10,100,5,7,"), ["pipes.csv:3: the line has 14 cells; there are 12 headings; quote a cell with a separator in it"]),
    "a quote left open": (edit(GOOD, "1 1/4 in", '"1 1/4 in'), ["pipes.csv:4: a quote is left open; close it"]),
    "no headings": ("4 in,10,20\n4 in,10,100\n", ["pipes.csv:1: no line of headings was found; columns parted by commas, semicolons or tabs; known are: system, name, from"]),
    "headings alone": (GOOD.splitlines()[0], ["pipes.csv:1: there are no pipes in it"]),
    "an empty file": ("", ["pipes.csv: the file is empty"]),
    "a workbook": (b"PK\x03\x04....", ["pipes.csv: the file is a workbook, not a table in text form; save the sheet as CSV in UTF-8"]),
    "UTF-16": (GOOD.encode("utf-16"), ["pipes.csv:1: the file is UTF-16; save it as CSV in UTF-8"]),
    "Latin-1": (edit(GOOD, "main,riser", "Stra\xdfe,riser").encode("latin-1"), ["pipes.csv: the file is not UTF-8"]),
    "nowhere near the rest": (edit(DRAWN, "B2,branch line,DN32,40,20,0,", "B2,branch line,DN32,40,20,0.5,"), ["pipes.csv:5: `B2` does not connect with the rest; the nearest pipe, `M` (line 3), is 0.5 m away; correct the coordinates, or give a tolerance above that (now 0.05 m)"]),
    "half the coordinates": (edit(DRAWN, "20,8,6.07", "20,,6.07"), ["pipes.csv:5: y2 [m]: is missing; both ends of a pipe have all their coordinates, or none of them"]),
    "no end is the lowest": (edit(edit(DRAWN, "R,riser", "R,"), "20,8,6.07", "20,8,0"), ["pipes.csv:2: kind: nothing says where the valve is: `R` and `B2` (line 5) end equally low"]),
    "a place off the map": (edit(DRAWN, "20,8,6.07", "20,8e6,6.07"), ["pipes.csv:5: y2 [m]: is farther away than any building reaches (given: 8e6); look at its unit"]),
    "coordinates that say otherwise": (edit(DRAWN, "name,", "from,name,").replace("\nR", "\n,R").replace("\nM", "\nR,M").replace("\nB1", "\nR,B1").replace("\nB2", "\nM,B2"),
                                       ["pipes.csv:4: from: is not what its coordinates say (given: R); by them it hangs on `M`"]),
}  # fmt: skip


@pytest.mark.parametrize("table, says", BROKEN.values(), ids=BROKEN)
def test_what_is_wrong_is_told_by_row_and_column(draft, tmp_path, table, says):
    done = draft(table)
    assert done.returncode == 2
    assert done.stdout == ""
    lines = [line for line in done.stderr.splitlines() if not line.startswith("oxfade: ")]
    assert len(lines) == len(says), done.stderr
    for line, said in zip(lines, says):
        assert said in line, done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["pipes.csv"]


def test_all_that_is_wrong_is_told_at_once(draft):
    table = edit(edit(edit(GOOD, ",10,20,", ",10,-20,"), "4 in,10,100", "4 in,11,100"), "lines outer,lines,", "lines outer,liens,")
    done = draft(table)
    assert [line.split(": ")[0] for line in done.stderr.splitlines()] == ["pipes.csv:2", "pipes.csv:3", "pipes.csv:5", "oxfade"]
    assert "oxfade: 3 problems, nothing was computed" in done.stderr


def test_ticked_vents_take_the_answer_about_vents(draft, tmp_path):
    ticked = edit(GOOD, "0.03 in", "x")
    assert draft(ticked, "--vent", "0.05 in").returncode == 0
    assert 'diameter = "0.05 in"' in (tmp_path / "plant.toml").read_text()
    done = draft(ticked, "--vent", "none", "--force")
    assert done.returncode == 2
    assert "pipes.csv:3: vent: the diameter of the vent's orifice is missing (given: x)" in done.stderr


def test_a_vent_on_a_row_of_branch_lines_is_on_each(oxfade, draft, tmp_path):
    assert "Vents             21" in draft(edit(GOOD, ",yes,", ",,").replace("12,20,,,,", "12,20,,,0.02 in,")).stdout
    text = (tmp_path / "plant.toml").read_text()
    assert text.count("[[riser.vent]]") == 11 and 'at = "lines 19-20"' in text
    assert oxfade("check", tmp_path / "plant.toml").returncode in (0, 1)


def test_what_nearly_meets_is_told(draft):
    done = draft(edit(DRAWN, "B1,branch line,DN32,40,10,0,6.02,10,8", "B1,branch line,DN32,40,10,0,6.02,19.8,8"))
    assert done.returncode == 0, done.stderr
    assert "Nearly meets      `B1` (line 4) ends 0.201 m from `B2` (line 5)" in done.stdout


@pytest.mark.parametrize("arguments, fragment", [
    (["--takeoff", "none.csv"], "there is no file 'none.csv'"),
    (["--takeoff", "pipes.csv", "--system", "Dock: 4 in x 9 ft"], "--system: the piping comes from the takeoff"),
    (["--takeoff", "pipes.csv", "--tolerance", "9 gal"], "--tolerance: a length is wanted"),
    (["--takeoff", "pipes.csv", "--tolerance", "9 m"], "--tolerance: is out of range"),
    (["--tolerance", "9 mm"], "--tolerance: is of use only with a takeoff"),
])  # fmt: skip
def test_options_that_do_not_go_together(oxfade, tmp_path, arguments, fragment):
    (tmp_path / "pipes.csv").write_text(GOOD)
    done = oxfade("draft", "plant.toml", "--defaults", *arguments, cwd=tmp_path)
    assert done.returncode == 2
    assert fragment in done.stderr
    assert not (tmp_path / "plant.toml").exists()


def test_standard_output_carries_the_scenario_alone(oxfade, tmp_path):
    (tmp_path / "pipes.csv").write_text(GOOD)
    done = oxfade("draft", "-", "--defaults", "--takeoff", "pipes.csv", cwd=tmp_path)
    assert done.returncode == 0
    assert done.stdout.startswith("# A first description")
    assert done.stderr.startswith("Takeoff pipes.csv: 4 rows, 1 system.")
    (tmp_path / "plant.toml").write_text(done.stdout)
    assert oxfade("check", tmp_path / "plant.toml").returncode in (0, 1)
    assert oxfade("draft", "-", "--defaults", "--quiet", "--takeoff", "pipes.csv", cwd=tmp_path).stderr == ""


def test_what_the_takeoff_says_is_not_asked(program, tmp_path):
    (tmp_path / "pipes.csv").write_text(GOOD)
    command = [program, "draft", "plant.toml", "--takeoff", "pipes.csv"]
    done = subprocess.run(command, input="Loft\n" + "\n" * 30, capture_output=True, text=True, cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert "Which dry systems" not in done.stderr and "the hole of the vent" not in done.stderr
    assert "At which pressure" in done.stderr
    (tmp_path / "pipes.csv").write_text(edit(GOOD, "0.03 in", "yes"))
    done = subprocess.run([*command, "--force"], input="Loft\n" + "\n" * 30, capture_output=True, text=True, cwd=tmp_path)
    assert "the hole of the vent" in done.stderr


def test_the_example_of_the_read_me_is_a_takeoff(draft):
    text = (SOURCE / "README.md").read_text(encoding="utf-8")
    (shown,) = re.findall(r"^```csv\n(.*?)^```$", text, re.MULTILINE | re.DOTALL)
    done = draft(shown)
    assert done.returncode == 0, done.stderr
    assert "Branch lines      30" in done.stdout


def test_too_large_a_takeoff(draft):
    done = draft(GOOD + "# " + "x" * 4_000_000)
    assert done.returncode == 2
    assert "too large for a takeoff" in done.stderr
    many = GOOD.splitlines()[0] + "\n" + "".join(f"p{k},,,4 in,10,3,,,,,,\n" for k in range(20_001))
    done = draft(many)
    assert done.returncode == 2
    assert "pipes.csv:1: there are 20001 rows; at most 20000" in done.stderr
