"""Readings and looks that settle one value of a thing: the size of a cable, what a load takes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from groundstrap.assess.results import WireAssessment
from groundstrap.checks.facts import Facts, FuseSubject
from groundstrap.checks.findings import Ask
from groundstrap.model import Circuit, Part, PartKind, State, Wire
from groundstrap.words import Words, words

__all__ = [
    "carried_asked",
    "insulation_asked",
    "kind_asked",
    "length_asked",
    "loads_asked",
    "opening_asked",
    "rating_asked",
    "reset_asked",
    "sizes_asked",
    "type_asked",
    "wires_asked",
]

TO_CHOOSE: Final = Ask(
    what=words("sizes and ratings still to be chosen"),
    how=words("`groundstrap plan` chooses them where something fits; or write what will be fitted"),
)


def size_asked(facts: Facts, wire: Wire) -> Iterator[Ask]:
    """Say how a cable gets the size that nobody wrote."""
    if wire.size is not None:
        return
    if wire.state is State.NEW and not wire.unknown:
        yield TO_CHOOSE
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


def insulation_asked(found: WireAssessment) -> Iterator[Ask]:
    """Yield what is asked where a cable's insulation is assumed."""
    if found.insulation_assumed and found.area_mm2 is not None:
        yield Ask(
            what=words("insulation of {of}", of=words("the wire of {circuit}", circuit=found.circuit)),
            how=words("read type or class off the print on it and write `insulation`"),
        )


def wires_asked(facts: Facts, names: Iterable[str]) -> Iterator[Ask]:
    """Yield what is asked of the size and insulation of cables."""
    for name in names:
        if name in facts.wires:
            yield from size_asked(facts, facts.wires[name])
            yield from insulation_asked(facts.wire_findings[name])


def sizes_asked(facts: Facts, names: Iterable[str]) -> Iterator[Ask]:
    """Yield what is asked of the sizes of cables."""
    for name in names:
        if name in facts.wires:
            yield from size_asked(facts, facts.wires[name])


def loads_asked(facts: Facts, names: Iterable[str]) -> Iterator[Ask]:
    """Yield what is asked of loads whose current nobody knows."""
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


def carried_asked(facts: Facts, circuit: str) -> Iterator[Ask]:
    """What the current of a circuit hangs on: its loads, and cable between batteries that nobody knows."""
    found = facts.assessment.circuits.get(circuit)
    if found is None:
        return
    yield from loads_asked(facts, found.loads)
    for name in found.hangs_on:
        yield from sizes_asked(facts, (name,))
        if name in facts.wires and not facts.wires[name].length_known:
            yield length_asked(facts.wires[name].circuit)
    for part in facts.parts.values():
        if part.name in found.hangs_on:
            yield kind_asked(part)


def length_asked(circuit: str) -> Ask:
    """Return what is asked of a circuit's length."""
    return Ask(what=words("length of {of}", of=circuit), how=words("measure it along the cable"))


def kind_asked(part: Part) -> Ask:
    """Return what is asked of a part that nobody knows."""
    return Ask(what=words("what {name} is", name=part.name), how=words("follow the cable and look"))


def rating_asked(part: Part) -> Iterator[Ask]:
    """Yield what is asked of a part without a rating."""
    if part.rating_a is None:
        chosen = part.state is State.NEW and not part.unknown_rating
        yield (
            TO_CHOOSE
            if chosen
            else Ask(what=words("rating of {of}", of=part.name), how=words("read it off the fuse"))
        )


def type_asked(part: Part) -> Iterator[Ask]:
    """Yield what is asked of a fuse without a known type."""
    if part.rating_a is None and part.state is State.NEW and not part.unknown_rating:
        yield TO_CHOOSE
    else:
        how = words("look what it is and write `family`, or `breaks` as its data sheet says")
        yield Ask(what=words("type of {of}", of=part.name), how=how)


def make_asked(part: Part) -> Iterator[Ask]:
    """Yield what is asked of a fuse whose family is made for more than one voltage."""
    how = words("read its rated voltage off the fuse itself and write `rated_at`")
    yield Ask(what=words("rated voltage of {of}", of=part.name), how=how)


def opening_asked(subject: FuseSubject) -> Iterator[Ask]:
    """Yield what is asked where no gate says when a fuse opens."""
    closest = subject.found.closest if subject.found is not None else None
    if closest is not None and closest.verdict is None:
        how = words("write its maker's time-current points as `curve`, or fit a type whose gates are known")
        yield Ask(what=words("opening times of {of}", of=subject.part.name), how=how)


def reset_asked(subject: FuseSubject) -> Iterator[Ask]:
    """Yield what is asked of how a breaker resets."""
    if subject.part.kind is PartKind.BREAKER:
        how = words("see whether a hand closes it, and write `family`, such as hand-reset breaker")
        yield Ask(what=words("how {name} resets", name=subject.part.name), how=how)
