"""What is said about a cable between the body and a battery's minus."""

from __future__ import annotations

import math

from groundstrap.records import dataclass

__all__ = ["BondAssessment"]


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
