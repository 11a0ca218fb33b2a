"""Plots of runs and ensembles, in colours that colour-blind readers can tell apart (Okabe and Ito, 2008)."""

from __future__ import annotations

import functools
from typing import TYPE_CHECKING, Any, Dict, Iterable, List, Optional, Sequence, Tuple

import numpy as np

from .errors import input_error

if TYPE_CHECKING:
    from . import _core
    from .ensembles import Ensemble

#: Line colours in the order they are taken.
COLOURS = ("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#56B4E9", "#E69F00")
INK = "#22313A"
FAINT = "#8A979E"
GOAL = "#7A4B00"

LOOK: Dict[str, Any] = {
    "font.size": 10.0,
    "text.color": INK,
    "axes.edgecolor": FAINT,
    "axes.labelcolor": INK,
    "axes.titlecolor": INK,
    "axes.titlesize": 11.0,
    "axes.titleweight": "bold",
    "axes.titlelocation": "left",
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.grid": True,
    "axes.axisbelow": True,
    "grid.color": "#E4E9EB",
    "grid.linewidth": 0.8,
    "xtick.color": INK,
    "ytick.color": INK,
    "lines.linewidth": 1.8,
    "figure.facecolor": "white",
    "figure.dpi": 100,
    "savefig.dpi": 100,
}


def look() -> Any:
    """The look of these plots, for figures of your own: ``with oxfade.plots.look(): ...``

    Returns
    -------
    context manager

    Raises
    ------
    ImportError
        Where matplotlib is not installed.
    """
    import matplotlib
    from cycler import cycler

    return matplotlib.rc_context({**LOOK, "axes.prop_cycle": cycler(color=COLOURS)})


def time_axis(duration_s: float) -> Tuple[float, str]:
    """What to divide times by for an axis people read, and its label.

    Parameters
    ----------
    duration_s : float
        Length of the axis [s].

    Returns
    -------
    tuple of float and str
        Seconds per unit [s], and 'hours' or 'days' in words.

    Raises
    ------
    Nothing.
    """
    if duration_s < 3.0 * 86400.0:
        return 3600.0, "hours since the fill began"
    return 86400.0, "days since the fill began"


def plot_run(run: _core.Run, *, riser: Optional[str] = None, ax: Any = None) -> Any:
    """Oxygen against time: the far end of every pipe, the average by volume, and the target.

    Of many pipes those stand out that say most: the last to reach the target, and what is read at vents and
    sampling points.

    Parameters
    ----------
    run : Run
    riser : str, optional
        This riser alone; all, one panel each, by default.
    ax : matplotlib.axes.Axes, optional
        Draw into these; needs `riser` where the plant has several.

    Returns
    -------
    matplotlib.figure.Figure

    Raises
    ------
    InputError
        For an unknown riser, one Axes for several risers, or a run without history.
    ImportError
        Where matplotlib is not installed.
    """
    risers = [run.riser(riser)] if riser is not None else list(run.risers)
    if ax is not None and len(risers) != 1:
        raise input_error("ax", None, "one Axes cannot show several risers", "give `riser` too")
    if len(run.history.times_s) == 0:
        raise input_error("run", None, "has no history to draw", "predict with history_points > 0")
    with look():
        figure, panels = _panels(ax, len(risers))
        for panel, shown in zip(panels, risers):
            _draw_riser(panel, run, shown)
        if ax is None:
            figure.suptitle(run.title, x=0.01, ha="left", fontsize=12)
    return shown_once(figure)


def plot_profile(run: _core.Run, times_s: Iterable[float], *, riser: Optional[str] = None, ax: Any = None) -> Any:
    """Oxygen along the piping, compartment by compartment, at some moments.

    Parameters
    ----------
    run : Run
    times_s : iterable of float
        Moments [s]: the nearest of the history are shown.
    riser : str, optional
        The riser; the first by default.
    ax : matplotlib.axes.Axes, optional
        Draw into these.

    Returns
    -------
    matplotlib.figure.Figure

    Raises
    ------
    InputError
        For an unknown riser or a run without history.
    ImportError
        Where matplotlib is not installed.
    """
    shown = run.riser(riser) if riser is not None else run.risers[0]
    if len(run.history.times_s) == 0:
        raise input_error("run", None, "has no history to draw", "predict with history_points > 0")
    with look():
        figure, panels = _panels(ax, 1)
        _draw_profile(panels[0], run, shown, list(times_s))
    return shown_once(figure)


