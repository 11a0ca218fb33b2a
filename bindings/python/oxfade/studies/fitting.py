"""What field readings say of a plant."""

from __future__ import annotations

import math
import os
from dataclasses import dataclass
from typing import Any, Dict, Iterable, List, Mapping, Optional, Sequence, Tuple, Union

from .. import _core
from .._given import listed, mapping, number, optional_number, plant_of, seed_of, whole
from .._progress import Progress, finish, teller
from ..errors import input_error
from .base import Study, document_of, frame, made, texts_of
from .commissioning import read_text

Row = Tuple[float, str, str, Optional[float], Optional[float], Optional[float], Optional[float]]


@dataclass(frozen=True)
class Reading:
    """What was read at the far end of a pipe at some moment: oxygen, pressure, or both."""

    time_s: float  #: from the start of the run [s]
    riser: str  #: where
    pipe: str  #: at whose far end
    oxygen: Optional[float] = None  #: mole fraction of the dry gas [1]
    pressure_pa: Optional[float] = None  #: absolute [Pa]
    oxygen_uncertainty: Optional[float] = None  #: standard uncertainty [1]; 0.2 % by default
    pressure_uncertainty_pa: Optional[float] = None  #: standard uncertainty [Pa]; half a psi by default


@dataclass(frozen=True)
class Explanation:
    """One explanation of the readings: a fault, the other data within their tolerances."""

    fault: str  #: kind of it: 'none', 'leak', 'blocked-vent', 'closed-branch', 'low-purity', …
    words: str  #: in plain words
    size: Optional[float]  #: effective area of a leak [m2], oxygen of the product, or share that is left
    size_low: Optional[float]  #: lower end of its interval
    size_high: Optional[float]  #: upper end of its interval
    misfit: Optional[float]  #: sum of squares of readings and data off, in standard deviations
    criterion: Optional[float]  #: misfit plus what a fault costs; the least explains best
    odds_against: float  #: how much likelier the best explanation is; infinite beyond counting
    failure: Optional[str]  #: why it could not be tried


@dataclass(frozen=True)
class Estimate:
    """A quantity as the readings have it, under the best explanation."""

    quantity: str  #: 'vent_coefficient', 'volume_m3', 'leak_area_m2' or 'product_oxygen'
    riser: Optional[str]  #: None for the source
    designed: float  #: as the plant has it
    value: float  #: as found
    low: float  #: lower end of its interval
    high: float  #: upper end of its interval
    narrowed: float  #: width that the readings left, as a part of the width before them


@dataclass(frozen=True)
class Confusion:
    """Two estimates that the readings cannot tell apart."""

    first: int  #: index of an estimate
    second: int  #: index of the other
    correlation: float  #: of the two, -1 to 1


@dataclass(frozen=True)
class Forecast:
    """When a riser will be on target, if the best explanation is right."""

    riser: str  #: which
    low_s: Optional[float]  #: early end of the band [s]; None: not within the run
    middle_s: Optional[float]  #: as likely before as after [s]; None: not within the run
    high_s: Optional[float]  #: late end of the band [s]; None: not within the run
    reached: float  #: share of draws that reach the target within the run [1]


