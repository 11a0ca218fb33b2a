"""How objects of the compiled part are made again from what was pickled."""

from __future__ import annotations

from typing import Any


def restored(kind: Any, state: Any) -> Any:
    """An object of a class of the compiled part with that state."""
    return kind._restored(state)
