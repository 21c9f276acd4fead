"""Every piece of a path, source to load and back: what passes it for hours, at a start and in a fault."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap.assess.part_results import PartAssessment, PathStep
from groundstrap.assess.results import CircuitAssessment, WireAssessment
from groundstrap.assess.starts import given_at_most_a, starting_groups
from groundstrap.assess.wiring import Wiring
from groundstrap.model import Passage

__all__ = ["path_steps"]


def path_steps(
    wiring: Wiring,
    circuits: Mapping[str, CircuitAssessment],
    parts: Mapping[str, PartAssessment],
) -> Mapping[str, PathStep]:
    """Return every wire and part of every circuit by its name."""
    steps = {}
    for name, found in circuits.items():
        circuit = wiring.installation.circuits[name]
        most_a = _fault_most_a(circuits, found)
        drops = {each.name: each.drop_v for each in found.drop.elements}
        for element in circuit.path + circuit.back:
            if isinstance(element, Passage):
                continue
            rated = found.wires.get(element.name) or parts.get(element.name)
            if rated is not None:
                drop_v = drops.get(element.name)
                steps[element.name] = _step(wiring, found, rated, drop_v, most_a=most_a)
    return steps


def _fault_most_a(circuits: Mapping[str, CircuitAssessment], found: CircuitAssessment) -> float | None:
    """Most that a short drives through a circuit; through a way back that of all that comes back by it."""
    if found.fault_most_a is not None:
        return found.fault_most_a
    through = {name for each in circuits.values() if found.name in each.feeders for name in each.feeders}
    through |= {each.name for each in circuits.values() if found.name in each.feeders}
    known = [amps for name in through if (amps := circuits[name].fault_most_a) is not None]
    return max(known, default=None)


def _step(
    wiring: Wiring,
    circuit: CircuitAssessment,
    rated: WireAssessment | PartAssessment,
    drop_v: float | None,
    *,
    most_a: float | None,
) -> PathStep:
    fuse = circuit.fuses.get(rated.name)
    if isinstance(rated, WireAssessment):
        through_a, limit_a = rated.continuous_a, rated.ampacity_a
        margin_pct = _margin_pct(through_a, limit_a)
    else:
        through_a, limit_a, margin_pct = rated.through_a, rated.limit_a, rated.margin_pct
        if drop_v is None and rated.drop_v is not None:
            drop_v = rated.drop_v.value
    start_a, assumed = _start(wiring, rated, through_a)
    return PathStep(
        name=rated.name,
        through_a=through_a,
        known_a=rated.known_a,
        limit_a=limit_a,
        margin_pct=margin_pct,
        start_a=start_a,
        start_assumed=assumed,
        fault_least_a=circuit.fault_least_a,
        fault_most_a=most_a if fuse is None else fuse.fault_most_a,
        drop_v=drop_v,
    )


def _margin_pct(through_a: float | None, limit_a: float | None) -> float | None:
    if through_a is None or limit_a is None or limit_a <= 0.0:
        return None
    return 100.0 * (limit_a - through_a) / limit_a


def _start(
    wiring: Wiring,
    rated: WireAssessment | PartAssessment,
    through_a: float | None,
) -> tuple[float | None, bool]:
    """Most that passes at a start, and whether that start is only what its kind does. [A]"""
    if through_a is None or rated.name not in wiring.currents.pieces:
        return None, False
    limit_a = max(through_a, given_at_most_a(wiring, rated.name))
    most_a, assumed = max(through_a, min(rated.peak_a or 0.0, limit_a)), False
    for group in starting_groups(wiring, rated.name):
        if min(group.peak_a, limit_a) > most_a * (1 + 1e-9):
            most_a, assumed = min(group.peak_a, limit_a), not group.written
    return most_a, assumed
