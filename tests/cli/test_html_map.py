"""The map of a report: drawn as a sprinkler plan has it."""

import pytest
from conftest import SMALL
from pages import go_to, quiet

MAIN = """
[[riser.pipe]]
name = "cross main {k}"
from = "{before}"
bore = "80 mm"
length = "3 m"
[[riser.pipe]]
name = "line {k} north"
from = "cross main {k}"
bore = "40 mm"
length = "{north} m"
[[riser.pipe]]
name = "line {k} south"
from = "cross main {k}"
bore = "40 mm"
length = "6 m"
"""
EQUAL = """
[[riser.pipe]]
name = "sprigs"
from = "line 4 north"
bore = "25 mm"
length = "1 m"
count = 7
[[riser.sample]]
name = "far sample"
at = "line 2 south"
distance = "3 m"
"""
#: Corners of the paths of a pipe's cells, and of its wall.
LINES = """(() => {
  const map = document.querySelector('.riser-map'), ends = (d) => d.split('M').slice(1).map(p => p.split('L').map(q => q.split(' ').map(Number)));
  const found = {};
  for (const pipe of map.querySelectorAll('.pipe')) {
    const cells = [...pipe.querySelectorAll('.cell')].map(c => ends(c.getAttribute('d')));
    const name = pipe.querySelector('title').textContent.split(',')[0];
    found[name] = cells[0].map((line, k) => [...line[0], ...cells[cells.length - 1][k][1]]);
  }
  return found;
})()"""


@pytest.fixture
def tree(write, tmp_path):
    path = tmp_path / "tree.toml"
    head, vent = SMALL.split('[[riser.pipe]]\nname    = "far"')[0], "[[riser.vent]]"
    befores = ["main", "cross main 1", "cross main 2", "cross main 3"]
    pipes = "".join(MAIN.format(k=k, before=before, north=4 + k) for k, before in enumerate(befores, 1))
    tail = vent + SMALL.split(vent)[1].replace('at       = "far"', 'at = "line 4 south"')
    path.write_text(head + pipes + EQUAL + tail)
    return write("predict", path, "--skip-extras")


def long(line):
    x0, y0, x1, y1 = line
    return abs(x1 - x0) + abs(y1 - y0)


@pytest.mark.parametrize("width", [1280, 390])
def test_branch_lines_stand_at_right_angles_at_their_taps_and_to_scale(browser, tree, width):
    page = browser.open(tree, width=width)
    lines = page.evaluate(LINES)
    mains = [lines[f"cross main {k}"][0] for k in range(1, 5)]
    assert all(y0 == y1 == mains[0][1] for _, y0, _, y1 in mains)
    scale = long(mains[1]) / 3.0
    for k in range(1, 5):
        tap, level = mains[k - 1][2] if k < 4 else mains[2][2] + long(mains[1]), mains[0][1]
        (north,), (south,) = lines[f"line {k} north"], lines[f"line {k} south"]
        for x0, _, x1, _ in (north, south):
            assert x0 == x1 == pytest.approx(tap, abs=1)
        assert (north[3] - level) * (south[3] - level) < 0  # to both sides
        elbow = 4 if k == 4 else 1  # a line that others leave at its end is drawn to their far wall
        assert abs(north[3] - level) == pytest.approx((4 + k) * scale, rel=0.02, abs=elbow)
        assert abs(south[3] - level) == pytest.approx(6 * scale, rel=0.02, abs=1)
    quiet(page)


def test_equal_lines_are_drawn_side_by_side_with_their_number(browser, tree):
    page = browser.open(tree)
    lines = page.evaluate(LINES)["sprigs"]
    assert len(lines) in (6, 7) and len({tuple(line) for line in lines}) == len(lines)
    assert "×7" in page.evaluate("document.querySelector('.riser-map .texts').textContent")
    assert "7 equal" in page.evaluate("[...document.querySelectorAll('.riser-map .pipe title')].map(t => t.textContent).join(';')")


def test_a_sampling_point_says_what_an_analyser_reads_there(browser, tree):
    page = browser.open(tree)
    last = page.evaluate("oxfadeReport.runs[0].times.length") - 1
    go_to(page, last)
    title = page.evaluate("document.querySelector('.riser-map .sample title').textContent")
    assert title.startswith("far sample: reads ") and title.endswith(" nitrogen")
