"""What rules need to know about a circuit."""

from __future__ import annotations

from typing import Final

from groundstrap.assess.results import Unprotected
from groundstrap.checks.facts import CircuitSubject
from groundstrap.checks.known import known_drop_of, usual_rating
from groundstrap.checks.once import once
from groundstrap.checks.reached import backfed
from groundstrap.model import (
    FUSES,
    Circuit,
    GearKind,
    LoadKind,
    Part,
    PartKind,
    Passage,
    Situation,
    State,
    Supply,
    SupplyKind,
    Wire,
)
from groundstrap.tables import PlacementLimit, placement_limit
from groundstrap.words import words

__all__: list[str] = []

_BY_HAND: Final = frozenset({PartKind.SWITCH, PartKind.RELAY, PartKind.ISOLATOR})
_LIMITS_ITSELF: Final = frozenset(
    {SupplyKind.ALTERNATOR, SupplyKind.DC_DC, SupplyKind.SOLAR_CHARGER, SupplyKind.MAINS_CHARGER}
)
_HEAVY_MM2: Final = 10.0
"""Least cable that a vehicle maker leads from a battery to a fuse box unfused; own judgement. [mm2]"""
_NO_METAL: Final = frozenset({"fibreglass", "wood", "none"})


def on_boat(subject: CircuitSubject) -> bool:
    """Whether the job is judged as a boat."""
    return subject.facts.basis == "boat"


def is_existing(subject: CircuitSubject) -> bool:
    """Whether it is in the vehicle already and stays."""
    return subject.circuit.state is State.EXISTING


def as_built(subject: CircuitSubject) -> bool:
    """Whether vehicle makers build such without a fuse: a starter's cable, an alternator's, a heavy feed."""
    return is_existing(subject) and (_cranks(subject) or _of_alternator(subject) or _heavy_feed(subject))


def link_as_built(subject: CircuitSubject) -> bool:
    """Whether it is such a cable between two batteries that are both in the vehicle already."""
    ends = [subject.facts.battery_at(point) for point in (subject.circuit.start, subject.circuit.end)]
    there = all(battery is not None and battery.state is State.EXISTING for battery in ends)
    return there and is_existing(subject) and _cranks(subject)


def lone_fuse_of_m(subject: CircuitSubject) -> float | None:
    """Known length of a link that has one fuse and nothing else that may be one. [m]"""
    unsure = any(part.kind is PartKind.UNKNOWN for part in subject.circuit.parts)
    if not joins_batteries(subject) or own_fuses(subject) != 1 or unsure:
        return None
    wires = [e for e in subject.circuit.path if isinstance(e, Wire) and e.length_known]
    return sum(wire.length_m for wire in wires)


def reached_unfused(subject: CircuitSubject) -> bool:
    """Whether a battery reaches some of its cable with no fuse or breaker between."""
    return bool(_from_here(subject))


def own_fuses(subject: CircuitSubject) -> int:
    """How many fuses and breakers its way out passes."""
    return len(_own_fuses(subject.circuit))


def only_cranks(subject: CircuitSubject) -> bool:
    """Whether nothing but starters hangs on it, or that it carries the starter's current on its way."""
    loads = subject.facts.loads
    names = subject.circuit.loads or (subject.found.loads if subject.found is not None else ())
    kinds = {loads[name].kind for name in names if name in loads}
    return LoadKind.STARTER in kinds and (kinds == {LoadKind.STARTER} or not subject.circuit.loads)


def starts_at_machine(subject: CircuitSubject) -> bool:
    """Whether it begins at a source that limits its own current, and leads to a battery's side."""
    return _machine(subject) is not None


def ought_to_have_a_fuse(subject: CircuitSubject) -> bool:
    """Whether it has no fuse of its own, and neither cranks an engine nor begins at a charging source."""
    return own_fuses(subject) == 0 and not starts_at_machine(subject) and not only_cranks(subject)


def joins_batteries(subject: CircuitSubject) -> bool:
    """Whether it runs from one battery's plus post to another's."""
    first = subject.facts.battery_at(subject.circuit.start)
    last = subject.facts.battery_at(subject.circuit.end)
    return first is not None and last is not None and first.name != last.name


