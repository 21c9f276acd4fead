"""Cut list: every cable that is to be laid, with both its ends, as laid and as cut.

What is cut on top of the laid length is own judgement: a tenth of it, because no cable lies as straight as it
was measured, and at each end enough for a second crimp. The last end is cut to fit when the first is made.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Final

from groundstrap.assess import WireEnd
from groundstrap.assess.isolating import isolation_of
from groundstrap.draw.references import References, circuits_in_order, references
from groundstrap.model import Circuit, Passage, Uncertain, Wire
from groundstrap.pack.content import Align, Block, Column, Paragraph, Section, Table
from groundstrap.pack.lists.spots import Spot, spots_of, way_words
from groundstrap.records import dataclass, replace
from groundstrap.report.figures import Display, number
from groundstrap.report.parts import Cable, cable_of, laid, terminal_words, terminals_of
from groundstrap.report.plan import Plan
from groundstrap.words import Name, Words, joined, plural, term, words

__all__ = [
    "Cut",
    "CutEnd",
    "cut_length_m",
    "cut_section",
    "cuts_of",
    "end_slack_m",
    "fitting_words",
    "spot_words",
]

ROUTE_SLACK: Final = 0.10
"""On top of the laid length; own judgement. [1]"""
_END_SLACK_M: Final = ((6.0, 0.05), (35.0, 0.08), (math.inf, 0.10))
"""At each end, up to an area: a crimp that is made twice; own judgement. [mm2, m]"""
_CRIMPED: Final = frozenset({"ring", "tab", "splice"})
"""Terminals whose crimp is told by a colour and covered by heat-shrink."""
_IN_SPLICE: Final = words("in the splice of the cable before it")


@dataclass(frozen=True, slots=True, kw_only=True)
class CutEnd:
    """One end of a cable: where it goes, and what it is fitted with."""

    spot: Spot
    fitting: str
    """In words, also where the cable before it brings the splice; empty where nothing is known of the end."""
    kind: str | None
    """ring, tab, contact, splice; None where nobody says, or the cable before it brings the splice."""
    stud: str | None
    tab_mm: float | None
    torque_nm: Uncertain | None
    crimp_colours: tuple[str, ...]
    assumed: bool
    """Whether it is what such parts usually have, and nobody wrote it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One cable to be cut."""

    number: str
    wire: str
    circuit: str
    returning: bool
    cable: Cable
    area_mm2: float | None
    outer_mm: float | None
    length_m: float
    """As laid. [m]"""
    cut_m: float
    """With the allowance. [m]"""
    length_assumed: bool
    """Whether it is as long as the way out only because nobody said how far its own end is."""
    start: CutEnd
    end: CutEnd
    shrink_mm: float | None
    shrink_lined: bool


def end_slack_m(area_mm2: float | None) -> float:
    """Return what is cut on top at each end. [m]

    >>> end_slack_m(2.5), end_slack_m(16.0), end_slack_m(70.0)
    (0.05, 0.08, 0.1)
    """
    if area_mm2 is None:
        return _END_SLACK_M[-1][1]
    return next(slack_m for most_mm2, slack_m in _END_SLACK_M if area_mm2 <= most_mm2)


def cut_length_m(length_m: float, area_mm2: float | None) -> float:
    """Return how long a cable is cut, up to a whole centimetre, from 10 m on to ten of them. [m]

    >>> cut_length_m(3.0, 2.5), cut_length_m(0.15, 70.0), cut_length_m(12.0, 2.5)
    (3.4, 0.37, 13.3)
    """
    exact_cm = 100 * (length_m * (1 + ROUTE_SLACK) + 2 * end_slack_m(area_mm2))
    step_cm = 10 if exact_cm > 1000 else 1
    return math.ceil(exact_cm / step_cm - 1e-6) * step_cm / 100


def cuts_of(plan: Plan, refs: References | None = None) -> tuple[Cut, ...]:
    """Return every cable to be cut, by the numbers on them."""
    refs = references(plan.installation) if refs is None else refs
    spots, at_plus = spots_of(plan, refs), isolation_of(plan.installation).ever
    return tuple(
        cut
        for circuit in circuits_in_order(plan.installation)
        for wire in laid(circuit)
        for cut in _cuts(plan, circuit, wire, refs, spots, at_plus)
    )


def _cuts(
    plan: Plan,
    circuit: Circuit,
    wire: Wire,
    refs: References,
    spots: Mapping[str, Spot],
    at_plus: frozenset[str],
) -> Iterator[Cut]:
    area_mm2 = None if wire.size is None else wire.size.area_mm2
    laying = plan.assessment.laying.get(wire.name)
    fittings = terminals_of(plan, circuit, wire)
    ends = plan.assessment.ends.get(wire.name, (None, None))
    points = _own_spots(circuit, wire, spots)
    start, end = (_end(points[n], fittings[n], ends[n], area_mm2) for n in (0, 1))
    for number_ in refs.cables(wire.name):
        yield Cut(
            number=number_,
            wire=wire.name,
            circuit=circuit.name,
            returning=wire.returning,
            cable=cable_of(plan, wire, at_plus),
            area_mm2=area_mm2,
            outer_mm=None if laying is None else laying.outer_mm,
            length_m=wire.length_m,
            cut_m=cut_length_m(wire.length_m, area_mm2),
            length_assumed=wire.borrowed,
            start=start,
            end=end,
            shrink_mm=None if laying is None else laying.shrink_mm,
            shrink_lined=laying is not None and laying.shrink_lined,
        )


def _own_spots(circuit: Circuit, wire: Wire, spots: Mapping[str, Spot]) -> tuple[Spot, Spot]:
    """Where a wire's ends go; at a block the way that its circuit names."""
    way = circuit.back if wire.returning else circuit.path
    place = way.index(wire)
    before = way[place - 1] if place > 0 else None
    behind = way[place + 1] if place + 1 < len(way) else None
    return _at(wire.start, before, spots), _at(wire.end, behind, spots)


