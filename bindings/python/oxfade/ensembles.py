"""Many runs at once: arrays of parameters in, arrays of headline numbers out."""

from __future__ import annotations

import functools
from concurrent.futures import Executor
from dataclasses import dataclass, fields
from typing import Any, Callable, Dict, List, Mapping, Optional, Sequence, Tuple

import numpy as np

from . import _core
from ._alike import same_fields
from ._given import listed, mapping, optional_number, plant_of, whole
from ._progress import Progress, Teller, finish, teller
from .errors import input_error


@dataclass(frozen=True, repr=False, eq=False)
class Ensemble:
    """Headline numbers of many runs as NumPy arrays.

    `shape` is that of the parameters: arrays of runs have it, arrays of risers have one axis more. NaN stands
    for a time not reached, and for everything of a run that could not be computed (see `error`).
    """

    parameters: Mapping[str, Any]  #: what was varied, each of the ensemble's shape
    risers: Tuple[str, ...]  #: names along the last axis of the arrays of risers
    error: Any  #: why a run could not be computed, texts of the ensemble's shape; empty where it was done
    time_to_target_s: Any  #: of the last riser [s]; NaN unless all are met
    running_s: Any  #: time the source's machine ran [s]
    air_s: Any  #: of that, on plain air [s]
    air_after_fill_s: Any  #: on plain air after the fills [s]
    nitrogen_std_m3: Any  #: standard volume of product made or drawn [m3]
    air_std_m3: Any  #: standard volume of plain air made [m3]
    starts: Any  #: starts of the machine [count]
    balance_worst_relative: Any  #: largest of in - out - stored over the gas handled [1]
    riser_fill_time_s: Any  #: of each riser [s]
    riser_time_to_target_s: Any  #: of each riser [s]
    riser_worst_oxygen: Any  #: highest mole fraction of oxygen at the end [1]
    riser_final_pressure_pa: Any  #: absolute pressure at the end [Pa]
    riser_vented_std_m3: Any  #: standard volume out of vents [m3]
    riser_leaked_std_m3: Any  #: standard volume out of leaks [m3]
    riser_fill_met: Any  #: 1 where the fill kept its limit, else 0 [1]

    @property
    def shape(self) -> Tuple[int, ...]:
        """tuple of int: shape of the parameters."""
        shape: Tuple[int, ...] = self.time_to_target_s.shape
        return shape

    @property
    def done(self) -> Any:
        """Array of bool, of the ensemble's shape: whether the run was computed."""
        return self.error == ""

    def __eq__(self, other: object) -> bool:
        return same_fields(self, other)

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        met = int(np.isfinite(self.time_to_target_s).sum())
        failed = int((~self.done).sum())
        text = f"<Ensemble of shape {self.shape}: {', '.join(self.parameters)}; {met} of {self.done.size} runs on target"
        return text + (f", {failed} could not be computed>" if failed else ">")

    def _repr_html_(self) -> str:
        from ._html import of_ensemble

        return of_ensemble(self)

    def arrays(self) -> Dict[str, Any]:
        """All arrays of numbers by name.

        Returns
        -------
        dict of str to numpy.ndarray
            Of the ensemble's shape, those of risers with an axis more.

        Raises
        ------
        Nothing.
        """
        beside = ("parameters", "risers", "error")
        return {f.name: getattr(self, f.name) for f in fields(self) if f.name not in beside}

    def to_dataframe(self) -> Any:
        """Parameters and numbers as a table, one row per run.

        Returns
        -------
        pandas.DataFrame

        Raises
        ------
        ImportError
            Where pandas is not installed.
        """
        from .frames import ensemble_frame

        return ensemble_frame(self)

    def plot(self, **options: Any) -> Any:
        """Draw how the time to target is spread; see `oxfade.plots.plot_ensemble`.

        Returns
        -------
        matplotlib.figure.Figure

        Raises
        ------
        ImportError
            Where matplotlib is not installed.
        """
        from .plots import plot_ensemble

        return plot_ensemble(self, **options)


