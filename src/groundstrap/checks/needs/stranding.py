"""What rules need to know about circuits that no source can feed."""

from __future__ import annotations

from groundstrap.checks.facts import CircuitSubject
from groundstrap.checks.once import once
from groundstrap.checks.rule import About
from groundstrap.checks.stranded import charging_from, stranded
from groundstrap.checks.words import one_of
from groundstrap.model import Passage, State

__all__: list[str] = []


def serves_something(subject: CircuitSubject) -> bool:
    """Whether it leads to a load or to a converter's input, or begins at what charges."""
    served = bool(subject.circuit.loads) or subject.circuit.converter is not None
    return served or charging_from(subject) is not None


def charges_nothing(subject: CircuitSubject) -> bool:
    """Whether it begins at what charges, and nothing takes that current back to its minus."""
    return charging_from(subject) is not None and stranded(subject) is not None


def as_found(subject: CircuitSubject) -> bool:
    """Whether it is there already, or ends where nobody knows: what it leads to is not all drawn."""
    circuit = subject.circuit
    lost = any(isinstance(e, Passage) and e.what == "unknown" for e in (*circuit.path, *circuit.back))
    return lost or not circuit.return_known or circuit.state is State.EXISTING


def unfed(subject: CircuitSubject) -> str:
    """What one missing piece leaves without a source, or with nothing to charge; empty where none."""
    if stranded(subject) is None:
        return ""
    alike = (stranded(each) for each in _alike(subject))
    return one_of(dict.fromkeys(found[0] for found in alike if found is not None), most=6)


def unfed_told_at(subject: CircuitSubject) -> str:
    """An earlier circuit that ends at the same point with no source; empty where there is none."""
    first = next(iter(_alike(subject)), subject)
    return "" if first.where == subject.where else first.where


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


@once
def _alike(subject: CircuitSubject) -> tuple[CircuitSubject, ...]:
    """Circuits that one missing piece leaves without a source, itself among them."""
    if stranded(subject) is None:
        return ()
    every = subject.facts.subjects(About.CIRCUIT)
    return tuple(c for c in every if isinstance(c, CircuitSubject) and _end(c) == _end(subject))


def _end(subject: CircuitSubject) -> tuple[str, ...] | None:
    """Which way leads nowhere, and the points where it does."""
    side = way_that_ends(subject)
    if not side:
        return None
    out = (starts_at(subject),) if side != "back" else ()
    back = (comes_back_to(subject),) if side != "out" else ()
    return (side, *out, *back)
