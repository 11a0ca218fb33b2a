"""`--html`: one file that shows what the other outputs say, by mouse, keyboard and screen reader, and does no more."""

import csv
import io
import json
import re

import pytest
from conftest import STORE
from pages import CELL_COLOURS, Course, building, go_to, percent, quiet, table

HOSTILE = "</script><script>pwned=1</script><img src=x onerror=pwned=1>\"'`${pwned=1}&amp;@DATA@ \u2028 \u00e9"


@pytest.fixture
def cold_store(write):
    return write("predict", STORE)


@pytest.fixture(scope="module")
def fitted(oxfade, tmp_path_factory):
    """The page of a fit to what instruments show in the cold store while the dock's vent is half blocked."""
    fault = "riser.Dock.vent.end vent.diameter=0.008 in"
    text = oxfade("predict", STORE, "--set", fault, "--csv", "-").stdout
    rows = list(csv.DictReader(io.StringIO(text)))
    folder = tmp_path_factory.mktemp("fit")
    path = folder / "visit.csv"
    lines = ["time,riser,pipe,oxygen,pressure"]
    for day in (0.5, 1, 2, 3):
        for riser, pipe, cell in (("Dock", "branches", "4"), ("Store", "far branches", "4")):
            there = [row for row in rows if (row["riser"], row["pipe"], row["cell"]) == (riser, pipe, cell)]
            row = min(there, key=lambda row: abs(float(row["time_s"]) - day * 86400))
            lines.append(f"{row['time_s']} s,{riser},{pipe},{100 * float(row['oxygen'])} %,{row['pressure_pa']} Pa")
    path.write_text("\n".join(lines) + "\n")
    done = oxfade("fit", STORE, path, "--html", folder / "fit.html", "--quiet")
    assert done.returncode in (0, 1), done.stderr
    return folder / "fit.html"


def test_a_page_needs_nothing_but_itself(cold_store):
    text = cold_store.read_text(encoding="utf-8")
    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', text).group(1)
    assert "default-src 'none'" in policy and "unsafe" not in policy and "http" not in policy
    assert not re.search(r"<(link|img|iframe|object|embed|base|form)\b", text)
    assert not re.search(r"<[a-z]+ [^>]*\b(src|srcset)=", text)
    # A name of SVG's elements, and where uPlot's licence is from: neither is ever fetched.
    assert set(re.findall(r"https?://[\w./]+", text)) == {"http://www.w3.org/2000/svg", "https://github.com/leeoniya/uPlot"}
    assert "MET: the target is met in every part of the piping" in re.search(r"<noscript>.*</noscript>", text, re.S).group(0)
    assert len(text.encode()) < 1_000_000


def test_the_same_input_gives_the_same_bytes(cold_store, write):
    before = cold_store.read_bytes()
    assert write("predict", STORE).read_bytes() == before


def test_it_carries_what_json_says(cold_store, oxfade):
    text = re.search(r'id="data">(.*?)</script>', cold_store.read_text(encoding="utf-8"), re.S).group(1)
    data = json.loads(text)
    result = json.loads(oxfade("predict", STORE, "--json", "-").stdout)
    assert data["runs"][0]["result"] == result
    assert re.fullmatch("[0-9a-f]{16}", data["digest"])
    assert data["oxfade"] == result["oxfade"]
    assert "outside sources" in data["validation"]["summary"]
    inputs = {key: (us, si) for key, us, si in data["inputs"]}
    assert inputs["riser.Store.vent.end vent.diameter"] == ("0.016 in", "0.406 mm")
    assert inputs["source.receiver.stop"] == ("110 psig", "7.58 barg")


def test_another_input_has_another_digest(write):
    def digest(*more):
        return re.search(r'"digest":"(\w+)"', write("predict", STORE, *more).read_text()).group(1)

    assert digest() != digest("--set", "riser.Dock.vent.end vent.diameter=0.0121 in")


