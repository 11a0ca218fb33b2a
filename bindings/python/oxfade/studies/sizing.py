"""The smallest source and vents that do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Mapping, Optional, Sequence, Tuple, Union

from .. import _core
from .._given import listed, number, numbers, optional_number, plant_of
from .._progress import Progress, finish, teller
from .base import Study, document_of, texts_of
from .base import number as known

Lengths = Sequence[Union[str, float]]


@dataclass(frozen=True)
class Design:
    """A source with a drill for each riser, and how far it uses up each limit: 1 is the limit itself."""

    nitrogen_flow_std_m3_per_s: float  #: standard flow of product [m3/s]
    air_flow_std_m3_per_s: float  #: standard flow of air with the separator passed by [m3/s]
    drills_m: Mapping[str, Optional[float]]  #: diameter of every vent of a riser, by riser [m]; None for one without vents
    time_to_target_s: float  #: of the last riser [s]
    target_use: float  #: time to target over the time allowed [1]
    fill_use: float  #: slowest fill over its limit [1]
    separator_use: float  #: steady demand over what the separator makes [1]


@dataclass(frozen=True)
class Binding:
    """Why the next smaller source will not do."""

    limit: str  #: 'target', 'fill', 'separator', or 'none' when the smallest there is will do
    riser: str  #: where; empty for the separator
    next_smaller_std_m3_per_s: Optional[float]  #: its standard flow of product [m3/s]


@dataclass(frozen=True)
class TradeOff:
    """The best design for a deadline."""

    by_s: float  #: the deadline [s]
    design: Optional[Design]  #: None when no source of the list will do


@dataclass(frozen=True, repr=False, eq=False)
class Sizing(Study):
    """The smallest source, and for it the smallest vents, that keep every limit with the margin wanted."""

    by_s: float  #: when all have to be on target [s]
    margin: float  #: part of every limit that is kept free [1]
    design: Optional[Design]  #: None when nothing of the lists will do
    plant: Optional[_core.Plant]  #: the plant with that design
    binding: Binding  #: the limit that binds
    curve: Tuple[TradeOff, ...]  #: smallest source against the deadline
    runs: int  #: runs made for it [count]
    target_at: str  #: what has to read the target: 'everywhere', the 'average' or all 'readings'
    space_error_of_time_s: Optional[float]  #: how far the cutting into cells may still move the design's time [s]

    def to_dataframe(self) -> Any:
        """The trade-off curve.

        Returns
        -------
        pandas.DataFrame
            One row per deadline: by_s, the flows, the drill of each riser, and how far each limit is used up;
            NaN where nothing will do.

        Raises
        ------
        ImportError
            Where pandas is not installed.
        """
        import pandas

        risers = [riser for point in self.curve if point.design for riser in point.design.drills_m]
        names = ("nitrogen_flow_std_m3_per_s", "air_flow_std_m3_per_s", "time_to_target_s", "target_use", "fill_use", "separator_use")
        rows = []
        for point in self.curve:
            row = {"by_s": point.by_s, **{name: known(getattr(point.design, name, None)) for name in names}}
            drills = point.design.drills_m if point.design else {}
            rows.append({**row, **{f"drill_m {riser}": known(drills.get(riser)) for riser in risers}})
        return pandas.DataFrame(rows)

    def plot(self, *, ax: Any = None, units: Optional[str] = None) -> Any:
        """Draw the trade-off curve: how much source a deadline takes.

        Parameters
        ----------
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
        from ..study_plots import plot_sizing

        return plot_sizing(self, ax=ax, units=units)


def size(
    plant: _core.Plant,
    drills: Lengths,
    *,
    flows_m3_per_s: Sequence[float] = (),
    by_s: Optional[float] = None,
    margin: float = 0.1,
    deadlines_s: Sequence[float] = (),
    relative_tolerance: Optional[float] = None,
    progress: Progress = None,
) -> Sizing:
    """Find the smallest source and the smallest vents that meet the target in time.

    Every riser is on target by then, fills within its limit, and vents and leaks never ask more than the
    separator makes, each with the margin to spare.

    Parameters
    ----------
    plant : Plant
        With a generator; its air flow and power keep their proportion to the nitrogen flow.
    drills : sequence of str or float
        Vent diameters that can be had: texts with a unit (``"0.4 mm"``) or numbers [m].
    flows_m3_per_s : sequence of float
        Sources that can be had, by their standard nitrogen flow [m3/s]; from a sixteenth to four times the
        plant's own by default.
    by_s : float, optional
        When all have to be on target [s]; the plant's duration by default.
    margin : float
        Part of every limit to keep free [1], 0 to 0.9.
    deadlines_s : sequence of float
        Of the trade-off curve [s]; from 0.4 to 3 times `by_s` by default.
    relative_tolerance : float, optional
        Local error per step [1]; the plant's own by default.
    progress : callable or bar, optional
        Called now and then with the number of runs made, and 0 for how many it will be, which is not known
        before the end; then with that number twice. A function of one argument gets the first alone. A bar as
        tqdm makes them is kept up to date.

    Returns
    -------
    Sizing

    Raises
    ------
    InputError
        For empty lists, values out of range, or a plant whose source is no generator.

    Source
    ------
    Every run is that of `predict`.
    """
    diameters = [_core.quantity(d, "length") if isinstance(d, str) else number("drills", d) for d in listed("drills", drills)]
    told = teller(progress, both=True)
    raw = _core._size(
        plant_of(plant), diameters, numbers("flows_m3_per_s", flows_m3_per_s), numbers("deadlines_s", deadlines_s),
        optional_number("by_s", by_s), number("margin", margin), optional_number("relative_tolerance", relative_tolerance), told,
    )
    document = document_of(raw)
    finish(told, document["runs"])
    return Sizing(
        _texts=texts_of(raw),
        by_s=document["by_s"],
        margin=document["margin"],
        design=_design(document["design"]),
        plant=raw["plant"],
        binding=Binding(**document["binding"]),
        curve=tuple(TradeOff(point["by_s"], _design(point["design"])) for point in document["curve"]),
        runs=document["runs"],
        target_at=document["target_at"],
        space_error_of_time_s=document["space_error_of_time_s"],
    )


def _design(entry: Optional[Mapping[str, Any]]) -> Optional[Design]:
    if entry is None:
        return None
    drills = {drill["riser"]: drill["diameter_m"] for drill in entry["drills"]}
    return Design(drills_m=drills, **{name: value for name, value in entry.items() if name != "drills"})
