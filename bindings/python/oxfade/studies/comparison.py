"""Strategies side by side."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Dict, Mapping, Optional, Sequence, Tuple, Union

import numpy as np

from .. import _core
from .._given import listed, optional_number, plant_of
from .._progress import Progress, finish, teller
from ..errors import input_error
from .base import Study, document_of, messages_of, number, texts_of

#: What is compared, by the names of the arrays.
MEASURES = (
    "time_to_target_s",
    "longest_fill_s",
    "nitrogen_std_m3",
    "energy_kwh",
    "running_s",
    "starts",
    "oxygen_exposure",
)


@dataclass(frozen=True)
class Difference:
    """A value that is not the same in all plants."""

    key: str  #: dotted path in the scenario file
    values: Tuple[Union[float, str, None], ...]  #: one per plant, numbers in SI; None where it has no such key


@dataclass(frozen=True, repr=False, eq=False)
class Comparison(Study):
    """Plants side by side. Arrays have one entry a plant, NaN for what was not reached or is not known."""

    names: Tuple[str, ...]  #: of the plants
    target_at: Tuple[str, ...]  #: what has to read each target: 'everywhere', the 'average' or all 'readings'
    all_met: Any  #: Array of bool: target and fill limits on every riser
    target_met: Any  #: Array of bool: the target on every riser
    fills_met: Any  #: Array of bool: every fill limit
    time_to_target_s: Any  #: of the last riser [s]
    space_error_of_time_s: Any  #: how far the cutting into cells may still move that [s]
    longest_fill_s: Any  #: slowest fill of a riser [s]
    nitrogen_std_m3: Any  #: standard volume of product made or drawn [m3]
    energy_kwh: Any  #: electrical energy [kWh]
    running_s: Any  #: time the source's machine ran [s]
    starts: Any  #: starts of the machine [count]
    oxygen_exposure: Any  #: oxygen the steel saw, against the same piping full of air [1]
    best: Mapping[str, Optional[str]]  #: name of the best plant by array; None where another comes within 0.1 % of it
    differences: Tuple[Difference, ...]  #: of the inputs, titles apart
    messages: Tuple[Tuple[_core.Message, ...], ...]  #: findings of each run

    def to_dataframe(self) -> Any:
        """What came of each plant.

        Returns
        -------
        pandas.DataFrame
            One row per plant, indexed by name; units are in the names of the columns.

        Raises
        ------
        ImportError
            Where pandas is not installed.
        """
        import pandas

        columns = ("all_met", "target_met", "fills_met") + MEASURES
        return pandas.DataFrame({name: getattr(self, name) for name in columns}, index=list(self.names))

    def differences_frame(self) -> Any:
        """In what the plants differ.

        Returns
        -------
        pandas.DataFrame
            One row per key of the scenario file, one column per plant, numbers in SI.

        Raises
        ------
        ImportError
            Where pandas is not installed.
        """
        import pandas

        keys = [difference.key for difference in self.differences]
        rows = [difference.values for difference in self.differences]
        return pandas.DataFrame(rows, index=keys, columns=list(self.names), dtype=object)

    def plot(self, *, ax: Any = None, measure: str = "time_to_target_s", units: Optional[str] = None) -> Any:
        """Draw a panel for each measure, the best plant of each marked.

        Parameters
        ----------
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
        from ..study_plots import plot_comparison

        return plot_comparison(self, ax=ax, measure=measure, units=units)


def compare(
    plants: Union[Mapping[str, _core.Plant], Sequence[_core.Plant]],
    *,
    relative_tolerance: Optional[float] = None,
    progress: Progress = None,
) -> Comparison:
    """Run plants and set them side by side.

    Parameters
    ----------
    plants : mapping of str to Plant, or sequence of Plant
        Two or more; in a sequence they are called by their titles.
    relative_tolerance : float, optional
        Local error per step [1]; each plant's own by default.
    progress : callable or bar, optional
        Called now and then with the numbers of runs done and of all; at the end with all of them. A function of
        one argument gets the first alone. A bar as tqdm makes them is kept up to date.

    Returns
    -------
    Comparison

    Raises
    ------
    InputError
        For fewer than two plants, or two of one name.

    Source
    ------
    Oxygen exposure: time integral of its partial pressure over the piping, model.md section 11.
    """
    named = dict(plants) if isinstance(plants, Mapping) else _by_title(listed("plants", plants))
    if len(named) < 2:
        raise input_error("plants", len(named), "a comparison needs plants", "2 at least")
    chosen = [plant_of(plant, f"plants.{name}") for name, plant in named.items()]
    told = teller(progress, len(chosen), both=True)
    raw = _core._compare([str(name) for name in named], chosen, optional_number("relative_tolerance", relative_tolerance), told)
    finish(told)
    document = document_of(raw)
    strategies = document["strategies"]
    columns = {name: np.array([number(s[name]) for s in strategies]) for name in MEASURES}
    return Comparison(
        _texts=texts_of(raw),
        names=tuple(s["name"] for s in strategies),
        target_at=tuple(s["target_at"] for s in strategies),
        space_error_of_time_s=np.array([number(s["space_error_of_time_s"]) for s in strategies]),
        all_met=np.array([s["all_met"] for s in strategies]),
        target_met=np.array([s["target_met"] for s in strategies]),
        fills_met=np.array([s["fills_met"] for s in strategies]),
        best=dict(zip(MEASURES, document["best"].values())),
        differences=tuple(Difference(d["key"], tuple(d["values"])) for d in document["differences"]),
        messages=tuple(messages_of(s["messages"]) for s in strategies),
        **columns,
    )


def _by_title(plants: Sequence[_core.Plant]) -> Dict[str, _core.Plant]:
    named: Dict[str, _core.Plant] = {}
    for place, plant in enumerate(plants):
        title = plant_of(plant, "plants").title or f"plant {place + 1}"
        if title in named:
            raise input_error("plants", title, "there are two of this title", "give a mapping of names to plants")
        named[title] = plant
    return named