def test_map_plots_and_table_agree_with_the_series_at_every_moment(browser, cold_store, oxfade):
    course = Course(oxfade("predict", STORE, "--csv", "-").stdout)
    places = list(course.oxygen)
    page = browser.open(cold_store)
    page.evaluate("document.getElementById('parts').open = true")
    page.evaluate("document.querySelector('.panel').scrollIntoView()")
    page.wait("oxfadeReport.panels.slice(0, 4).every(panel => panel.plot)")
    last = page.evaluate("oxfadeReport.runs[0].times.length") - 1
    for row in (0, last // 6, last // 3, last // 2, 2 * last // 3, last):
        go_to(page, row)
        time_s = page.evaluate(f"oxfadeReport.runs[0].times[{row}]")
        coarse = 0.004 if time_s > 3600 else 0.06  # between the rows of the CSV, which straddle the fills
        parts = table(page, "compartments")
        assert [(part[0], part[1], part[2]) for part in parts] == places
        colours = page.evaluate(CELL_COLOURS)
        expected = [course.at(course.oxygen[place], time_s) for place in places]
        wanted = page.evaluate(f"{json.dumps(expected)}.map(oxygen => oxfadeReport.oxygenScale.colour(oxygen))")
        for part, colour, shown, oxygen in zip(parts, colours, wanted, expected):
            assert percent(part[3]) == pytest.approx(oxygen, rel=coarse, abs=6e-5 + coarse / 10)
            near = [int(n) for n in re.findall(r"\d+", shown)], [int(n) for n in re.findall(r"\d+", colour)]
            assert max(abs(a - b) for a, b in zip(*near)) <= (6 if time_s > 3600 else 20)
            assert (part[5] == "yes") == (oxygen <= 0.02) or abs(oxygen / 0.02 - 1) < coarse
        for line, riser in zip(table(page, "moment-table"), ("Store", "Dock")):
            worst = max(course.at(course.oxygen[place], time_s) for place in places if place[0] == riser)
            assert percent(line[3]) == pytest.approx(worst, rel=coarse, abs=6e-5 + coarse / 10)
            legend = page.evaluate(f"oxfadeReport.panels.find(p => p.name() === 'Oxygen in {riser}').legend.textContent")
            assert line[3] in legend
        day = time_s / 86400
        shift = page.evaluate("(() => { const p = oxfadeReport.panels[0]; return p.plot.posToVal(new DOMMatrix(getComputedStyle(p.now).transform).e, 'x'); })()")
        assert shift == pytest.approx(day, abs=0.02)
    result = json.loads(oxfade("predict", STORE, "--json", "-").stdout)
    finals = [oxygen for riser in result["risers"] for pipe in riser["final"]["pipes"] for oxygen in pipe["oxygen"]]
    shown = page.evaluate(f"oxfadeReport.runs[0].cells.map((_, i) => oxfadeReport.runs[0].oxygen.at({last}, i))")
    assert shown == pytest.approx(finals, rel=1e-5)
    quiet(page)
    page.close()


def test_play_moves_the_moment_and_the_map(browser, cold_store):
    page = browser.open(cold_store)
    page.evaluate("document.querySelector('.clock').scrollIntoView()")
    go_to(page, 0)
    before = page.evaluate(CELL_COLOURS)
    page.evaluate("document.querySelector('.play').click()")
    page.wait("oxfadeReport.state.row > 40")
    page.evaluate("document.querySelector('.play').click()")
    row = page.evaluate("oxfadeReport.state.row")
    page.settle()
    assert page.evaluate("oxfadeReport.state.row") == row
    assert page.evaluate("Number(document.getElementById('moment').value)") == row
    assert page.evaluate(CELL_COLOURS) != before
    quiet(page)
    page.close()


def test_all_of_it_works_by_keyboard(browser, cold_store):
    page = browser.open(cold_store)
    describe = ("(() => { const e = document.activeElement; if (e === document.body) return 'body';"
                " return e.id || e.getAttribute('aria-label') || e.textContent.slice(0, 40); })()")  # fmt: skip
    seen = []
    for _ in range(200):
        page.press("Tab")
        where = page.evaluate(describe)
        if where == "body" or (len(seen) > 10 and where == seen[0]):
            break
        seen.append(where)
        outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
        assert outline != "none", where
        if where == "moment":
            page.press("Home")
            page.press("ArrowRight")
            assert page.evaluate("oxfadeReport.state.row") == 1
    else:
        pytest.fail("the focus never comes round")
    controls = page.evaluate("[...document.querySelectorAll('button, select, input, summary, [tabindex=\"0\"], a[href]')]"
                             ".filter(e => e.checkVisibility() && e.tabIndex >= 0).length")  # fmt: skip
    assert len(seen) == controls
    for name in ("Play", "Print", "US", "SI", "log", "First day"):
        assert name in seen
    assert "moment" in seen and any(name.startswith("Oxygen in Store") for name in seen)
    quiet(page)
    page.close()


def test_a_plot_in_focus_takes_keys(browser, cold_store):
    page = browser.open(cold_store)
    page.evaluate("(() => { const p = document.querySelector('.panel'); p.scrollIntoView(); p.focus(); })()")
    page.wait("document.activeElement.panel.plot")
    page.press("Home")
    page.press("ArrowRight")
    page.press("ArrowRight")
    assert page.evaluate("oxfadeReport.state.row") == 2
    page.press("End")
    assert page.evaluate("oxfadeReport.state.row === oxfadeReport.runs[0].times.length - 1")
    quiet(page)
    page.close()


def test_zoom_is_shared_by_all_plots(browser, cold_store):
    page = browser.open(cold_store)
    page.evaluate("document.querySelector('.panel').scrollIntoView()")
    page.wait("oxfadeReport.panels.slice(0, 2).every(panel => panel.plot)")
    page.evaluate("[...document.querySelectorAll('.zoom button')].find(b => b.textContent === 'First day').click()")
    page.settle()
    ends = page.evaluate("oxfadeReport.panels.slice(0, 2).map(panel => panel.plot.scales.x.max)")
    assert ends == [1, 1]
    quiet(page)
    page.close()


def test_the_reader_chooses_the_units(browser, cold_store):
    page = browser.open(cold_store)
    assert "psig" in page.evaluate("document.querySelector('.moment-table').textContent")
    page.evaluate("[...document.querySelectorAll('.switch button')].find(b => b.textContent === 'SI').click()")
    text = page.evaluate("document.querySelector('main').textContent")
    assert "psig" not in re.sub("Key.*", "", text, flags=re.S) and "bar(g)" in text
    quiet(page)
    page.close()


def test_titles_and_names_cannot_inject_anything(browser, write, variant, tmp_path):
    path = variant('"Small loft"', json.dumps(HOSTILE))
    text = path.read_text().replace('"Loft, west"', json.dumps(HOSTILE)).replace('"end vent"', json.dumps("<svg onload=pwned=1>"))
    text = text.replace('"far"', json.dumps("'><b class=x>far</b>"))
    text += f"""[[riser.low_point]]
name = {json.dumps(HOSTILE)}
on = {json.dumps("'><b class=x>far</b>")}
water = "1 L"
rise = "20 cm"
[[action]]
at = "1 d"
do = "drain"
riser = {json.dumps(HOSTILE)}
what = {json.dumps(HOSTILE)}
"""
    path.write_text(text, encoding="utf-8")
    evil = tmp_path / "<img src=x onerror=pwned=1>.toml"
    evil.write_text(text, encoding="utf-8")
    page = browser.open(write("predict", evil))
    page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true; })")
    page.evaluate("oxfadeReport.panels.forEach(panel => panel.ready || panel.build())")
    page.settle()
    assert page.evaluate("typeof pwned") == "undefined"
    assert page.evaluate("document.querySelectorAll('img, b.x, script:not([id])').length") == 1
    assert page.evaluate("document.querySelector('h1').textContent") == HOSTILE
    assert page.evaluate("document.title").startswith("</script>")
    assert page.evaluate("document.querySelector('.moment-table tbody th').textContent") == HOSTILE
    assert table(page, "low-points")[0][:2] == [HOSTILE, HOSTILE]
    assert table(page, "dates")[0][2] == f"'{HOSTILE}' of {HOSTILE} drained"
    quiet(page)
    page.close()


