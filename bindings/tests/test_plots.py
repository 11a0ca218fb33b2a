import pickle

import matplotlib.pyplot as plt
import numpy as np
import pytest
from conftest import SCENARIOS, VENT

import oxfade as ox
from oxfade import plots


@pytest.fixture(autouse=True)
def close_figures():
    yield
    plt.close("all")


def lines(ax):
    return [line for line in ax.get_lines() if len(line.get_xdata()) > 2]


def test_a_run_has_a_panel_for_each_riser(run):
    figure = run.plot()
    assert len(figure.axes) == 2
    store = figure.axes[0]
    average, drawn, *others = lines(store)
    assert len(others) + 1 == len(run.riser("Store").pipes)
    assert average.get_ydata()[-1] == pytest.approx(100 * run.riser("Store").average_oxygen, rel=1e-3)
    column = run.history.compartments.index(("Store", "feed", 2))
    assert drawn.get_ydata() == pytest.approx(100 * run.history.oxygen[:, column])
    assert drawn.get_xdata()[-1] == pytest.approx(7.0)
    words = " ".join(text.get_text() for text in store.texts) + " " + store.get_title(loc="left")
    assert "target 98 % nitrogen" in words and "far branches end" in words and "on target after" in words


def test_of_many_pipes_the_most_telling_stand_out(purged):
    """A row of branch lines has too many ends to name."""
    (ax,) = purged.plot().axes
    riser = purged.riser("Shed")
    assert len(riser.pipes) <= len(plots.COLOURS)
    (many,) = ox.predict(purged.plant.with_({"riser.Shed.branch_lines.lines.number": "8"})).plot().axes
    words = " ".join(text.get_text() for text in many.texts)
    assert "worst: lines" in words and "far end" in words and "end vent" in words and "average" in words
    assert len(many.texts) < len(ax.texts) + 3


def test_names_beside_lines_do_not_cover_one_another(run):
    for ax in run.plot().axes:
        places = sorted(t.get_position()[1] for t in ax.texts if t.get_text().endswith(" end"))
        assert np.diff(places).min() > 0.05


def test_into_axes_of_ones_own(run):
    figure, ax = plt.subplots()
    assert run.plot(riser="Dock", ax=ax) is figure
    with pytest.raises(ox.InputError, match="several risers"):
        run.plot(ax=ax)
    with pytest.raises(ox.InputError, match="did you mean `Dock`"):
        run.plot(riser="Duck")


def test_without_history_there_is_nothing_to_draw(cold_store):
    run = ox.predict(cold_store, history_points=0)
    with pytest.raises(ox.InputError, match="history_points"):
        run.plot()
    with pytest.raises(ox.InputError, match="history_points"):
        plots.plot_profile(run, [0.0])


def test_profile_shows_the_moments_asked_for(run):
    figure = plots.plot_profile(run, [3600.0, 20 * 3600.0], riser="Dock")
    first, second = lines(figure.axes[0])
    cells = sum(len(pipe.oxygen) for pipe in run.riser("Dock").pipes)
    assert len(first.get_xdata()) == cells
    assert (np.asarray(first.get_ydata()) > np.asarray(second.get_ydata())).all()


def test_ensemble_shares(cold_store):
    many = ox.ensemble(cold_store, {VENT + "_m": np.linspace(0.05e-3, 0.6e-3, 10)})
    figure = many.plot(shares=(0.5,))
    (curve,) = lines(figure.axes[0])
    missed = int(np.isnan(many.time_to_target_s).sum())
    assert missed > 0
    assert np.isfinite(curve.get_xdata()).sum() == 10 - missed
    assert f"{missed} of them not on target" in figure.axes[0].get_title(loc="left")


def boxes(figure, ax):
    figure.canvas.draw()
    texts = [text for text in ax.texts if text.get_text()]
    return [text.get_window_extent() for text in texts]


def test_little_change_leaves_ticks_and_names_to_read():
    """Air above the target all the time: a part of a decade, with names near one another."""
    run = ox.predict(ox.load(SCENARIOS / "warehouse_large_vents.toml"))
    figure = run.plot()
    for ax in figure.axes:
        low, high = ax.get_ylim()
        assert sum(low <= tick <= high for tick in ax.get_yticks()) >= 4
        assert low < 100.0 * (1.0 - run.target) < high
        found = boxes(figure, ax)
        assert not any(one.overlaps(other) for k, one in enumerate(found) for other in found[:k])
        assert all(box.y1 < figure.bbox.height and box.y0 > 0 for box in found)


