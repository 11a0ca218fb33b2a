"""Parameters varied and unknowns drawn: how the time to target is spread, and what matters most."""

from __future__ import annotations

import os
import warnings
from dataclasses import dataclass
from typing import Any, Dict, List, Mapping, Optional, Sequence, Tuple, Union

import numpy as np

from .. import _core
from .._alike import same_fields
from .._given import mapping, number, optional_number, plant_of, seed_of, whole
from .._progress import Progress, finish, teller
from .._toml import UNITS as SI
from ..errors import input_error
from .base import Study, document_of, texts_of
from .base import number as known

Distribution = Union[_core.Normal, _core.Uniform, _core.Triangular]
Axis = Union[str, Sequence[str], Sequence[float], Any]
SHARES = (0.1, 0.5, 0.9)
#: Units by the ends of names, longest first.
UNITS = {
    "m3_per_s": "m3/s", "mol_per_s": "mol/s", "pa": "Pa", "m3": "m3", "m": "m", "k": "K", "w": "W", "s": "s"
}
#: The same ends by what kind of quantity it is; shares and slopes have none.
ENDINGS = {unit: ending for ending, unit in UNITS.items()}


@dataclass(frozen=True, repr=False, eq=False)
class SobolIndices:
    """Share of a result's variance that each unknown explains; arrays of shape (unknowns,)."""

    keys: Tuple[str, ...]  #: the unknowns
    first: Any  #: by itself [1]
    first_error: Any  #: standard error [1]
    total: Any  #: with all its interplay with others [1]
    total_error: Any  #: standard error [1]

    def to_dataframe(self) -> Any:
        """The indices as a table, what matters most first.

        Returns
        -------
        pandas.DataFrame
            Indexed by key; columns first, first_error, total, total_error.

        Raises
        ------
        ImportError
            Where pandas is not installed.
        """
        import pandas

        columns = {name: getattr(self, name) for name in ("first", "first_error", "total", "total_error")}
        return pandas.DataFrame(columns, index=list(self.keys)).sort_values("total", ascending=False)

    def __eq__(self, other: object) -> bool:
        return same_fields(self, other)

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        return "SobolIndices(" + ", ".join(f"{k}: {t:.3g}" for k, t in zip(self.keys, self.total)) + ")"


