"""The order of work for this job, short steps to tick off, each caution at the step where it counts."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from groundstrap.assess import BundleAssessment
from groundstrap.checks import WorkStep
from groundstrap.model import Circuit, Part, PartKind, Passage, State, SupplyKind, Wire
from groundstrap.pack.content import Caution, Paragraph, Section, Step
from groundstrap.pack.lists.cuts import Cut, fitting_words, spot_words
from groundstrap.pack.texts.commissioning import (
    StepCounter,
    connect_part,
    dead_test_part,
    hand_over_part,
    measure_part,
    power_part,
    work_part,
)
from groundstrap.pack.texts.make_dead import dead_cautions, dead_steps
from groundstrap.pack.texts.mounting import mounting_steps
from groundstrap.pack.texts.phrases import FUSES, Telling, listed
from groundstrap.report.figures import Display
from groundstrap.report.parts import laid as cable_of
from groundstrap.report.plan import Plan
from groundstrap.report.working import circuits_ends_first
from groundstrap.words import Name, Words, plural, term, words

__all__ = ["instruction_section"]

_COIL = frozenset({"85", "86"})
"""Terminals of a relay's coil, after DIN 72552."""
_FROM_WET = frozenset({"splash", "spray", "submerged"})


def instruction_section(plan: Plan, shown: Display, telling: Telling | None = None) -> Section:
    """Return the instructions; where nothing is to be fitted they say so."""
    telling = telling or Telling(plan, shown)
    title = words("Instructions")
    circuits = circuits_ends_first(plan)
    if not circuits and not _gone(plan):
        nothing = Paragraph(words("Nothing is to be fitted."))
        return Section(key="instructions", title=title, blocks=(nothing,))
    preface = Paragraph(
        words(
            "In this order, from the ends towards the battery, so that nothing is live before it is finished "
            "and tested. Tick what is done. Numbers of cables and letters of parts are those on the drawing, "
            "in the lists and on the labels."
        )
    )
    number_of = StepCounter()
    parts = [
        _isolate(telling, number_of),
        _prepare(telling, number_of),
        *(_build(telling, circuit, number_of) for circuit in circuits),
        _bundles(telling, number_of),
        dead_test_part(telling, number_of) if circuits else None,
        connect_part(telling, number_of),
        power_part(telling, number_of),
        measure_part(telling, number_of),
        hand_over_part(telling, number_of),
    ]
    return Section(
        key="instructions",
        title=title,
        blocks=(*_warned(telling), preface),
        parts=tuple(part for part in parts if part is not None),
    )


def _warned(telling: Telling) -> Iterator[Paragraph]:
    if telling.warning:
        yield Paragraph(telling.warning, strong=True)


def _gone(plan: Plan) -> list[Circuit]:
    return [c for c in plan.installation.circuits.values() if c.state is State.REMOVE]


def _isolate(telling: Telling, count: StepCounter) -> Section:
    return work_part(
        "isolate",
        words("Make it dead"),
        *dead_cautions(telling),
        count.steps(dead_steps(telling, before=True)),
    )


def _prepare(telling: Telling, count: StepCounter) -> Section:
    return work_part("prepare", words("Prepare"), count.steps(_prepared(telling)))


def _prepared(telling: Telling) -> Iterator[Step]:
    for circuit in _gone(telling.plan):
        yield Step(
            text=words("Take out '{circuit}': both ends off, cable and parts out.", circuit=circuit.name)
        )
    if not telling.new:
        return
    yield Step(text=words("Lay out parts, cable and tools by their lists. All new fuses stay in the bag."))
    yield Step(
        text=words(
            "Pull a string along each way and compare it with the length in the cut list: where it is more "
            "than a tenth longer, plan again before you cut."
        )
    )
    yield Step(text=words("Mark where each part sits. Look behind every place before you drill."))
    yield from mounting_steps(telling)
    yield Step(text=words("Cut the cables to the cut list. Slide a label with its number over both ends."))


