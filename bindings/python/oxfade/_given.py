"""What is given to functions, checked: whatever is wrong with it is an InputError."""

from __future__ import annotations

import operator
import os
from typing import Any, Dict, Iterable, List, Mapping, Optional

from . import _core
from .errors import input_error


def plant_of(value: Any, key: str = "plant") -> _core.Plant:
    """A Plant."""
    if not isinstance(value, _core.Plant):
        hint = "load(...) gives one" if isinstance(value, (str, os.PathLike)) else "expected a Plant"
        raise input_error(key, repr(value), "is not a Plant", hint)
    return value


def whole(key: str, value: Any, least: int = 0, most: int = 2**32 - 1) -> int:
    """A whole number within its limits."""
    if isinstance(value, bool) or not hasattr(value, "__index__"):
        raise input_error(key, repr(value), "is not a whole number", f"{least} or more")
    number = operator.index(value)
    if not least <= number <= most:
        raise input_error(key, number, "is out of range", f"{least} to {most}")
    return number


def seed_of(value: Any) -> int:
    """A seed of draws."""
    return whole("seed", value, most=2**64 - 1)


def number(key: str, value: Any) -> float:
    """A number."""
    if isinstance(value, (bool, str, bytes)) or value is None:
        raise input_error(key, repr(value), "is of the wrong kind", "expected a number")
    try:
        return float(value)
    except (TypeError, ValueError):
        raise input_error(key, repr(value), "is of the wrong kind", "expected a number") from None


def optional_number(key: str, value: Any) -> Optional[float]:
    """A number or None."""
    return None if value is None else number(key, value)


def numbers(key: str, values: Any) -> List[float]:
    """Numbers, one after the other."""
    return [number(key, value) for value in listed(key, values)]


def listed(key: str, values: Any) -> List[Any]:
    """Values, one after the other; a text is none."""
    if isinstance(values, (str, bytes, Mapping)) or not isinstance(values, Iterable):
        raise input_error(key, repr(values), "is of the wrong kind", "expected a list")
    return list(values)


def mapping(key: str, values: Any) -> Dict[str, Any]:
    """Values by texts; nothing for None."""
    if values is None:
        return {}
    if not isinstance(values, Mapping):
        raise input_error(key, repr(values), "is of the wrong kind", "expected a mapping of keys to values")
    for name in values:
        if not isinstance(name, str):
            raise input_error(key, repr(name), "a key is not a text", "for example riser.North.set_pressure")
    return dict(values)
