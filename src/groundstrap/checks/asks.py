"""What would settle an undecided finding: the readings and looks that its unknown values wait for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, Final

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
from groundstrap.checks.readings import (
    carried_asked,
    insulation_asked,
    kind_asked,
    length_asked,
    loads_asked,
    make_asked,
    opening_asked,
    rating_asked,
    reset_asked,
    sizes_asked,
    type_asked,
    wires_asked,
)
from groundstrap.checks.rule import About
from groundstrap.model import FUSES, Circuit, PartKind, State, SupplyKind
from groundstrap.words import words

__all__ = ["asks_of"]

_BODY: Final = Ask(
    what=words("resistance of the body"),
    how=words("measure its millivolts at a known current, from the battery's negative to the far end"),
)


def asks_of(subject: Subject, about: About, needs: Iterable[str]) -> tuple[Ask, ...]:
    """Return the readings and looks that these needs of a subject wait for, each once."""
    known = _BY_NEED.get(about, {})
    found = (ask for need in needs if need in known for ask in known[need](subject))
    return tuple(dict.fromkeys(found))


def _ways(facts: Facts, circuit: str) -> list[Circuit]:
    """A circuit and those before it."""
    found = facts.assessment.circuits.get(circuit)
    names = (circuit, *(found.feeders if found is not None else ()))
    return [facts.circuits[name] for name in names if name in facts.circuits]


def _on_way(facts: Facts, circuit: str) -> Iterator[Ask]:
    """Sizes, parts and loads that a circuit's drop and far-end fault hang on."""
    ways = _ways(facts, circuit)
    for way in ways:
        yield from sizes_asked(facts, (wire.name for wire in way.wires))
        yield from _strange(way)
    for way in ways:
        found = facts.assessment.circuits.get(way.name)
        yield from loads_asked(facts, found.loads if found is not None else ())


def _strange(circuit: Circuit) -> Iterator[Ask]:
    for part in circuit.parts:
        if part.kind is PartKind.UNKNOWN:
            yield kind_asked(part)


def _places(subject: CircuitSubject) -> Iterator[Ask]:
    for way in _ways(subject.facts, subject.circuit.name):
        yield from _strange(way)
        for part in way.parts:
            fuse = part.kind in FUSES
            if fuse and not part.distance_written and way.state is State.EXISTING:
                yield Ask(
                    what=words("place of {of}", of=part.name),
                    how=words("measure the cable from the source to it"),
                )
        if way.fuse_unknown:
            yield Ask(
                what=words("the fuse of {of}", of=way.name),
                how=words("follow the cable from the source, and write in its path what is found"),
            )
        if any(not wire.length_known for wire in way.wires):
            yield length_asked(way.name)


def _way_back(subject: CircuitSubject) -> Iterator[Ask]:
    yield Ask(
        what=words("length of {of}", of=words("the return of {circuit}", circuit=subject.circuit.name)),
        how=words("measure it along the cable"),
    )


def _batteries(facts: Facts) -> Iterator[Ask]:
    for battery in facts.batteries:
        if battery.capacity_ah is None and battery.cranking_a is None and battery.resistance_ohm is None:
            how = words("write its capacity or cranking current, as its label says")
            yield Ask(what=words("size of {of}", of=battery.name), how=how)


def _alternators(facts: Facts) -> Iterator[Ask]:
    for supply in facts.supplies.values():
        if supply.kind is SupplyKind.ALTERNATOR and supply.rating_a is None:
            what = words("rating of {of}", of=supply.name)
            if supply.assumed:
                what = words("rating of the vehicle's alternator, which the job does not name")
            yield Ask(
                what=what,
                how=words("read it off its label and write `rating`"),
            )


def _guards(facts: Facts, name: str) -> Iterator[Ask]:
    for fuse in facts.guards.get(name, ()):
        yield from rating_asked(facts.parts[fuse.name])


def _part_rating(name: str) -> Iterator[Ask]:
    yield Ask(
        what=words("rating of {of}", of=name),
        how=words("read it off the part, or take it from its data sheet"),
    )


def _own_wires(subject: CircuitSubject) -> Iterator[Ask]:
    return wires_asked(subject.facts, (wire.name for wire in subject.circuit.wires))


def _outs(subject: WireSubject) -> Iterator[Ask]:
    return wires_asked(subject.facts, (w.name for w in subject.circuit.wires if not w.returning))


def _one(subject: WireSubject) -> Iterator[Ask]:
    return wires_asked(subject.facts, (subject.wire.name,))


def _heat(subject: WireSubject) -> Iterator[Ask]:
    yield from _one(subject)
    yield from _wire_loads(subject)


def _wire_loads(subject: WireSubject) -> Iterator[Ask]:
    return carried_asked(subject.facts, subject.wire.circuit)


def _returning_fuses(subject: WireSubject) -> Iterator[Ask]:
    loads = set(subject.found.loads) if subject.found is not None else set()
    for circuit in subject.facts.circuits.values():
        if loads & set(circuit.loads):
            for part in circuit.parts:
                if part.kind in FUSES:
                    yield from rating_asked(part)


def _protected(subject: FuseSubject) -> Iterator[Ask]:
    yield from wires_asked(subject.facts, subject.found.protects if subject.found is not None else ())


