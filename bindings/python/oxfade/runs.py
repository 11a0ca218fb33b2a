"""Plants from files, and runs of them."""

from __future__ import annotations

import os
from typing import Any, Mapping, Optional, Union

from . import _core
from ._given import mapping, number, optional_number, plant_of, whole
from ._progress import Progress, finish, teller
from .errors import input_error


def load(file: Union[str, "os.PathLike[str]"], keys: Optional[Mapping[str, Any]] = None) -> _core.Plant:
    """Read and check a scenario file (TOML, format 1), and the takeoffs that it names, from the folder it is in.

    Parameters
    ----------
    file : str or os.PathLike
    keys : mapping of str to value, optional
        Values put in the place of those of the file, by dotted path, as the program's --set does.

    Returns
    -------
    Plant

    Raises
    ------
    FileError
        When the file cannot be read.
    InputError
        With everything that is wrong in it, by file, line and key: the text the program prints.
    """
    if not isinstance(file, (str, os.PathLike)):
        raise input_error("file", repr(file), "is of the wrong kind", "expected a path")
    return _core.load(file, mapping("keys", keys))


def loads(text: str, name: str = "text", keys: Optional[Mapping[str, Any]] = None) -> _core.Plant:
    """As `load`, from a text.

    Parameters
    ----------
    text : str
        A scenario file's contents.
    name : str
        Stands for the file in messages.
    keys : mapping of str to value, optional
        As for `load`.

    Returns
    -------
    Plant

    Raises
    ------
    InputError
        With everything that is wrong in it.
    """
    for key, value in (("text", text), ("name", name)):
        if not isinstance(value, str):
            raise input_error(key, repr(value), "is of the wrong kind", "expected a text")
    return _core.loads(text, name, mapping("keys", keys))


def predict(
    plant: _core.Plant,
    *,
    relative_tolerance: Optional[float] = None,
    history_points: int = 721,
    method: str = "linearly_implicit",
    resolve_friction: bool = False,
    refinement: Optional[float] = None,
    vary: bool = False,
    remedies: bool = False,
    progress: Progress = None,
) -> _core.Run:
    """Simulate a plant from the opening of the first fill valve to the end of its duration.

    Other Python threads run meanwhile, and Ctrl-C stops it with KeyboardInterrupt.

    Parameters
    ----------
    plant : Plant
    relative_tolerance : float, optional
        Local error per step [1], 1e-12 to 1e-2; the plant's own, else 1e-6.
    history_points : int
        Rows of the history [count], evenly spaced in time: 0 or 2 to 1 000 000.
    method : str
        'linearly_implicit' (Rosenbrock order 3(2)) or 'dormand_prince' (explicit 5(4), to check the other).
    resolve_friction : bool
        A pressure in every compartment with pipe friction between them, in place of one pressure a riser; needs
        bore and length of every pipe, and is slower. The program's --friction.
    refinement : float, optional
        How many times the usual number of cells pipes get that have none of their own [1], 0.05 to 100; the
        plant's own, else so many that half of them would move no time to target by more than 3 %.
    vary : bool
        Compute, too, what the days are where something nobody knows exactly is otherwise: six more runs, which
        the program makes unless told to --skip-extras. See `Run.variations`.
    remedies : bool
        Where the target is missed, compute what would help: up to six more runs, four times as long. The
        program's --remedies. See `Run.remedies`.
    progress : callable or bar, optional
        Called about 20 times a second with the simulated time [s] and, if it takes two arguments, the plant's
        duration [s]; at the end with the duration. The time starts over with each run made for the result.
        What it raises stops them. A bar as tqdm makes them is kept up to date.

    Returns
    -------
    Run

    Raises
    ------
    InputError
        For options out of range.
    ComputationError
        When the computation fails: it says when and where.

    Source
    ------
    model.md sections 3 to 7: well-mixed compartments, isentropic nozzle flow through orifices (eq. 12), mixing
    along pipes (section 4), friction (eq. 13).
    """
    told = teller(progress, plant_of(plant).duration_s, both=False)
    if not isinstance(method, str):
        raise input_error("method", repr(method), "there is no such method", "'linearly_implicit' or 'dormand_prince'")
    run = _core.predict(
        plant,
        relative_tolerance=optional_number("relative_tolerance", relative_tolerance),
        history_points=whole("history_points", history_points),
        method=method,
        resolve_friction=bool(resolve_friction),
        refinement=None if refinement is None else number("refinement", refinement),
        vary=bool(vary),
        remedies=bool(remedies),
        progress=told,
    )
    finish(told)
    return run
