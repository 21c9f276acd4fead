"""What would settle an undecided finding: the readings and looks that its unknown values wait for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, Final

from groundstrap.assess.results import WireAssessment
from groundstrap.checks.facts import (
    CircuitSubject,
    Facts,
    FuseSubject,
    GearSubject,
    LoadSubject,
    PartSubject,
    SituationSubject,
    Subject,
    SupplySubject,
    WireSubject,
)
from groundstrap.checks.findings import Ask
from groundstrap.checks.needs.charging import joined_battery
from groundstrap.checks.needs.circuits import host_name
from groundstrap.checks.needs.tapping import twin
from groundstrap.checks.rule import About
from groundstrap.model import Circuit, Part, PartKind, State, SupplyKind, Wire
from groundstrap.words import Words, words

__all__ = ["asks_of"]

_TO_CHOOSE: Final = Ask(
    what=words("sizes and ratings still to be chosen"),
    how=words("`groundstrap plan` chooses them where something fits; or write what will be fitted"),
)
_BODY: Final = Ask(
    what=words("resistance of the body"),
    how=words("measure its millivolts at a known current, from the battery's negative to the far end"),
)


def asks_of(subject: Subject, about: About, needs: Iterable[str]) -> tuple[Ask, ...]:
    """Return the readings and looks that these needs of a subject wait for, each once."""
    known = _BY_NEED.get(about, {})
    found = (ask for need in needs if need in known for ask in known[need](subject))
    return tuple(dict.fromkeys(found))


def _size(facts: Facts, wire: Wire) -> Iterator[Ask]:
    if wire.size is not None:
        return
    if wire.state is State.NEW and not wire.unknown:
        yield _TO_CHOOSE
        return
    circuit = facts.installation.circuits[wire.circuit]
    yield Ask(
        what=words("size of {of}", of=_cable(circuit)),
        how=words(
            "read the print on it, count its strands and measure one, or measure "
            "millivolts over 1 m of it at a known current"
        ),
    )


def _cable(circuit: Circuit) -> Words:
    """The way out where its size is not known, else the way back."""
    if any(not wire.returning and wire.size is None for wire in circuit.wires):
        return words("the wire of {circuit}", circuit=circuit.name)
    return words("the return of {circuit}", circuit=circuit.name)


def _insulation(found: WireAssessment) -> Iterator[Ask]:
    if found.insulation_assumed and found.area_mm2 is not None:
        yield Ask(
            what=words("insulation of {of}", of=words("the wire of {circuit}", circuit=found.circuit)),
            how=words("read type or class off the print on it and write `insulation`"),
        )


def _wires(facts: Facts, names: Iterable[str]) -> Iterator[Ask]:
    for name in names:
        if name in facts.wires:
            yield from _size(facts, facts.wires[name])
            yield from _insulation(facts.wire_findings[name])


def _sizes(facts: Facts, names: Iterable[str]) -> Iterator[Ask]:
    for name in names:
        if name in facts.wires:
            yield from _size(facts, facts.wires[name])


def _loads(facts: Facts, names: Iterable[str]) -> Iterator[Ask]:
    for name in names:
        found = facts.assessment.loads.get(name)
        if found is not None and not found.known:
            yield Ask(
                what=words("current of {of}", of=name),
                how=words(
                    "clamp it, or measure the millivolts over its fuse, while it works "
                    "hardest; or write what is claimed"
                ),
            )


def _carried(facts: Facts, circuit: str) -> Iterator[Ask]:
    """What the current of a circuit hangs on: its loads, and cable between batteries that nobody knows."""
    found = facts.assessment.circuits.get(circuit)
    if found is None:
        return
    yield from _loads(facts, found.loads)
    for name in found.hangs_on:
        yield from _sizes(facts, (name,))
        if name in facts.wires and not facts.wires[name].length_known:
            yield _length(facts.wires[name].circuit)
    for part in facts.parts.values():
        if part.name in found.hangs_on:
            yield _what(part)


def _length(circuit: str) -> Ask:
    return Ask(what=words("length of {of}", of=circuit), how=words("measure it along the cable"))


def _what(part: Part) -> Ask:
    return Ask(what=words("what {name} is", name=part.name), how=words("follow the cable and look"))


def _rating(part: Part) -> Iterator[Ask]:
    if part.rating_a is None:
        chosen = part.state is State.NEW and not part.unknown_rating
        yield (
            _TO_CHOOSE
            if chosen
            else Ask(what=words("rating of {of}", of=part.name), how=words("read it off the fuse"))
        )


def _type(part: Part) -> Iterator[Ask]:
    if part.rating_a is None and part.state is State.NEW and not part.unknown_rating:
        yield _TO_CHOOSE
    else:
        how = "look what it is and write `family`, or `breaks` as its data sheet says"
        yield Ask(what=words("type of {of}", of=part.name), how=how)


def _opening(subject: FuseSubject) -> Iterator[Ask]:
    closest = subject.found.closest if subject.found is not None else None
    if closest is not None and closest.verdict is None:
        how = words("write its maker's time-current points as `curve`, or fit a type whose gates are known")
        yield Ask(what=words("opening times of {of}", of=subject.part.name), how=how)


def _reset(subject: FuseSubject) -> Iterator[Ask]:
    if subject.part.kind is PartKind.BREAKER:
        how = words("see whether a hand closes it, and write `family`, such as hand-reset breaker")
        yield Ask(what=words("how {name} resets", name=subject.part.name), how=how)


def _ways(facts: Facts, circuit: str) -> list[Circuit]:
    """A circuit and those before it."""
    found = facts.assessment.circuits.get(circuit)
    names = (circuit, *(found.feeders if found is not None else ()))
    return [facts.circuits[name] for name in names if name in facts.circuits]


def _on_way(facts: Facts, circuit: str) -> Iterator[Ask]:
    """Sizes, parts and loads that a circuit's drop and far-end fault hang on."""
    ways = _ways(facts, circuit)
    for way in ways:
        yield from _sizes(facts, (wire.name for wire in way.wires))
        yield from _strange(way)
    for way in ways:
        found = facts.assessment.circuits.get(way.name)
        yield from _loads(facts, found.loads if found is not None else ())


