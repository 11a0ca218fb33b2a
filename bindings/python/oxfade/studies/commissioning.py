"""The acceptance sheet, and what it says once it is filled in."""

from __future__ import annotations

import os
import pathlib
from dataclasses import dataclass
from typing import Any, Mapping, Optional, Sequence, Tuple, Union

from .. import _core
from .._given import number, numbers, optional_number, plant_of
from ..errors import FileError
from .base import Study, _by_units, document_of, frame, made, texts_of

HALF_A_PSI = 3447.3786466


@dataclass(frozen=True)
class Step:
    """One line of the sheet. Values are times [s], for a hold pressures lost [Pa], else shares [1]."""

    step: str  #: 'charge', 'rise', 'purity', 'fill', 'hold' or 'oxygen'
    riser: Optional[str]  #: None for the source
    vent: Optional[str]  #: of an oxygen reading
    time_s: Optional[float]  #: of an oxygen reading, from the start of the first fill [s]
    expected: float  #: if all is as designed
    low: float  #: least value with which all is well
    high: float  #: greatest value with which all is well
    measured: Optional[float]  #: None while the line is open
    within: Optional[bool]  #: whether what was measured is between the two


@dataclass(frozen=True)
class Verdict:
    """A likely cause of what is off, with its size."""

    cause: str  #: stable name, such as 'compressor-weak' or 'leak'
    riser: Optional[str]  #: where; None for the source
    vent: Optional[str]  #: the vent concerned
    size: Optional[float]  #: share of what was rated; of a leak its effective area [m2]; purity found
    other: Optional[float]  #: of a fill the volume that would explain it, in parts of that given; of a leak the part of the loss allowed
    text: str  #: in plain words


@dataclass(frozen=True, repr=False, eq=False)
class Commissioning(Study):
    """What an installer is to see at each step and, once measured, what is off and why."""

    steps: Tuple[Step, ...]  #: in the order in which they are done
    verdicts: Tuple[Verdict, ...]  #: empty when all is well, or nothing was measured
    found: _core.Plant  #: the plant with all causes in it
    _sheets: Mapping[str, str]

    def to_csv(self, units: Optional[str] = None) -> str:
        """The sheet to fill in and read back, as the program's --csv writes it.

        Parameters
        ----------
        units : str, optional
            'si' or 'us'; the plant's own by default.

        Returns
        -------
        str
            One line a step, values with units, the last column left open.

        Raises
        ------
        InputError
            For another system of units.
        """
        return _by_units({"sheets": self._sheets, "units": self._texts["units"]}, "sheets", units)

    def to_dataframe(self) -> Any:
        """The sheet as a table: fill in its column `measured` and give it to `commission`.

        Returns
        -------
        pandas.DataFrame
            One row per step, columns as the attributes of `Step`, all in SI.

        Raises
        ------
        ImportError
            Where pandas is not installed.
        """
        return frame(self.steps)


def commission(
    plant: _core.Plant,
    measured: Union[None, str, "os.PathLike[str]", Any] = None,
    *,
    oxygen_times_s: Sequence[float] = (43200.0, 86400.0, 172800.0, 259200.0),
    time_band: float = 0.15,
    purity_band: float = 0.01,
    loss_band_pa: float = HALF_A_PSI,
    oxygen_band: float = 0.005,
    relative_tolerance: Optional[float] = None,
) -> Commissioning:
    """Make the acceptance sheet, or judge one that is filled in.

    Ctrl-C stops it with KeyboardInterrupt.

    Parameters
    ----------
    plant : Plant
    measured : str, os.PathLike or pandas.DataFrame, optional
        The sheet filled in: the path of its CSV, or the table of `Commissioning.to_dataframe` with values in
        SI in its column `measured`.
    oxygen_times_s : sequence of float
        When oxygen is read at each vent [s].
    time_band : float
        Part by which a time may be off [1].
    purity_band : float
        Purity may be off by this [1].
    loss_band_pa : float
        Loss in the hold above what is expected [Pa].
    oxygen_band : float
        Oxygen may be off by this and a tenth of its value [1].
    relative_tolerance : float, optional
        Local error per step [1]; the plant's own by default.

    Returns
    -------
    Commissioning

    Raises
    ------
    FileError
        When the sheet cannot be read.
    InputError
        For lines that are not of this sheet, or values that are not of their kind: by file and line.

    Source
    ------
    Pressure hold: acceptance test of NFPA 13, 40 psi for 24 h; times and oxygen are those of `predict`.
    """
    text, name = (None, "") if measured is None else _sheet_text(measured)
    given = {"time_band": time_band, "purity_band": purity_band, "loss_band_pa": loss_band_pa, "oxygen_band": oxygen_band}
    time, purity, loss, oxygen = (number(key, value) for key, value in given.items())
    raw = _core._commission(
        plant_of(plant), numbers("oxygen_times_s", oxygen_times_s), (time, purity, loss, oxygen),
        optional_number("relative_tolerance", relative_tolerance), text, name,
    )
    document = document_of(raw)
    return Commissioning(
        _texts=texts_of(raw),
        steps=tuple(made(Step, entry) for entry in document["steps"]),
        verdicts=tuple(made(Verdict, entry) for entry in document["verdicts"]),
        found=raw["found"],
        _sheets=raw["sheets"],
    )


def read_text(file: Union[str, "os.PathLike[str]"]) -> str:
    """A file's text; what is wrong is a FileError."""
    try:
        return pathlib.Path(file).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise FileError(f"{os.fspath(file)} cannot be read: {getattr(error, 'strerror', None) or error}") from error


def _sheet_text(measured: Any) -> Tuple[str, str]:
    if isinstance(measured, (str, os.PathLike)):
        return read_text(measured), os.fspath(measured)
    lines = ["step,riser,vent,time,measured"]
    for row in measured.to_dict("records"):
        value = row["measured"]
        text = "" if value is None or value != value else _with_unit(str(row["step"]), float(value))
        time = row.get("time_s")
        when = "" if time is None or time != time else f"{time!r} s"
        lines.append(",".join([str(row["step"]), _field(row.get("riser")), _field(row.get("vent")), when, text]))
    return "\n".join(lines) + "\n", "measured"


def _with_unit(step: str, value: float) -> str:
    if step == "hold":
        return f"{value!r} Pa"
    return f"{100.0 * value!r} %" if step in ("purity", "oxygen") else f"{value!r} s"


def _field(name: Optional[str]) -> str:
    return "" if name is None or name != name else '"' + str(name).replace('"', '""') + '"'
