"""The answer to one question: does this fuse save this conductor where it lies?"""

from __future__ import annotations

from groundstrap.records import dataclass

__all__ = ["Protection"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Protection:
    """Whether one fuse saves one conductor where it lies, and the current at which it comes closest."""

    verdict: bool | None
    """None where nobody knows when the fuse opens, or what the conductor carries."""
    why: str = ""
    """Of None: what is missing."""
    highest_a: float | None = None
    """Highest rating of this curve that saves the conductor, parallel ones together. [A]"""
    critical_a: float | None = None
    time_s: float | None = None
    """Longest time for which the critical current flows; inf where it may never open the fuse. [s]"""
    temp_c: float | None = None
    """What it brings the conductor to by then; inf where it has no end. [degC]"""
    limit_c: float | None = None
    margin_pct: float | None = None
    """How much the rating could grow. [%]"""
    chord_only: bool = False
    """Whether only the straight line between gates saves it, not the staircase that they guarantee."""
    chord_caution: bool = False
    """Whether that is a caution: the elements of time-lag and strip types are less surely convex."""
    source: str = ""
    known: str = ""