def _strange(circuit: Circuit) -> Iterator[Ask]:
    for part in circuit.parts:
        if part.kind is PartKind.UNKNOWN:
            yield _what(part)


def _places(subject: CircuitSubject) -> Iterator[Ask]:
    for way in _ways(subject.facts, subject.circuit.name):
        yield from _strange(way)
        for part in way.parts:
            fuse = part.kind in {PartKind.FUSE, PartKind.BREAKER}
            if fuse and not part.distance_written and way.state is State.EXISTING:
                yield Ask(
                    what=words("place of {of}", of=part.name),
                    how=words("measure the cable from the source to it"),
                )
        if any(not wire.length_known for wire in way.wires):
            yield _length(way.name)


def _batteries(facts: Facts) -> Iterator[Ask]:
    for battery in facts.batteries:
        if battery.capacity_ah is None and battery.cranking_a is None and battery.resistance_ohm is None:
            how = words("write its capacity or cranking current, as its label says")
            yield Ask(what=words("size of {of}", of=battery.name), how=how)


def _alternators(facts: Facts) -> Iterator[Ask]:
    for supply in facts.supplies.values():
        if supply.kind is SupplyKind.ALTERNATOR and supply.rating_a is None:
            yield Ask(
                what=words("rating of {of}", of=supply.name),
                how=words("read it off its label and write `rating`"),
            )


def _guards(facts: Facts, name: str) -> Iterator[Ask]:
    for fuse in facts.guards.get(name, ()):
        yield from _rating(facts.parts[fuse.name])


def _part_rating(name: str) -> Iterator[Ask]:
    yield Ask(
        what=words("rating of {of}", of=name),
        how=words("read it off the part, or take it from its data sheet"),
    )


def _own_wires(subject: CircuitSubject) -> Iterator[Ask]:
    return _wires(subject.facts, (wire.name for wire in subject.circuit.wires))


def _outs(subject: WireSubject) -> Iterator[Ask]:
    return _wires(subject.facts, (w.name for w in subject.circuit.wires if not w.returning))


