"""What `choose` answers: sizes and ratings, why each smaller one lost, and what could not be chosen."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

from groundstrap.assess import ReasonKind
from groundstrap.model import Installation
from groundstrap.records import dataclass
from groundstrap.units import ConductorSize

__all__ = ["Binding", "Blame", "Change", "Design", "FuseChoice", "Loss", "Remedy", "RemedyKind", "Unsolved"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Binding:
    """What stopped the next smaller wire of a circuit: `value` against `limit`, in the unit of the kind."""

    kind: ReasonKind | None
    """None where nothing stands against a smaller one: there is none, or it costs more."""
    stock: bool = False
    """Whether the stock has nothing smaller."""
    dearer: bool = False
    """Whether the next smaller one would do too but costs more."""
    smaller: ConductorSize | None = None
    where: str = ""
    value: float | None = None
    limit: float | None = None
    family: str = ""
    """Family that a rating is of, where the value is one that a fuse needs."""
    behind: str = ""
    """Fuse behind it that the rating must not be below, where that and not the load asks for it."""
    eased: Blame | None = None
    """What is written and makes it far thicker than it would be else."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FuseChoice:
    """A rating that was chosen, of the ratings that would have done."""

    rating_a: float
    family: str
    behind: str = ""
    """Fuse behind it that kept it from being lower; empty where its own load did."""
    after: str = ""
    """Fuse behind it that a lower one might not have waited for; empty where none was passed over."""


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that is written, and what was chosen in its place when that was tried."""

    where: str
    """Circuit of the cable, or the part."""
    at: str = ""
    """End of its circuit that a fuse would stand at, where that alone is another."""
    size: ConductorSize | None = None
    """Of the thinnest of the cable, as written."""
    length_m: float = 0.0
    """Of all the cable, out and back. [m]"""
    would_do: ConductorSize | None = None
    rating_a: float | None = None
    """Of a fuse, as written. [A]"""
    would_do_a: float | None = None
    """Of a fuse, or rating from which on another part would do; None where one of its own would. [A]"""
    family: str = ""
    """Of the fuse that would do."""
    ohm: float | None = None
    """Of another part. [ohm]"""
    known: bool = True
    """Whether somebody wrote its ohms."""
    would_do_ohm: float | None = None
    """What such parts usually have. [ohm]"""


@dataclass(frozen=True, slots=True)
class Blame:
    """What is written and costs most: one thing alone, or the fewest that must change together."""

    changes: tuple[Change, ...]
    drop_v: float = 0.0
    """What they lose together; inf where the current heats a wire without end. [V]"""
    gives: ConductorSize | None = None
    """Size that is then chosen for the circuit itself."""

    @property
    def where(self) -> tuple[str, ...]:
        """Circuits of cable, and parts."""
        return tuple(change.where for change in self.changes)


@dataclass(frozen=True, slots=True)
class Loss:
    """What one part, or the cable of one circuit, loses on the way to a load."""

    where: str
    drop_v: float


class RemedyKind(StrEnum):
    """What helps where nothing that is written stands in the way."""

    SHELF = "shelf"
    """Cable that is not in stock."""
    PARALLEL = "parallel"
    """Cables side by side."""
    INSULATION = "insulation"
    SHORTER = "shorter"


@dataclass(frozen=True, slots=True)
class Remedy:
    """What was tried and helps; what it says beside the kind is in the kind's unit."""

    kind: RemedyKind
    value: float = 0.0
    """Cables side by side [1], class of insulation [degC], or length out [m]."""
    size: ConductorSize | None = None
    """Size that is chosen then."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsolved:
    """A circuit for which nothing could be chosen, and why."""

    circuit: str
    kind: ReasonKind
    where: str = ""
    value: float | None = None
    limit: float | None = None
    size: ConductorSize | None = None
    """The thickest that there is, where a drop is beyond it."""
    chain: str = ""
    """Limit on a drop that is not met."""
    blame: Blame | None = None
    """What is written and stands in the way."""
    remedy: Remedy | None = None
    """What helps where nothing that is written does."""
    losses: tuple[Loss, ...] = ()
    """Where most of a drop goes that nothing helps, with the thickest cable; what loses most first."""
    hangs_on: tuple[str, ...] = ()
    """Circuits between batteries whose cable nobody knows, so that nobody knows what flows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """A whole choice. Nothing that was written or exists is ever changed."""

    installation: Installation
    """With the choices in."""
    sizes: Mapping[str, ConductorSize]
    """Wire -> size, of every wire that was chosen."""
    fuses: Mapping[str, FuseChoice]
    """Part -> rating and family."""
    families: Mapping[str, str]
    """Part of a written rating without a family -> the one that breaks its fault where the usual can't."""
    bindings: Mapping[str, Binding]
    """Circuit -> what stopped its next smaller wire."""
    unsolved: tuple[Unsolved, ...]
    copper_cm3: float
    """Of every wire that was chosen. [cm3]"""
    price: float | None
    """Of every wire that was chosen, where the stock prices all of them, in the currency of the stock."""
    lifted: tuple[str, ...]
    """Circuits that are thicker than they need themselves, for the drop of others behind or before them."""
