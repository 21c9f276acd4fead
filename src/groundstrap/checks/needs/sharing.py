"""What rules need to know about a converter that other circuits' current comes back through."""

from __future__ import annotations

from groundstrap.assess.return_results import ThroughConverter
from groundstrap.checks.facts import SupplySubject
from groundstrap.checks.words import one_of

__all__: list[str] = []


def shares_negative(subject: SupplySubject) -> bool:
    """Whether it is a converter or charger whose input and output share their negative."""
    return subject.supply.in_minus is not None and not subject.supply.isolated


def foreign_a(subject: SupplySubject) -> float:
    """Current of other circuits that comes back through its negative. [A]"""
    found = _through(subject)
    return found.foreign_a if found is not None else 0.0


def negative_limit_a(subject: SupplySubject) -> float | None:
    """What it gives, and what its terminals are made for. [A]"""
    found = _through(subject)
    return found.limit_a if found is not None else subject.supply.rating_a


def foreign_loads(subject: SupplySubject) -> str:
    """The loads whose current that is."""
    found = _through(subject)
    return one_of(found.loads) if found is not None else ""


def negative_joins(subject: SupplySubject) -> str:
    """The points that its negative joins to one another."""
    found = _through(subject)
    return " to ".join(found.joins[:2]) if found is not None else ""


def _through(subject: SupplySubject) -> ThroughConverter | None:
    return subject.facts.assessment.returns.through.get(subject.supply.name)
