"""Cause and consequence: which failure merely follows from another one that bears on the same thing.

Every thing of an installation has a name of its own (`own`) and a list of the names that a fault in it shows
at (`bears_on`): a wire's at the fuses before it and the loads behind it, a fuse's at what it protects. A
failure hangs under another one when its rule says that it may (`Rule.follows`) and the two meet here.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import singledispatch

from groundstrap.assess.results import CircuitAssessment
from groundstrap.checks.facts import (
    CircuitSubject,
    ClaimSubject,
    Facts,
    FuseSubject,
    GearSubject,
    LoadSubject,
    PartSubject,
    ProofSubject,
    ReadingSubject,
    SituationSubject,
    Subject,
    SupplySubject,
    WireSubject,
)
from groundstrap.checks.findings import Because, Finding, FindingOutcome
from groundstrap.model import Circuit, State, Tie, Wire
from groundstrap.records import dataclass, replace
from groundstrap.vet import EvidenceKind

__all__ = ["Raised", "with_causes"]

_Name = tuple[str, str]
_Names = frozenset[_Name]

_SITUATION = ("situation", "")
_HALF = 0.5
"""Share of a drop that a common feeder must lose to be the cause of it: own judgement."""


@dataclass(frozen=True)
class Raised:
    """A finding with the thing that it was found at, and the rules that it may be a consequence of."""

    finding: Finding
    subject: Subject
    follows: tuple[str, ...]

    @property
    def nearness(self) -> tuple[int, float]:
        """What stands nearer the source comes first, then what is farther beyond its limit."""
        margin_pct = self.finding.margin_pct
        return _depth(self.subject), 0.0 if margin_pct is None else margin_pct


def with_causes(raised: Sequence[Raised]) -> list[Finding]:
    """Return the findings in their order; each that merely follows from another names the root of it.

    Only failures that decide take part: what somebody answers for is shown by itself.
    """
    failing = sorted((each for each in raised if _takes_part(each.finding)), key=lambda each: each.nearness)
    causes = {id(each): _cause(each, failing, at) for at, each in enumerate(failing)}
    found = []
    for each in raised:
        root = each
        while (above := causes.get(id(root))) is not None:
            root = above
        finding = each.finding
        if root is not each:
            named = root.finding
            finding = replace(finding, because=Because(named.rule, named.where, named.circuit))
        found.append(finding)
    return found


def _takes_part(finding: Finding) -> bool:
    return finding.outcome is FindingOutcome.FAIL and finding.decides


def _cause(effect: Raised, failing: Sequence[Raised], at: int) -> Raised | None:
    """The nearest failure that a rule names as its cause, else the first of the same kind, else None."""
    best: tuple[int, int, int] | None = None
    chosen = None
    for number, cause in enumerate(failing):
        if cause.finding.rule == effect.finding.rule or cause.finding.rule not in effect.follows:
            continue
        distance = _distance(cause.subject, effect.subject)
        if distance is None:
            continue
        rank = (distance, effect.follows.index(cause.finding.rule), number)
        if best is None or rank < best:
            best, chosen = rank, cause
    if chosen is not None:
        return chosen
    wide = effect.finding.rule in effect.follows
    for earlier in failing[:at]:
        if earlier.finding.rule == effect.finding.rule and _repeats(
            earlier.subject, effect.subject, wide=wide
        ):
            return earlier
    return None


def _distance(cause: Subject, effect: Subject) -> int | None:
    """0 for the same thing, 1 for one that a fault in the other shows at, None where they never meet."""
    if isinstance(cause, ClaimSubject) and isinstance(effect, LoadSubject) and _was_measured(effect):
        return None
    if own(cause) & own(effect):
        return 0
    if isinstance(cause, WireSubject) and isinstance(effect, WireSubject):
        return 1 if _same_cable(cause.wire, effect.wire) else None
    return 1 if own(effect) & bears_on(cause) else None


def _was_measured(subject: LoadSubject) -> bool:
    """Whether what a load takes was measured: then no claim is the cause of what it does."""
    evidence = subject.vetted.evidence if subject.vetted is not None else ()
    return any(each.kind is EvidenceKind.MEASURED and each.weight > 0.0 for each in evidence)


def _same_cable(first: Wire, second: Wire) -> bool:
    """Whether two pieces of one circuit are of the same cable, so that they were chosen once."""
    return first.circuit == second.circuit and (first.size, first.insulation, first.material) == (
        second.size,
        second.insulation,
        second.material,
    )


# --- the same failure at several things -------------------------------------------------------------------


def _repeats(first: Subject, second: Subject, *, wide: bool) -> bool:
    """Whether a failure at the second thing is the one at the first over again.

    Within one circuit it is where the two were chosen together; over circuits with a common feeder only
    for rules that name themselves among those that they follow.
    """
    if isinstance(first, WireSubject) and isinstance(second, WireSubject):
        return _same_cable(first.wire, second.wire)
    if isinstance(first, FuseSubject) and isinstance(second, FuseSubject):
        return _same_fuses(first, second, wide=wide)
    if isinstance(first, PartSubject) and isinstance(second, PartSubject):
        return first.part.gear is not None and first.part.gear == second.part.gear
    if isinstance(first, SituationSubject) and isinstance(second, SituationSubject):
        return first.found.culprit == second.found.culprit
    return wide and _common_drop(first, second)


def _same_fuses(first: FuseSubject, second: FuseSubject, *, wide: bool) -> bool:
    """Fuses at both ends of one cable; with `wide` those of one type on one feeder or post too."""
    if first.part.family != second.part.family:
        return False
    if first.part.circuit == second.part.circuit:
        return True
    return wide and _fed_by(first) == _fed_by(second)


def _fed_by(subject: PartSubject) -> tuple[str, ...]:
    """What the circuit of a part hangs on: its feeders, or the point that it starts at."""
    facts = subject.facts
    circuit = facts.circuits[subject.part.circuit]
    found = facts.assessment.circuits.get(circuit.name)
    feeders = found.feeders if found is not None else ()
    return feeders or (facts.point(circuit.start),)


def _common_drop(first: Subject, second: Subject) -> bool:
    """Whether circuits that two drops have in common lose most of each."""
    return any(
        _mostly_common(first.facts, one, other) and _mostly_common(first.facts, other, one)
        for one in _assessed(first)
        for other in _assessed(second)
    )


def _mostly_common(facts: Facts, one: CircuitAssessment, other: CircuitAssessment) -> bool:
    known = facts.assessment.circuits
    common = {one.name, *one.feeders} & {other.name, *other.feeders} & set(known)
    common_v = sum(element.drop_v for name in common for element in known[name].drop.elements)
    return bool(one.drop.drop_v) and common_v >= _HALF * (one.drop.drop_v or 0.0)


def _assessed(subject: Subject) -> list[CircuitAssessment]:
    """The circuit that a subject is, or those that a load hangs on."""
    names = [circuit.name for circuit in subject.circuits] if isinstance(subject, LoadSubject) else []
    if isinstance(subject, CircuitSubject):
        names = [subject.circuit.name]
    circuits = subject.facts.assessment.circuits
    return [circuits[name] for name in names if name in circuits]


def _depth(subject: Subject) -> int:
    """How many feeders stand before it."""
    found = subject.facts.assessment.circuits.get(subject.circuit_name or "")
    return len(found.feeders) if found is not None else 0


# --- which thing it is ------------------------------------------------------------------------------------


@singledispatch
def own(subject: Subject) -> _Names:
    """Return the names of the thing itself; one that no other kind meets goes by its place."""
    return frozenset({("place", subject.where)})


@own.register
def _(subject: WireSubject) -> _Names:
    return frozenset({("wire", subject.wire.name)})


@own.register
def _(subject: PartSubject) -> _Names:
    gear = () if subject.part.gear is None else (("gear", subject.part.gear),)
    return frozenset({("part", subject.part.name), *gear})


@own.register
def _(subject: GearSubject) -> _Names:
    return frozenset({("gear", subject.gear.name)})


@own.register
def _(subject: LoadSubject) -> _Names:
    return frozenset({("load", subject.load.name)})


@own.register
def _(subject: ClaimSubject) -> _Names:
    return frozenset({("load", subject.load.name)})


@own.register
def _(subject: SupplySubject) -> _Names:
    return frozenset({("supply", subject.supply.name)})


@own.register
def _(subject: CircuitSubject) -> _Names:
    return frozenset({("circuit", subject.circuit.name)})


@own.register
def _(subject: SituationSubject) -> _Names:
    found = subject.found
    culprits = (*found.without, *(() if found.culprit is None else (found.culprit,)))
    return frozenset({_SITUATION, *_loads(culprits)})


@own.register
def _(subject: ReadingSubject) -> _Names:
    return _readings((subject.number,))


# --- where a fault in it shows ----------------------------------------------------------------------------


@singledispatch
def bears_on(subject: Subject) -> _Names:
    """Return the names of what a fault in a thing shows at: itself, where nothing else is said."""
    return own(subject)


@bears_on.register
def _(subject: WireSubject) -> _Names:
    facts, wire = subject.facts, subject.wire
    loads = subject.found.loads if subject.found is not None else ()
    ends = {wire.start, wire.end}
    at_ends = (part.name for part in facts.parts.values() if ends & {part.start, part.end})
    passed = (name for name, found in facts.assessment.circuits.items() if set(loads) & set(found.loads))
    behind = (name for name, found in facts.assessment.circuits.items() if wire.circuit in found.feeders)
    return frozenset({
        ("circuit", wire.circuit), *_circuits(behind), *_circuits(passed if _is_trunk(subject) else ()),
        *_loads(loads), *_parts(at_ends), *_guards(facts, [wire.name]), *_supplies(facts, [subject.circuit]),
    })  # fmt: skip


def _is_trunk(subject: WireSubject) -> bool:
    """Whether it is no circuit's own way to a load, but a cable that circuits share."""
    return not subject.circuit.loads


