"""What is to be fitted and is not there yet: cable, fuses and their holders, blocks, parts, terminals.

Quantities are as laid, without slack and without spares; whoever buys by the list puts them on top.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import field, replace
from enum import StrEnum
from itertools import pairwise

from groundstrap.assess import FuseAssessment, WireEnd
from groundstrap.assess.isolating import isolation_of
from groundstrap.model import FUSES, Circuit, Gear, GearKind, Part, PartKind, Passage, State, StockItem, Wire
from groundstrap.records import dataclass
from groundstrap.report.figures import Display, number
from groundstrap.report.plan import Plan
from groundstrap.report.values import Json, known
from groundstrap.tables import fuse_family, fuse_family_names
from groundstrap.units import ConductorSize
from groundstrap.words import Name, term, words

__all__ = [
    "Cable",
    "Group",
    "Item",
    "cable_of",
    "cable_words",
    "fuse_type",
    "items",
    "laid",
    "parts_list",
    "terminal_words",
    "terminals_of",
]

_UNSIZED = words("size not known")


class Group(StrEnum):
    """What a line of the list is, in the order in which the list has them."""

    CABLE = "cable"
    FUSE = "fuse"
    HOLDER = "holder"
    BLOCK = "block"
    PART = "part"
    TERMINAL = "terminal"


@dataclass(frozen=True, slots=True)
class Cable:
    """One kind of cable, as it is bought."""

    size: ConductorSize | None
    material: str
    insulation_c: float | None
    colour: str | None
    minus: bool | None = None
    """Whether it lies in ways back, where no colour tells plus and minus apart."""


@dataclass(slots=True)
class Item:
    """One line of the list."""

    item: str
    unit: str
    group: Group = Group.PART
    quantity: float = 0.0
    price: float | None = None
    """Of the whole line, by the shop's prices."""
    circuits: list[str] = field(default_factory=list)
    measure: float = 0.0
    """Area or rating, by which lines of one kind follow each other."""
    cable: Cable | None = None
    fuse: tuple[float | None, str | None] | None = None
    """Rating and family. [A]"""
    stock: tuple[StockItem, ...] = ()
    """Lines of the shelf that are it, the one to take first."""

    def add(self, quantity: float, circuits: Iterable[str]) -> None:
        """Count more of it, for some circuits."""
        self.quantity += quantity
        self.circuits = list(dict.fromkeys((*self.circuits, *circuits)))


def parts_list(plan: Plan) -> list[Json]:
    """Return the list for JSON."""
    return [
        known({
            "item": item.item,
            "quantity": item.quantity,
            "unit": item.unit,
            "price": item.price,
            "circuits": item.circuits,
        })
        for item in items(plan)
    ]  # fmt: skip


def items(plan: Plan) -> tuple[Item, ...]:
    """Return everything that is to be fitted and is not there yet, as laid: without slack or spares."""
    found: dict[str, Item] = {}
    for item, quantity, circuits in _needed(plan):
        found.setdefault(item.item, item).add(quantity, circuits)
    for item in found.values():
        item.stock = _on_shelf(plan, item)
        each = item.stock[0].price if item.stock else None
        item.price = None if each is None else each * item.quantity
    return tuple(sorted(found.values(), key=_order))


def _order(item: Item) -> tuple[int, str, float, str]:
    """Cable first, then fuses and what they sit in, then other parts; within a kind by area or rating."""
    groups = tuple(Group)
    return groups.index(item.group), item.item.split()[0], item.measure, item.item


_Needed = tuple[Item, float, tuple[str, ...]]