def _thin_insulation(subject: FuseSubject) -> Iterator[Ask]:
    found, rating_a = subject.found, subject.part.rating_a
    for name in found.protects if found is not None else ():
        wire = subject.facts.wire_findings.get(name)
        low = wire is not None and wire.ampacity_a is not None
        if wire is not None and low and (rating_a is None or (wire.ampacity_a or 0.0) < rating_a):
            yield from insulation_asked(wire)


def _window(subject: FuseSubject) -> Iterator[Ask]:
    yield from _protected(subject)
    yield from carried_asked(subject.facts, subject.part.circuit)


def _fault(subject: FuseSubject) -> Iterator[Ask]:
    for way in _ways(subject.facts, subject.part.circuit):
        yield from sizes_asked(subject.facts, (wire.name for wire in way.wires if not wire.returning))
    yield from _batteries(subject.facts)


def _body(subject: Subject) -> Iterator[Ask]:
    if subject.facts.installation.chassis_points:
        yield _BODY


def _weak_fault(subject: FuseSubject) -> Iterator[Ask]:
    yield from _body(subject)
    yield from _batteries(subject.facts)


def _part_loads(subject: PartSubject) -> Iterator[Ask]:
    return carried_asked(subject.facts, subject.part.circuit)


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
        yield from carried_asked(subject.facts, name)


def _load_ways(subject: LoadSubject) -> Iterator[Ask]:
    for circuit in subject.circuits:
        yield from _on_way(subject.facts, circuit.name)


def _supply_loads(subject: SupplySubject) -> Iterator[Ask]:
    yield from loads_asked(subject.facts, subject.facts.loads)


def _by_failures(subject: WireSubject | PartSubject | LoadSubject) -> Iterator[Ask]:
    """What decides how bad a single failure is: the body, and cable of unknown size that takes part."""
    yield from _body(subject)
    for failure in subject.facts.assessment.failures:
        if subject.where in {failure.victim, failure.element} or isinstance(subject, WireSubject):
            yield from sizes_asked(subject.facts, failure.rests_on)


def _bonded(subject: WireSubject) -> Iterator[Ask]:
    yield from _one(subject)
    for bond in subject.facts.assessment.returns.bonds:
        if bond.wire == subject.wire.name and bond.unknown and bond.unknown[0] != "size":
            settle = type_asked if "curve" in bond.unknown else rating_asked
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
            yield from sizes_asked(subject.facts, (w.name for w in subject.facts.circuits[name].wires))


def _tap_fuse(subject: CircuitSubject) -> Iterator[Ask]:
    for part in subject.circuit.parts:
        if part.holder == "tap":
            yield from rating_asked(part)


def _holder(subject: PartSubject) -> Iterator[Ask]:
    how = words("look whether they are sealed, and write each one's `holder`")
    yield Ask(what=words("holders of {of}", of=words("fuses in {zone}", zone=subject.part.zone)), how=how)


def _cranking_cable(subject: LoadSubject) -> Iterator[Ask]:
    for circuit in subject.facts.circuits.values():
        yield from sizes_asked(subject.facts, (w.name for w in circuit.wires))


def _solving(subject: SituationSubject) -> Iterator[Ask]:
    yield from sizes_asked(subject.facts, subject.found.rests_on)
    yield from loads_asked(subject.facts, subject.facts.loads)


_BY_NEED: Final[Mapping[About, Mapping[str, Callable[[Any], Iterator[Ask]]]]] = {
    About.CIRCUIT: {
        "backfed_m": lambda s: iter((length_asked(s.circuit.name),)),
        "unfused_m": _places,
        "way_back_m": _way_back,
        "far_unfused_m": _places,
        "machine_unfused_m": _places,
        "ampacity_a": _own_wires,
        "ampacity_best_a": _own_wires,
        "load_a": lambda s: carried_asked(s.facts, s.circuit.name),
        "machine_a": lambda s: _alternators(s.facts),
        "machine_least_a": lambda s: _alternators(s.facts),
        "drop_v": lambda s: _on_way(s.facts, s.circuit.name),
        "drop_flips": _body,
        "host_measured": _tapped,
        "unlike_pct": _beside,
        "tap_fuse_a": _tap_fuse,
        "turns_compass_deg": lambda s: carried_asked(s.facts, s.circuit.name),
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
        "cable_at_fuse_mm2": lambda s: sizes_asked(
            s.facts, (w.name for w in s.facts.circuits[s.part.circuit].wires)
        ),
        "holder_load_a": lambda s: carried_asked(s.facts, s.part.circuit),
        "fuse_a": lambda s: rating_asked(s.part),
        "sure_to_open_twice_a": lambda s: rating_asked(s.part),
        "loop_limit_a": _protected,
        "opening_unknown": opening_asked,
        "resets_itself": reset_asked,
        "limit_rests_on": _thin_insulation,
        "window_may_open": _thin_insulation,
        "window_known": _window,
        "load_a": lambda s: carried_asked(s.facts, s.part.circuit),
        "carries_a": lambda s: type_asked(s.part),
        "carries_best_a": lambda s: type_asked(s.part),
        "fault_most_a": _fault,
        "fault_sure_a": _fault,
        "breaks_a": lambda s: type_asked(s.part),
        "fuse_rated_v": lambda s: type_asked(s.part),
        "special_make_v": lambda s: make_asked(s.part),
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
        "socket_a": lambda s: loads_asked(s.facts, (s.load.name,)),
        "is_known": lambda s: loads_asked(s.facts, (s.load.name,)),
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