def test_where_nothing_is_on_target_the_plot_says_so(cold_store):
    short = cold_store.with_(duration_s=6 * 3600.0)
    studies = {
        "ensemble": ox.ensemble(short, {VENT + "_m": [3e-4, 4e-4]}),
        "axis": ox.sweep(short, {VENT + "_m": [3e-4, 4e-4]}),
        "spread": ox.sweep(short, spread={VENT: "uniform(0.3 mm, 0.4 mm)"}, runs=8),
        "size": ox.size(short, ["0.3 mm"], flows_m3_per_s=[8e-4]),
    }
    for name, study in studies.items():
        (ax,) = study.plot().axes
        words = " ".join(text.get_text() for text in ax.texts)
        assert "no " in words and ("on target" in words or "meets" in words), name
    low, high = studies["axis"].plot(units="si").axes[0].get_xlim()
    assert low < 0.3 and 0.4 < high < 0.5


def test_plots_are_in_the_readers_units(cold_store):
    grid = ox.sweep(cold_store, {VENT + "_m": [4e-4, 5e-4], "riser.Store.leak.0.loss_pa": [5e3, 9e3]})
    us, si = grid.plot().axes[0], grid.plot(units="si").axes[0]
    assert us.get_xlabel().endswith("diameter, in") and si.get_xlabel().endswith("diameter, mm")
    assert "loss, psi" in us.get_legend().get_texts()[0].get_text()
    assert us.get_lines()[0].get_xdata() == pytest.approx(np.array([4e-4, 5e-4]) / 0.0254)
    sizing = ox.size(cold_store, ["0.3 mm", "0.4 mm"], flows_m3_per_s=[4e-4, 8e-4], by_s=3 * 86400.0)
    assert "ft³/h" in sizing.plot().axes[0].get_ylabel() and "L/min" in sizing.plot(units="si").axes[0].get_ylabel()
    both = ox.compare({"a": cold_store, "b": cold_store.with_({VENT: "0.02 in"})})
    assert "standard ft³" in " ".join(ax.get_title(loc="left") for ax in both.plot().axes)
    for study in (grid, sizing, both):
        with pytest.raises(ox.InputError, match="units.*imperial"):
            study.plot(units="imperial")


def test_studies_draw_into_axes_of_ones_own(cold_store):
    figure, (first, second) = plt.subplots(1, 2)
    both = ox.compare({"a": cold_store, "b": cold_store.with_({VENT: "0.02 in"})})
    assert both.plot(ax=first, measure="nitrogen_std_m3") is figure and "nitrogen" in first.get_title(loc="left")
    with pytest.raises(ox.InputError, match="measure.*there are: time_to_target_s"):
        both.plot(ax=first, measure="colour")
    spread = ox.sweep(cold_store, spread={VENT: "uniform(0.3 mm, 0.4 mm)", "target": "uniform(95 %, 97 %)"}, runs=16)
    assert spread.plot(ax=second) is figure and len(figure.axes) == 2 and second.get_lines()


def test_a_notebook_shows_a_figure_once(run, monkeypatch):
    """As the value of a cell nothing is shown of what pyplot shows anyway; later it is a figure as any other."""
    figure = run.plot(riser="Dock")
    with pytest.raises(NotImplementedError):
        figure._ipython_display_()
    monkeypatch.setattr("matplotlib.get_backend", lambda: "module://matplotlib_inline.backend_inline")
    assert figure._ipython_display_() is None
    _, ax = plt.subplots()
    assert run.plot(riser="Dock", ax=ax)._ipython_display_() is None
    plt.close("all")
    with pytest.raises(NotImplementedError):
        figure._ipython_display_()
    assert len(pickle.loads(pickle.dumps(figure)).axes) == 1


def test_colours_differ_for_colour_blind_readers():
    """Pairs stay apart in lightness or in the blue-yellow direction, which all but very few people see."""
    rgb = np.array([[int(c[k : k + 2], 16) / 255 for k in (1, 3, 5)] for c in plots.COLOURS])
    light = rgb @ [0.2126, 0.7152, 0.0722]
    yellow = rgb[:, :2].mean(axis=1) - rgb[:, 2]
    for i in range(len(rgb)):
        for j in range(i):
            assert np.hypot(light[i] - light[j], yellow[i] - yellow[j]) > 0.1, (plots.COLOURS[i], plots.COLOURS[j])