def plot_ensemble(ensemble: Ensemble, *, ax: Any = None, shares: Sequence[float] = (0.1, 0.5, 0.9)) -> Any:
    """The share of cases that are on target by a time.

    Parameters
    ----------
    ensemble : Ensemble
    ax : matplotlib.axes.Axes, optional
        Draw into these.
    shares : sequence of float
        Shares [1] whose times are written beside the curve.

    Returns
    -------
    matplotlib.figure.Figure

    Raises
    ------
    ImportError
        Where matplotlib is not installed.
    """
    with look():
        figure, panels = _panels(ax, 1)
        _draw_shares(panels[0], ensemble, shares)
    return shown_once(figure)


def shown_once(figure: Any) -> Any:
    """Keep a notebook from showing a figure twice: as the value of a cell, and as a figure left open.

    Parameters
    ----------
    figure : matplotlib.figure.Figure

    Returns
    -------
    matplotlib.figure.Figure
        The same.

    Raises
    ------
    Nothing.
    """
    figure._ipython_display_ = functools.partial(_display, figure)
    return figure


def say_inside(ax: Any, text: str) -> None:
    """Write in the middle of axes that have nothing to draw why that is so.

    Parameters
    ----------
    ax : matplotlib.axes.Axes
    text : str

    Returns
    -------
    None

    Raises
    ------
    Nothing.
    """
    ax.text(0.5, 0.5, text, transform=ax.transAxes, ha="center", va="center", color=INK, wrap=True)
    ax.grid(False)


def _display(figure: Any) -> None:
    """What a notebook calls for the value of a cell: nothing to do where pyplot shows the figure anyway."""
    import matplotlib
    import matplotlib.pyplot as plt

    number = getattr(figure, "number", None)
    if "inline" not in matplotlib.get_backend() or number is None or not plt.fignum_exists(number):
        raise NotImplementedError  # shown as any other figure


# --- panels -----------------------------------------------------------------------------------------------


def _panels(ax: Any, count: int) -> Tuple[Any, List[Any]]:
    if ax is not None:
        return ax.figure, [ax]
    import matplotlib.pyplot as plt

    figure, grid = plt.subplots(count, 1, figsize=(8.0, 0.6 + 3.2 * count), squeeze=False, layout="constrained")
    return figure, list(grid[:, 0])


def _columns(run: _core.Run, riser: str, pipe: str) -> List[int]:
    return [k for k, (r, p, _) in enumerate(run.history.compartments) if (r, p) == (riser, pipe)]


def _draw_riser(ax: Any, run: _core.Run, riser: Any) -> None:
    unit, label = time_axis(run.duration_s)
    times = run.history.times_s / unit
    oxygen = 100.0 * run.history.oxygen
    average = 100.0 * average_oxygen(run, riser.name)
    ax.plot(times, average, color=INK, dashes=(1.5, 1.5))
    few = len(riser.pipes) <= len(COLOURS)
    ends = (_draw_each if few else _draw_most_telling)(ax, times, oxygen, run, riser)
    ends.append((average[-1], "average", INK))
    goal = 100.0 * (1.0 - run.target)
    ax.axhline(goal, color=GOAL, linewidth=1.2, dashes=(5, 3))
    _label_goal(ax, goal, f"target {100.0 * run.target:.4g} % nitrogen")
    if riser.time_to_target_s is not None:
        ax.axvline(riser.time_to_target_s / unit, color=GOAL, linewidth=1.2, dashes=(1, 2))
    ax.set(xlim=(0.0, run.duration_s / unit), xlabel=label, ylabel="oxygen in the dry gas, %")
    columns = [k for k, (r, _, _) in enumerate(run.history.compartments) if r == riser.name]
    _log_percent(ax, oxygen[:, columns], goal)
    _label_ends(ax, times[-1], ends)
    ax.set_title(f"{riser.name}: {_verdict(riser, unit)}")


