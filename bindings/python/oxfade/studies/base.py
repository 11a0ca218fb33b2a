"""What all studies have: the program's report and JSON document in both systems of units."""

from __future__ import annotations

import json
import math
from dataclasses import dataclass, field, fields
from typing import Any, Dict, Iterable, Mapping, Optional, Tuple, Type, TypeVar

import numpy as np

from .. import _core
from .._alike import same_fields
from ..errors import input_error

Raw = Mapping[str, Any]
T = TypeVar("T")
NAN = math.nan


@dataclass(frozen=True, repr=False, eq=False)
class Study:
    """What a study found: numbers as attributes, and the program's own texts."""

    _texts: Raw = field(repr=False)

    def report(self, units: Optional[str] = None) -> str:
        """The report the program prints.

        Parameters
        ----------
        units : str, optional
            'si' or 'us'; the plant's own by default.

        Returns
        -------
        str
            Lines of at most 80 columns.

        Raises
        ------
        InputError
            For another system of units.
        """
        return _by_units(self._texts, "reports", units)

    def to_json(self, units: Optional[str] = None) -> str:
        """The results as the program's --json writes them, in SI.

        Parameters
        ----------
        units : str, optional
            'si' or 'us': units that texts in it speak in; the plant's own by default.

        Returns
        -------
        str

        Raises
        ------
        InputError
            For another system of units.
        """
        return _by_units(self._texts, "documents", units)

    def __eq__(self, other: object) -> bool:
        return same_fields(self, other)

    def __hash__(self) -> int:
        return hash(self.to_json())

    def __repr__(self) -> str:
        said = ", ".join(_said(f.name, getattr(self, f.name)) for f in fields(self) if not f.name.startswith("_"))
        return f"<{type(self).__name__}: {said}>"

    def _repr_html_(self) -> str:
        from .._html import of_study

        return of_study(self)


def _said(name: str, value: Any) -> str:
    """A number or a word as it is; of what is larger, how much there is."""
    if value is None or isinstance(value, (bool, int, float, str)):
        return f"{name}={value:.6g}" if isinstance(value, float) else f"{name}={value!r}"
    if isinstance(value, np.ndarray):
        return f"{name}={value:.6g}" if value.ndim == 0 and value.dtype.kind == "f" else f"{name}=array{value.shape}"
    if isinstance(value, (tuple, Mapping)):
        return f"{name}=({len(value)})"
    return f"{name}={type(value).__name__}"


def _by_units(texts: Raw, kind: str, units: Optional[str]) -> str:
    return str(texts[kind][system_of(texts, units)])


def system_of(texts: Raw, units: Optional[str]) -> str:
    """'si' or 'us': the units asked for, or the plant's own."""
    chosen = units or str(texts["units"])
    if chosen not in ("si", "us"):
        raise input_error("units", chosen, "there is no such system of units", "'si' or 'us'")
    return chosen


def document_of(raw: Raw) -> Dict[str, Any]:
    """The JSON document in the plant's own units."""
    document: Dict[str, Any] = json.loads(raw["documents"][raw["units"]])
    return document


def texts_of(raw: Raw) -> Raw:
    """What `Study` keeps of what the compiled part gives."""
    return {name: raw[name] for name in ("reports", "documents", "units")}


def made(kind: Type[T], entry: Mapping[str, Any], **others: Any) -> T:
    """An object of a dataclass from an entry of a document: what is named alike goes where it belongs."""
    wanted = {f.name for f in fields(kind)}
    return kind(**{name: value for name, value in entry.items() if name in wanted}, **others)


def messages_of(entries: Iterable[Mapping[str, Any]]) -> Tuple[_core.Message, ...]:
    """Findings of a document."""
    return tuple(
        _core.Message(
            code=entry["code"], level=entry["level"], where=entry["where"], text=entry["text"],
            places=entry.get("places", ()),
        )
        for entry in entries
    )


def number(value: Optional[float]) -> float:
    """NaN for what is not known."""
    return NAN if value is None else value


def frame(rows: Iterable[Any]) -> Any:
    """Objects of a dataclass as a table, one a row."""
    import pandas

    table = pandas.DataFrame([{f.name: getattr(row, f.name) for f in fields(row)} for row in rows])
    for name in table.columns:  # a column of None alone holds numbers as well
        if table[name].isna().all():
            table[name] = NAN
    return table