def unfused_m(subject: CircuitSubject) -> float | None:
    """Cable between the battery and the first fuse, the cable before this circuit counted too. [m]"""
    if not _places_known(subject.circuit):
        return None
    totals: dict[str, float] = {}
    for bare in _near_side(subject):
        totals[bare.source] = totals.get(bare.source, 0.0) + bare.length_m
    if not totals:
        return 0.0
    return max(totals.values()) + _before_m(subject)


def bare_at_least_m(subject: CircuitSubject) -> float | None:
    """Cable of known length before the first thing that is a fuse or may be one. [m]"""
    if not reached_unfused(subject):
        return None
    own_m, bare = 0.0, {piece.wire for piece in _bare(subject)}
    # A fuse that nobody has found may be at the source.
    for element in () if subject.circuit.fuse_unknown else subject.circuit.path:
        if isinstance(element, Part) and element.kind in (*FUSES, PartKind.UNKNOWN):
            # On what exists the place of a fuse that nobody wrote is not known: it may be at the source.
            if subject.circuit.state is State.EXISTING and not element.distance_written:
                own_m = 0.0
            break
        if isinstance(element, Wire) and element.length_known and element.name in bare:
            own_m += element.length_m
    return own_m + _before_m(subject) if _feeders_known(subject) else own_m


def far_unfused_m(subject: CircuitSubject) -> float | None:
    """Cable between the second battery and the fuse at its end; all of it where there is none. [m]"""
    if not _places_known(subject.circuit):
        return None
    last = subject.facts.battery_at(subject.circuit.end)
    if last is None:
        return None
    if own_fuses(subject) == 0:
        return subject.circuit.length_m
    return sum(bare.length_m for bare in _bare(subject) if bare.source == last.name)


def far_at_least_m(subject: CircuitSubject) -> float | None:
    """Cable of known length from its end back to the first thing that is a fuse or may be one. [m]"""
    known_m = 0.0
    for element in reversed(subject.circuit.path):
        if isinstance(element, Part) and element.kind in (*FUSES, PartKind.UNKNOWN):
            unsure = subject.circuit.state is State.EXISTING and not element.distance_written
            return 0.0 if unsure else known_m
        if isinstance(element, Wire) and element.length_known:
            known_m += element.length_m
    return known_m


def machine_unfused_m(subject: CircuitSubject) -> float | None:
    """Cable of a charging circuit that the battery reaches with no fuse between. [m]"""
    if not _places_known(subject.circuit):
        return None
    return sum(bare.length_m for bare in _bare(subject))


def placement_m(subject: CircuitSubject) -> float:
    """Longest cable that the basis allows before its fuse, as it is laid. [m]"""
    return _placement(subject).most_m


def placement_printed(subject: CircuitSubject) -> str:
    """The same as its source prints it."""
    return _placement(subject).as_printed


def placement_source(subject: CircuitSubject) -> str:
    """Source of that limit."""
    return _placement(subject).source


def machine_a(subject: CircuitSubject) -> float | None:
    """What the source at its start gives without end. [A]"""
    machine = _machine(subject)
    if machine is None:
        return None
    found = subject.facts.assessment.supplies.get(machine.name)
    return found.capability_a if found is not None else None


def machine_least_a(subject: CircuitSubject) -> float | None:
    """The same, the least that is usual where nobody wrote it. [A]"""
    machine = _machine(subject)
    if machine is not None and machine.kind is SupplyKind.ALTERNATOR and machine.rating_a is None:
        return usual_rating(machine).low
    return machine_a(subject)


def machine_name(subject: CircuitSubject) -> str:
    """Name of the source at its start."""
    machine = _machine(subject)
    return machine.name if machine is not None else words("the source")


def ampacity_a(subject: CircuitSubject) -> float | None:
    """Ampacity of its weakest cable. [A]"""
    return subject.found.ampacity_a if subject.found is not None else None


