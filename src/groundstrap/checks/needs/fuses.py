"""What rules need to know about a fuse or breaker."""

from __future__ import annotations

from groundstrap.assess.results import CircuitAssessment, Reason, ReasonKind, WireAssessment
from groundstrap.checks.around import feeding_wire, fuses_before, source_of, wires_behind
from groundstrap.checks.facts import FuseSubject
from groundstrap.checks.known import family_of, fed_v
from groundstrap.checks.once import once
from groundstrap.checks.words import number
from groundstrap.model import Origin, PartKind, State
from groundstrap.physics.conductor import COPPER_PER_K, ohm_at_temperature
from groundstrap.tables import (
    BreakingCapacity,
    NotTabled,
    boat_interrupt_need,
    breaking_capacity,
    continuous_share,
    fuse_families,
    fuse_ratings,
)
from groundstrap.words import joined, words

__all__: list[str] = []

_CURRENT_LIMITING = frozenset({"class T"})
"""Families that cut a short off before its first peak: UL 248-15, from memory."""

_CABIN = "cabin"
_USUAL_FAMILY = "regular blade"
_NOT_A_LIMIT = frozenset({ReasonKind.UNKNOWN, ReasonKind.UNSUITABLE, ReasonKind.FAMILY})

_SMALL_DETOUR_M = 3.0
"""More cable that is a remedy on the shortest circuit, too. Own judgement. [m]"""


def fuse_a(subject: FuseSubject) -> float | None:
    """Rating that is written or chosen. [A]"""
    if subject.part.rating_a is not None:
        return subject.part.rating_a
    return subject.found.rating_a if subject.found is not None else None


def protects_something(subject: FuseSubject) -> bool:
    """Whether any cable stands behind it, up to the next fuse."""
    return bool(wires_behind(subject))


def loop_limit_a(subject: FuseSubject) -> float | None:
    """Greatest rating that every piece of its loop allows, ways back and connectors included. [A]"""
    reason = _loop_reason(subject)
    if subject.found is None or reason is None or reason.kind in _NOT_A_LIMIT:
        return None
    return subject.found.window.loop_limit_a


def _loop_reason(subject: FuseSubject) -> Reason | None:
    """What sets it: loads' own leads and what their makers allow have rules of their own."""
    return subject.found.window.loop_reason if subject.found is not None else None


def sure_limit_a(subject: FuseSubject) -> float | None:
    """What the pieces that are known allow at most, with the best insulation where nobody wrote it. [A]"""
    return _surest(subject)[0]


def sure_where(subject: FuseSubject) -> str | None:
    """The piece that sets it, with its two ends where it is a cable."""
    return _surest(subject)[1]


def limit_rests_on(subject: FuseSubject) -> str | None:
    """What is assumed of the piece that carries least; empty where all of it is written."""
    wire = _thinnest_wire(subject)
    if wire is None:
        return ""
    said = []
    if wire.insulation_assumed and wire.insulation_c is not None:
        said.append(words("insulation for {insulation_c} degC", insulation_c=number(wire.insulation_c)))
    zone = wire.weakest_zone
    if zone is not None and zone == _CABIN and not _zone_written(subject, wire):
        said.append(words("a place in the {zone}", zone=zone))
    return joined(words(" and "), said) if said else ""


def thinnest(subject: FuseSubject) -> str:
    """The piece of its loop that carries least, with its two ends where it is a cable."""
    reason = _loop_reason(subject)
    if reason is None:
        return words("the loop")
    named = next((wire for wire in wires_behind(subject) if wire.name == reason.where), None)
    return _ends(named) if named is not None else (reason.where or words("the loop"))


@once
def _thinnest_wire(subject: FuseSubject) -> WireAssessment | None:
    """The cable that carries least behind it, where that is what limits it."""
    reason = _loop_reason(subject)
    known = [wire for wire in wires_behind(subject) if wire.ampacity_a is not None]
    return next((wire for wire in known if reason is not None and wire.name == reason.where), None)


@once
def _surest(subject: FuseSubject) -> tuple[float | None, str]:
    """What the known pieces allow for certain at most, and the piece that says so."""
    limits = [(wire.ampacity_best_a, _ends(wire)) for wire in wires_behind(subject)]
    gear, ends = subject.facts.installation.gear, {p for w in wires_behind(subject) for p in (w.start, w.end)}
    for part in subject.facts.parts.values():
        if part.kind is PartKind.CONNECTOR and ends & {part.start, part.end}:
            named = gear.get(part.gear or "")
            limits.append((part.rating_a or (named.rating_a if named is not None else None), part.name))
    thin, limit_a = _thinnest_wire(subject), loop_limit_a(subject)
    if limit_a is not None and (thin is None or not thin.insulation_assumed):
        limits.append((limit_a, thinnest(subject)))
    known = [(amps, where) for amps, where in limits if amps is not None]
    return min(known, default=(None, words("the loop")))


