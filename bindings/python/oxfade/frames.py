"""Runs and ensembles as pandas tables."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from . import _core
    from .ensembles import Ensemble


def run_frame(run: _core.Run) -> Any:
    """The time series of a run in long form, one row per time and compartment.

    Parameters
    ----------
    run : Run

    Returns
    -------
    pandas.DataFrame
        Columns time_s [s], riser, pipe, cell (from 1), pressure_pa [Pa abs], oxygen and nitrogen [1].

    Raises
    ------
    ImportError
        Where pandas is not installed.
    """
    import pandas

    names = {"riser": str, "pipe": str}
    return pandas.read_csv(io.StringIO(run.to_csv()), dtype=names, keep_default_na=False, na_values={
        "pressure_pa": [""], "oxygen": [""], "nitrogen": [""]}, float_precision="round_trip")


def ensemble_frame(ensemble: Ensemble) -> Any:
    """Parameters and headline numbers, one row per run.

    Parameters
    ----------
    ensemble : Ensemble

    Returns
    -------
    pandas.DataFrame
        A column for every parameter, for every number of the run and, with the riser's name behind it, for
        every number of a riser; units are in the names.

    Raises
    ------
    ImportError
        Where pandas is not installed.
    """
    import numpy
    import pandas

    columns = {name: numpy.ravel(values) for name, values in ensemble.parameters.items()}
    for name, values in ensemble.arrays().items():
        if values.ndim == len(ensemble.shape):
            columns[name] = values.ravel()
            continue
        by_riser = values.reshape(-1, len(ensemble.risers))
        for index, riser in enumerate(ensemble.risers):
            columns[f"{name} {riser}"] = by_riser[:, index]
    return pandas.DataFrame(columns)