@dataclass(frozen=True, repr=False, eq=False)
class Sweep(Study):
    """A plant with values set along axes, or drawn from distributions, or both.

    `shape` is that of the axes; runs have one axis more, of `runs_per_point`. NaN stands for a time not
    reached.
    """

    axes: Mapping[str, Any]  #: values along each axis, in SI, by the key given
    unknowns: Mapping[str, Distribution]  #: what is drawn, by the key given
    units: Mapping[str, str]  #: of the values of each key: 'm', 'Pa', …; empty for shares and plain numbers
    runs_per_point: int  #: [count]
    seed: int  #: of the draws
    resumed: int  #: runs taken from the file of results [count]
    within_s: float  #: wanted time to target [s]
    target_at: str  #: what has to read the target: 'everywhere', the 'average' or all 'readings'
    space_error_of_time_s: Optional[float]  #: how far the cutting into cells may still move the given plant's time [s]
    done: Any  #: runs that could be computed, of the axes' shape [count]
    met: Any  #: of these, on target at the end [count]
    met_within: Any  #: of these, on target in the wanted time [count]
    fills_met: Any  #: of these, all risers filled within their limits [count]
    on_air_after_fill: Any  #: of these, fell back on air after the fills [count]
    p10_time_to_target_s: Any  #: one run in ten is on target by then [s]
    p50_time_to_target_s: Any  #: half of the runs are on target by then [s]
    p90_time_to_target_s: Any  #: nine runs in ten are on target by then [s]
    percentile_low_s: Any  #: lower ends of their 90 % intervals [s], shape (*shape, 3)
    percentile_high_s: Any  #: upper ends of their 90 % intervals [s], shape (*shape, 3)
    indices: Any  #: SobolIndices at each point, shape of the axes; None with fewer than two unknowns
    values: Any  #: what each run was given, shape (*shape, runs, keys), axes first, in SI
    time_to_target_s: Any  #: of each run [s]
    longest_fill_s: Any  #: of each run [s]
    air_after_fill_s: Any  #: of each run [s]
    running_s: Any  #: time the source's machine ran in each run [s]
    nitrogen_std_m3: Any  #: standard volume of product made or drawn in each run [m3]
    error: Any  #: why a run could not be computed; empty where it was done
    _csv: str

    @property
    def shape(self) -> Tuple[int, ...]:
        """tuple of int: number of values along each axis."""
        return tuple(len(values) for values in self.axes.values())

    @property
    def share_within(self) -> Any:
        """Array of the axes' shape: share of runs on target in the wanted time [1]."""
        return self.met_within / np.maximum(self.done, 1)

    def to_csv(self) -> str:
        """Every run on a line, as the program's --csv writes them.

        Returns
        -------
        str

        Raises
        ------
        Nothing.
        """
        return self._csv

    def to_dataframe(self) -> Any:
        """Every run: what it was given and what came of it.

        Returns
        -------
        pandas.DataFrame
            One row per run: a column a key, in SI, then the numbers of runs.

        Raises
        ------
        ImportError
            Where pandas is not installed.
        """
        import pandas

        keys = [*self.axes, *self.unknowns]
        columns = {key: self.values[..., place].ravel() for place, key in enumerate(keys)}
        for name in ("time_to_target_s", "longest_fill_s", "air_after_fill_s", "running_s", "nitrogen_std_m3", "error"):
            columns[name] = getattr(self, name).ravel()
        return pandas.DataFrame(columns)

    def summary(self) -> Any:
        """One row per point of the grid.

        Returns
        -------
        pandas.DataFrame
            A column an axis, in SI, then percentiles of the time to target and counts of runs.

        Raises
        ------
        ImportError
            Where pandas is not installed.
        """
        import pandas

        grid = np.meshgrid(*self.axes.values(), indexing="ij") if self.axes else []
        columns = {key: values.ravel() for key, values in zip(self.axes, grid)}
        names = ("p10_time_to_target_s", "p50_time_to_target_s", "p90_time_to_target_s", "done", "met", "met_within", "fills_met", "on_air_after_fill")
        return pandas.DataFrame({**columns, **{name: np.ravel(getattr(self, name)) for name in names}})

    def plot(self, *, ax: Any = None, units: Optional[str] = None) -> Any:
        """Draw the time to target along the first axis, or how it is spread, and what matters most.

        Parameters
        ----------
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
        from ..study_plots import plot_sweep

        return plot_sweep(self, ax=ax, units=units)


def sweep(
    plant: _core.Plant,
    vary: Optional[Mapping[str, Axis]] = None,
    spread: Optional[Mapping[str, Any]] = None,
    *,
    runs: Optional[int] = None,
    seed: int = 20240501,
    within_s: Optional[float] = None,
    results: Union[None, str, "os.PathLike[str]"] = None,
    threads: int = 0,
    relative_tolerance: Optional[float] = None,
    progress: Progress = None,
) -> Sweep:
    """Run a plant with values set along axes, or drawn from distributions, or both.

    Parameters
    ----------
    plant : Plant
    vary : mapping, optional
        By key, values one after the other; every combination is a point of the grid. Results have the same keys.
        Texts go to keys of the
        scenario file, as the program's --vary takes them (``"0.3 mm..0.6 mm:4"``) or as a list; numbers go to
        attributes, in the unit the name carries (``{"riser.North.vent.'end vent'.diameter_m": [3e-4, 6e-4]}``).
    spread : mapping, optional
        By key, distributions of what is not known: ``"normal(98 %, 0.3 %)"`` as the program's --spread takes
        it, or `Normal`, `Uniform` and `Triangular` with numbers, or SciPy's frozen `norm`, `uniform` and
        `triang`. With two or more the runs tell which unknown
        matters most.
    runs : int, optional
        At each point when something is spread [count]; 1000 by default. With two or more unknowns the runs are
        rows of a design, each of two runs more than there are unknowns: what is over a multiple of that is left
        out, and a warning says so where `runs` was given.
    seed : int
        Of the draws: the same seed gives the same numbers everywhere.
    within_s : float, optional
        Wanted time to target [s]; the plant's duration by default.
    results : str or os.PathLike, optional
        A file that keeps finished runs; the same call takes them up again.
    threads : int
        Threads [count]; 0: one per core.
    relative_tolerance : float, optional
        Local error per step [1]; the plant's own by default.
    progress : callable or bar, optional
        Called now and then with the numbers of finished runs and of all; at the end with all of them. A function of
        one argument gets the first alone. A bar as tqdm makes them is kept up to date.

    Returns
    -------
    Sweep

    Raises
    ------
    InputError
        For keys that lead nowhere, values of the wrong kind, or results of another study.
    FileError
        When the file of results cannot be read or written.

    Source
    ------
    Every run is that of `predict`. Sobol indices: Saltelli et al., Comput. Phys. Commun. 181 (2010).
    """
    vary, spread = mapping("vary", vary), mapping("spread", spread)
    axes = [_axis(plant_of(plant), key, values) for key, values in vary.items()]
    unknowns = [_unknown(plant, key, distribution) for key, distribution in spread.items()]
    chosen = 1000 if runs is None else whole("runs", runs)
    store = os.fspath(results) if results is not None else ""
    told = teller(progress, both=True)
    raw = _core._sweep(
        plant, axes, unknowns, chosen, seed_of(seed), optional_number("within_s", within_s),
        whole("threads", threads, most=4096), store, optional_number("relative_tolerance", relative_tolerance), told,
    )
    finish(told, len(raw["error"]))
    _warn_of_fewer(runs, raw["runs_per_point"], len(unknowns))
    return _sweep_of(raw, plant, tuple(vary), tuple(spread))


@dataclass(frozen=True, repr=False, eq=False)
class SobolDesign:
    """Runs that tell which unknown a result depends on most, whatever the result.

    >>> design = SobolDesign({"source.purity": ox.Normal(mean=0.98, deviation=0.003), ...}, rows=100)
    >>> many = ox.ensemble(plant, design.parameters)               # doctest: +SKIP
    >>> design.indices(many.nitrogen_std_m3)                       # doctest: +SKIP
    """

    unknowns: Mapping[str, Any]  #: distributions by key: Normal, Uniform, Triangular, or any of SciPy
    rows: int = 100  #: of the design [count]: each is a run more than there are unknowns, and one
    seed: int = 20240501  #: of the draws

    def __post_init__(self) -> None:
        for key, distribution in mapping("unknowns", self.unknowns).items():
            _require_quantiles(key, distribution)
        whole("rows", self.rows, 1)
        seed_of(self.seed)

    @property
    def runs(self) -> int:
        """int: number of runs [count]."""
        return self.rows * (len(self.unknowns) + 2)

    @property
    def parameters(self) -> Dict[str, Any]:
        """Array of each unknown by key, shape (runs,): for `ensemble`, or a function of one's own."""
        shares = _core._sobol_coordinates(len(self.unknowns), self.rows, self.seed)
        return {
            key: _core._quantiles(distribution, shares[:, place])
            if isinstance(distribution, OWN)
            else np.asarray(distribution.ppf(shares[:, place]), dtype=float)
            for place, (key, distribution) in enumerate(self.unknowns.items())
        }

    def indices(self, results: Any, resamples: int = 500) -> SobolIndices:
        """First-order and total indices.

        Parameters
        ----------
        results : array, shape (runs,)
            What came of the runs, in their order. Rows with one that is not finite are left out.
        resamples : int
            For the errors, by bootstrap over rows [count].

        Returns
        -------
        SobolIndices
            NaN where the results do not vary.

        Raises
        ------
        InputError
            For another number of results than runs.
        """
        given = np.array([number("results", value) for value in np.ravel(results)])
        whole_resamples = whole("resamples", resamples, 1)
        found = _core._sobol_indices(len(self.unknowns), self.rows, self.seed, given, whole_resamples)
        if len(found) == 0:
            found = np.full((len(self.unknowns), 4), np.nan)
        return SobolIndices(tuple(self.unknowns), *found.T)