def ampacity_best_a(subject: CircuitSubject) -> float | None:
    """Ampacity of its weakest cable that is known, with the best insulation where nobody wrote it. [A]"""
    wires = subject.found.wires.values() if subject.found is not None else ()
    return min((w.ampacity_best_a for w in wires if w.ampacity_best_a is not None), default=None)


def known_load_a(subject: CircuitSubject) -> float | None:
    """Continuous current of its loads that are known: it carries that at least. [A]"""
    return subject.found.known_a if subject.found is not None else None


def load_a(subject: CircuitSubject) -> float | None:
    """Continuous current that it carries. [A]"""
    return subject.found.continuous_a if subject.found is not None else None


def is_unattended(subject: CircuitSubject) -> bool:
    """Whether its loads may run at rest with nobody's hand on a switch of the circuit."""
    loads = [subject.facts.loads[n] for n in subject.circuit.loads if n in subject.facts.loads]
    rests = any(load.kind is not LoadKind.COIL and Situation.RESTING in load.runs for load in loads)
    return rests and not any(_needs_a_hand(subject, part) for part in subject.circuit.parts)


def has_drop(subject: CircuitSubject) -> bool:
    """Whether a drop is allowed for it: one is written, or it ends at a load, block, converter or battery."""
    written = subject.circuit.drop_v is not None or subject.circuit.drop_pct is not None
    limited = subject.found is not None and subject.found.drop.limit_v is not None
    return limited and (written or _feeds(subject))


def drop_v(subject: CircuitSubject) -> float | None:
    """Drop out and back in its worst case, hot. [V]"""
    return subject.found.drop.drop_v if subject.found is not None else None


def drop_limit_v(subject: CircuitSubject) -> float | None:
    """Drop that it is allowed. [V]"""
    return subject.found.drop.limit_v if subject.found is not None else None


def known_drop_v(subject: CircuitSubject) -> float | None:
    """What its pieces of known size lose for certain, where other pieces are not known. [V]"""
    return known_drop_of(subject.facts, subject.circuit) if subject.found is not None else None


def drop_reason(subject: CircuitSubject) -> str:
    """Why it is allowed that much."""
    why = subject.found.drop.limit_why if subject.found is not None else ""
    return words("the job file says so") if why == "written" else why


def drop_source(subject: CircuitSubject) -> str:
    """Source of the drop that is allowed; a limit written in the job is common practice."""
    return (subject.found.drop.limit_source if subject.found is not None else "") or "common-practice"


def drop_flips(subject: CircuitSubject) -> bool:
    """Whether the body's unmeasured resistance decides between within and above."""
    return (
        subject.found is not None
        and subject.found.drop.decided is None
        and subject.found.drop.drop_v is not None
    )


def feeds_critical(subject: CircuitSubject) -> bool:
    """Whether a load whose loss is dangerous hangs on it."""
    names = set(subject.circuit.loads) | set(subject.found.loads if subject.found is not None else ())
    return any(subject.facts.loads[name].critical for name in names if name in subject.facts.loads)


def returns_by_body(subject: CircuitSubject) -> bool:
    """Whether the current of its own loads comes back through the vehicle's body or a hull."""
    return subject.circuit.back_end is not None and subject.facts.on_body(subject.circuit.back_end)


def carries_on_body(subject: CircuitSubject) -> bool:
    """Whether the current of some load enters or leaves the body at one of its ends."""
    ends = (subject.circuit.start, subject.circuit.end, subject.circuit.back_end or "")
    behind = subject.found.loads if subject.found is not None else ()
    return bool(subject.circuit.loads or behind) and any(subject.facts.on_body(point) for point in ends)


def body(subject: CircuitSubject) -> str:
    """What the body is made of."""
    return subject.facts.installation.body


def body_conducts(subject: CircuitSubject) -> bool:
    """Whether the body is of a metal."""
    return subject.facts.installation.body not in _NO_METAL


def beside_sensor(subject: CircuitSubject) -> bool:
    """Whether it meets a battery's negative post that a sensor stands at."""
    post = _negative_post(subject)
    return post is not None and bool(_sensors(subject, post))


