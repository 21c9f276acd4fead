"""What is said about ways back: bonds, straps that nobody drew, converters that are a way back for others."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import field

from groundstrap.records import dataclass

__all__ = ["BondAssessment", "ReturnsAssessment", "ThroughConverter"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BondAssessment:
    """One bond at the short to the body that it stands worst, of all that fuses have to end."""

    wire: str
    fuse: str
    """The fuse that has to end it."""
    rating_a: float | None
    current_a: float | None
    """Through the bond; None where every current is stood, or something of it is not known. [A]"""
    clears_s: float | None
    """Longest time until the fuse has ended it; inf where it may never open. [s]"""
    stands_s: float | None
    """Time after which the bond passes its limit; inf where it never does. [s]"""
    limit_c: float | None
    saved: bool = False
    """Whether the fuse saves it at every current, as if it lay behind that fuse."""
    unknown: tuple[str, ...] = ()
    """What is missing: `size` of the bond, `rating` or `curve` of the fuse."""

    @property
    def stands(self) -> bool | None:
        """Whether the fuse is sure to open before the bond is too hot."""
        if self.saved:
            return True
        if self.clears_s is None or self.stands_s is None:
            return None
        return math.isinf(self.stands_s) or self.clears_s <= self.stands_s * (1 + 1e-9)


@dataclass(frozen=True, slots=True, kw_only=True)
class ThroughConverter:
    """A converter whose common negative is a way back for circuits that it does not feed."""

    converter: str
    wire: str
    """The cable at its negative that takes most of it."""
    circuit: str
    own_a: float
    """Of its own input and of what it feeds, through that cable. [A]"""
    foreign_a: float
    """Of everything else. [A]"""
    limit_a: float | None
    """What it gives at most, and what its terminals are made for. [A]"""
    loads: tuple[str, ...]
    """Whose current that is, the largest first."""
    joins: tuple[str, ...]
    """Points that its negative joins to one another."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReturnsAssessment:
    """Everything that is said about ways back which circuits share."""

    bonds: tuple[BondAssessment, ...] = ()
    """Each cable that joins the body to a battery's minus, at the short that it stands worst."""
    straps_a: Mapping[str, float] = field(default_factory=dict)
    """What comes back through a strap that nobody drew, of known loads, by its battery's name. [A]"""
    through: Mapping[str, ThroughConverter] = field(default_factory=dict)
    """Converters that other circuits' current comes back through, by their names."""