def average_oxygen(run: _core.Run, riser: str) -> Any:
    """The average of a riser's gas over time, cells counted by their volume and pressure.

    Parameters
    ----------
    run : Run
    riser : str
        Its name.

    Returns
    -------
    numpy.ndarray
        Mole fraction of oxygen [1], one for each time of the history.

    Raises
    ------
    InputError
        For an unknown riser.
    """
    columns, volumes = [], []
    for pipe in run.riser(riser).pipes:
        columns += _columns(run, riser, pipe.name)
        whole = run.plant.riser(riser).pipe(pipe.name).volume_m3 * pipe.copies
        volumes += list(whole * np.diff(pipe.cell_ends, prepend=0.0))
    gas = run.history.compartment_pressure_pa[:, columns] * np.array(volumes)
    return (run.history.oxygen[:, columns] * gas).sum(axis=1) / gas.sum(axis=1)


def _draw_each(ax: Any, times: Any, oxygen: Any, run: _core.Run, riser: Any) -> List[Tuple[float, str, str]]:
    ends = []
    for pipe, colour in zip(riser.pipes, COLOURS):
        far = oxygen[:, _columns(run, riser.name, pipe.name)[-1]]
        ax.plot(times, far, color=colour)
        ends.append((far[-1], f"{pipe.name} end", colour))
    return ends


def _draw_most_telling(ax: Any, times: Any, oxygen: Any, run: _core.Run, riser: Any) -> List[Tuple[float, str, str]]:
    for pipe in riser.pipes:
        ax.plot(times, oxygen[:, _columns(run, riser.name, pipe.name)[-1]], color="#C3CCD0", linewidth=0.8)
    told = [(_columns(run, riser.name, riser.limiting_pipe)[riser.limiting_cell - 1], f"worst: {riser.limiting_pipe}", "-")]
    never = float("inf")
    latest = sorted(riser.readings, key=lambda r: never if r.time_to_target_s is None else r.time_to_target_s)
    shown = riser.readings if len(latest) < 4 else latest[-1:]
    told += [(_columns(run, riser.name, r.pipe)[r.cell - 1], r.name, "--") for r in shown]
    ends = []
    for (column, name, style), colour in zip(told, COLOURS[1:] + COLOURS[:1]):
        ax.plot(times, oxygen[:, column], style, color=colour)
        ends.append((oxygen[-1, column], name, colour))
    return ends


def _verdict(riser: Any, unit: float) -> str:
    word = "h" if unit == 3600.0 else "days"
    if riser.time_to_target_s is None:
        return f"not on target at the end ({riser.not_met_because})"
    return f"on target after {riser.time_to_target_s / unit:.3g} {word}, last in '{riser.limiting_pipe}'"


def _log_percent(ax: Any, oxygen: Any, goal: float) -> None:
    from matplotlib.ticker import FixedLocator, NullLocator, StrMethodFormatter

    least, most = max(min(float(oxygen.min()), goal), 0.005) * 0.8, 25.0
    ax.set_yscale("log")
    ax.set_ylim(least, most)
    steps = (1.0, 2.0, 5.0) if least < 1.0 else (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 7.0)
    ax.yaxis.set_major_locator(FixedLocator([m * 10.0**e for e in range(-3, 2) for m in steps]))
    ax.yaxis.set_minor_locator(NullLocator())
    ax.yaxis.set_major_formatter(StrMethodFormatter("{x:.3g}"))


def _label_goal(ax: Any, goal: float, text: str) -> None:
    place = ax.get_yaxis_transform()
    ax.annotate(text, (0.0, goal), (4, 3), place, textcoords="offset points", color=GOAL, fontsize=9, ha="left")


def plain_days(seconds: float) -> str:
    """A time as people say it: '30 h' or '4.2 days'.

    Parameters
    ----------
    seconds : float
        The time [s].

    Returns
    -------
    str

    Raises
    ------
    Nothing.
    """
    return f"{seconds / 3600.0:.3g} h" if seconds < 2.0 * 86400.0 else f"{seconds / 86400.0:.3g} days"


