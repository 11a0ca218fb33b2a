"""Water at low points on a report: what the map, the plots and the tables say of it at every moment."""

import json
import re

import pytest
from pages import CELL_COLOURS, Course, go_to, percent, quiet, table

DAY = 86400.0


@pytest.fixture
def rig(write, scenarios):
    """The training rig: a dip before the far vent, drained on day 5."""
    return write("predict", scenarios / "training_rig.toml")


def row_at(page, time_s):
    """The first recorded moment that is not before a time."""
    return page.evaluate(f"oxfadeReport.runs[0].times.findIndex(t => t >= {time_s})")


def signs(page, kind):
    """States of the signs on the map: what passes a low point, or how a vent stands."""
    found = page.evaluate(f"[...document.querySelectorAll('.riser-map .{kind}')].map(sign => sign.getAttribute('class'))")
    return [int(re.search(r"is-(\d)", name).group(1)) for name in found]


def pressure(text):
    """Pascals of a gauge pressure in psig."""
    return 101325.0 + float(text.removesuffix(" psig")) * 6894.757293168


def test_a_dip_is_closed_before_it_is_drained_and_open_after(browser, rig, oxfade, scenarios):
    course = Course(oxfade("predict", scenarios / "training_rig.toml", "--csv", "-").stdout)
    result = json.loads(oxfade("predict", scenarios / "training_rig.toml", "--json", "-").stdout)
    dip = result["risers"][0]["low_points"][0]
    assert dip["drained_s"] == 5 * DAY and not dip["closed_at_end"]
    page = browser.open(rig)
    places = list(course.oxygen)
    behind = [place[1] for place in places].index("far line")
    for day in (0.5, 2, 4.9, 5.1, 8):
        row = row_at(page, day * DAY)
        go_to(page, row)
        time_s = page.evaluate(f"oxfadeReport.runs[0].times[{row}]")
        (line,) = table(page, "low-points")
        assert line[:2] == ["transparent dip", "Rig"]
        title = page.evaluate("document.querySelector('.riser-map .map > title').textContent")
        before, after = (course.at(course.pressure[place], time_s) for place in (places[0], places[behind]))
        assert pressure(line[4]) == pytest.approx(before, abs=400)
        assert pressure(line[5]) == pytest.approx(after, abs=400)
        assert float(line[6].removesuffix(" psi")) * 6894.76 == pytest.approx(before - after, abs=15)
        if day < 5:
            (state,) = signs(page, "low")
            assert line[2] == {1: "closed by water, gas bubbles through", 2: "closed by water"}[state]
            assert signs(page, "vent") == [1, 2]  # the far one is shut by water in its liquid stop
            assert f"transparent dip: {line[2]}, 0.47 gal of water" in title
            assert before - after > 1500
        else:
            assert line[2:4] == ["open", "0 gal"] and signs(page, "low") == [0]
            assert signs(page, "vent") == [1, 1]
            assert "transparent dip: open" in title
            assert before - after == pytest.approx(0, abs=1)
        shown = page.evaluate("document.querySelector('.map .texts').textContent")
        assert f"transparent dip: {line[2]}" in shown
    quiet(page)
    page.close()


def test_the_leg_behind_the_dip_lags_and_follows(browser, rig, oxfade, scenarios):
    course = Course(oxfade("predict", scenarios / "training_rig.toml", "--csv", "-").stdout)
    page = browser.open(rig)
    places = list(course.oxygen)
    near, far = (max(k for k, place in enumerate(places) if place[1] == name) for name in ("near line", "far line"))
    for day, near_clean, far_clean in ((4.9, True, False), (5.2, True, True)):
        row = row_at(page, day * DAY)
        go_to(page, row)
        time_s = page.evaluate(f"oxfadeReport.runs[0].times[{row}]")
        expected = [course.at(course.oxygen[place], time_s) for place in places]
        assert (expected[near] < 0.025, expected[far] < 0.025) == (near_clean, far_clean)
        wanted = page.evaluate(f"{json.dumps(expected)}.map(oxygen => oxfadeReport.oxygenScale.colour(oxygen))")
        for shown, colour in zip(page.evaluate(CELL_COLOURS), wanted):
            assert all(abs(int(a) - int(b)) <= 6 for a, b in zip(re.findall(r"\d+", shown), re.findall(r"\d+", colour)))
        done = page.evaluate("[...document.querySelectorAll('.riser-map .done')].map(line => line.getAttribute('visibility'))")
        assert [mark == "visible" for mark in done] == [oxygen <= 0.025 for oxygen in expected]
        assert percent(table(page, "moment-table")[0][3]) == pytest.approx(max(expected), rel=0.004)
    quiet(page)
    page.close()


