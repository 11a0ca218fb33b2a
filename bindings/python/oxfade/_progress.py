"""How far something is, told in one way to whatever is to know it."""

from __future__ import annotations

import inspect
from typing import Any, Callable, Optional, Union

from .errors import input_error

#: A function of the number done and of all, or of the number done alone; or a bar as tqdm makes them, which has
#: a `total` and an `update`.
Progress = Union[Callable[..., object], Any]


class Teller:
    """Tells of `done` of `total`; the last time, at `finish`, that all is done.

    `both` says what a function is given that takes one argument as well as two.
    """

    def __init__(self, progress: Progress, total: float, both: bool) -> None:
        self.total = total
        self.last: Optional[float] = None
        self._tell = _told_to(progress, both)

    def __call__(self, done: float, total: Optional[float] = None) -> None:
        if total:
            self.total = total
        self.last = done
        self._tell(done, self.total)

    def finish(self, total: Optional[float] = None) -> None:
        if total is not None:
            self.total = total
        if self.last != self.total:
            self(self.total)


def teller(progress: Progress, total: float = 0, *, both: bool) -> Optional[Teller]:
    """None where nobody wants to know."""
    return None if progress is None else Teller(progress, total, both)


def finish(told: Optional[Teller], total: Optional[float] = None) -> None:
    """Tells that all is done."""
    if told is not None:
        told.finish(total)


def _told_to(progress: Progress, both: bool) -> Callable[[float, float], object]:
    if callable(progress):
        return progress if _takes_both(progress, both) else lambda done, total: progress(done)
    if not hasattr(progress, "update"):
        raise input_error("progress", repr(progress), "is of the wrong kind", "expected a function, or a bar with `total` and `update`")
    return _bar(progress)


def _takes_both(progress: Callable[..., object], otherwise: bool) -> bool:
    try:
        signature = inspect.signature(progress)
    except (TypeError, ValueError):
        return otherwise
    fits = [_binds(signature, count) for count in (1, 2)]
    return otherwise if fits[0] == fits[1] else fits[1]


def _binds(signature: inspect.Signature, count: int) -> bool:
    try:
        signature.bind(*range(count))
    except TypeError:
        return False
    return True


def _bar(bar: Any) -> Callable[[float, float], object]:
    told = 0.0

    def tell(done: float, total: float) -> None:
        nonlocal told
        if total and getattr(bar, "total", None) != total:
            bar.total = total
        bar.update(done - told)
        told = done

    return tell