def _one(subject: WireSubject) -> Iterator[Ask]:
    return _wires(subject.facts, (subject.wire.name,))


def _heat(subject: WireSubject) -> Iterator[Ask]:
    yield from _one(subject)
    yield from _wire_loads(subject)


def _wire_loads(subject: WireSubject) -> Iterator[Ask]:
    return _carried(subject.facts, subject.wire.circuit)


def _returning_fuses(subject: WireSubject) -> Iterator[Ask]:
    loads = set(subject.found.loads) if subject.found is not None else set()
    for circuit in subject.facts.circuits.values():
        if loads & set(circuit.loads):
            for part in circuit.parts:
                if part.kind in {PartKind.FUSE, PartKind.BREAKER}:
                    yield from _rating(part)


def _protected(subject: FuseSubject) -> Iterator[Ask]:
    yield from _wires(subject.facts, subject.found.protects if subject.found is not None else ())


def _thin_insulation(subject: FuseSubject) -> Iterator[Ask]:
    found, rating_a = subject.found, subject.part.rating_a
    for name in found.protects if found is not None else ():
        wire = subject.facts.wire_findings.get(name)
        low = wire is not None and wire.ampacity_a is not None
        if wire is not None and low and (rating_a is None or (wire.ampacity_a or 0.0) < rating_a):
            yield from _insulation(wire)


def _window(subject: FuseSubject) -> Iterator[Ask]:
    yield from _protected(subject)
    yield from _carried(subject.facts, subject.part.circuit)


def _fault(subject: FuseSubject) -> Iterator[Ask]:
    for way in _ways(subject.facts, subject.part.circuit):
        yield from _sizes(subject.facts, (wire.name for wire in way.wires if not wire.returning))
    yield from _batteries(subject.facts)


def _body(subject: Subject) -> Iterator[Ask]:
    if subject.facts.installation.chassis_points:
        yield _BODY


def _weak_fault(subject: FuseSubject) -> Iterator[Ask]:
    yield from _body(subject)
    yield from _batteries(subject.facts)


def _part_loads(subject: PartSubject) -> Iterator[Ask]:
    return _carried(subject.facts, subject.part.circuit)


def _on_contact(subject: PartSubject) -> Iterator[Ask]:
    yield from _part_loads(subject)
    found = subject.facts.assessment.parts.get(subject.part.name)
    for load in found.switch.loads if found is not None and found.switch is not None else ():
        if load.load_class == "unknown":
            yield Ask(
                what=words("kind of {of}", of=load.load), how=words("write `kind`: motor, lamp, heater")
            )


def _suppressor(subject: PartSubject) -> Iterator[Ask]:
    how = words(
        "look at the diagram on it, or measure ohms across the coil both ways round, and write `suppressor`"
    )
    yield Ask(what=words("what lies across the coil of {of}", of=subject.part.name), how=how)


def _plug(subject: PartSubject) -> Iterator[Ask]:
    how = words("look at it and write `plug`, or `rating` as its maker's sheet says")
    yield Ask(what=words("plug of {of}", of=subject.part.name), how=how)


def _part_limit(subject: WireSubject) -> Iterator[Ask]:
    how = words("take the temperature that its terminals stand from its data sheet")
    facts = subject.facts
    names = {point: part.name for part in facts.installation.parts() for point in (part.start, part.end)}
    for end in facts.assessment.ends.get(subject.wire.name, ()):
        if end.at_part:
            yield Ask(what=words("heat that {point} stands", point=names.get(end.point, end.point)), how=how)


def _terminals(subject: WireSubject) -> Iterator[Ask]:
    for end in subject.facts.assessment.ends.get(subject.wire.name, ()):
        if end.assumed and end.terminal == "tab":
            yield Ask(
                what=words("terminals of {of}", of=end.point),
                how=words("look at them and write `stud`: M8, or 9.5 mm"),
            )


def _gear_loads(subject: GearSubject) -> Iterator[Ask]:
    for name in subject.found.circuits if subject.found is not None else ():
        yield from _carried(subject.facts, name)


def _load_ways(subject: LoadSubject) -> Iterator[Ask]:
    for circuit in subject.circuits:
        yield from _on_way(subject.facts, circuit.name)