def _zone_written(subject: FuseSubject, wire: WireAssessment) -> bool:
    """Whether somebody said in which zone everything at the ends of a wire's circuit is."""
    facts = subject.facts
    assumed = {a.where.removeprefix("places.") for a in facts.installation.assumptions if a.value == _CABIN}
    circuit = facts.installation.circuits[wire.circuit]
    names = {circuit.start, circuit.end, *circuit.loads}
    places = {gear.place for gear in facts.installation.gear.values() if gear.name in names}
    places |= {load.place for load in facts.loads.values() if load.name in names}
    return not assumed & (places | {part.place for part in circuit.parts})


def window_most_a(subject: FuseSubject) -> float | None:
    """Greatest rating that everything behind it allows, the load's own lead and its maker included. [A]"""
    if subject.found is None or subject.found.window.most_reason.kind in _NOT_A_LIMIT:
        return None
    return subject.found.window.most_limit_a


def window_limit_where(subject: FuseSubject) -> str:
    """What sets that greatest rating, in words that a current may follow."""
    reason = subject.found.window.most_reason if subject.found is not None else None
    if reason is not None and reason.kind is ReasonKind.LEAD:
        return words("the own lead of {where} may carry", where=reason.where)
    if reason is not None and reason.kind is ReasonKind.LARGEST_FUSE:
        return words("the maker of {where} allows", where=reason.where)
    return words("{thinnest} may carry", thinnest=thinnest(subject))


def limited_by_device(subject: FuseSubject) -> bool:
    """Whether a load's own lead or its maker sets that, which no cable mends."""
    reason = subject.found.window.most_reason if subject.found is not None else None
    return reason is not None and reason.kind in {ReasonKind.LEAD, ReasonKind.LARGEST_FUSE}


def limit_source(subject: FuseSubject) -> str:
    """Source of what the thinnest piece may carry."""
    reason = _loop_reason(subject)
    if reason is not None and reason.source:
        return reason.source
    by_kind = {
        ReasonKind.OVERLOAD: "iec-60364-5-54",
        ReasonKind.CURVE: "iec-60364-5-54",
        ReasonKind.TABLE_SHARE: "cfr-33-183-455",
    }
    return by_kind.get(reason.kind, "own-judgement") if reason is not None else "own-judgement"


def known_load_a(subject: FuseSubject) -> float | None:
    """Continuous current of the loads that are known: at least that passes it. [A]"""
    return subject.found.known_a if subject.found is not None else None


def load_a(subject: FuseSubject) -> float | None:
    """Continuous current that passes it, the same for every size of wire. [A]"""
    return subject.found.continuous_a if subject.found is not None else None


def carries_a(subject: FuseSubject) -> float | None:
    """Current that it carries for hours in the air of its place. [A]"""
    rating_a = fuse_a(subject)
    if subject.found is None or rating_a is None or subject.found.carries_pct is None:
        return None
    return rating_a * subject.found.carries_pct / 100.0


def carries_best_a(subject: FuseSubject) -> float | None:
    """The same of the family that carries most, where the fuse exists and nobody wrote its family. [A]"""
    rating_a = fuse_a(subject)
    if rating_a is None or _written_family(subject) is not None or subject.part.state is not State.EXISTING:
        return carries_a(subject)
    shares = [share for family in _made_at(rating_a) if (share := _share(subject, family)) is not None]
    carried_a = carries_a(subject)
    return max(
        [rating_a * share for share in shares] + ([] if carried_a is None else [carried_a]), default=None
    )


def re_rated_a(subject: FuseSubject) -> float | None:
    """Its rating in the air of its place, with no margin for hours: above it the fuse opens one day. [A]"""
    rating_a, family = fuse_a(subject), family_of(subject)
    if rating_a is None:
        return None
    found = continuous_share(family or _USUAL_FAMILY, _ambient_c(subject))
    return None if isinstance(found, NotTabled) else rating_a * found.re_rating


def ambient_c(subject: FuseSubject) -> float | None:
    """Hottest air of its place. [degC]"""
    return _ambient_c(subject)


def feeds_critical(subject: FuseSubject) -> bool:
    """Whether a load whose loss is dangerous hangs behind it."""
    if subject.found is None:
        return False
    names = {load for wire in wires_behind(subject) for load in wire.loads}
    return any(subject.facts.loads[name].critical for name in names if name in subject.facts.loads)


