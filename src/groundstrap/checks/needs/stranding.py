"""What rules need to know about circuits that no source can feed."""

from __future__ import annotations

from groundstrap.checks.facts import CircuitSubject
from groundstrap.checks.stranded import stranded

__all__: list[str] = []


def serves_something(subject: CircuitSubject) -> bool:
    """Whether it leads to a load or to a converter's input."""
    return bool(subject.circuit.loads) or subject.circuit.converter is not None


def unfed(subject: CircuitSubject) -> str:
    """The load or converter at its end that no source can feed; empty where there is none."""
    found = stranded(subject)
    return found[0] if found is not None else ""


def way_that_ends(subject: CircuitSubject) -> str:
    """Which way leads to no source: `out`, `back`, or `both` where not to the same one; empty where none."""
    found = stranded(subject)
    return found[1].value if found is not None else ""


def starts_at(subject: CircuitSubject) -> str:
    """Name of the point that its way out begins at."""
    return subject.circuit.start


def comes_back_to(subject: CircuitSubject) -> str:
    """Name of the point that its way back ends at."""
    back, end = subject.circuit.back_end, stranded(subject)
    return back if back is not None else f"{end[0]} -" if end is not None else ""