def _supply_loads(subject: SupplySubject) -> Iterator[Ask]:
    yield from _loads(subject.facts, subject.facts.loads)


def _by_failures(subject: WireSubject | PartSubject | LoadSubject) -> Iterator[Ask]:
    """What decides how bad a single failure is: the body, and cable of unknown size that takes part."""
    yield from _body(subject)
    for failure in subject.facts.assessment.failures:
        if subject.where in {failure.victim, failure.element} or isinstance(subject, WireSubject):
            yield from _sizes(subject.facts, failure.rests_on)


def _bonded(subject: WireSubject) -> Iterator[Ask]:
    yield from _one(subject)
    for bond in subject.facts.assessment.returns.bonds:
        if bond.wire == subject.wire.name and bond.unknown and bond.unknown[0] != "size":
            settle = _type if "curve" in bond.unknown else _rating
            yield from settle(subject.facts.parts[bond.fuse])


def _chemistry(subject: SupplySubject) -> Iterator[Ask]:
    yield Ask(
        what=words("chemistry of {of}", of=subject.supply.name),
        how=words("read it off its label and write `chemistry`"),
    )


def _other_chemistry(subject: SupplySubject) -> Iterator[Ask]:
    how = words("read it off its label and write `chemistry`")
    yield Ask(what=words("chemistry of {of}", of=joined_battery(subject)), how=how)


def _strap(subject: SupplySubject) -> Iterator[Ask]:
    how = words(
        "millivolts from its minus to the body and to the engine with the loads on, written as readings"
    )
    yield Ask(what=words("strap of {of}", of=subject.supply.name), how=how)


def _capacity(subject: SupplySubject) -> Iterator[Ask]:
    yield Ask(
        what=words("capacity of {of}", of=subject.supply.name),
        how=words("read it off its label and write `capacity`"),
    )


def _cold(subject: SupplySubject) -> Iterator[Ask]:
    how = words("read in its data sheet whether its protection stops a charge below 0 degC")
    yield Ask(what=words("cold charging of {of}", of=subject.supply.name), how=how)


def _tapped(subject: CircuitSubject) -> Iterator[Ask]:
    how = words("measure the millivolts over its fuse with everything on that it feeds")
    yield Ask(what=words("current of {of}", of=host_name(subject)), how=how)


def _beside(subject: CircuitSubject) -> Iterator[Ask]:
    for name in (subject.circuit.name, twin(subject)):
        if name in subject.facts.circuits:
            yield from _sizes(subject.facts, (w.name for w in subject.facts.circuits[name].wires))


def _tap_fuse(subject: CircuitSubject) -> Iterator[Ask]:
    for part in subject.circuit.parts:
        if part.holder == "tap":
            yield from _rating(part)


def _holder(subject: PartSubject) -> Iterator[Ask]:
    how = words("look whether they are sealed, and write each one's `holder`")
    yield Ask(what=words("holders of {of}", of=words("fuses in {zone}", zone=subject.part.zone)), how=how)


def _cranking_cable(subject: LoadSubject) -> Iterator[Ask]:
    for circuit in subject.facts.circuits.values():
        yield from _sizes(subject.facts, (w.name for w in circuit.wires))


def _solving(subject: SituationSubject) -> Iterator[Ask]:
    yield from _sizes(subject.facts, subject.found.rests_on)
    yield from _loads(subject.facts, subject.facts.loads)