def _at(point: str, beside: object, spots: Mapping[str, Spot]) -> Spot:
    found = spots.get(point)
    if found is None:
        return Spot(point=point, place="", thing=point, reference="", terminal="")
    if isinstance(beside, Passage) and beside.way is not None:
        return replace(found, thing=way_words(found.thing, beside.way))
    return found


def _end(spot: Spot, fitting: WireEnd | None, end: WireEnd | None, area_mm2: float | None) -> CutEnd:
    if fitting is None:
        # The splice belongs to the cable that comes before; this one is crimped into it.
        text = "" if end is None else _IN_SPLICE
        return CutEnd(
            spot=spot, fitting=text, kind=None, stud=None, tab_mm=None, torque_nm=None, crimp_colours=(),
            assumed=False,
        )  # fmt: skip
    return CutEnd(
        spot=spot,
        fitting=terminal_words(fitting, area_mm2),
        kind=fitting.terminal,
        stud=fitting.stud,
        tab_mm=fitting.tab_mm,
        torque_nm=fitting.torque_nm,
        crimp_colours=fitting.crimp_colours,
        assumed=fitting.assumed,
    )


def cut_section(plan: Plan, shown: Display, cuts: tuple[Cut, ...] | None = None) -> Section:
    """Return the cut list for print."""
    cuts = cuts_of(plan) if cuts is None else cuts
    columns = (
        Column(words("No."), share=0.7),
        Column(words("Cable"), share=2.2),
        Column(words("From"), share=2.2),
        Column(words("ends in"), share=1.8),
        Column(words("To"), share=2.2),
        Column(words("ends in"), share=1.8),
        Column(words("Laid"), Align.RIGHT, share=0.9),
        Column(words("Cut to"), Align.RIGHT, share=0.9),
    )
    rows = tuple(_row(cut, shown) for cut in cuts)
    if not rows:
        nothing = Paragraph(words("No cable is to be laid."))
        return Section(key="cables", title=words("Cut list"), blocks=(nothing,))
    table = Table(columns, rows, small=True)
    head = (Paragraph(_summary(cuts, shown)), Paragraph(_allowance(shown)))
    # What its signs mean stands before it: behind a long table it would stand on a page of its own.
    blocks: tuple[Block, ...] = (*head, *_notes(cuts), table)
    return Section(key="cables", title=words("Cut list"), blocks=blocks)


def _summary(cuts: tuple[Cut, ...], shown: Display) -> str:
    laid_m = sum(cut.length_m for cut in cuts)
    cut_m = sum(cut.cut_m for cut in cuts)
    return words(
        "{cables}, {laid} as laid, {cut} as cut. The number stands on both ends of each.",
        cables=plural("{count} cable", "{count} cables", len(cuts)),
        laid=shown.length(laid_m),
        cut=shown.length(cut_m),
    )


def _allowance(shown: Display) -> str:
    slacks = [shown.length(slack_m) for _, slack_m in _END_SLACK_M]
    return words(
        "Cut to: the laid length and {share} % of it, because no cable lies as straight as it was measured, "
        "and at each end {thin} up to 6 mm2, {middle} up to 35 mm2, {thick} above, for a crimp that is made "
        "twice (own judgement). Lay it, make one end, cut the other to fit: what lies ahead of a fuse is no "
        "longer than in the column Laid.",
        share=number(100 * ROUTE_SLACK),
        thin=slacks[0],
        middle=slacks[1],
        thick=slacks[2],
    )