def _label_ends(ax: Any, x: float, ends: List[Tuple[float, str, str]]) -> None:
    """Names beside the lines' right ends, pushed apart where they would cover one another."""
    apart = max(0.055, 13.0 / (72.0 * 0.8 * _height(ax)))  # a line of text
    bottom, top = np.log10(ax.get_ylim())
    told = sorted(ends)
    places = [float((np.log10(max(value, 10.0**bottom)) - bottom) / (top - bottom)) for value, _, _ in told]
    for (_, text, colour), place in zip(told, _pushed_apart(places, apart)):
        ax.text(1.01, place, text, color=colour, fontsize=9, va="center", transform=ax.transAxes)


def _height(ax: Any) -> float:
    """Of the axes [in]."""
    return float(ax.get_position().height * ax.figure.get_figheight()) or 1.0


def _pushed_apart(places: List[float], apart: float) -> List[float]:
    """Rising places, moved as little as may be so that none is nearer than that to the next, nor above the top."""
    pushed: List[float] = []
    for place in places:
        pushed.append(max(place, pushed[-1] + apart) if pushed else place)
    limit = 1.0
    for k in reversed(range(len(pushed))):
        pushed[k] = min(pushed[k], limit)
        limit = pushed[k] - apart
    return pushed


def _draw_profile(ax: Any, run: _core.Run, riser: Any, times_s: List[float]) -> None:
    from matplotlib import colormaps

    columns = [k for pipe in riser.pipes for k in _columns(run, riser.name, pipe.name)]
    shades = colormaps["cividis"](np.linspace(0.0, 0.85, max(len(times_s), 1)))
    for time, shade in zip(times_s, shades):
        row = int(np.argmin(np.abs(run.history.times_s - time)))
        oxygen = 100.0 * run.history.oxygen[row, columns]
        ax.plot(range(1, len(columns) + 1), oxygen, "o-", color=shade, label=plain_days(run.history.times_s[row]))
    _mark_pipes(ax, riser)
    goal = 100.0 * (1.0 - run.target)
    ax.axhline(goal, color=GOAL, linewidth=1.2, dashes=(5, 3))
    ax.set(ylim=(0.0, 24.0), ylabel="oxygen in the dry gas, %", xlabel="compartments, pipe by pipe")
    ax.set_title(f"{riser.name}: oxygen along the piping")
    ax.legend(frameon=False, fontsize=9)


def _mark_pipes(ax: Any, riser: Any) -> None:
    begin = 0.5
    for pipe in riser.pipes:
        width = len(pipe.oxygen)
        ax.axvline(begin + width, color=FAINT, linewidth=0.8)
        upright = {"rotation": 90} if len(riser.pipes) > len(COLOURS) else {}
        ax.text(begin + width / 2, 23.6, pipe.name, ha="center", va="top", fontsize=9, color=INK, **upright)
        begin += width
    ax.set_xlim(0.5, begin)
    ax.grid(False, axis="x")


def _draw_shares(ax: Any, ensemble: Ensemble, shares: Sequence[float]) -> None:
    done = np.asarray(ensemble.done)
    times = np.sort(np.asarray(ensemble.time_to_target_s)[done], axis=None)  # NaN, never on target, comes last
    reached = int(np.isfinite(times).sum())
    unit, label = time_axis(float(times[reached - 1]) if reached else 0.0)
    share = 100.0 * np.arange(1, len(times) + 1) / max(len(times), 1)
    ax.plot(times / unit, share, drawstyle="steps-post", color=COLOURS[0])
    for wanted in shares:
        rank = max(int(np.ceil(wanted * len(times))) - 1, 0)
        if rank >= reached:
            continue
        at = times[rank] / unit
        ax.plot([at], [100.0 * wanted], "o", color=COLOURS[1])
        note = f"{100.0 * wanted:.0f} %: {at:.3g} {label.split()[0]}"
        ax.annotate(note, (at, 100.0 * wanted), (8, -4), textcoords="offset points", fontsize=9, color=COLOURS[1])
    ax.set(ylim=(0.0, 102.0), xlabel=label, ylabel="cases on target, %")
    if not reached:
        say_inside(ax, "no case is on target at its end")
    never = len(times) - reached
    ax.set_title(f"{len(times)} cases" + (f", {never} of them not on target at the end" if never else ""))