def _needed(plan: Plan) -> Iterator[_Needed]:
    named: dict[str, list[str]] = {}
    at_plus = isolation_of(plan.installation).ever
    for circuit in plan.installation.circuits.values():
        for wire in laid(circuit):
            cable = cable_of(plan, wire, at_plus)
            area_mm2 = 0.0 if wire.size is None else wire.size.area_mm2
            item = Item(cable_words(cable), "m", Group.CABLE, measure=area_mm2, cable=cable)
            yield item, wire.length_m * wire.parallel, (circuit.name,)
        for item, quantity in _terminals(plan, circuit):
            yield item, quantity, (circuit.name,)
        for part in circuit.parts:
            gear = plan.installation.gear.get(part.gear or "")
            if _is_there_or_goes(circuit, part, gear):
                continue
            if gear is not None and part.kind not in FUSES:
                # A part with several ways is passed more than once, and bought once.
                named.setdefault(gear.name, []).append(circuit.name)
            else:
                yield from ((item, 1.0, (circuit.name,)) for item in _of_part(plan, circuit, part, gear))
    for name, circuits in named.items():
        gear = plan.installation.gear[name]
        text = words("{item} ({name})", item=_studded(gear), name=Name(name))
        yield Item(text, "piece", measure=gear.rating_a or 0.0), 1.0, tuple(circuits)
    yield from _joints(plan)
    yield from _blocks(plan)


def _joints(plan: Plan) -> Iterator[_Needed]:
    """Where the leads of several loads of one entry meet: one joint at plus, one at minus."""
    for circuit in plan.installation.circuits.values():
        for name in circuit.loads if circuit.state is State.NEW else ():
            load = plan.installation.loads.get(name)
            if load is not None and load.count > 1 and load.state is State.NEW and load.plus == circuit.end:
                text = words("joint of a cable with the leads of {count}, by their size", count=load.count)
                yield Item(text, "piece", measure=float(load.count)), 2.0, (circuit.name,)


def laid(circuit: Circuit) -> tuple[Wire, ...]:
    """Return the cable of a circuit that is to be laid and is not there yet."""
    if circuit.state is not State.NEW:
        return ()
    return tuple(wire for wire in circuit.wires if wire.state is State.NEW)


def _is_there_or_goes(circuit: Circuit, part: Part, gear: Gear | None) -> bool:
    there = State.EXISTING in {part.state, circuit.state, State.NEW if gear is None else gear.state}
    # A joint is the splice that its cables end in; what nobody knows is there already.
    counted = part.kind in {PartKind.UNKNOWN, PartKind.JOINT}
    return there or counted or State.REMOVE in {part.state, circuit.state}


def cable_of(plan: Plan, wire: Wire, at_plus: frozenset[str]) -> Cable:
    """Return the kind of cable that a wire is cut from; `at_plus` are those that are live at times."""
    rated = plan.assessment.circuits[wire.circuit].wires.get(wire.name)
    return Cable(
        wire.size,
        wire.material,
        None if rated is None else rated.insulation_c,
        wire.colour,
        wire.name not in at_plus if wire.colour is None else None,
    )


def cable_words(cable: Cable, shown: Display | None = None) -> str:
    """Return what a kind of cable is called; in metric units where nobody says how it is shown."""
    size = _UNSIZED if cable.size is None else cable.size.text
    text = words("cable {size}", size=size)
    if cable.material != "copper":
        text = words("{cable}, {material}", cable=text, material=term(cable.material))
    if cable.insulation_c is not None:
        stands = (shown or Display()).insulation(cable.insulation_c)
        text = words("{cable}, {stands} insulation", cable=text, stands=stands)
    if cable.colour:
        return words("{cable}, {colour}", cable=text, colour=term(cable.colour))
    if cable.minus is None:
        return text
    return words("{cable}, minus", cable=text) if cable.minus else words("{cable}, plus", cable=text)


def _terminals(plan: Plan, circuit: Circuit) -> Iterator[tuple[Item, float]]:
    for wire in laid(circuit):
        size = _UNSIZED if wire.size is None else wire.size.text
        area_mm2 = None if wire.size is None else wire.size.area_mm2
        for end in terminals_of(plan, circuit, wire):
            if end is not None:
                text = words("{terminal}, {size}", terminal=terminal_words(end, area_mm2), size=size)
                yield Item(text, "piece", Group.TERMINAL, measure=area_mm2 or 0.0), float(wire.parallel)