def test_plots_show_both_sides_of_the_water(browser, rig):
    page = browser.open(rig)
    page.evaluate("oxfadeReport.panels.forEach(panel => panel.ready || panel.build())")
    legend = "oxfadeReport.panels.find(p => p.name() === '{}').legend.textContent"
    for day in (3, 6):
        go_to(page, row_at(page, day * DAY))
        page.settle()
        (line,) = table(page, "low-points")
        sides = page.evaluate(legend.format("Pressure in Rig"))
        assert f"where gas enters {line[4]}" in sides and f"behind transparent dip {line[5]}" in sides
        assert line[6] in page.evaluate(legend.format("Pressure held by water in Rig"))
    last = page.evaluate("oxfadeReport.runs[0].result.risers[0].low_points[0].pressure_behind_pa")
    shown = page.evaluate("(() => { const r = oxfadeReport.runs[0]; return r.pressureAt(r.times.length - 1, r.cells.length - 1); })()")
    assert shown == pytest.approx(last, rel=1e-6)
    page.evaluate("document.getElementById('parts').open = true")
    page.evaluate("document.getElementById('vents').open = true")
    page.settle()
    for cell in table(page, "compartments"):
        assert cell[7] == (line[5] if cell[1] == "far line" else line[4])
    assert [vent[:3] for vent in table(page, "vents")] == [["near vent", "Rig", "open"], ["far vent", "Rig", "open"]]
    quiet(page)
    page.close()


def test_sign_and_table_say_the_same_at_every_moment(browser, rig):
    page = browser.open(rig)
    words = ["open", "closed by water, gas bubbles through", "closed by water"]
    seen = []
    for row in range(0, page.evaluate("oxfadeReport.runs[0].times.length"), 9):
        go_to(page, row)
        (line,), (state,) = table(page, "low-points"), signs(page, "low")
        assert line[2] == words[state]
        if seen[-1:] != [state]:
            seen.append(state)
    assert seen == [2, 1, 0]  # what the leaks behind it take bubbles through until it is drained
    quiet(page)
    page.close()


def test_what_is_done_on_dates_is_marked_and_listed(browser, rig):
    page = browser.open(rig)
    assert table(page, "dates") == [["1", "day 5.00", "'transparent dip' of Rig drained"]]
    flag, label = page.evaluate(
        "[document.querySelector('.timeline .flag-number').textContent, document.querySelector('.timeline line.date title').textContent]"
    )
    assert flag == "1" and label == "1: 'transparent dip' of Rig drained, day 5.00"
    assert page.evaluate("document.querySelector('.clock .dates').textContent") == "▾1"
    at, ends = page.evaluate(
        "[Number(document.querySelector('.timeline line.date').getAttribute('x1')),"
        " [...document.querySelectorAll('.timeline .grid')].map(line => Number(line.getAttribute('x1')))]"
    )
    assert at == pytest.approx((ends[0] + ends[-1]) / 2)
    quiet(page)
    page.close()


DATES = """
[[action]]
at = "1 d"
do = "trip"
riser = "Loft, west"
for = "2 h"
[[action]]
at = "2 d"
do = "shut"
riser = "Loft, west"
what = "end vent"
[[action]]
at = "3 d"
do = "open"
riser = "Loft, west"
what = "end vent"
[[action]]
at = "3.5 d"
do = "set"
key = "riser.Loft, west.set_pressure"
value = "1.5 barg"
"""


def test_trips_and_valves_are_seen_on_the_line_on_the_map_and_in_tables(browser, small, write):
    small.write_text(small.read_text() + DATES)
    page = browser.open(write("predict", small))
    page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true; })")
    page.settle()
    assert [line[1:] for line in table(page, "dates")] == [
        ["day 1.00", "Loft, west trips, open for 2 h"],
        ["day 2.00", "'end vent' of Loft, west shut"],
        ["day 3.00", "'end vent' of Loft, west opened"],
        ["day 3.50", "riser.Loft, west.set_pressure set to 1.5 barg"],
    ]
    result = page.evaluate("oxfadeReport.runs[0].result")
    (riser,) = result["risers"]
    assert len(riser["refills_s"]) == 1
    assert page.evaluate("document.querySelectorAll('.line-of-time > div line.filled').length") == 2
    assert page.evaluate("document.querySelectorAll('.line-of-time > div rect.at').length") == len(riser["at_target_s"])
    stretches = table(page, "stretches")
    assert len(stretches) == len(result["stretches"]) == 5
    for line, stretch in zip(stretches, result["stretches"]):
        assert percent(line[4]) == pytest.approx(stretch["risers"][0]["oxygen_end"], rel=0.01, abs=1e-4)
    for day, state in ((0.8, 1), (1.05, 0), (1.5, 1), (2.5, 0), (3.2, 1)):
        go_to(page, row_at(page, day * DAY))
        assert signs(page, "vent") == [state], day
    go_to(page, row_at(page, 1.04 * DAY))
    assert table(page, "moment-table")[0][1] == "0.00 bar(g)"
    quiet(page)
    page.close()