def _build(telling: Telling, circuit: Circuit, count: StepCounter) -> Section:
    cautions = telling.cautions(WorkStep.LAY, circuit.name)
    steps = (
        *_routed(telling, circuit),
        *_fitted(telling, circuit),
        *_terminated(telling, circuit),
        *_joined(telling, circuit),
        *_protected(telling, circuit),
    )
    return work_part(
        f"build-{circuit.name}",
        words("Circuit {number}: {circuit}", number=Name(circuit.label or ""), circuit=Name(circuit.name))
        if circuit.label and circuit.label != circuit.name
        else words("Circuit {circuit}", circuit=circuit.name),
        *(Caution(text) for text in cautions),
        count.steps(steps),
    )


def _routed(telling: Telling, circuit: Circuit) -> Iterator[Step]:
    """One step for each cable: which, from where to where, along which route, how it may bend."""
    wires = {wire.name: wire for wire in circuit.wires}
    by_wire: dict[str, list[Cut]] = {}
    for cut in telling.cuts.get(circuit.name, ()):
        by_wire.setdefault(cut.wire, []).append(cut)
    for name, cuts in by_wire.items():
        cut = cuts[0]
        text = words(
            "Route {cable}, {size}, {length}: from {start} to {end}.",
            cable=_cables(cuts),
            size=words("size not known") if cut.cable.size is None else telling.shown.short(cut.cable.size),
            length=telling.shown.length(cut.length_m),
            start=spot_words(cut.start.spot),
            end=spot_words(cut.end.spot),
        )
        yield Step(text=text, details=tuple(_laid(telling, wires[name])))


def _cables(cuts: list[Cut]) -> str:
    if len(cuts) > 1:
        return words("cables {numbers} side by side", numbers=listed(cut.number for cut in cuts))
    return words("cable {number}", number=cuts[0].number)


def _between(route: str) -> Words:
    start, _, end = route.partition(" to ")
    return words("{start} to {end}", start=start, end=end)


def _laid(telling: Telling, wire: Wire) -> Iterator[str]:
    along: dict[tuple[str, str | None], float] = {}
    for stretch in wire.stretches:
        if stretch.route is not None:
            key = (stretch.route, stretch.laid)
            along[key] = along.get(key, 0.0) + stretch.length_m
    for (route, laid), length_m in along.items():
        length = telling.shown.length(length_m)
        if laid in {"loom", "conduit"}:
            yield words("{route}, {length} in {laid}", route=_between(route), length=length, laid=term(laid))
        else:
            yield words("{route}, {length} clipped by itself", route=_between(route), length=length)
    laying = telling.plan.assessment.laying.get(wire.name)
    if laying is not None:
        yield words(
            "bends no tighter than {radius} inside; a clip every {spacing} at most",
            radius=telling.shown.width(laying.bend_mm),
            spacing=telling.shown.length(laying.support_m),
        )


def _fitted(telling: Telling, circuit: Circuit) -> Iterator[Step]:
    """Parts of the circuit, each once: fuse holders without their fuses, switches and relays."""
    seen: set[str] = set()
    for part in circuit.parts:
        owner = part.gear or part.name
        gear = telling.plan.installation.gear.get(part.gear or "")
        there = part.state is State.EXISTING or (gear is not None and gear.state is State.EXISTING)
        if there or owner in seen or part.kind is PartKind.UNKNOWN:
            continue
        seen.add(owner)
        yield Step(text=_fit(telling, part), details=tuple(_terminals(telling, part)))