@bears_on.register
def _(subject: FuseSubject) -> _Names:
    facts = subject.facts
    protects = subject.found.protects if subject.found is not None else ()
    wires = [facts.wires[name] for name in protects if name in facts.wires]
    wires += _beside(subject)
    circuits = {subject.part.circuit, *(wire.circuit for wire in wires)}
    return frozenset({
        *_circuits(circuits), *_wires(wire.name for wire in wires),
        *_loads(name for name in protects if name in facts.loads), *_circuit_loads(facts, circuits),
        *_parts(part.name for name in circuits for part in facts.circuits[name].parts),
    })  # fmt: skip


@bears_on.register
def _(subject: PartSubject) -> _Names:
    facts, beside = subject.facts, [wire.name for wire in _beside(subject)]
    circuit = facts.circuits[subject.part.circuit]
    return frozenset({
        *_wires(beside),
        ("circuit", circuit.name), *_circuit_loads(facts, [circuit.name]), *_guards(facts, beside),
        *_parts(part.name for part in circuit.parts),
    })  # fmt: skip


def _beside(subject: PartSubject) -> list[Wire]:
    """Pieces of cable at the two ends of a part."""
    ends = {subject.part.start, subject.part.end}
    return [wire for wire in subject.facts.wires.values() if ends & {wire.start, wire.end}]


