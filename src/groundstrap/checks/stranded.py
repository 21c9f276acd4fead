"""Ends of a circuit from which no way leads to the two posts of one source."""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum

from groundstrap.assess.takers import takes
from groundstrap.checks.facts import CircuitSubject, Facts
from groundstrap.checks.once import once
from groundstrap.checks.reach import reached
from groundstrap.model import Load, Passage, State, Supply

__all__ = ["Side", "charging_from", "is_stranded", "stranded"]


class Side(StrEnum):
    """Which of its two ways leads nowhere."""

    OUT = "out"
    BACK = "back"
    BOTH = "both"
    """Each leads to a source, but not to the same one's two posts."""


@once
def stranded(subject: CircuitSubject) -> tuple[str, Side] | None:
    """Return the load or converter at its end that no source can feed, with the way that leads nowhere.

    None where there is no such one, and where an end lies in what is in the vehicle already or unknown.
    """
    facts, circuit = subject.facts, subject.circuit
    lost = any(isinstance(e, Passage) and e.what == "unknown" for e in (*circuit.path, *circuit.back))
    if lost or not circuit.return_known or circuit.state is State.EXISTING:
        return None
    for name, plus, minus in _consumers(subject):
        side = _side(facts, plus, minus)
        if side is not None:
            return name, side
    machine = charging_from(subject)
    side = None if machine is None else _taken_by(facts, machine)
    return None if machine is None or side is None else (machine.name, side)


def charging_from(subject: CircuitSubject) -> Supply | None:
    """Return the charger, converter or panel whose output a circuit begins at; None of any other."""
    machine = subject.facts.machine_at(subject.circuit.start)
    return machine if machine is not None and not subject.circuit.loads else None


def _taken_by(facts: Facts, machine: Supply) -> Side | None:
    """Which way from what charges leads to nothing that takes its current; None where both do."""
    out, back = _metal(facts, machine.plus), _metal(facts, machine.minus)
    pairs = [(facts.point(plus), facts.point(minus)) for plus, minus in takes(facts.installation)]
    if any(plus in out and minus in back for plus, minus in pairs) or _is_old(facts, out | back):
        return None
    if not any(plus in out for plus, _ in pairs):
        return Side.OUT
    return Side.BOTH if any(minus in back for _, minus in pairs) else Side.BACK


def is_stranded(facts: Facts, load: Load) -> bool:
    """Tell whether no source can feed a load, its switches closed or not."""
    found = facts.assessment.loads.get(load.name)
    return found is not None and found.source is None and _side(facts, load.plus, load.minus) is not None


def _consumers(subject: CircuitSubject) -> Iterator[tuple[str, str, str]]:
    """Loads that no situation serves and the converter at its end, each with its plus and minus."""
    facts, circuit = subject.facts, subject.circuit
    for name in circuit.loads:
        load, found = facts.loads.get(name), facts.assessment.loads.get(name)
        # What is fed through another load in a row has a source, though no metal leads to it.
        if load is not None and found is not None and found.source is None:
            yield name, load.plus, load.minus
    converter = facts.supplies.get(circuit.converter or "")
    if converter is not None and converter.in_plus is not None and converter.in_minus is not None:
        yield converter.name, converter.in_plus, converter.in_minus


def _side(facts: Facts, plus: str, minus: str) -> Side | None:
    out, back = _metal(facts, plus), _metal(facts, minus)
    sources = [_posts(facts, supply) for supply in facts.supplies.values()]
    if not sources or any(_feeds(posts, out, back) for posts in sources):
        return None
    every = frozenset().union(*sources)
    blind = {side: way for side, way in ((Side.BACK, back), (Side.OUT, out)) if not way & every}
    if any(_is_old(facts, way) for way in blind.values() or (out, back)):
        return None
    return next(iter(blind), Side.BOTH)


def _feeds(posts: frozenset[str], out: frozenset[str], back: frozenset[str]) -> bool:
    """Whether one post lies on the way out and another on the way back."""
    return any(a != b for a in posts & out for b in posts & back)


def _posts(facts: Facts, supply: Supply) -> frozenset[str]:
    return frozenset(facts.point(post) for post in (supply.plus, supply.minus, *supply.taps))


def _metal(facts: Facts, start: str) -> frozenset[str]:
    """Points that one leads to, through the body too."""
    way = reached(facts, start)
    body = frozenset(facts.point(point) for point in facts.installation.chassis_points)
    return way.union(*(reached(facts, point) for point in body)) if way & body else way


def _is_old(facts: Facts, way: frozenset[str]) -> bool:
    """Whether a way comes to what is in the vehicle already, of which not all is drawn."""
    named = [(gear.state, name) for name, gear in facts.installation.gear.items()]
    named += [(c.state, end) for c in facts.circuits.values() for end in (c.start, c.end)]
    named += [(supply.state, post) for supply in facts.supplies.values() for post in _posts(facts, supply)]
    return any(state is State.EXISTING and facts.point(point) in way for state, point in named)
