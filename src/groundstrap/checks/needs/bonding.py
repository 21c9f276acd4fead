"""What rules need to know about a cable that a short to the body comes back through."""

from __future__ import annotations

from groundstrap.assess.return_results import BondAssessment
from groundstrap.checks.facts import WireSubject
from groundstrap.checks.once import once

__all__: list[str] = []


def bonds_body(subject: WireSubject) -> bool:
    """Whether it alone joins the body to the minus of a battery that feeds circuits with fuses."""
    return _bond(subject) is not None


def bond_fuse(subject: WireSubject) -> str:
    """Name of the fuse whose short to the body it stands worst."""
    found = _bond(subject)
    return found.fuse if found is not None else ""


def bond_fuse_a(subject: WireSubject) -> float | None:
    """Rating of the fuse whose short to the body it stands worst. [A]"""
    found = _bond(subject)
    return found.rating_a if found is not None else None


def bond_stands(subject: WireSubject) -> bool | None:
    """Whether every fuse ends its short to the body before this cable is too hot; None if not known."""
    found = _bond(subject)
    return found.stands if found is not None else None


def bond_fault_a(subject: WireSubject) -> float | None:
    """Current of that short through it. [A]"""
    found = _bond(subject)
    return found.current_a if found is not None else None


def bond_clears_s(subject: WireSubject) -> float | None:
    """Longest time until the fuse has ended it; nothing where it may never open. [s]"""
    found = _bond(subject)
    return found.clears_s if found is not None else None


def bond_stands_s(subject: WireSubject) -> float | None:
    """Time after which it is past its limit. [s]"""
    found = _bond(subject)
    return found.stands_s if found is not None else None


def bond_limit_c(subject: WireSubject) -> float | None:
    """Temperature that it may reach in that time. [degC]"""
    found = _bond(subject)
    return found.limit_c if found is not None else None


@once
def _bond(subject: WireSubject) -> BondAssessment | None:
    return next((b for b in subject.facts.assessment.returns.bonds if b.wire == subject.wire.name), None)