def window_known(subject: FuseSubject) -> bool | None:
    """True where both ends of its window could be reckoned, else None; unsuitable insulation has no end."""
    if subject.found is None or not subject.found.window.known:
        return None
    return None if subject.found.window.most_reason.kind is ReasonKind.UNSUITABLE else True


def window_may_open(subject: FuseSubject) -> bool:
    """Whether a rating would fit if the insulation that is assumed behind it were the best usual one."""
    sure_a, thin = sure_limit_a(subject), _thinnest_wire(subject)
    if subject.found is None or sure_a is None or thin is None or not thin.insulation_assumed:
        return False
    least_a = subject.found.window.least_a
    return least_a is not None and least_a <= sure_a


def cable_made_for_it(subject: FuseSubject) -> bool:
    """Whether its rating is written, and what limits it is cable that was chosen to suit that rating."""
    found, part, reason = subject.found, subject.part, _loop_reason(subject)
    if found is None or part.rating_a is None or part.origin is Origin.CHOSEN or reason is None:
        return False
    wire = subject.facts.wires.get(reason.where)
    limit_a = found.window.most_limit_a
    chosen = wire is not None and wire.origin is Origin.CHOSEN
    return chosen and limit_a is not None and part.rating_a <= limit_a


def rating_saves_loop(subject: FuseSubject) -> bool:
    """Whether its rating is written and no more than what everything behind it allows."""
    most_a = window_most_a(subject)
    return subject.part.rating_a is not None and most_a is not None and subject.part.rating_a <= most_a


def window_empty(subject: FuseSubject) -> bool:
    """Whether no standard rating both carries the load and saves the loop."""
    return subject.found is not None and subject.found.window.empty


def fault_most_a(subject: FuseSubject) -> float | None:
    """Most fault current at its place, itself bridged. [A]"""
    return subject.found.fault_most_a if subject.found is not None else None


def fault_sure_a(subject: FuseSubject) -> float | None:
    """The same with batteries whose size nobody wrote at their weakest. [A]"""
    return subject.found.fault_sure_a if subject.found is not None else None


def more_cable_m(subject: FuseSubject) -> float | None:
    """Cable more, out and back together, that would bring the fault current down to what it breaks. [m]

    None where it hangs on a source itself: more cable before it would have no fuse. None, too, where it would
    be more than its circuit has out and back: nobody lays that, and its drop would ask for thicker wire.
    """
    wire, most_a, least_a = feeding_wire(subject), fault_most_a(subject), breaks_a(subject)
    supply = subject.facts.assessment.supplies.get(source_of(subject) or "")
    if wire is None or wire.ohm_per_m_20c is None or most_a is None or least_a is None or supply is None:
        return None
    # Cold cable has the fewest ohms; the highest volts ask for the most of it.
    zones = subject.facts.installation.zones
    cold_c = min((zones[s.zone].low_c for s in wire.stretches), default=20.0)
    cold_ohm = ohm_at_temperature(wire.ohm_per_m_20c, cold_c, alpha20_per_k=COPPER_PER_K)
    more_m = max(0.0, supply.high_v * (1.0 / least_a - 1.0 / most_a) / cold_ohm)
    laid_m = 2.0 * subject.facts.assessment.circuits[subject.part.circuit].length_m
    return more_m if more_m <= max(_SMALL_DETOUR_M, laid_m) else None


def more_cable_size(subject: FuseSubject) -> str | None:
    """Size of the cable that is meant: what feeds it behind a fuse of its own."""
    wire = feeding_wire(subject)
    size = None if wire is None else subject.facts.wires[wire.name].size
    return None if size is None else size.text


def fuse_before(subject: FuseSubject) -> str | None:
    """A fuse before it that breaks the whole fault current."""
    most_a = fault_most_a(subject)
    for before in fuses_before(subject):
        capacity_a = breaks_a(before)
        if most_a is not None and capacity_a is not None and capacity_a >= most_a:
            return before.part.name
    return None


def fuse_before_limits(subject: FuseSubject) -> bool | None:
    """Whether some fuse before it is of a type that limits the current of a short."""
    return any(family_of(before) in _CURRENT_LIMITING for before in fuses_before(subject))


@once
def is_there(subject: FuseSubject) -> bool:
    """Whether there is one to be judged: a new one without a rating is still to be chosen."""
    part = subject.part
    written = part.rating_a is not None or part.unknown_rating or part.interrupt_a is not None
    return written or part.state is not State.NEW


