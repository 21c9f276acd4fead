"""What is said about a converter that other circuits' current comes back through."""

from __future__ import annotations

from groundstrap.records import dataclass

__all__ = ["ThroughConverter"]


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
