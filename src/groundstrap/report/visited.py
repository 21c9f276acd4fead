"""Accepted visits of a vehicle, as a pack tells them: when, by whom, and what became of each joint."""

from __future__ import annotations

from groundstrap.locate import Growth
from groundstrap.records import dataclass

__all__ = ["VisitLine", "Visited"]


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitLine:
    """One visit; the first is how the vehicle was built."""

    day: str
    who: str
    note: str
    places: int
    """How many were read."""
    revision: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Visited:
    """All accepted visits, the first one first, and each place over them."""

    lines: tuple[VisitLine, ...]
    grown: tuple[Growth, ...]
