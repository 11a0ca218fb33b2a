"""Plots of studies, in the look of `oxfade.plots`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, List, Optional, Tuple

import numpy as np

from .errors import input_error
from .plots import COLOURS, FAINT, GOAL, INK, look, plain_days, say_inside, shown_once
from .studies.base import system_of

if TYPE_CHECKING:
    from .studies import Comparison, Fit, Sizing, Sweep
    from .studies.base import Study

#: What is compared: the array, what to divide it by, and words for it.
PANELS = (
    ("time_to_target_s", 86400.0, "days to target"),
    ("longest_fill_s", 60.0, "slowest fill, minutes"),
    ("nitrogen_std_m3", 1.0, "nitrogen, standard m³"),
    ("energy_kwh", 1.0, "energy, kWh"),
    ("running_s", 3600.0, "machine, hours run"),
    ("starts", 1.0, "starts"),
    ("oxygen_exposure", 0.01, "oxygen seen by the steel, % of all air"),
)
#: The same in US units, where they differ.
US_PANELS = {"nitrogen_std_m3": (0.3048**3, "nitrogen, standard ft³")}
#: Words for what a fit estimates, and what a bar of it is measured in.
ESTIMATES = {
    "vent_coefficient": "vents of {}",
    "volume_m3": "volume of {}",
    "leak_area_m2": "leaks of {}",
    "product_oxygen": "oxygen of the source",
}


def in_us(study: Study, units: Optional[str]) -> bool:
    """Whether a study is drawn in US units.

    Parameters
    ----------
    study : Study
    units : str or None
        'si' or 'us'; the plant's own by default.

    Returns
    -------
    bool

    Raises
    ------
    InputError
        For another system of units.
    """
    return system_of(study._texts, units) == "us"


def plot_comparison(comparison: Comparison, *, ax: Any = None, measure: str = "time_to_target_s", units: Optional[str] = None) -> Any:
    """A panel of bars for each measure; the best plant of each is dark.

    Parameters
    ----------
    comparison : Comparison
    ax : matplotlib.axes.Axes, optional
        Draw one measure into these.
    measure : str
        Which, by the name of its array.
    units : str, optional
        'si' or 'us'; the plant's own by default.

    Returns
    -------
    matplotlib.figure.Figure

    Raises
    ------
    InputError
        For an unknown measure or system of units.
    ImportError
        Where matplotlib is not installed.
    """
    import matplotlib.pyplot as plt

    us = in_us(comparison, units)
    panels = [(name, *(US_PANELS.get(name, (unit, words)) if us else (unit, words))) for name, unit, words in PANELS]
    if ax is not None:
        chosen = {panel[0]: panel for panel in panels}
        if measure not in chosen:
            raise input_error("measure", repr(measure), "there is no such measure", "there are: " + ", ".join(chosen))
        name, unit, words = chosen[measure]
        with look():
            _bars(ax, comparison, name, unit)
            ax.set_title(words)
        return shown_once(ax.figure)
    known = [panel for panel in panels if np.isfinite(getattr(comparison, panel[0])).any()]
    rows = -(-len(known) // 2)
    height = 0.5 + rows * (0.75 + 0.26 * len(comparison.names))
    with look():
        figure, grid = plt.subplots(rows, 2, figsize=(9.0, height), squeeze=False, layout="constrained", sharey=True)
        for panel, (name, unit, words) in zip(grid.flat, known):
            _bars(panel, comparison, name, unit)
            panel.set_title(words)
        figure.suptitle("dark: the best, among those on target where any is", x=0.01, ha="left", fontsize=9)
        for left in list(grid.flat)[len(known) :]:
            left.set_axis_off()
    return shown_once(figure)


def plot_sweep(sweep: Sweep, *, ax: Any = None, units: Optional[str] = None) -> Any:
    """The time to target along an axis or its spread, and what matters most where that is known.

    Parameters
    ----------
    sweep : Sweep
    ax : matplotlib.axes.Axes, optional
        Draw the times into these, and leave out what matters most.
    units : str, optional
        'si' or 'us', for the values along the axes; the plant's own by default.

    Returns
    -------
    matplotlib.figure.Figure

    Raises
    ------
    InputError
        For a sweep along more than two axes, or another system of units.
    ImportError
        Where matplotlib is not installed.
    """
    import matplotlib.pyplot as plt

    if len(sweep.axes) > 2:
        raise input_error("sweep", len(sweep.axes), "more axes than a figure shows", "one or two")
    us = in_us(sweep, units)
    indices = sweep.indices if not sweep.axes and ax is None else None
    with look():
        if ax is None:
            panels = 2 if indices is not None else 1
            _, axes = plt.subplots(1, panels, figsize=(8.0 if panels == 1 else 11.0, 3.8), squeeze=False, layout="constrained")
            ax = axes[0, 0]
        if sweep.axes:
            _along(ax, sweep, us)
        else:
            _spread(ax, sweep)
        if indices is not None:
            _what_matters(axes[0, 1], indices)
    return shown_once(ax.figure)


def plot_sizing(sizing: Sizing, *, ax: Any = None, units: Optional[str] = None) -> Any:
    """How much source a deadline takes, with the drills that go with it.

    Parameters
    ----------
    sizing : Sizing
    ax : matplotlib.axes.Axes, optional
        Draw into these.
    units : str, optional
        'si' or 'us'; the plant's own by default.

    Returns
    -------
    matplotlib.figure.Figure

    Raises
    ------
    InputError
        For another system of units.
    ImportError
        Where matplotlib is not installed.
    """
    import matplotlib.pyplot as plt

    us = in_us(sizing, units)
    flow_unit, per_flow = ("ft³/h", 3600.0 / 0.3048**3) if us else ("L/min", 60e3)
    drill_unit, per_drill = ("in", 1.0 / 0.0254) if us else ("mm", 1e3)
    with look():
        if ax is None:
            _, ax = plt.subplots(figsize=(8.0, 4.0), layout="constrained")
        points = [(p.by_s / 86400.0, p.design) for p in sizing.curve if p.design]
        flows = [per_flow * d.nitrogen_flow_std_m3_per_s for _, d in points]
        ax.plot([day for day, _ in points], flows, "o-", color=COLOURS[0])
        for (day, design), flow in zip(points, flows):
            drills = " / ".join(f"{per_drill * drill:.3g}" for drill in design.drills_m.values() if drill is not None)
            ax.annotate(drills, (day, flow), (-2, 7), textcoords="offset points", fontsize=8, color=INK, rotation=50)
        if sizing.design:
            ax.plot([sizing.by_s / 86400.0], [per_flow * sizing.design.nitrogen_flow_std_m3_per_s], "o", color=COLOURS[1], markersize=9)
        for missed in [p.by_s / 86400.0 for p in sizing.curve if not p.design]:
            ax.axvline(missed, color=FAINT, linewidth=1.0, dashes=(1, 2))
        ax.set(xlabel="all on target by day (with the margin to spare)", ylabel=f"smallest source, {flow_unit} of nitrogen", ylim=(0.0, 1.3 * max(flows, default=1.0)))
        ax.set_title(_sizing_title(sizing, per_flow, flow_unit))
        if not points:
            ax.set(xlim=(0.0, None), yticks=[])
            say_inside(ax, "dotted: deadlines that no listed source and orifice meets")
        ax.text(0.99, 0.96, f"above the points: orifices, {drill_unit}" if points else "", transform=ax.transAxes, ha="right", va="top", fontsize=9, color=FAINT)
    return shown_once(ax.figure)


def plot_fit(fit: Fit, *, ax: Any = None) -> Any:
    """The odds of the explanations, and the estimates with their intervals.

    Parameters
    ----------
    fit : Fit
    ax : matplotlib.axes.Axes, optional
        Draw the odds into these, and leave out the estimates.

    Returns
    -------
    matplotlib.figure.Figure

    Raises
    ------
    ImportError
        Where matplotlib is not installed.
    """
    import matplotlib.pyplot as plt

    shown = [e for e in fit.explanations if not e.failure][:8]
    if ax is not None:
        with look():
            _odds(ax, fit, shown)
        return shown_once(ax.figure)
    with look():
        figure, (odds, data) = plt.subplots(1, 2, figsize=(12.0, 0.9 + 0.42 * max(len(shown), len(fit.estimates))), layout="constrained")
        _odds(odds, fit, shown)
        _estimates(data, fit)
    return shown_once(figure)


# --- comparison -------------------------------------------------------------------------------------------


def _bars(ax: Any, comparison: Comparison, name: str, unit: float) -> None:
    values = getattr(comparison, name) / unit
    places = range(len(values))
    colours = [COLOURS[0] if plant == comparison.best[name] else COLOURS[4] for plant in comparison.names]
    ax.barh(places, np.nan_to_num(values), color=colours, height=0.62)
    top = max(float(np.nanmax(values)), 1e-12)
    for place, value in zip(places, values):
        text = f"{value:.3g}" if value == value else "not reached"
        ax.text(0.0 if value != value else value + 0.01 * top, place, " " + text, va="center", fontsize=9, color=INK)
    ax.set(yticks=list(places), yticklabels=comparison.names, xlim=(0.0, 1.22 * top))
    ax.invert_yaxis() if not ax.yaxis_inverted() else None
    ax.grid(False, axis="y")


# --- sweep ------------------------------------------------------------------------------------------------


#: Units at the ends of attributes' names, longest first: they stand beside the name in words.
ENDS = ("_m3_per_s", "_mol_per_s", "_pa", "_m3", "_m", "_k", "_w", "_s")


def _short(key: str) -> str:
    """A key without the list it is in: 'Store, end vent, diameter'."""
    parts = [part.strip("'") for part in key.split(".")]
    ending = next((end for end in ENDS if parts[-1].endswith(end)), "")
    parts[-1] = parts[-1][: len(parts[-1]) - len(ending)]
    kept = [part for part in parts if part not in ("riser", "pipe", "vent", "leak")]
    return ", ".join(f"leak {part}" if part.isdigit() and "leak" in parts else part for part in kept) or key


#: How values of an axis are drawn: by unit, the unit drawn and what to divide by.
DRAWN = {"m": ("mm", 1e-3), "Pa": ("kPa", 1e3), "s": ("h", 3600.0), "m3/s": ("L/min", 1e-3 / 60.0), "m3": ("L", 1e-3), "": ("%", 0.01)}


#: The same in US units, where they differ.
DRAWN_US = {"m": ("in", 0.0254), "Pa": ("psi", 6894.757293168), "m3/s": ("ft³/h", 0.3048**3 / 3600.0), "m3": ("gal", 3.785411784e-3)}


def _drawn(sweep: Sweep, key: str, us: bool) -> Tuple[str, float, Any]:
    """Name with unit, what to divide by, and the values of an axis."""
    values = sweep.axes[key]
    drawn = {**DRAWN, **DRAWN_US} if us else DRAWN
    unit, scale = drawn.get(sweep.units[key], (sweep.units[key], 1.0))
    if sweep.units[key] == "m" and float(np.max(np.abs(values))) > 0.5:
        unit, scale = ("ft", 0.3048) if us else ("m", 1.0)
    if sweep.units[key] == "Pa" and not key.removesuffix("_pa").endswith("loss"):
        unit += " absolute"
    if key.endswith("coefficient"):
        unit, scale = sweep.units[key], 1.0
    return _short(key) + (f", {unit}" if unit else ""), scale, values / scale


def _along(ax: Any, sweep: Sweep, us: bool) -> None:
    keys = list(sweep.axes)
    name, _, x = _drawn(sweep, keys[0], us)
    other_name, _, others = _drawn(sweep, keys[1], us) if len(keys) == 2 else ("", 1.0, [None])
    for place, other in enumerate(others):
        colour = COLOURS[place % len(COLOURS)]
        low, middle, high = (
            (a if other is None else a[:, place]) / 86400.0
            for a in (sweep.p10_time_to_target_s, sweep.p50_time_to_target_s, sweep.p90_time_to_target_s)
        )
        label = None if other is None else f"{other_name}: {other:.4g}"
        ax.plot(x, middle, "o-", color=colour, label=label)
        if sweep.unknowns:
            ax.fill_between(x, low, high, color=colour, alpha=0.2, linewidth=0.0)
    reached = np.isfinite(sweep.time_to_target_s).any()
    if not reached:
        ax.set(xlim=_around(x))
        say_inside(ax, "no run is on target at its end")
    _goal(ax, sweep)
    ax.set(xlabel=name, ylabel="days to target", ylim=(0.0, None))
    ax.set_title("Half of the runs are on target by then; the band holds 80 %" if sweep.unknowns else "Days to target")
    if len(others) > 1 and reached:
        ax.legend(frameon=False, fontsize=9)


def _around(values: Any) -> Tuple[float, float]:
    """An axis that holds values with a little room."""
    low, high = float(np.min(values)), float(np.max(values))
    room = 0.05 * (high - low) or 0.05 * abs(high) or 1.0
    return low - room, high + room


def _goal(ax: Any, sweep: Sweep) -> None:
    top = ax.get_ylim()[1]
    if sweep.within_s / 86400.0 < 1.2 * top:
        ax.axhline(sweep.within_s / 86400.0, color=GOAL, linewidth=1.2, dashes=(5, 3))
        ax.annotate("wanted", (1.0, sweep.within_s / 86400.0), (-4, 3), ax.get_yaxis_transform(), textcoords="offset points", color=GOAL, fontsize=9, ha="right")


def _spread(ax: Any, sweep: Sweep) -> None:
    times = np.sort(sweep.time_to_target_s[sweep.error == ""]) / 86400.0
    share = 100.0 * np.arange(1, len(times) + 1) / max(len(times), 1)
    ax.plot(times, share, color=COLOURS[0])
    marks = ((10, sweep.p10_time_to_target_s), (50, sweep.p50_time_to_target_s), (90, sweep.p90_time_to_target_s))
    for percent, at in marks:
        if not np.isfinite(at):
            continue
        ax.plot([at / 86400.0], [percent], "o", color=COLOURS[1])
        ax.annotate(f"{percent} %: {plain_days(float(at))}", (at / 86400.0, percent), (8, -4), textcoords="offset points", fontsize=9, color=COLOURS[1])
    ax.set(ylim=(0.0, 102.0), xlabel="days to target", ylabel="runs on target, %")
    if not np.isfinite(times).any():
        say_inside(ax, "no run is on target at its end")
    ax.set_title(f"{len(times)} runs, {100.0 * float(sweep.share_within):.3g} % on target within {plain_days(sweep.within_s)}")


def _what_matters(ax: Any, indices: Any) -> None:
    order = np.argsort(indices.total)[::-1]
    places = np.arange(len(order))
    ax.barh(places - 0.19, indices.total[order], height=0.36, color=COLOURS[0], label="with its interplay with others", xerr=indices.total_error[order], ecolor=FAINT)
    ax.barh(places + 0.19, indices.first[order], height=0.36, color=COLOURS[4], label="by itself", xerr=indices.first_error[order], ecolor=FAINT)
    ax.set(yticks=places, yticklabels=[_short(indices.keys[k]) for k in order], xlim=(0.0, max(1.1, 1.05 * float(np.nanmax(indices.total + indices.total_error)))), xlabel="share of the spread it explains (Sobol)")
    ax.invert_yaxis()
    ax.grid(False, axis="y")
    ax.set_title("What matters most")
    ax.legend(frameon=False, fontsize=9, loc="lower right")


# --- sizing -----------------------------------------------------------------------------------------------


def _sizing_title(sizing: Sizing, per_flow: float, flow_unit: str) -> str:
    if sizing.design is None:
        return "No listed source and orifice meets the requirements"
    flow = per_flow * sizing.design.nitrogen_flow_std_m3_per_s
    limits = {"target": "time to target", "fill": "fill time", "separator": "separator", "none": ""}
    binds = limits[sizing.binding.limit]
    return f"By {plain_days(sizing.by_s)}: {flow:.3g} {flow_unit}" + (f"; what binds: the {binds}" if binds else "")


# --- fit --------------------------------------------------------------------------------------------------


def _odds(ax: Any, fit: Fit, shown: List[Any]) -> None:
    most = 1e6
    odds = np.minimum([e.odds_against for e in shown], most)
    places = np.arange(len(shown))
    colours = [COLOURS[1] if k < fit.not_told_apart else FAINT for k in places]
    ax.hlines(places, 1.0, odds, color=colours, linewidth=1.2)
    ax.scatter(odds, places, color=colours, zorder=3)
    ax.set(xscale="log", xlim=(0.7, 4.0 * most), yticks=places, yticklabels=[e.words for e in shown], xlabel="odds against it (to 1)")
    ax.invert_yaxis()
    ax.grid(False, axis="y")
    ax.set_title("Which explains the readings best" if fit.can_tell else "The readings do not tell these apart (red)")


def _estimates(ax: Any, fit: Fit) -> None:
    places = np.arange(len(fit.estimates))
    ratio = {name: np.array([getattr(e, name) / e.designed for e in fit.estimates]) for name in ("low", "value", "high")}
    ax.hlines(places, ratio["low"], ratio["high"], color=COLOURS[0], linewidth=3.0)
    ax.scatter(ratio["value"], places, color=COLOURS[0], zorder=3)
    ax.axvline(1.0, color=GOAL, linewidth=1.2, dashes=(5, 3))
    labels = [ESTIMATES[e.quantity].format(e.riser) for e in fit.estimates]
    ax.set(xscale="log", yticks=places, yticklabels=labels, xlabel="as found, in parts of what was given")
    _plain_ticks(ax, float(ratio["low"].min()), float(ratio["high"].max()))
    ax.invert_yaxis()
    ax.grid(False, axis="y")
    ax.set_title(f"{100.0 * fit.confidence:.3g} % intervals")


def _plain_ticks(ax: Any, low: float, high: float) -> None:
    from matplotlib.ticker import FixedLocator, NullLocator, StrMethodFormatter

    ticks = [m * 10.0**e for e in range(-4, 5) for m in (1, 2, 5)]
    if high / low < 4.0:
        ticks = [0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.4, 1.6, 2.0]
    ax.set_xlim(low / 1.1, high * 1.1)
    ax.xaxis.set_major_locator(FixedLocator([t for t in ticks if low / 1.1 <= t <= high * 1.1]))
    ax.xaxis.set_minor_locator(NullLocator())
    ax.xaxis.set_major_formatter(StrMethodFormatter("{x:.3g}"))
