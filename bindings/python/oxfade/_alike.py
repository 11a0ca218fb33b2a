"""Whether two results say the same: arrays with all their numbers, NaN equal to NaN."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from typing import Any

import numpy as np


def same_fields(one: Any, other: Any) -> bool:
    """Whether two objects are of one dataclass and alike in every field."""
    if type(one) is not type(other):
        return False
    return all(alike(getattr(one, f.name), getattr(other, f.name)) for f in fields(one))


def alike(one: Any, other: Any) -> bool:
    """Whether two values say the same."""
    if isinstance(one, np.ndarray) or isinstance(other, np.ndarray):
        return _alike_arrays(np.asarray(one), np.asarray(other))
    if isinstance(one, Mapping) and isinstance(other, Mapping):
        return list(one) == list(other) and all(alike(value, other[key]) for key, value in one.items())
    if isinstance(one, tuple) and isinstance(other, tuple):
        return len(one) == len(other) and all(alike(a, b) for a, b in zip(one, other))
    if is_dataclass(one):
        return same_fields(one, other)
    return bool(one == other or (one != one and other != other))


def _alike_arrays(one: Any, other: Any) -> bool:
    if one.shape != other.shape:
        return False
    if one.dtype == object or other.dtype == object:
        return all(alike(a, b) for a, b in zip(one.ravel().tolist(), other.ravel().tolist()))
    return bool(np.array_equal(one, other, equal_nan=one.dtype.kind == "f" and other.dtype.kind == "f"))