def terminals_of(plan: Plan, circuit: Circuit, wire: Wire) -> tuple[WireEnd | None, WireEnd | None]:
    """Return what a wire's ends are to be fitted with; None where the cable before it brings the splice."""
    ends = plan.assessment.ends.get(wire.name)
    if ends is None:
        return None, None
    way = circuit.back if wire.returning else circuit.path
    place = way.index(wire)
    before = way[place - 1] if place > 0 else None
    behind = way[place + 1] if place + 1 < len(way) else None
    if isinstance(before, Part) and before.kind is PartKind.JOINT and place > 1:
        before = way[place - 2]
    start: WireEnd | None = ends[0]
    if isinstance(before, Wire):
        start = None if before in laid(circuit) else _spliced(ends[0])
    return start, _spliced(ends[1]) if isinstance(behind, Wire) else ends[1]


def _spliced(end: WireEnd) -> WireEnd:
    """The end of a cable that another goes on from, with nothing between."""
    return end if end.terminal is not None else replace(end, terminal="splice", assumed=False)


def terminal_words(end: WireEnd, area_mm2: float | None) -> str:
    """Return what a terminal is called, without the size of its cable; says so where that is hardly made."""
    text = _terminal(end)
    least, most = end.takes_least_mm2, end.takes_most_mm2
    if area_mm2 is None or least is None or most is None or least <= area_mm2 <= most:
        return text
    return words("{terminal} (hardly made for this cable)", terminal=text)


def _terminal(end: WireEnd) -> str:
    if end.terminal == "ring" and end.stud is not None:
        return words("ring terminal {stud}", stud=end.stud)
    if end.terminal == "ring":
        if end.least_stud is None:
            return words("ring terminal, stud as found")
        return words("ring terminal, stud as found ({stud} or thicker)", stud=end.least_stud)
    if end.terminal == "tab" and end.tab_mm is not None:
        return words("push-on terminal {width} mm", width=number(end.tab_mm))
    if end.terminal == "tab":
        return words("push-on terminal")
    if end.terminal == "contact":
        return words("connector contact")
    if end.terminal == "splice":
        return words("splice")
    if end.terminal is not None:
        return words("{kind} terminal", kind=term(end.terminal))
    return words("terminal to suit its place")


def _of_part(plan: Plan, circuit: Circuit, part: Part, gear: Gear | None) -> Iterator[Item]:
    measure = part.rating_a or 0.0
    if part.kind not in FUSES:
        yield _unnamed(plan, part)
        return
    rated = plan.assessment.circuits[part.circuit].fuses.get(part.name)
    family = part.family or (None if rated is None else rated.family)
    rating = words("rating not chosen") if part.rating_a is None else f"{number(part.rating_a)} A"
    named = words("any family") if family is None else fuse_type(family, rated)
    fuse = words("{kind} {rating}, {family}", kind=term(part.kind.value), rating=rating, family=named)
    if gear is not None:
        fuse = words("{item} ({name})", item=fuse, name=Name(gear.name))
    yield Item(fuse, "piece", Group.FUSE, measure=measure, fuse=(part.rating_a, family))
    if part.kind is PartKind.FUSE and _wants_holder(plan, circuit, part, family):
        yield Item(_holder(part.holder, named), "piece", Group.HOLDER, measure=measure)


def fuse_type(family: str, rated: FuseAssessment | None) -> str:
    """Return a family as one asks for it at the counter: with the voltage of its make where that matters."""
    made_v = None if rated is None else rated.made_for_v
    usual_v = fuse_family(family).rated_v if family in fuse_family_names() else made_v
    if made_v is None or usual_v is None or made_v <= usual_v:
        return term(family)
    return words("{family} made for {volts} V", family=term(family), volts=number(made_v))