@bears_on.register
def _(subject: GearSubject) -> _Names:
    facts = subject.facts
    parts = [part for part in facts.parts.values() if part.gear == subject.gear.name]
    circuits = set(subject.found.circuits if subject.found is not None else ()) & set(facts.circuits)
    return frozenset({
        *_parts(part.name for part in parts), *_circuits(circuits), *_circuit_loads(facts, circuits),
    })  # fmt: skip


@bears_on.register
def _(subject: LoadSubject) -> _Names:
    facts = subject.facts
    return _all_of(facts, subject.circuits) | _guards(facts, [subject.load.name])


@bears_on.register
def _(subject: ClaimSubject) -> _Names:
    facts, name = subject.facts, subject.load.name
    circuits = [circuit for circuit in facts.circuits.values() if name in circuit.loads]
    return _all_of(facts, circuits) | _guards(facts, [name])


@bears_on.register
def _(subject: SupplySubject) -> _Names:
    facts, name = subject.facts, subject.supply.name
    posts = {facts.point(subject.supply.plus), facts.point(subject.supply.minus)}
    fed = {each for each, found in facts.assessment.circuits.items() if found.source == name}
    fed |= {each.name for each in facts.circuits.values() if posts & set(_ends(facts, each))}
    joined = {point for each in fed for point in _ends(facts, facts.circuits[each])}
    joined |= {
        end for tie in facts.installation.ties for end in _tied(facts, tie) if posts & _tied(facts, tie)
    }
    beside = (each.name for each in facts.supplies.values() if joined & {facts.point(each.plus)})
    return frozenset({_SITUATION, *_circuits(fed), *_circuit_loads(facts, fed), *_named("supply", beside)})


