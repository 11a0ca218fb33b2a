import matplotlib.pyplot as plt
import numpy as np
import pytest
from conftest import VENT

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


def test_colours_differ_for_colour_blind_readers():
    """Pairs stay apart in lightness or in the blue-yellow direction, which all but very few people see."""
    rgb = np.array([[int(c[k : k + 2], 16) / 255 for k in (1, 3, 5)] for c in plots.COLOURS])
    light = rgb @ [0.2126, 0.7152, 0.0722]
    yellow = rgb[:, :2].mean(axis=1) - rgb[:, 2]
    for i in range(len(rgb)):
        for j in range(i):
            assert np.hypot(light[i] - light[j], yellow[i] - yellow[j]) > 0.1, (plots.COLOURS[i], plots.COLOURS[j])