_BY_NEED: Final[Mapping[About, Mapping[str, Callable[[Any], Iterator[Ask]]]]] = {
    About.CIRCUIT: {
        "backfed_m": lambda s: iter((_length(s.circuit.name),)),
        "unfused_m": _places,
        "far_unfused_m": _places,
        "machine_unfused_m": _places,
        "ampacity_a": _own_wires,
        "ampacity_best_a": _own_wires,
        "load_a": lambda s: _carried(s.facts, s.circuit.name),
        "machine_a": lambda s: _alternators(s.facts),
        "machine_least_a": lambda s: _alternators(s.facts),
        "drop_v": lambda s: _on_way(s.facts, s.circuit.name),
        "drop_flips": _body,
        "host_measured": _tapped,
        "unlike_pct": _beside,
        "tap_fuse_a": _tap_fuse,
        "turns_compass_deg": lambda s: _carried(s.facts, s.circuit.name),
    },
    About.WIRE: {
        "heating_a": _wire_loads,
        "bond_stands": _bonded,
        "lost_certain": _by_failures,
        "cranking_certain": _by_failures,
        "part_end_c": _heat,
        "part_air_c": _part_limit,
        "narrow_end_assumed": _terminals,
        "lasting_limit_a": _one,
        "ampacity_a": _one,
        "ampacity_best_a": _one,
        "one_wire_ampacity_a": _one,
        "one_wire_best_a": _one,
        "best_class_c": _one,
        "insulation_c": _one,
        "conductor_c": _heat,
        "class_c": _one,
        "out_ampacity_a": _outs,
        "area_mm2": _one,
        "size_known": _one,
        "fuse_a": lambda s: _guards(s.facts, s.wire.name),
        "feeder_fuse_unread": lambda s: _guards(s.facts, s.wire.name),
        "fuses_sum_a": _returning_fuses,
    },
    About.FUSE: {
        "cable_at_fuse_mm2": lambda s: _sizes(
            s.facts, (w.name for w in s.facts.circuits[s.part.circuit].wires)
        ),
        "holder_load_a": lambda s: _carried(s.facts, s.part.circuit),
        "fuse_a": lambda s: _rating(s.part),
        "sure_to_open_twice_a": lambda s: _rating(s.part),
        "loop_limit_a": _protected,
        "opening_unknown": _opening,
        "resets_itself": _reset,
        "limit_rests_on": _thin_insulation,
        "window_may_open": _thin_insulation,
        "window_known": _window,
        "load_a": lambda s: _carried(s.facts, s.part.circuit),
        "carries_a": lambda s: _type(s.part),
        "carries_best_a": lambda s: _type(s.part),
        "fault_most_a": _fault,
        "fault_sure_a": _fault,
        "breaks_a": lambda s: _type(s.part),
        "fuse_rated_v": lambda s: _type(s.part),
        "fault_least_a": lambda s: _on_way(s.facts, s.part.circuit),
        "fault_best_a": _weak_fault,
        "interrupt_need_a": lambda s: _batteries(s.facts),
    },
    About.PART: {
        "holder_sealed": _holder,
        "link_certain": _by_failures,
        "link_limit_a": lambda s: _part_rating(s.part.name),
        "contact_needed_a": _on_contact,
        "surge_a": _part_loads,
        "suppressor": _suppressor,
        "sealed": _plug,
        "plug_contact_a": _plug,
        "rating_a": lambda s: _part_rating(s.part.name),
        "through_a": _part_loads,
    },
    About.GEAR: {"rating_a": lambda s: _part_rating(s.gear.name), "through_a": _gear_loads},
    About.LOAD: {
        "bond_mm2": _cranking_cable,
        "crank_mm2": _cranking_cable,
        "astray_certain": _by_failures,
        "astray_v": _load_ways,
        "fuse_ahead_a": lambda s: _guards(s.facts, s.load.name),
        "opens_surely_a": lambda s: _guards(s.facts, s.load.name),
        "socket_a": lambda s: _loads(s.facts, (s.load.name,)),
        "is_known": lambda s: _loads(s.facts, (s.load.name,)),
        "lowest_v": _load_ways,
        "highest_v": _load_ways,
        "lowest_best_v": _body,
    },
    About.SUPPLY: {
        "strap_measured": _strap,
        "chemistry": _chemistry,
        "neighbour_chemistry": _other_chemistry,
        "is_vented": _chemistry,
        "days_to_half_d": _capacity,
        "coldest_charged_c": _cold,
        "asked_a": _supply_loads,
        "gives_a": lambda s: _alternators(s.facts),
        "gives_most_a": lambda s: _alternators(s.facts),
    },
    About.SITUATION: {
        "outcome": _solving,
        "batteries_give_a": _solving,
        "lasting_load_a": _solving,
        "batteries_give_least_a": lambda s: _alternators(s.facts),
    },
}
"""Kind of thing -> need -> what it waits for where it is not known; others ask in the rule's own words."""
