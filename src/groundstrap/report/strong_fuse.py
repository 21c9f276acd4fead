"""Why a small load has a large fuse: a blade does not break what may flow there, and what would let it do."""

from __future__ import annotations

from typing import Final

from groundstrap.assess import FuseAssessment, WireAssessment
from groundstrap.model import Circuit, State, Wire
from groundstrap.report.figures import Display, amps
from groundstrap.report.plan import Plan
from groundstrap.tables import NotTabled, breaking_capacity, fuse_ratings
from groundstrap.words import Words, term, words

__all__ = ["is_smallest_that_breaks", "strong_fuse_words"]

_USUAL: Final = "regular blade"
_LASTING: Final = 0.75
"""Share of its rating that a blade carries for hours in a warm place; common practice."""


def is_smallest_that_breaks(fuse: FuseAssessment) -> bool:
    """Whether it is the lowest rating of a type that was taken since a blade does not break the fault."""
    if fuse.family in {None, _USUAL} or fuse.fault_most_a is None or fuse.rating_a is None:
        return False
    blade_a = _blade_breaks_a(fuse.highest_v)
    if blade_a is None or fuse.fault_most_a <= blade_a or fuse.rating_a != min(fuse_ratings(fuse.family)):
        return False
    flows_a = fuse.continuous_a or 0.0
    return any(flows_a <= _LASTING * rating_a < _LASTING * fuse.rating_a for rating_a in fuse_ratings(_USUAL))


def strong_fuse_words(plan: Plan, circuit: Circuit, shown: Display) -> Words | None:
    """Return why the new fuses of a circuit are of a type with no small ratings, and the way out.

    None where they are not, where what their load takes asks for that rating, or where no load is on it.
    """
    if not circuit.loads:
        return None
    chosen = {} if plan.design is None else plan.design.fuses
    found = plan.assessment.circuits[circuit.name]
    for name, fuse in found.fuses.items():
        blade_a = _blade_breaks_a(fuse.highest_v)
        if name not in chosen or blade_a is None or not is_smallest_that_breaks(fuse):
            continue
        told = words(
            "{fuse}: up to {fault} may flow into a short here, and a blade breaks {breaks}; the smallest "
            "{family} fuse has {rating}",
            fuse=name, fault=amps(fuse.fault_most_a), breaks=amps(blade_a),
            family=term(fuse.family or ""), rating=amps(fuse.rating_a),
        )  # fmt: skip
        return words("{told}. {way_out}.", told=told, way_out=_way_out(plan, circuit, fuse, blade_a, shown))
    return None


def _way_out(plan: Plan, circuit: Circuit, fuse: FuseAssessment, blade_a: float, shown: Display) -> Words:
    """What would let a blade do: cable behind a fuse of its own, at the battery a block behind one."""
    wire = _feeder(plan, circuit)
    ohm_per_m = None if wire is None else _found(plan, wire).ohm_per_m_20c
    if wire is None or ohm_per_m is None or fuse.fault_most_a is None:
        return words("A block behind a main fuse and enough cable lets blades do there")
    # Out and back together; cold cable has fewer ohms, so a little more of it is needed then.
    more_m = fuse.highest_v * (1.0 / blade_a - 1.0 / fuse.fault_most_a) / ohm_per_m
    return words(
        "About {more} more of {size} before it, out and back together, would let a blade do",
        more=shown.length(more_m), size=shown.short(wire.size),
    )  # fmt: skip


def _feeder(plan: Plan, circuit: Circuit) -> Wire | None:
    """The longest cable of what feeds a circuit; None where it begins at a battery."""
    names = plan.assessment.circuits[circuit.name].feeders
    ahead = [plan.installation.circuits[name] for name in names if name in plan.installation.circuits]
    wires = [w for each in ahead for w in each.wires if not w.returning and w.size is not None]
    there = [wire for wire in wires if wire.state is not State.REMOVE]
    return max(there, key=lambda wire: wire.length_m, default=None)


def _found(plan: Plan, wire: Wire) -> WireAssessment:
    return plan.assessment.circuits[wire.circuit].wires[wire.name]


def _blade_breaks_a(highest_v: float) -> float | None:
    found = breaking_capacity(_USUAL, highest_v)
    return None if isinstance(found, NotTabled) else found.interrupt_a