# --- keys -------------------------------------------------------------------------------------------------


def file_key(plant: _core.Plant, key: str) -> str:
    """The scenario file's key of an attribute's path: without the unit at its end, which has to fit."""
    for ending in UNITS:
        if key.endswith("_" + ending) and _ending(plant, key[: -len(ending) - 1]) == ending:
            return key[: -len(ending) - 1]
    wanted = _ending(plant, key)
    if wanted:
        raise input_error(key, None, "a number needs its unit in the name", f"{key}_{wanted}, or a text with a unit")
    return key


def _ending(plant: _core.Plant, key: str) -> str:
    """The end that an attribute's name has for a key of the scenario file."""
    return ENDINGS.get(SI.get(_core._dimension(plant, key) or "", ""), "")


def _warn_of_fewer(wanted: Optional[int], made: int, unknowns: int) -> None:
    if wanted is not None and unknowns > 1 and made != wanted:
        text = f"runs={wanted}: {made} were made at each point, whole rows of {unknowns + 2} for {unknowns} unknowns"
        warnings.warn(f"{text}; give a multiple of {unknowns + 2}", stacklevel=3)


def _unknown(plant: _core.Plant, key: str, given: Any) -> Tuple[str, Union[str, Distribution]]:
    if isinstance(given, str):
        return key, given
    return file_key(plant, key), _distribution(key, given)


OWN = (_core.Normal, _core.Uniform, _core.Triangular)
ALLOWED = "Normal(...), Uniform(...) or Triangular(...) with numbers, or one of SciPy"