def _unnamed(plan: Plan, part: Part) -> Item:
    """A switch, relay or other part without a name: by its rating, else by the rating that it needs."""
    assessed = plan.assessment.parts.get(part.name)
    switch = None if assessed is None else assessed.switch
    if part.rating_a is None and switch is not None and switch.needed_a is not None:
        text = words(
            "{kind}, at least {rating} A", kind=term(part.kind.value), rating=number(switch.needed_a)
        )
        return Item(text, "piece", measure=switch.needed_a)
    return Item(_rated(part.kind, part.rating_a), "piece", measure=part.rating_a or 0.0)


def _holder(holder: str | None, family: str) -> str:
    if holder == "tap":
        return words("fuse tap, {family}", family=family)
    if holder is not None:
        return words("fuse holder ({holder}), {family}", holder=Name(holder), family=family)
    return words("fuse holder, {family}", family=family)


def _wants_holder(plan: Plan, circuit: Circuit, part: Part, family: str | None) -> bool:
    """Whether a fuse comes with a holder: in no block, or bolted beside a bar that has no slots for it."""
    block = block_of(plan, circuit, part)
    if block is None:
        return True
    bolted = family in fuse_family_names() and "bolt" in fuse_family(str(family)).fixing
    return bolted and not plan.installation.gear[block.name].ways


def block_of(plan: Plan, circuit: Circuit, part: Part) -> Passage | None:
    """Return the block that a fuse or breaker sits in, as its circuit passes it."""
    for way in (circuit.path, circuit.back):
        for before, element in pairwise(way):
            if element is part and isinstance(before, Passage):
                gear = plan.installation.gear.get(before.name)
                return before if gear is not None and gear.kind is GearKind.BLOCK else None
    return None


def _rated(kind: PartKind | GearKind, rating_a: float | None) -> str:
    if rating_a is None:
        return words("{kind} of a rating for its circuit", kind=term(kind.value))
    return words("{kind} {rating} A", kind=term(kind.value), rating=number(rating_a))


def _studded(gear: Gear) -> str:
    """A thing by its rating and its studs, which its rings have to fit."""
    text = _rated(gear.kind, gear.rating_a)
    return text if gear.stud is None else words("{item}, studs {stud}", item=text, stud=Name(gear.stud))


def _blocks(plan: Plan) -> Iterator[_Needed]:
    for gear in plan.installation.gear.values():
        if gear.kind is not GearKind.BLOCK or gear.state is not State.NEW:
            continue
        text = _studded(gear)
        if gear.ways:
            text = words("{item}, {ways} ways", item=text, ways=len(gear.ways))
        text = words("{item} ({name})", item=text, name=Name(gear.name))
        assessed = plan.assessment.gear.get(gear.name)
        circuits = () if assessed is None else assessed.circuits
        yield Item(text, "piece", Group.BLOCK, measure=gear.rating_a or 0.0), 1.0, circuits


def _on_shelf(plan: Plan, item: Item) -> tuple[StockItem, ...]:
    """Lines of the shelf that are what a line of the list asks for, the cheapest first."""
    stock = plan.installation.stock
    if stock is None:
        return ()
    found = [row for row in stock.items if _is_it(item, row)]
    # What has no price comes last; of lines at one price the first that is written.
    return tuple(sorted(found, key=lambda row: (row.price is None, row.price or 0.0)))


def _is_it(item: Item, row: StockItem) -> bool:
    if row.kind == "wire" and item.cable is not None:
        cable = item.cable
        same_size = row.size is not None and cable.size is not None and row.size.text == cable.size.text
        same_colour = None in {row.colour, cable.colour} or row.colour == cable.colour
        return same_size and same_colour and _metal(row.material or "copper") == _metal(cable.material)
    if row.kind == "fuse" and item.fuse is not None:
        return row.rating_a == item.fuse[0] and row.family in {None, item.fuse[1]}
    return row.kind == "other" and row.item is not None and row.item.casefold() == item.item.casefold()


def _metal(material: str) -> str:
    """What counts as the same metal: tinned copper is copper."""
    return "copper" if material == "tinned copper" else material
