"""What can be said of a plant without running it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Optional, Tuple

from .. import _core
from .._given import plant_of
from .base import Study, document_of, frame, made, messages_of, texts_of


@dataclass(frozen=True)
class RiserCheck:
    """One riser before any run."""

    name: str  #: the riser
    volume_m3: float  #: inside volume [m3]
    set_pressure_pa: float  #: absolute pressure it is kept at [Pa]
    fill_limit_s: float  #: time its fill may take [s]
    fill_estimate_s: Optional[float]  #: about how long it takes [s]; None when it never fills
    vents_open_std_m3_per_s: float  #: standard flow through all vents, open, at set pressure [m3/s]
    vents_average_std_m3_per_s: float  #: the same, timed vents by the share of time they are open [m3/s]
    leaks_std_m3_per_s: float  #: standard flow through leaks at set pressure [m3/s]
    test_loss_pa: Optional[float]  #: lost in the usual acceptance test, 40 psi for 24 h [Pa]; None without a leak
    size_step: str  #: 'plain', 'quick-opening' or 'delivery-time': what its volume asks for (NFPA 13)


@dataclass(frozen=True)
class DeadEnd:
    """A branch that no vent lies behind and no loop passes by."""

    riser: str  #: where
    pipe: str  #: the line that it begins with
    pipes: int  #: pipes in it [count]
    copies: int  #: equal ones side by side, each of this volume [count]
    volume_m3: float  #: inside volume of one [m3]
    length_m: Optional[float]  #: from its mouth to its farthest end [m]; None without all geometry
    by_diffusion_s: Optional[float]  #: its end from air to target by diffusion alone [s]; None when never or not known
    by_mixing_s: Optional[float]  #: with buoyant exchange too [s]; None when never or not known
    leak_renewal_s: Optional[float]  #: its own leaks draw in as much gas as it holds in this time [s]


@dataclass(frozen=True, repr=False, eq=False)
class Check(Study):
    """What can be said of a plant without running it."""

    risers: Tuple[RiserCheck, ...]  #: in file order
    demand_std_m3_per_s: float  #: steady average of vents and leaks of all risers, as standard flow [m3/s]
    separator_std_m3_per_s: Optional[float]  #: nitrogen the source makes [m3/s]; None for cylinders and compressors
    margin: Optional[float]  #: part of that left beside the demand [1]; negative when it is not enough
    dead_ends: Tuple[DeadEnd, ...]  #: branches that mixing has to purge
    messages: Tuple[_core.Message, ...]  #: what an engineer should know before running it

    def to_dataframe(self) -> Any:
        """The risers as a table.

        Returns
        -------
        pandas.DataFrame
            One row per riser, columns as the attributes of `RiserCheck`.

        Raises
        ------
        ImportError
            Where pandas is not installed.
        """
        return frame(self.risers)


def check(plant: _core.Plant) -> Check:
    """Say everything that can be said of a plant without running it.

    Parameters
    ----------
    plant : Plant

    Returns
    -------
    Check

    Raises
    ------
    InputError
        For what is not a Plant.

    Source
    ------
    Vents and leaks at set pressure: model.md eq. 12; dead ends: slowest mode of diffusion, model.md eq. 9 and 10.
    """
    raw = _core._check(plant_of(plant))
    document = document_of(raw)
    return Check(
        _texts=texts_of(raw),
        risers=tuple(made(RiserCheck, entry) for entry in document["risers"]),
        demand_std_m3_per_s=document["demand_std_m3_per_s"],
        separator_std_m3_per_s=document["separator_std_m3_per_s"],
        margin=document["margin"],
        dead_ends=tuple(made(DeadEnd, entry) for entry in document["dead_ends"]),
        messages=messages_of(document["messages"]),
    )