def _fit(telling: Telling, part: Part) -> str:
    name = telling.tag(part.name)
    if part.kind is PartKind.FUSE:
        slot = _slot(telling, part)
        if slot is not None and part.holder is None:
            return words("Slot {slot} of {block} is for {fuse}; it stays empty.", slot=slot.way or "",
                         block=telling.tag(slot.name), fuse=name)  # fmt: skip
        holder = part.holder
        if holder is not None:
            said = words("tap") if holder == "tap" else holder
            return words("Fit the {holder} of {fuse} at {place}; the fuse stays out.", holder=said,
                         fuse=name, place=part.place)  # fmt: skip
        return words("Fit the holder of {fuse} at {place}; the fuse stays out.", fuse=name, place=part.place)
    if part.kind is PartKind.BREAKER:
        return words("Fit {breaker} at {place}, open.", breaker=name, place=part.place)
    if part.kind is PartKind.JOINT:
        return words("Make {joint} at {place}.", joint=name, place=part.place)
    rating = telling.rating(part)
    if rating:
        return words("Fit {part}, {rating}, at {place}.", part=name, rating=rating, place=part.place)
    return words("Fit {part} at {place}.", part=name, place=part.place)


def _slot(telling: Telling, part: Part) -> Passage | None:
    """The slot of a block that a fuse sits in, with no cable between."""
    for one, other in pairwise(telling.plan.installation.circuits[part.circuit].path):
        beside = other if one is part else one if other is part else None
        if isinstance(beside, Passage) and beside.what == "block" and beside.way is not None:
            return beside
    return None


def _terminals(telling: Telling, part: Part) -> Iterator[str]:
    if part.kind in FUSES:
        if part.rating_a is None:
            yield words("no rating can be chosen yet: no fuse goes in before the findings are settled")
        else:
            yield words("for a {fuse}; never a larger one", fuse=telling.fuse(part))
        distance = telling.shown.length(part.distance_m)
        if part.distance_m > 0.0 and not part.returning:
            yield words("no more than {distance} of cable before it", distance=distance)
        if part.holder == "tap":
            start = telling.plan.installation.circuits[part.circuit].start
            yield words("in the slot at {point}", point=telling.point(start))
    yield from _relay(telling, part)
    yield from _neighbour(telling, part)


def _relay(telling: Telling, part: Part) -> Iterator[str]:
    """Numbers of a relay's terminals, and what lies across its coil."""
    found = telling.plan.assessment.parts.get(part.name)
    if part.kind is not PartKind.RELAY or found is None:
        return
    numbers = [number for _, number in found.terminals]
    contact = listed(number for number in numbers if number not in _COIL)
    coil = listed(number for number in numbers if number in _COIL)
    if contact and coil:
        yield words("contact on {contact}, coil on {coil}", contact=contact, coil=coil)
    if part.suppressor == "diode":
        yield words("a diode across its coil: its ring on the plus side, 86")
    elif part.suppressor not in {None, "none"}:
        yield words("across its coil: {suppressor}", suppressor=term(part.suppressor or ""))


def _neighbour(telling: Telling, part: Part) -> Iterator[str]:
    """What a part is screwed to with no cable between; a fuse in its block is no news."""
    circuit = telling.plan.installation.circuits[part.circuit]
    for way in (circuit.path, circuit.back):
        for one, other in pairwise(way):
            beside = other if one is part else one if other is part else None
            if isinstance(beside, Part) and one is part:
                yield words("joined straight to {part}, no cable between", part=telling.tag(beside.name))
            elif isinstance(beside, Passage) and beside.what in {"supply", "load"}:
                point = telling.point(beside.point)
                yield words("joined straight to {part}, no cable between", part=point)


def _terminated(telling: Telling, circuit: Circuit) -> Iterator[Step]:
    """Both ends of each cable; what sits on a live post is joined in the step that connects."""
    late = _posts(telling)
    for cut in telling.cuts.get(circuit.name, ()):
        details = [
            words(
                "{spot}: {fitting}", spot=spot_words(end.spot), fitting=fitting_words(cut, end, telling.shown)
            )
            for end in (cut.start, cut.end)
            if end.fitting
        ]
        waits = [spot_words(end.spot) for end in (cut.start, cut.end) if end.spot.point in late]
        if waits:
            details.append(words("leave the end at {posts} off and covered for now", posts=listed(waits)))
        text = words("Terminate cable {number}: crimp, pull hard, shrink, join.", number=cut.number)
        yield Step(text=text, details=tuple(details))