def ensemble(
    plant: _core.Plant,
    parameters: Mapping[str, Any],
    *,
    executor: Optional[Executor] = None,
    threads: int = 0,
    chunk: Optional[int] = None,
    relative_tolerance: Optional[float] = None,
    resolve_friction: bool = False,
    progress: Progress = None,
) -> Ensemble:
    """Run a plant with many values of some of its parameters.

    Parameters
    ----------
    plant : Plant
    parameters : mapping of str to array
        Values by dotted path. Numbers go to attributes, in the unit the name carries:
        ``{"riser.North.vent.'end vent'.diameter_m": np.linspace(5e-4, 2e-3, 100)}``; texts go to keys of the
        scenario file: ``{"riser.North.set_pressure": ["25 psig", "30 psig"]}``. Arrays are broadcast against
        each other: the results have their shape.
    executor : concurrent.futures.Executor, optional
        Where chunks of runs are sent: a process pool, or the executor of a Dask or MPI cluster. Threads of
        this process by default.
    threads : int
        Threads in each process [count]; 0: one per core, or 1 in each of an executor's workers.
    chunk : int, optional
        Runs sent to the executor at a time [count]; about 8 chunks per worker by default.
    relative_tolerance : float, optional
        Local error per step [1]; the plant's own by default.
    resolve_friction : bool
        As for `predict`.
    progress : callable or bar, optional
        Called now and then with the number of finished runs and, if it takes two arguments, of all; at the end
        with all of them. A bar as tqdm makes them is kept up to date.

    Returns
    -------
    Ensemble
        Arrays of the shape of the parameters. The same whatever runs it.

    Raises
    ------
    InputError
        For a path that leads nowhere, shapes that do not fit, or values that are neither numbers nor texts.
        A single impossible run raises nothing: see `Ensemble.error`.

    Source
    ------
    Every run is that of `predict`, without its history. Pipes whose cells the plant does not give get the usual
    number of them, or that of its `refinement`; `predict` by itself takes more where that moves the time.
    """
    threads, chunk = whole("threads", threads, most=4096), None if chunk is None else whole("chunk", chunk, 1)
    relative_tolerance = optional_number("relative_tolerance", relative_tolerance)
    shaped = _broadcast(mapping("parameters", parameters))
    shape = next(iter(shaped.values())).shape
    numbers, texts = _sorted_out(shaped)
    base = _core.loads(plant.to_toml(), "plant") if texts and not plant_of(plant)._has_text else plant_of(plant)
    count = int(np.prod(shape, dtype=int))
    told = teller(progress, count, both=False)
    if executor is None or count == 0:
        raw = _core._ensemble(base, count, numbers, texts, relative_tolerance, bool(resolve_friction), threads, told)
    else:
        size = chunk or max(1, -(-count // (8 * _workers(executor))))
        work = functools.partial(_run_chunk, base, relative_tolerance, bool(resolve_friction), threads or 1)
        raw = _gather(executor, work, (count, size), numbers, texts, told)
    finish(told)
    return _ensemble_of(raw, shaped, shape, plant)


def predict_many(
    plants: Sequence[_core.Plant],
    *,
    threads: int = 0,
    relative_tolerance: Optional[float] = None,
    resolve_friction: bool = False,
    progress: Progress = None,
) -> Ensemble:
    """Run many plants, for their headline numbers.

    Parameters
    ----------
    plants : sequence of Plant
        With the same number of risers.
    threads : int
        Threads [count]; 0: one per core.
    relative_tolerance : float, optional
        Local error per step [1]; the first plant's own by default.
    resolve_friction : bool
        As for `predict`.
    progress : callable or bar, optional
        As for `ensemble`.

    Returns
    -------
    Ensemble
        Arrays of shape (plants,).

    Raises
    ------
    InputError
        For no plants, or plants with different numbers of risers.

    Source
    ------
    Every run is that of `predict`, without its history.
    """
    plants = [plant_of(plant, "plants") for plant in listed("plants", plants)]
    threads = whole("threads", threads, most=4096)
    relative_tolerance = optional_number("relative_tolerance", relative_tolerance)
    counts = {len(plant.risers) for plant in plants}
    if len(counts) != 1:
        raise input_error("plants", sorted(counts) or None, "need the same number of risers", "at least one plant")
    told = teller(progress, len(plants), both=False)
    raw = _core._predict_plants(plants, relative_tolerance, bool(resolve_friction), threads, told)
    finish(told)
    which = {"plant": np.arange(len(plants))}
    references = [plant.site.reference for plant in plants]
    return _ensemble_of(raw, which, (len(plants),), plants[0], references)


# --- parameters -------------------------------------------------------------------------------------------


def _broadcast(parameters: Mapping[str, Any]) -> Dict[str, Any]:
    if not parameters:
        raise input_error("parameters", None, "nothing is varied", "values by dotted path are wanted")
    arrays = {key: np.asarray(values) for key, values in parameters.items()}
    try:
        shaped = np.broadcast_arrays(*arrays.values())
    except ValueError:
        shapes = ", ".join(f"{key} {array.shape}" for key, array in arrays.items())
        raise input_error("parameters", shapes, "shapes do not fit together", "equal or broadcastable shapes") from None
    return dict(zip(arrays, shaped))


Numbers = List[Tuple[str, Any]]
Texts = List[Tuple[str, List[str]]]


def _sorted_out(parameters: Mapping[str, Any]) -> Tuple[Numbers, Texts]:
    numbers: Numbers = []
    texts: Texts = []
    for key, array in parameters.items():
        if array.dtype.kind in "iuf":
            numbers.append((key, np.ascontiguousarray(array, dtype=float).ravel()))
        elif array.dtype.kind == "U":
            texts.append((key, [str(text) for text in array.ravel()]))
        else:
            raise input_error(key, array.dtype, "values are of the wrong kind", "numbers, or texts with their unit")
    return numbers, texts


# --- executors --------------------------------------------------------------------------------------------


def _workers(executor: Executor) -> int:
    return int(getattr(executor, "_max_workers", 0) or 8)


Arrays = Dict[str, Any]


def _run_chunk(
    plant: _core.Plant,
    relative_tolerance: Optional[float],
    resolve_friction: bool,
    threads: int,
    count: int,
    numbers: Numbers,
    texts: Texts,
) -> Arrays:
    """What a worker does."""
    return _core._ensemble(plant, count, numbers, texts, relative_tolerance, resolve_friction, threads, None)


def _gather(
    executor: Executor,
    work: Callable[[int, Numbers, Texts], Arrays],
    sizes: Tuple[int, int],
    numbers: Numbers,
    texts: Texts,
    told: Optional[Teller],
) -> Arrays:
    """Sends out chunks, and puts their results together in order."""
    count, size = sizes
    futures = []
    for begin in range(0, count, size):
        cut = slice(begin, min(begin + size, count))
        some = [(key, values[cut]) for key, values in numbers]
        words = [(key, values[cut]) for key, values in texts]
        futures.append(executor.submit(work, cut.stop - begin, some, words))
    parts = []
    try:
        for future in futures:
            parts.append(future.result())
            if told is not None:
                told(sum(len(part["error"]) for part in parts))
    except BaseException:
        for future in futures:
            future.cancel()
        raise
    return {name: np.concatenate([part[name] for part in parts]) for name in parts[0]}


# --- results ----------------------------------------------------------------------------------------------


def _standard_m3_per_mol(reference: _core.Reference) -> float:
    return 8.314462618 * reference.temperature_k / reference.pressure_pa


def _ensemble_of(
    raw: Mapping[str, Any],
    parameters: Mapping[str, Any],
    shape: Tuple[int, ...],
    plant: _core.Plant,
    references: Optional[Sequence[_core.Reference]] = None,
) -> Ensemble:
    risers = tuple(riser.name for riser in plant.risers)
    per_mol = np.array([_standard_m3_per_mol(r) for r in references or [plant.site.reference]])
    arrays: Dict[str, Any] = {"error": np.array(raw["error"], dtype=object).reshape(shape)}
    for name, values in raw.items():
        if name == "error":
            continue
        if name.endswith("_mol"):
            name = name[: -len("mol")] + "std_m3"
            values = values * (per_mol[:, None] if values.ndim == 2 else per_mol)
        arrays[name] = values.reshape(shape + values.shape[1:])
    return Ensemble(parameters=dict(parameters), risers=risers, **arrays)