def passes_sensor(subject: CircuitSubject) -> bool:
    """Whether its own way to that post leads through the sensor."""
    post = _negative_post(subject)
    return post is not None and subject.circuit.name in _sensors(subject, post)


def sensor_post(subject: CircuitSubject) -> str:
    """The post that the sensor stands at."""
    post = _negative_post(subject)
    return post.minus if post is not None else words("the negative post")


def taps_existing(subject: CircuitSubject) -> bool:
    """Whether it is new and begins within a circuit that is in the vehicle already."""
    return subject.circuit.state is State.NEW and _host(subject) is not None


def host_name(subject: CircuitSubject) -> str:
    """The circuit that it begins within."""
    host = _host(subject)
    return host.name if host is not None else words("the circuit")


def host_is_critical(subject: CircuitSubject) -> bool | None:
    """Whether that circuit feeds something whose loss is dangerous; None where its purpose is not known."""
    host = _host(subject)
    if host is None:
        return None
    loads = [subject.facts.loads[name] for name in host.loads if name in subject.facts.loads]
    if any(load.critical for load in loads):
        return True
    return None if not loads or any(load.claims_unknown for load in loads) else False


def _cranks(subject: CircuitSubject) -> bool:
    """Whether a starter's current passes it."""
    behind = subject.found.loads if subject.found is not None else ()
    names, loads = {*subject.circuit.loads, *behind}, subject.facts.loads
    return any(loads[name].kind is LoadKind.STARTER for name in names if name in loads)


def _of_alternator(subject: CircuitSubject) -> bool:
    machines = [subject.facts.machine_at(point) for point in (subject.circuit.start, subject.circuit.end)]
    return any(m is not None and m.kind is SupplyKind.ALTERNATOR for m in machines)


def _heavy_feed(subject: CircuitSubject) -> bool:
    """Whether it feeds a block and all of its cable that is reached is as thick as makers' own feeds."""
    end = subject.facts.installation.gear.get(subject.circuit.end)
    wires = subject.facts.wires
    bare = [wires[entry.wire] for entry in _bare(subject) if entry.wire in wires]
    thick = all(wire.size is not None and wire.size.area_mm2 >= _HEAVY_MM2 for wire in bare)
    return end is not None and end.kind is GearKind.BLOCK and bool(bare) and thick


def _bare(subject: CircuitSubject) -> tuple[Unprotected, ...]:
    return subject.found.unprotected if subject.found is not None else ()


def _from_here(subject: CircuitSubject) -> tuple[Unprotected, ...]:
    """What is reached, but for what a second battery feeds from the far end, which has a rule of its own."""
    elsewhere = {(wire.name, name) for name, wires in backfed(subject).items() for wire in wires}
    return tuple(entry for entry in _bare(subject) if (entry.wire, entry.source) not in elsewhere)


def _near_side(subject: CircuitSubject) -> tuple[Unprotected, ...]:
    """What is reached from this end; a second battery at the other end has its own rule."""
    bare = _from_here(subject)
    last = subject.facts.battery_at(subject.circuit.end)
    if not joins_batteries(subject) or last is None or own_fuses(subject) == 0:
        return bare
    return tuple(entry for entry in bare if entry.source != last.name)


def _before_m(subject: CircuitSubject) -> float:
    """Bare cable of the circuits before this one. [m]"""
    facts = subject.facts
    if subject.found is None or facts.battery_at(subject.circuit.start) is not None:
        return 0.0
    feeders = [facts.assessment.circuits[n] for n in subject.found.feeders if n in facts.assessment.circuits]
    touching = [
        feeder
        for feeder in feeders
        if facts.circuits[feeder.name].end == subject.circuit.start and feeder.unprotected
    ]
    return sum(bare.length_m for feeder in touching for bare in feeder.unprotected)


def may_short(subject: CircuitSubject) -> bool:
    """Whether it may join a source's plus to its negative through a part that nobody knows."""
    return subject.facts.installation.may_short(subject.circuit)


def returns_apart(subject: CircuitSubject) -> bool:
    """Whether it is written that its way back ends in another place than the one where its way out begins."""
    return subject.circuit.return_apart and subject.circuit.return_known