def _joined(telling: Telling, circuit: Circuit) -> Iterator[Step]:
    """Loads alike of one entry hang on one joint at plus and one at minus."""
    for name in circuit.loads:
        load = telling.plan.installation.loads.get(name)
        if load is not None and load.count > 1 and load.state is State.NEW and load.plus == circuit.end:
            yield Step(
                text=words(
                    "Join the leads of all {count} of {load}: every plus in one joint with its cable, every "
                    "minus in another, each covered.",
                    count=load.count,
                    load=telling.tag(name),
                )
            )


def _posts(telling: Telling) -> frozenset[str]:
    """Posts of batteries and panels that stay free until everything is tested dead."""
    kinds = {SupplyKind.BATTERY, SupplyKind.SOLAR}
    staying = (s for s in telling.plan.installation.supplies.values() if s.state is not State.REMOVE)
    return frozenset(post for s in staying if s.kind in kinds for post in (s.plus, s.minus))


def _protected(telling: Telling, circuit: Circuit) -> Iterator[Step]:
    zones = telling.plan.installation.zones
    wet = [
        name
        for name in dict.fromkeys(stretch.zone for wire in circuit.wires for stretch in wire.stretches)
        if name in zones and zones[name].wet in _FROM_WET
    ]
    if wet:
        yield Step(
            text=words(
                "Where it is wet ({zones}): a drip loop before every entry, sealed terminals, entries "
                "downwards.",
                zones=listed(wet),
            )
        )
    grounds = {
        spot_words(end.spot)
        for cut in telling.cuts.get(circuit.name, ())
        for end in (cut.start, cut.end)
        if end.spot.point in telling.plan.installation.chassis_points
    }
    for ground in sorted(grounds):
        yield Step(
            text=words(
                "{ground}: bare bright metal under the whole ring, a screw that is for nothing else, sealed "
                "after it is torqued.",
                ground=ground,
            )
        )


def _bundles(telling: Telling, count: StepCounter) -> Section | None:
    steps = [_bundled(telling, bundle) for bundle in telling.plan.assessment.bundles]
    if not steps:
        return None
    return work_part("protect", words("Looms, conduits and grommets"), count.steps(steps))


def _along(telling: Telling, bundle: BundleAssessment) -> Iterator[Wire]:
    """Every cable that lies in a bundle, also pieces that follow each other in one run."""
    for circuit in telling.plan.installation.circuits.values():
        for wire in cable_of(circuit):
            on_it = any(s.route == bundle.route and s.laid == bundle.laid for s in wire.stretches)
            if on_it or wire.name in bundle.wires:
                yield wire


def _bundled(telling: Telling, bundle: BundleAssessment) -> Step:
    numbers = listed(telling.cable(wire.name) for wire in _along(telling, bundle))
    details = [words("cables {numbers}", numbers=numbers)]
    if bundle.others:
        details.append(plural("beside {count} that is there", "beside {count} that are there", bundle.others))
    if bundle.bundle_mm is not None:
        details.append(words("bundle {width} thick", width=telling.shown.width(bundle.bundle_mm)))
    if bundle.bore_mm is not None:
        what = words("conduit, bore") if bundle.laid == "conduit" else words("split loom, bore")
        # Up to the next whole millimetre, as on the list of parts: less would not take the cables.
        bore_mm = math.ceil(bundle.bore_mm) if bundle.laid == "conduit" else bundle.bore_mm
        details.append(words("{what} {width} or more", what=what, width=telling.shown.width(bore_mm, 3)))
    if bundle.grommet_mm is not None:
        details.append(
            words(
                "grommet for a hole of {hole} at each panel", hole=telling.shown.width(bundle.grommet_mm, 3)
            )
        )
    if bundle.laid == "conduit":
        text = words(
            "Fix the conduit along {route}; a drain hole at its lowest point.", route=_between(bundle.route)
        )
    else:
        text = words("Close the loom along {route}.", route=_between(bundle.route))
    return Step(text=text, details=tuple(details))