def _distribution(key: str, given: Any) -> Distribution:
    """A distribution as it is, or the same as one that SciPy made."""
    if isinstance(given, OWN):
        return given
    kind = getattr(getattr(given, "dist", None), "name", None)
    if kind == "norm":
        return _core.Normal(mean=float(given.mean()), deviation=float(given.std()))
    if kind in ("uniform", "triang"):
        low, high = (float(end) for end in given.support())
        if kind == "uniform":
            return _core.Uniform(low=low, high=high)
        return _core.Triangular(low=low, mode=3.0 * float(given.mean()) - low - high, high=high)
    if kind is not None:
        raise input_error(key, kind, "is not known to a sweep", "norm, uniform or triang; SobolDesign and `ensemble` take any")
    raise input_error(key, repr(given), "is not a distribution", ALLOWED)


def _require_quantiles(key: str, given: Any) -> None:
    """That values can be drawn from it; a text would need a plant to be read."""
    if not isinstance(given, OWN) and not callable(getattr(given, "ppf", None)):
        raise input_error(key, repr(given), "is not a distribution", ALLOWED)


def _axis(plant: _core.Plant, key: str, values: Axis) -> Tuple[str, Union[str, List[float]]]:
    if isinstance(values, str):
        return key, values
    array = np.atleast_1d(np.asarray(values))
    if array.dtype.kind == "U" and array.ndim == 1:
        return key, ", ".join(array)
    if array.dtype.kind not in "iuf" or array.ndim != 1:
        raise input_error(key, array.dtype, "values are of the wrong kind", "numbers, or texts with their unit")
    return file_key(plant, key), [float(value) for value in array]


# --- results ----------------------------------------------------------------------------------------------


def _sweep_of(
    raw: Mapping[str, Any], plant: _core.Plant, axis_keys: Tuple[str, ...], unknown_keys: Tuple[str, ...]
) -> Sweep:
    document = document_of(raw)
    points = document["points"]
    axes = {key: values for key, (_, values) in zip(axis_keys, raw["axes"])}
    unknowns = {key: distribution for key, (_, distribution) in zip(unknown_keys, raw["unknowns"])}
    of_file = dict(zip((*axis_keys, *unknown_keys), (key for key, _ in (*raw["axes"], *raw["unknowns"]))))
    shape = tuple(len(values) for values in axes.values())
    each = shape + (raw["runs_per_point"],)
    counts = {
        name: np.array([point[key] for point in points]).reshape(shape)
        for name, key in (("done", "runs"), ("met", "met"), ("met_within", "met_within"), ("fills_met", "fills_met"), ("on_air_after_fill", "on_air_after_fill"))
    }
    percentiles = {
        name: np.array([_percentile(point, name) for point in points]).reshape(shape + (len(SHARES),))
        for name in ("time_to_target_s", "low_s", "high_s")
    }
    of_runs = {
        name: raw[name].reshape(each)
        for name in ("time_to_target_s", "longest_fill_s", "air_after_fill_s", "running_s", "nitrogen_std_m3")
    }
    return Sweep(
        _texts=texts_of(raw),
        axes=axes,
        unknowns=unknowns,
        units={key: SI.get(_core._dimension(plant, name) or "", "") for key, name in of_file.items()},
        runs_per_point=raw["runs_per_point"],
        seed=document["seed"],
        resumed=raw["resumed"],
        within_s=document["within_s"],
        target_at=document["target_at"],
        space_error_of_time_s=document["space_error_of_time_s"],
        p10_time_to_target_s=percentiles["time_to_target_s"][..., 0],
        p50_time_to_target_s=percentiles["time_to_target_s"][..., 1],
        p90_time_to_target_s=percentiles["time_to_target_s"][..., 2],
        percentile_low_s=percentiles["low_s"],
        percentile_high_s=percentiles["high_s"],
        indices=_indices(points, tuple(unknowns), shape),
        values=raw["values"].reshape(each + (len(axes) + len(unknowns),)),
        error=np.array(raw["error"], dtype=object).reshape(each),
        _csv=raw["csv"],
        **counts,
        **of_runs,
    )


def _percentile(point: Mapping[str, Any], name: str) -> List[float]:
    found = [known(percentile[name]) for percentile in point["percentiles"]]
    return found or [np.nan] * len(SHARES)


def _indices(points: Sequence[Mapping[str, Any]], keys: Tuple[str, ...], shape: Tuple[int, ...]) -> Any:
    if len(keys) < 2:
        return None
    found = np.empty(len(points), dtype=object)
    for place, point in enumerate(points):
        columns = [
            np.array([known(entry[name]) for entry in point["indices"]] or [np.nan] * len(keys))
            for name in ("first", "first_error", "total", "total_error")
        ]
        found[place] = SobolIndices(keys, *columns)
    return found.reshape(shape) if shape else found[0]