def way_back_m(subject: CircuitSubject) -> float | None:
    """Cable of its way back; None where it only has the length of a way out that begins elsewhere. [m]"""
    back = [element for element in subject.circuit.back if isinstance(element, Wire)]
    if any(wire.borrowed or not wire.length_known for wire in back):
        return None
    return sum(wire.length_m for wire in back)


def _feeders_known(subject: CircuitSubject) -> bool:
    """Whether places and lengths of the circuits before it are known."""
    names = subject.found.feeders if subject.found is not None else ()
    return all(_places_known(subject.facts.circuits[n]) for n in names if n in subject.facts.circuits)


def _own_fuses(circuit: Circuit) -> tuple[Part, ...]:
    return tuple(e for e in circuit.path if isinstance(e, Part) and e.kind in FUSES)


def _places_known(circuit: Circuit) -> bool:
    """Whether each fuse has its place, each cable its length, and nothing on the way is unknown."""
    parts = [e for e in circuit.path if isinstance(e, Part)]
    wires = [e for e in circuit.path if isinstance(e, Wire)]
    if circuit.fuse_unknown or any(part.kind is PartKind.UNKNOWN for part in parts):
        return False
    if circuit.state is State.EXISTING and any(not part.distance_written for part in _own_fuses(circuit)):
        return False
    return all(wire.length_known for wire in wires)


@once
def _placement(subject: CircuitSubject) -> PlacementLimit:
    wires = subject.facts.wires
    bare = [wires[entry.wire] for entry in _bare(subject) if entry.wire in wires]
    sheathed = bool(bare) and all(s.laid == "conduit" for wire in bare for s in wire.stretches)
    at_battery = (
        subject.facts.battery_at(subject.circuit.start) is not None
        or subject.facts.battery_at(subject.circuit.end) is not None
    )
    return placement_limit(subject.facts.basis, sheathed=sheathed, at_battery=at_battery)


def _machine(subject: CircuitSubject) -> Supply | None:
    machine = subject.facts.machine_at(subject.circuit.start)
    if machine is None or machine.kind not in _LIMITS_ITSELF or subject.circuit.loads:
        return None
    return machine


def _needs_a_hand(subject: CircuitSubject, part: Part) -> bool:
    gear = subject.facts.installation.gear.get(part.gear or "")
    when = part.when if part.when is not None else (gear.when if gear is not None else None)
    return part.kind in _BY_HAND and when in {None, "hand", "ignition", "engine"}


def _feeds(subject: CircuitSubject) -> bool:
    circuit = subject.circuit
    return (
        bool(circuit.loads) or circuit.converter is not None or bool(_bare(subject)) or own_fuses(subject) > 0
    )


@once
def _negative_post(subject: CircuitSubject) -> Supply | None:
    circuit = subject.circuit
    if circuit.back_end is not None:
        return subject.facts.battery_at(circuit.back_end, minus=True)
    ends = (circuit.end, circuit.start)
    posts = [subject.facts.battery_at(point, minus=True) for point in ends]
    return next((post for post in posts if post is not None), None)


def _sensors(subject: CircuitSubject, post: Supply) -> frozenset[str]:
    """Circuits with a sensor that lead to a battery's negative post."""
    minus = subject.facts.point(post.minus)
    return frozenset(
        circuit.name
        for circuit in subject.facts.sensing
        if minus in {subject.facts.point(p) for p in (circuit.start, circuit.end, circuit.back_end or "")}
    )


@once
def _host(subject: CircuitSubject) -> Circuit | None:
    start = subject.circuit.start
    gear = subject.facts.installation.gear.get(start)
    if (gear is not None and gear.kind is GearKind.BLOCK) or subject.facts.battery_at(start) is not None:
        return None
    for circuit in subject.facts.circuits.values():
        if circuit.state is State.EXISTING and circuit.name != subject.circuit.name:
            steps = [e for e in circuit.path if not isinstance(e, Passage)]
            points = {point for step in steps for point in (step.start, step.end)}
            if start in points:
                return circuit
    return None