def breaks_a(subject: FuseSubject) -> float | None:
    """Breaking capacity at the voltage that feeds it, as written or by its family. [A]"""
    gear = subject.gear
    written_a = subject.part.interrupt_a or (gear.interrupt_a if gear is not None else None)
    if written_a is not None:
        return written_a
    family = family_of(subject)
    if family is None:
        return None
    found = breaking_capacity(family, system_v(subject))
    return found.interrupt_a if isinstance(found, BreakingCapacity) else None


def _ambient_c(subject: FuseSubject) -> float:
    return subject.facts.installation.zones[subject.part.zone].high_c


def _made_at(rating_a: float) -> tuple[str, ...]:
    """Families of fuses that are made at a rating."""
    return tuple(found.name for found in fuse_families() if rating_a in fuse_ratings(found.name))


def _share(subject: FuseSubject, family: str) -> float | None:
    found = continuous_share(family, _ambient_c(subject))
    return None if isinstance(found, NotTabled) else found.share


def _written_family(subject: FuseSubject) -> str | None:
    return subject.part.family or (subject.gear.family if subject.gear is not None else None)


def opening_unknown(subject: FuseSubject) -> str | None:
    """Why nobody knows when it opens; None where that is known."""
    closest = subject.found.closest if subject.found is not None else None
    return None if closest is None or closest.verdict is not None else closest.why


def is_breaker(subject: FuseSubject) -> bool:
    """Whether it is a breaker."""
    return subject.part.kind is PartKind.BREAKER


def resets_itself(subject: FuseSubject) -> bool | None:
    """Whether it closes again by itself; None where nobody says how it resets."""
    family = family_of(subject)
    if family is None or not family.endswith("breaker"):
        return None if subject.part.kind is PartKind.BREAKER else False
    return {"self-resetting breaker": True, "thermal breaker": None}.get(family, False)


def on_boat(subject: FuseSubject) -> bool:
    """Whether the job is judged as a boat."""
    return subject.facts.basis == "boat"


def system_v(subject: FuseSubject) -> float:
    """Nominal voltage of what feeds it: the vehicle's, or behind a converter that of its output. [V]"""
    return fed_v(subject.facts, subject.part.circuit)


def fault_least_a(subject: FuseSubject) -> float | None:
    """Least current of a fault at the far end of its circuit, or of one behind it without a fuse. [A]"""
    circuit = _weakest_end(subject)
    return circuit.fault_least_a if circuit is not None else None


def fault_best_a(subject: FuseSubject) -> float | None:
    """The same with body, batteries and cable that nobody knows at their best. [A]"""
    circuit = _weakest_end(subject)
    return circuit.fault_best_a if circuit is not None else None


def clearing_s(subject: FuseSubject) -> float | None:
    """Longest time in which that fault is ended; inf where it may never be. [s]"""
    circuit = _weakest_end(subject)
    return circuit.clearing_s if circuit is not None else None


def _weakest_end(subject: FuseSubject) -> CircuitAssessment | None:
    """Of its own circuit and those whose cable out stands behind it: the one with the least far-end fault.

    One whose fault is not known comes first, so that nothing passes beside it.
    """
    facts, own = subject.facts, subject.facts.assessment.circuits.get(subject.part.circuit)
    wires = (facts.wires[wire.name] for wire in wires_behind(subject) if wire.name in facts.wires)
    names = dict.fromkeys(wire.circuit for wire in wires if not wire.returning)
    behind = [facts.assessment.circuits[name] for name in names if name in facts.assessment.circuits]
    ended = [c for c in behind if c.fault_least_a is not None or "fault_a" in c.unknown]
    return min(ended, key=lambda c: -1.0 if c.fault_least_a is None else c.fault_least_a, default=own)


def sure_to_open_twice_a(subject: FuseSubject) -> float | None:
    """Twice its rating, from which the standards' gates promise seconds and not minutes. [A]"""
    rating_a = fuse_a(subject)
    return None if rating_a is None else 2.0 * rating_a


def _ends(wire: WireAssessment) -> str:
    return words("{start} to {end}", start=wire.start, end=wire.end)


def is_main(subject: FuseSubject) -> bool:
    """Whether its circuit begins at a battery."""
    circuit = subject.facts.circuits[subject.part.circuit]
    return subject.facts.battery_at(circuit.start) is not None


def interrupt_need_a(subject: FuseSubject) -> float | None:
    """Breaking capacity that the boat standard asks for at its place. [A]"""
    cranking = [
        None if battery.cranking_a is None else battery.cranking_a * battery.parallel
        for battery in subject.facts.batteries
    ]
    known = [amps for amps in cranking if amps is not None]
    if not known or len(known) != len(cranking):
        return None
    found = boat_interrupt_need(sum(known))
    if isinstance(found, NotTabled):
        return None
    return found.main_a if is_main(subject) else found.branch_a
