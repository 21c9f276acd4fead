"""What rules need to know about a piece of cable."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap.assess.comeback import together_a
from groundstrap.assess.figures import BEST_INSULATION
from groundstrap.assess.results import CircuitAssessment
from groundstrap.checks.facts import WireSubject
from groundstrap.checks.once import once
from groundstrap.checks.rule import below
from groundstrap.model import FUSES, State, Wire
from groundstrap.tables import insulation
from groundstrap.tables.fuses import SURE_TO_OPEN
from groundstrap.words import words

__all__: list[str] = []


def carries_current(subject: WireSubject) -> bool:
    """Whether the current of some load or charger passes it."""
    return subject.found is not None and (bool(subject.found.loads) or subject.found.continuous_a != 0.0)


def heating_a(subject: WireSubject) -> float | None:
    """Steady current that heats it as much as its loads do: the continuous one, or by their duty. [A]"""
    if subject.found is None:
        return None
    if subject.found.continuous_a is None:
        return None
    return subject.found.thermal_a if subject.found.thermal_a is not None else subject.found.continuous_a


def known_heating_a(subject: WireSubject) -> float | None:
    """The same of the loads that are known: it carries that at least. [A]"""
    return subject.found.known_thermal_a if subject.found is not None else None


def ampacity_a(subject: WireSubject) -> float | None:
    """Ampacity where it is weakest, after every derating, all parallel wires together. [A]"""
    return subject.found.ampacity_a if subject.found is not None else None


def ampacity_best_a(subject: WireSubject) -> float | None:
    """The same with the best usual insulation, where nobody wrote it, over the pieces that are known. [A]"""
    return subject.found.ampacity_best_a if subject.found is not None else None


def insulation_suits(subject: WireSubject) -> bool | None:
    """Whether its insulation stands the air everywhere on its way; None where that is not known."""
    found = [s.suitable for s in subject.found.stretches] if subject.found is not None else []
    if False in found:
        return False
    return None if None in found or not found else True


def lasting_a(subject: WireSubject) -> float | None:
    """What goes on round the clock through it, of loads that are known. [A]"""
    return subject.found.lasting_a if subject.found is not None else None


def lasting_limit_a(subject: WireSubject) -> float | None:
    """The most that may, all parallel wires together. [A]"""
    return subject.found.lasting_limit_a if subject.found is not None else None


def ampacity_source(subject: WireSubject) -> str | None:
    """Source of the ampacity where it is weakest."""
    if subject.found is None:
        return None
    zone = subject.found.weakest_zone
    return next((s.source for s in subject.found.stretches if s.zone == zone and s.source), None)


def weakest_zone(subject: WireSubject) -> str:
    """Zone in which it carries least."""
    return (subject.found.weakest_zone if subject.found is not None else None) or words("its place")


def conductor_c(subject: WireSubject) -> float | None:
    """Hottest temperature that the current brings it to. [degC]"""
    return subject.found.conductor_c if subject.found is not None else None


def heats_without_end(subject: WireSubject) -> bool:
    """Whether what it carries without a pause heats it on and on, so that no temperature is its last."""
    found = subject.found
    if found is None or found.area_mm2 is None or found.continuous_a is None:
        return False
    # What pauses is over before its conductor comes near the temperature that it would never reach.
    steady = found.thermal_a is not None and not below(found.thermal_a, found.continuous_a)
    return steady and found.conductor_c is None


def class_c(subject: WireSubject) -> float | None:
    """Temperature that its insulation stands for its whole life. [degC]"""
    return subject.found.class_c if subject.found is not None else None


def zone_top_c(subject: WireSubject) -> float | None:
    """Hottest air that it lies in. [degC]"""
    zones = subject.facts.installation.zones
    tops = [zones[s.zone].high_c for s in subject.wire.stretches if s.zone in zones]
    return max(tops) if tops else None


def hottest_zone(subject: WireSubject) -> str:
    """Zone with the hottest air that it lies in."""
    zones = subject.facts.installation.zones
    known = [s.zone for s in subject.wire.stretches if s.zone in zones]
    return max(known, key=lambda zone: zones[zone].high_c) if known else words("its place")


def insulation_written(subject: WireSubject) -> bool:
    """Whether its insulation is written, and not the usual one of the basis."""
    return subject.wire.insulation is not None


def best_class_c(subject: WireSubject) -> float | None:
    """Class of its insulation, the best usual one where nobody wrote it. [degC]"""
    if subject.found is None:
        return None
    return insulation(BEST_INSULATION).class_c if subject.found.insulation_assumed else subject.found.class_c


def insulation_c(subject: WireSubject) -> float | None:
    """Temperature that its insulation is rated for. [degC]"""
    return subject.found.insulation_c if subject.found is not None else None


def area_mm2(subject: WireSubject) -> float | None:
    """Conductor area of one of its wires. [mm2]"""
    return None if subject.wire.size is None else subject.wire.size.area_mm2


def minimum_mm2(subject: WireSubject) -> float | None:
    """Least area by strength that the basis asks for. [mm2]"""
    return subject.found.minimum_mm2 if subject.found is not None else None


def material_name(subject: WireSubject) -> str:
    """What its conductor is made of."""
    return subject.wire.material


def on_boat(subject: WireSubject) -> bool:
    """Whether the job is judged as a boat."""
    return subject.facts.basis == "boat"


def is_way_back(subject: WireSubject) -> bool:
    """Whether it is part of a way back that is drawn as cable."""
    return subject.wire.returning and carries_current(subject)


def fuse_a(subject: WireSubject) -> float | None:
    """Rating of the nearest fuse before it; None where there is none or it is not known. [A]"""
    ratings = [fuse.rating_a for fuse in subject.facts.guards.get(subject.wire.name, ())]
    known = [rating for rating in ratings if rating is not None]
    return max(known) if known and len(known) == len(ratings) else None


def known_fuse_a(subject: WireSubject) -> float | None:
    """Largest rating that is known of the fuses before it, whatever the others are. [A]"""
    ratings = [fuse.rating_a for fuse in subject.facts.guards.get(subject.wire.name, ())]
    return max((rating for rating in ratings if rating is not None), default=None)


def has_fuse_ahead(subject: WireSubject) -> bool:
    """Whether some fuse or breaker stands before it."""
    return bool(subject.facts.guards.get(subject.wire.name))


def out_ampacity_a(subject: WireSubject) -> float | None:
    """Ampacity of the weakest cable on the way out of the same circuit. [A]"""
    facts = subject.facts
    outs = [w for w in subject.circuit.wires if not w.returning]
    amps = [facts.wire_findings[w.name].ampacity_a for w in outs if w.name in facts.wire_findings]
    known = [value for value in amps if value is not None]
    return min(known) if known and len(known) == len(amps) else None


def shares_circuits(subject: WireSubject) -> int:
    """How many circuits return through it."""
    return len(_returning(subject))


@once
def fuses_sum_a(subject: WireSubject) -> float | None:
    """Fuses of the circuits that return through it, branches no more than their feeder, in sum. [A]"""
    circuits = subject.facts.assessment.circuits
    own_a = {name: _smallest_fuse_a(circuits.get(name)) for name in _returning(subject)}
    if any(rating_a is None for rating_a in own_a.values()):
        return None
    if any(_rating_unknown(circuits.get(f)) for name in own_a for f in circuits[name].feeders):
        return None
    return _sum_of_fuses_a(subject, own_a)


def sure_sum_a(subject: WireSubject) -> float | None:
    """Current from which on those fuses are sure to open together: 1.35 times their ratings. [A]"""
    sum_a = fuses_sum_a(subject)
    return None if sum_a is None else SURE_TO_OPEN * sum_a


def overload_a(subject: WireSubject) -> float | None:
    """What brings it to class + 50 K for ever. [A]"""
    return subject.found.overload_a if subject.found is not None else None


def known_fuses_sum_a(subject: WireSubject) -> float | None:
    """The same of the fuses that are known, those behind a fuse nobody read left out. [A]"""
    circuits = subject.facts.assessment.circuits
    own_a = {
        name: _smallest_fuse_a(circuits.get(name))
        for name in _returning(subject)
        if not any(_rating_unknown(circuits.get(feeder)) for feeder in circuits[name].feeders)
    }
    return _sum_of_fuses_a(subject, own_a)


def _rating_unknown(circuit: CircuitAssessment | None) -> bool:
    """Whether it has a fuse whose rating is not known."""
    return circuit is not None and any(fuse.rating_a is None for fuse in circuit.fuses.values())


def _sum_of_fuses_a(subject: WireSubject, own_a: Mapping[str, float | None]) -> float:
    """Sum of the fuses of circuits, those behind a feeder no more than its own fuse. [A]"""
    if not own_a:
        return 0.0
    circuits = subject.facts.assessment.circuits
    return together_a(
        {name: rating_a for name, rating_a in own_a.items() if rating_a is not None},
        lambda name: circuits[name].feeders,
        lambda name: _smallest_fuse_a(circuits.get(name)),
    )


def feeder_fuse_a(subject: WireSubject) -> float | None:
    """Smallest fuse that everything returning through it has passed; None where there is none. [A]"""
    ratings = [f.rating_a for f in subject.facts.guards.get(subject.wire.name, ()) if f.rating_a is not None]
    return min(ratings) if ratings else None


def feeder_fuse_unread(subject: WireSubject) -> bool:
    """Whether a fuse that everything returning through it has passed has a rating that nobody knows."""
    return any(fuse.rating_a is None for fuse in subject.facts.guards.get(subject.wire.name, ()))


def parallel_count(subject: WireSubject) -> int:
    """How many wires lie side by side."""
    return subject.wire.parallel


def one_wire_ampacity_a(subject: WireSubject) -> float | None:
    """Ampacity of one of its parallel wires alone. [A]"""
    amps = ampacity_a(subject)
    return None if amps is None else amps / subject.wire.parallel


def one_wire_best_a(subject: WireSubject) -> float | None:
    """The same with the best usual insulation, where nobody wrote it. [A]"""
    amps = ampacity_best_a(subject)
    return None if amps is None else amps / subject.wire.parallel


def is_step_down(subject: WireSubject) -> bool:
    """Whether a thicker cable runs into it with no fuse between."""
    before = _before(subject)
    if before is None or before.area_mm2 is None or subject.wire.area_mm2 is None:
        return False
    return subject.wire.area_mm2 < before.area_mm2


def area_before_mm2(subject: WireSubject) -> float | None:
    """Area of the cable that runs into it, all parallel wires together. [mm2]"""
    before = _before(subject)
    return before.area_mm2 if before is not None else None


def area_all_mm2(subject: WireSubject) -> float | None:
    """Area of all its parallel wires together. [mm2]"""
    return subject.wire.area_mm2


def is_existing(subject: WireSubject) -> bool:
    """Whether it is in the vehicle already and stays."""
    return subject.wire.state is State.EXISTING


def size_known(subject: WireSubject) -> bool | None:
    """True where its size is known, else None."""
    return True if subject.wire.size is not None else None


def _smallest_fuse_a(circuit: CircuitAssessment | None) -> float | None:
    """Smallest rating of a circuit's fuses; None where it has none or one is not known. [A]"""
    ratings = [fuse.rating_a for fuse in circuit.fuses.values()] if circuit is not None else []
    known = [rating_a for rating_a in ratings if rating_a is not None]
    return min(known) if known and len(known) == len(ratings) else None


@once
def _before(subject: WireSubject) -> Wire | None:
    """The cable before it in its circuit, fuses not passed."""
    if subject.wire.returning:
        return None
    here = subject.wire.start
    outs = {e.end: e for e in subject.circuit.path if isinstance(e, Wire)}
    parts = {p.end: p for p in subject.circuit.parts if not p.returning}
    for _ in range(len(outs) + len(parts)):
        if here in outs:
            return outs[here]
        part = parts.get(here)
        if part is None or part.kind in FUSES:
            return None
        here = part.start
    return None


@once
def _returning(subject: WireSubject) -> tuple[str, ...]:
    """Circuits whose fuses bound what comes back through it, where it is no live cable."""
    if subject.found is None or not subject.found.loads or _is_live(subject):
        return ()
    return subject.found.bounds_back


def _is_live(subject: WireSubject) -> bool:
    """Whether it lies on the way out: its circuit starts at a plus post, or leads to a load by it."""
    if subject.wire.returning:
        return False
    circuit = subject.circuit
    ends_negative = subject.facts.battery_at(circuit.end, minus=True) is not None
    starts_negative = subject.facts.battery_at(circuit.start, minus=True) is not None
    return not (ends_negative or starts_negative)