def test_every_verb_has_its_page(browser, write, fitted, tmp_path):
    store, smaller = STORE, tmp_path / "smaller.toml"
    smaller.write_text(store.read_text().replace('"0.016 in"', '"0.012 in"'))
    pages = [
        write("compare", store, smaller),
        write("sweep", store, "--vary", "source.purity=98.2 %..99.5 %:3"),
        fitted,
        write("commission", store),
    ]
    for path in pages:
        for width, dark in ((1280, False), (390, True)):
            page = browser.open(path, width=width, dark=dark, mobile=width < 600)
            page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true; })")
            page.evaluate("oxfadeReport.panels.forEach(panel => panel.ready || panel.build())")
            page.settle()
            assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), path
            assert page.evaluate("document.querySelector('#study').textContent.length") > 200
            assert not re.search(r"undefined|NaN|\[object", page.evaluate("document.body.innerText")), path
            quiet(page)
            page.close()


def test_a_sweep_along_two_axes_is_a_field(browser, write, small):
    path = write("sweep", small, "--vary", "source.purity=96 %..99 %:3", "--vary", "riser.'Loft, west'.vent.'end vent'.diameter=0.4 mm..0.8 mm:2")
    page = browser.open(path)
    page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true; })")
    page.settle()
    field = table(page, "field")
    lines = page.evaluate("oxfadeReport.data.text.si.points")
    assert [row[0] for row in field] == ["96 %", "97.5 %", "99 %"]
    flat = [cell for row in field for cell in row[1:]]
    assert flat == [line[2].removesuffix(" d") for line in lines]
    shades = page.evaluate("[...document.querySelectorAll('.field tbody td')].map(c => getComputedStyle(c).backgroundColor.match(/\\d+/g).map(Number))")
    darkest = max(range(6), key=lambda k: float(flat[k]))
    assert min(range(6), key=lambda k: sum(shades[k])) == darkest
    quiet(page)
    page.close()