def _ends(facts: Facts, circuit: Circuit) -> tuple[str, str]:
    return facts.point(circuit.start), facts.point(circuit.end)


def _tied(facts: Facts, tie: Tie) -> set[str]:
    return {facts.point(tie.start), facts.point(tie.end)}


@bears_on.register
def _(subject: ProofSubject) -> _Names:
    own_reading = subject.proven.reading
    return _readings((*subject.proven.shows_at, *(() if own_reading is None else (own_reading,))))


@bears_on.register
def _(subject: CircuitSubject) -> _Names:
    facts, circuit = subject.facts, subject.circuit
    # What feeds the same block from another source meets what this one brings.
    feeds = (each.name for each in facts.circuits.values() if not each.loads and each.end == circuit.end)
    return _all_of(facts, [circuit]) | (_circuits(feeds) if not circuit.loads else frozenset())


def _all_of(facts: Facts, circuits: Iterable[Circuit]) -> _Names:
    """Circuits with their pieces, fuses before them, loads, and existing cable that new ones tap."""
    found: set[_Name] = set()
    for circuit in circuits:
        hosts = _hosts(facts, circuit)
        pieces = [piece for each in (circuit, *hosts) for piece in each.wires]
        parts = [part for each in (circuit, *hosts) for part in each.parts]
        found |= {
            ("circuit", circuit.name), *_wires(wire.name for wire in pieces), *_supplies(facts, [circuit]),
            *_parts(part.name for part in parts), *_guards(facts, [wire.name for wire in pieces]),
            *(("gear", part.gear) for part in parts if part.gear is not None),
            *_circuit_loads(facts, [circuit.name]),
        }  # fmt: skip
    return frozenset(found)


def _hosts(facts: Facts, circuit: Circuit) -> list[Circuit]:
    """Existing circuits that a new one hangs on."""
    found = facts.assessment.circuits.get(circuit.name)
    feeders = found.feeders if found is not None and circuit.state is not State.EXISTING else ()
    known = [facts.circuits[name] for name in feeders if name in facts.circuits]
    return [feeder for feeder in known if feeder.state is State.EXISTING]


def _guards(facts: Facts, names: Iterable[str]) -> _Names:
    return _parts(fuse.name for name in names for fuse in facts.guards.get(name, ()))


def _circuit_loads(facts: Facts, circuits: Iterable[str]) -> _Names:
    known = facts.assessment.circuits
    return _loads(load for name in circuits if name in known for load in known[name].loads)


def _supplies(facts: Facts, circuits: Iterable[Circuit]) -> _Names:
    """Machines and converters that circuits start or end at."""
    ends = [point for each in circuits for point in (each.start, each.end)]
    machines = (facts.machine_at(point) for point in ends)
    found = {machine.name for machine in machines if machine is not None}
    found |= {each.converter for each in circuits if each.converter is not None}
    return _named("supply", found)


def _named(kind: str, names: Iterable[str]) -> _Names:
    return frozenset((kind, name) for name in names)


def _circuits(names: Iterable[str]) -> _Names:
    return _named("circuit", names)


def _loads(names: Iterable[str]) -> _Names:
    return _named("load", names)


def _parts(names: Iterable[str]) -> _Names:
    return _named("part", names)


def _readings(numbers: Iterable[int]) -> _Names:
    return _named("reading", map(str, numbers))


def _wires(names: Iterable[str]) -> _Names:
    return _named("wire", names)
