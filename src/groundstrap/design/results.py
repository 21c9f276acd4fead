"""What `choose` answers: sizes and ratings, why each smaller one lost, and what could not be chosen."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap.assess import ReasonKind
from groundstrap.model import Installation
from groundstrap.records import dataclass
from groundstrap.units import ConductorSize

__all__ = ["Binding", "Blame", "Design", "FuseChoice", "Unsolved"]


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
class Blame:
    """What is written and stands in the way of a drop limit: one thing alone, or what loses most together."""

    where: tuple[str, ...]
    """Circuits of wires, and parts."""
    drop_v: float
    """What they lose; inf where the current heats a wire without end. [V]"""
    size: ConductorSize | None = None
    """Of the thinnest of one circuit's wires; None of parts, and of several."""
    would_do: ConductorSize | None = None
    """The least size of its wires that leaves others enough; None where none does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsolved:
    """A circuit for which nothing could be chosen, and why."""

    circuit: str
    kind: ReasonKind
    where: str = ""
    value: float | None = None
    limit: float | None = None
    blame: Blame | None = None
    """What is written on the way and takes too much of a drop limit."""
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
    bindings: Mapping[str, Binding]
    """Circuit -> what stopped its next smaller wire."""
    unsolved: tuple[Unsolved, ...]
    copper_cm3: float
    """Of every wire that was chosen. [cm3]"""
    price: float | None
    """Of every wire that was chosen, where the stock prices all of them, in the currency of the stock."""
    lifted: tuple[str, ...]
    """Circuits that are thicker than they need themselves, for the drop of others behind or before them."""