@dataclass(frozen=True, repr=False, eq=False)
class Fit(Study):
    """Which fault explains the readings best, what the plant's data then are, and when the target will be met."""

    explanations: Tuple[Explanation, ...]  #: best first
    not_told_apart: int  #: how many of them, from the best on, the readings do not tell apart [count]
    estimates: Tuple[Estimate, ...]  #: under the best explanation
    confusions: Tuple[Confusion, ...]  #: pairs of them that make up for one another
    forecasts: Tuple[Forecast, ...]  #: of every riser
    readings: int  #: numbers read [count]
    worst_residual: float  #: of the best explanation, in standard uncertainties [1]
    confidence: float  #: of all intervals [1]

    @property
    def best(self) -> Explanation:
        """Explanation: the first of them."""
        return self.explanations[0]

    @property
    def can_tell(self) -> bool:
        """bool: whether the readings tell the best explanation from the others."""
        return self.not_told_apart == 1

    def to_dataframe(self) -> Any:
        """The explanations as a table, best first.

        Returns
        -------
        pandas.DataFrame
            Columns as the attributes of `Explanation`.

        Raises
        ------
        ImportError
            Where pandas is not installed.
        """
        return frame(self.explanations)

    def estimates_frame(self) -> Any:
        """The estimates as a table.

        Returns
        -------
        pandas.DataFrame
            Columns as the attributes of `Estimate`.

        Raises
        ------
        ImportError
            Where pandas is not installed.
        """
        return frame(self.estimates)

    def plot(self, *, ax: Any = None) -> Any:
        """Draw the odds of the explanations, and the estimates with their intervals.

        Parameters
        ----------
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
        from ..study_plots import plot_fit

        return plot_fit(self, ax=ax)


def fit(
    plant: _core.Plant,
    readings: Union[str, "os.PathLike[str]", Iterable[Reading], Any],
    *,
    confidence: float = 0.9,
    draws: int = 200,
    seed: int = 20240501,
    tolerances: Optional[Mapping[str, float]] = None,
    relative_tolerance: Optional[float] = None,
    progress: Progress = None,
) -> Fit:
    """Find what field readings say: which fault explains them, the plant's data, and the date of the target.

    Parameters
    ----------
    plant : Plant
        As designed.
    readings : str, os.PathLike, pandas.DataFrame or iterable of Reading
        A CSV as the program takes it, a table with columns named as the attributes of `Reading` (all but
        time_s, pipe and one of oxygen and pressure_pa may be left out), or readings one by one.
    confidence : float
        Of all intervals [1], 0.5 to 0.999.
    draws : int
        For the forecast's band [count].
    seed : int
        Of those draws [count].
    tolerances : mapping of str to float, optional
        How well the data are known before any reading, as standard deviations of logarithms [1]: 'vents'
        (0.15), 'volume' (0.1), 'leaks' (1.0), 'product_oxygen' (0.3).
    relative_tolerance : float, optional
        Local error per step [1]; the plant's own by default.
    progress : callable or bar, optional
        Called now and then with the numbers of explanations tried and of all; at the end with all of them. A function of
        one argument gets the first alone. A bar as tqdm makes them is kept up to date.

    Returns
    -------
    Fit

    Raises
    ------
    FileError
        When the file of readings cannot be read.
    InputError
        For readings of places that the plant does not have, or values out of range: by file and line.

    Source
    ------
    Levenberg-Marquardt over runs of `predict`; odds from the Bayesian information criterion (Schwarz, Ann.
    Statist. 6, 1978) in its form for a choice among many (Chen and Chen, Biometrika 95, 2008).
    """
    rows = _rows(plant_of(plant), readings)
    told = teller(progress, both=True)
    raw = _core._fit(
        plant, rows, number("confidence", confidence), whole("draws", draws), seed_of(seed),
        _tolerances(mapping("tolerances", tolerances)), optional_number("relative_tolerance", relative_tolerance), told,
    )
    finish(told)
    document = document_of(raw)
    return Fit(
        _texts=texts_of(raw),
        explanations=tuple(_explanation(entry) for entry in document["explanations"]),
        not_told_apart=document["not_told_apart"],
        estimates=tuple(made(Estimate, entry) for entry in document["estimates"]),
        confusions=tuple(made(Confusion, entry) for entry in document["confusions"]),
        forecasts=tuple(made(Forecast, entry) for entry in document["forecasts"]),
        readings=document["readings"],
        worst_residual=document["worst_residual"],
        confidence=document["confidence"],
    )


def _explanation(entry: Mapping[str, Any]) -> Explanation:
    odds = entry["odds_against"]
    return made(Explanation, {**entry, "odds_against": math.inf if odds is None else odds})


KNOWN = {"vents": 0.15, "volume": 0.1, "leaks": 1.0, "product_oxygen": 0.3}


def _tolerances(given: Mapping[str, float]) -> Tuple[float, float, float, float]:
    for name in given:
        if name not in KNOWN:
            raise input_error(f"tolerances.{name}", None, "there is no such tolerance", "there are: " + ", ".join(KNOWN))
    vents, volume, leaks, oxygen = (number(f"tolerances.{name}", {**KNOWN, **given}[name]) for name in KNOWN)
    return vents, volume, leaks, oxygen


def _rows(plant: _core.Plant, readings: Any) -> List[Row]:
    if isinstance(readings, (str, os.PathLike)):
        return _core._readings(plant, read_text(readings), os.fspath(readings))
    given: Sequence[Reading] = _table(plant, readings) if hasattr(readings, "columns") else listed("readings", readings)
    return [_row(f"readings.{place}", reading) for place, reading in enumerate(given)]


def _row(key: str, reading: Any) -> Row:
    if not isinstance(reading, Reading):
        raise input_error(key, repr(reading), "is not a Reading", "Reading(time_s=..., riser=..., pipe=..., oxygen=...)")
    for name in ("riser", "pipe"):
        if not isinstance(getattr(reading, name), str):
            raise input_error(f"{key}.{name}", repr(getattr(reading, name)), "is not a text", "the name of a riser or pipe")
    names = ("oxygen", "pressure_pa", "oxygen_uncertainty", "pressure_uncertainty_pa")
    oxygen, pressure, of_oxygen, of_pressure = (optional_number(f"{key}.{name}", getattr(reading, name)) for name in names)
    time = number(f"{key}.time_s", reading.time_s)
    return time, reading.riser, reading.pipe, oxygen, pressure, of_oxygen, of_pressure


def _table(plant: _core.Plant, table: Any) -> List[Reading]:
    known = list(Reading.__dataclass_fields__)
    for name in table.columns:
        if name not in known:
            raise input_error(f"readings.{name}", None, "there is no such column", "there are: " + ", ".join(known))
    for name in ("time_s", "pipe"):
        if name not in table.columns:
            raise input_error(f"readings.{name}", None, "the column is missing", "it has no default")
    only = plant.risers[0].name if len(plant.risers) == 1 else ""
    rows = []
    for row in table.to_dict("records"):
        given: Dict[str, Any] = {"riser": only, "time_s": float("nan"), "pipe": ""}
        given.update((name, value) for name, value in row.items() if value is not None and value == value)
        rows.append(Reading(**given))
    return rows
