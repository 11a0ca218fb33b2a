"""Texts with units, and sizes of pipes."""

from __future__ import annotations

from . import _core
from ._given import number
from .errors import input_error


def _text(key: str, value: object, example: str) -> str:
    if not isinstance(value, str):
        raise input_error(key, repr(value), "is not a text", f"for example '{example}'")
    return value


def quantity(text: str, dimension: str, air_pressure_pa: float = 101325.0) -> float:
    """A number with its unit in SI, read as scenario files read it.

    Parameters
    ----------
    text : str
        Such as '28 psig', '1 1/4 in', '98 %'.
    dimension : str
        'length' [m], 'volume' [m3], 'time' [s], 'pressure' [Pa abs], 'absolute_pressure' [Pa],
        'pressure_difference' [Pa], 'temperature' [K], 'temperature_difference' [K], 'volume_flow' [m3/s],
        'molar_flow' [mol/s], 'power' [W], 'fraction' [1] or 'slope' [1].
    air_pressure_pa : float
        What gauge pressures count from [Pa].

    Volumes of gas that name their conditions (Nm3, Sm3, slpm) become volumes at 20 degC and 1 atm.

    Returns
    -------
    float

    Raises
    ------
    InputError
        When the text is not such a quantity: it says what it is instead.

    Source
    ------
    Units of UDUNITS-2, and those of the trade.
    """
    air = number("air_pressure_pa", air_pressure_pa)
    return _core.quantity(_text("text", text, "28 psig"), _text("dimension", dimension, "pressure"), air)


def pipe_bore_m(nominal: str, schedule: str) -> float:
    """Inside diameter of a steel pipe [m].

    Parameters
    ----------
    nominal : str
        Nominal size in inches: '4', '1-1/4', '2 in'.
    schedule : str
        '5', '10', '30', '40' or 'light'.

    Returns
    -------
    float

    Raises
    ------
    InputError
        For a pair that the table does not have: it lists those there are.

    Source
    ------
    ASME B36.10M; 'light' is the lighter 8 and 10 in wall of sprinkler work.
    """
    return _core.pipe_bore_m(_text("nominal", nominal, "4"), _text("schedule", schedule, "10"))