def test_a_sweep_with_spreads_shows_its_distribution(browser, write, small):
    path = write("sweep", small, "--runs", "60", "--spread", "source.purity=uniform(97 %, 99 %)",
                 "--spread", "riser.'Loft, west'.pipe.main.volume=uniform(700 L, 900 L)")  # fmt: skip
    page = browser.open(path)
    text = page.evaluate("document.querySelector('#study').innerText")
    assert "What matters most" in text and "source.purity" in text
    assert page.evaluate("document.querySelectorAll('.bars li').length") == 2
    quiet(page)
    page.close()


def test_readings_are_laid_over_the_curves(browser, fitted):
    page = browser.open(fitted)
    page.evaluate("document.querySelector('.plots').scrollIntoView()")
    page.wait("oxfadeReport.panels.slice(0, 2).every(panel => panel.plot)")
    points = page.evaluate("oxfadeReport.panels[2].make().lines.find(l => l.points && l.label.includes('branches')).values.filter(v => v !== null)")
    assert len(points) == 4
    assert points == sorted(points, reverse=True)
    quiet(page)
    page.close()


def test_a_large_building_stays_small_and_quick(browser, oxfade, tmp_path):
    plan = tmp_path / "large.toml"
    plan.write_text(building(risers=20, pipes=10, cells=5))
    path = tmp_path / "large.html"
    done = oxfade("predict", plan, "--html", path, "--quiet")
    assert done.returncode in (0, 1), done.stderr
    assert path.stat().st_size < 8_000_000
    page = browser.open(path)
    assert page.evaluate("document.querySelectorAll('.cell').length") == 1000
    go_to(page, 5)
    page.settle()
    ready = page.evaluate("oxfadeReport.ready")
    print(f"1 000 compartments: {path.stat().st_size} bytes, interactive {ready:.0f} ms after it was opened")
    assert page.evaluate("oxfadeReport.state.row") == 5
    quiet(page)
    page.close()


def test_it_prints(browser, cold_store, tmp_path):
    page = browser.open(cold_store)
    page.pdf(tmp_path / "report.pdf")
    pages = len(re.findall(rb"/Type\s*/Page\b", (tmp_path / "report.pdf").read_bytes()))
    assert 2 <= pages <= 14
    quiet(page)
    page.close()


def test_two_results_on_standard_output_are_refused(oxfade, small):
    done = oxfade("predict", small, "--json", "-", "--html", "-")
    assert done.returncode == 2
    assert "standard output cannot carry JSON and HTML at once" in done.stderr


def test_a_page_can_go_to_standard_output(oxfade, small):
    done = oxfade("predict", small, "--html", "-")
    assert done.stdout.startswith("<!doctype html>") and done.stdout.rstrip().endswith("</html>")


def test_a_folder_that_is_not_there_is_said_before_the_run(oxfade, small, tmp_path):
    done = oxfade("predict", small, "--html", tmp_path / "none" / "report.html")
    assert done.returncode == 2
    assert "none" in done.stderr