def _notes(cuts: tuple[Cut, ...]) -> Iterator[Paragraph]:
    if any(end.kind is not None and end.assumed for cut in cuts for end in (cut.start, cut.end)):
        text = words(
            "~ before a terminal: what such parts usually have; nobody wrote it. Look before you buy."
        )
        yield Paragraph(text)
    if any(cut.length_assumed for cut in cuts):
        text = words(
            "~ before a length: a return to another place than where its circuit begins, reckoned as long as "
            "the way out. Nobody wrote how far that is: measure before you cut."
        )
        yield Paragraph(text)
    if any(
        end.kind is None and end.fitting not in {"", _IN_SPLICE}
        for cut in cuts
        for end in (cut.start, cut.end)
    ):
        yield Paragraph(words("Where a terminal is to suit its place, nobody wrote what the part has."))
    if any(not cut.cable.colour for cut in cuts):
        yield Paragraph(
            words("Where plus or minus stands, the job names no colour: any, but the two not alike.")
        )


def _row(cut: Cut, shown: Display) -> tuple[str, ...]:
    return (
        Name(cut.number),
        _cable(cut, shown),
        spot_words(cut.start.spot),
        _end_words(cut.start, shown),
        spot_words(cut.end.spot),
        _end_words(cut.end, shown),
        _length(cut, cut.length_m, shown),
        _length(cut, cut.cut_m, shown),
    )


def _length(cut: Cut, length_m: float, shown: Display) -> str:
    length = shown.length(length_m)
    return words("~{length}", length=length) if cut.length_assumed else length


def _cable(cut: Cut, shown: Display) -> str:
    """The cable, and what goes with its size at both ends: colour of the crimp, heat-shrink."""
    texts: list[str] = [shown.size(cut.cable.size)]
    if cut.cable.colour is not None:
        texts.append(term(cut.cable.colour))
    elif cut.cable.minus is not None:
        texts.append(words("minus") if cut.cable.minus else words("plus"))
    if cut.cable.material != "copper":
        texts.append(term(cut.cable.material))
    crimped = [end for end in (cut.start, cut.end) if end.kind in _CRIMPED]
    if crimped and crimped[0].crimp_colours:
        texts.append(words("crimp {colour}", colour=_either(crimped[0].crimp_colours)))
    if crimped and cut.shrink_mm is not None:
        width = number(cut.shrink_mm)
        lined, plain = words("lined shrink {width} mm", width=width), words("shrink {width} mm", width=width)
        texts.append(lined if cut.shrink_lined else plain)
    return joined("; ", texts)


def _end_words(end: CutEnd, shown: Display) -> str:
    """The terminal alone; colour and heat-shrink stand with the cable, alike at both ends."""
    text = words("~{terminal}", terminal=end.fitting) if end.kind is not None and end.assumed else end.fitting
    return _tightened(text, end, shown)


def _tightened(text: str, end: CutEnd, shown: Display) -> str:
    """With how tight it is made; where no stud is known the figure is of the clamp on a battery's post."""
    if end.torque_nm is None:
        return text
    torque = shown.torque(end.torque_nm)
    if end.stud is None:
        return words("{terminal}; a post's clamp {torque}", terminal=text, torque=torque)
    return words("{terminal}, {torque}", terminal=text, torque=torque)


def spot_words(spot: Spot) -> str:
    """Return where a cable's end goes: the place, the thing there, its terminal."""
    thing = spot.thing if isinstance(spot.thing, Words) else Name(spot.thing)
    named: str = words("{reference} {thing}", reference=Name(spot.reference), thing=thing)
    if not spot.reference:
        named = thing
    if spot.terminal:
        named = words("{thing}, {terminal}", thing=named, terminal=spot.terminal)
    return words("{place}: {thing}", place=Name(spot.place), thing=named) if spot.place else named


def fitting_words(cut: Cut, end: CutEnd, shown: Display) -> str:
    """Return what a cable's end is fitted with: terminal, torque, crimp, heat-shrink."""
    text = end.fitting
    if end.kind is not None and end.assumed:
        text = words("~{terminal}", terminal=text)
    text = _tightened(text, end, shown)
    if end.kind not in _CRIMPED:
        return text
    if end.crimp_colours:
        text = words("{terminal}, {colour} crimp", terminal=text, colour=_either(end.crimp_colours))
    if cut.shrink_mm is not None:
        width = number(cut.shrink_mm)
        if cut.shrink_lined:
            return words("{terminal}, lined shrink {width} mm", terminal=text, width=width)
        return words("{terminal}, shrink {width} mm", terminal=text, width=width)
    return text


def _either(colours: tuple[str, ...]) -> str:
    text: str = term(colours[0])
    for colour in colours[1:]:
        text = words("{one} or {other}", one=text, other=term(colour))
    return text
