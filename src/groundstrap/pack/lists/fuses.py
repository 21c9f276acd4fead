"""The fuse map: slot by slot of each block, and the fuses that sit elsewhere, for the inside of the lid."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from groundstrap.assess import FuseAssessment
from groundstrap.draw.references import References, circuits_in_order, natural, references
from groundstrap.model import (
    FUSES,
    Circuit,
    Gear,
    GearKind,
    Installation,
    Part,
    Passage,
    State,
    Wire,
)
from groundstrap.pack.content import Align, Block, Caution, Column, Items, Paragraph, Section, Table
from groundstrap.records import dataclass
from groundstrap.report.figures import Display, amps, number
from groundstrap.report.parts import Group, block_of, fuse_type, items
from groundstrap.report.plan import Plan
from groundstrap.units import ConductorSize
from groundstrap.words import Name, joined, words

__all__ = ["Slot", "fuse_map_section", "slots_of"]

_MANY = 24
"""Fuses from which on free ways share one row of their block, so that the map stays one sheet. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """One slot of a block, or one fuse that sits in the cable."""

    block: str
    """Empty for a fuse in no block."""
    way: str
    """Empty where nobody wrote it."""
    place: str
    reference: str
    """Of the fuse; empty where there is none."""
    name: str
    """Of the fuse. Empty likewise."""
    circuit: str
    """Empty where the slot is free, or nobody wrote what is there."""
    label: str
    feeds: tuple[str, ...]
    """Loads behind it; of a feeder the block that it ends at."""
    kind: str
    rating_a: float | None
    family: str | None
    holder: str | None
    """As it is written, such as `tap`."""
    size: ConductorSize | None
    """Of the thinnest cable of its own circuit that it protects."""
    thinner: ConductorSize | None = None
    """Of the thinnest cable of another circuit that it protects too; None where none is thinner, or where
    nobody knows."""
    of_circuit: str = ""
    """The circuit of that one, or of one whose size nobody knows; empty where none is thinner."""
    continuous_a: float | None
    known_a: float | None
    existing: bool
    """Whether it was there before this job."""
    free: bool
    """Whether it is a slot of a new block that nothing uses for certain."""
    rated: FuseAssessment | None = None
    """What was found of its fuse."""


def slots_of(plan: Plan, refs: References | None = None) -> tuple[Slot, ...]:
    """Return every slot of every block with fuses or ways, then the fuses that sit elsewhere."""
    refs = references(plan.installation) if refs is None else refs
    found = [
        slot for circuit in circuits_in_order(plan.installation) for slot in _of_circuit(plan, circuit, refs)
    ]
    blocks = [gear for gear in plan.installation.gear.values() if gear.kind is GearKind.BLOCK]
    blocks.sort(key=lambda gear: natural(refs.of(gear.name)))
    mapped = [slot for gear in blocks for slot in _of_block(gear, found)]
    return (*mapped, *(slot for slot in found if not slot.block))


def _of_circuit(plan: Plan, circuit: Circuit, refs: References) -> Iterator[Slot]:
    """The circuit's fuses, and the slot that it leaves a block by without one."""
    if circuit.state is State.REMOVE:
        return
    first = circuit.path[0] if circuit.path else None
    fused = False
    for part in circuit.parts:
        if part.kind in FUSES and part.state is not State.REMOVE:
            block = block_of(plan, circuit, part)
            fused = fused or block is not None
            yield _slot(plan, circuit, refs, part=part, block=block)
    if isinstance(first, Passage) and first.way is not None and not fused:
        yield _slot(plan, circuit, refs, part=None, block=first)


def _slot(
    plan: Plan, circuit: Circuit, refs: References, *, part: Part | None, block: Passage | None
) -> Slot:
    assessed = plan.assessment.circuits[circuit.name]
    rated = assessed.fuses.get(part.name) if part is not None else None
    wires = _behind(plan.installation, circuit, rated)
    own = [wire for wire in wires if wire.circuit == circuit.name] or list(circuit.wires)
    other = _thinner(wires, own)
    gear = None if block is None else plan.installation.gear.get(block.name)
    place = (part.place if part is not None else "") if gear is None else gear.place
    return Slot(
        block="" if block is None else block.name,
        way="" if block is None or block.way is None else block.way,
        place=place,
        reference="" if part is None else refs.of(part.name),
        name="" if part is None else part.name,
        circuit=circuit.name,
        label=circuit.label or circuit.name,
        feeds=_feeds(circuit, assessed.loads),
        kind="" if part is None else part.kind.value,
        rating_a=None if part is None else part.rating_a,
        family=(part.family if part is not None else None) or (None if rated is None else rated.family),
        holder=None if part is None else part.holder,
        rated=rated,
        size=_thinnest(own),
        thinner=None if other is None else other.size,
        of_circuit="" if other is None else other.circuit,
        continuous_a=assessed.continuous_a if rated is None else rated.continuous_a,
        known_a=assessed.known_a if rated is None else rated.known_a,
        existing=State.EXISTING in {circuit.state, State.NEW if part is None else part.state},
        free=False,
    )


def _feeds(circuit: Circuit, loads: tuple[str, ...]) -> tuple[str, ...]:
    last = circuit.path[-1] if circuit.path else None
    block = isinstance(last, Passage) and last.what == "block"
    return (last.name,) if isinstance(last, Passage) and block else loads


def _behind(installation: Installation, circuit: Circuit, rated: FuseAssessment | None) -> list[Wire]:
    """The cable that the fuse protects, of whatever circuit it is."""
    # One at the far end of its cable from what feeds a fault protects none of it, and sits in it still.
    names = set(rated.protects if rated is not None else ()) or {wire.name for wire in circuit.wires}
    return [wire for wire in installation.wires() if wire.name in names]


def _thinnest(wires: list[Wire]) -> ConductorSize | None:
    """The thinnest of some cables; None where one of them is of no known size."""
    sizes = [wire.size for wire in wires]
    if not sizes or None in sizes:
        return None
    return min((size for size in sizes if size is not None), key=lambda size: size.area_mm2)


def _thinner(wires: list[Wire], own: list[Wire]) -> Wire | None:
    """The thinnest cable of another circuit that the fuse protects, where the circuit's own are thicker.

    One of a size that nobody knows may be the thinnest of all.
    """
    least = _thinnest(own)
    others = [wire for wire in wires if wire.circuit != own[0].circuit] if own else []
    thinnest = min(others, key=lambda wire: wire.size.area_mm2 if wire.size else 0.0, default=None)
    if least is None or thinnest is None or thinnest.size is None:
        return None if least is None else thinnest
    return thinnest if thinnest.size.area_mm2 < least.area_mm2 else None


def _of_block(gear: Gear, found: list[Slot]) -> Iterator[Slot]:
    """A block's slots; one that no circuit leaves by a fuse or a way is a bar and has none to map."""
    mine = [slot for slot in found if slot.block == gear.name]
    loose = [slot for slot in mine if slot.way not in gear.ways]
    for way in gear.ways if mine else ():
        used = [slot for slot in mine if slot.way == way]
        yield from used or [_empty(gear, way, certain=not loose)]
    yield from loose


def _empty(gear: Gear, way: str, *, certain: bool) -> Slot:
    """A slot that nobody names; free for certain where every circuit of a new block has its own."""
    new = gear.state is State.NEW
    return Slot(
        block=gear.name, way=way, place=gear.place, reference="", name="", circuit="", label="", feeds=(),
        kind="", rating_a=None, family=None, holder=None, size=None, continuous_a=None, known_a=None,
        existing=not new, free=new and certain,
    )  # fmt: skip


def fuse_map_section(plan: Plan, shown: Display, refs: References | None = None) -> Section:
    """Return the fuse map for print, on one page where it fits."""
    refs = references(plan.installation) if refs is None else refs
    slots = slots_of(plan, refs)
    blocks: list[Block] = [Caution(_never())]
    short = sum(bool(slot.circuit) for slot in slots) > _MANY
    for name in dict.fromkeys(slot.block for slot in slots if slot.block):
        gear = plan.installation.gear[name]
        mine = [slot for slot in slots if slot.block == name]
        blocks.append(_table(_caption(plan, gear, refs), mine, shown, by_way=True, short=short))
        blocks += _unwritten(gear, mine)
    others = [slot for slot in slots if not slot.block]
    if others:
        blocks.append(_table(words("Fuses in the cables"), others, shown, by_way=False, short=short))
    spares = [item.item for item in items(plan) if item.group is Group.FUSE and item.item.startswith("fuse")]
    if spares and short:
        told = joined("; ", spares)
        blocks.append(Paragraph(words("Spares to keep with it, one of each: {spares}", spares=told)))
    elif spares:
        blocks += [Paragraph(words("Spares to keep with it, one of each:")), Items(tuple(spares))]
    return Section(key="fuses", title=words("Fuse map"), blocks=tuple(blocks), one_page=True)


def _never() -> str:
    return words(
        "Never fit a larger fuse than stands here, nor one of another kind: it protects the cable behind "
        "it. One that opens again has found a fault; look for it first."
    )


def _caption(plan: Plan, gear: Gear, refs: References) -> str:
    named = words(
        "{reference} {name}, {place}",
        reference=Name(refs.of(gear.name)),
        name=Name(gear.name),
        place=Name(gear.place),
    )
    assessed = plan.assessment.gear.get(gear.name)
    if gear.rating_a is None:
        return named
    carried = None if assessed is None else assessed.continuous_a
    if carried is None:
        return words("{block}: rated {rating} in all", block=named, rating=amps(gear.rating_a))
    return words(
        "{block}: rated {rating} in all, {carried} of it taken by what is known here",
        block=named,
        rating=amps(gear.rating_a),
        carried=amps(carried),
    )


def _table(caption: str, slots: list[Slot], shown: Display, *, by_way: bool, short: bool) -> Table:
    columns = (
        Column(words("Way") if by_way else words("Place"), share=0.8 if by_way else 1.3),
        Column(words("Fuse"), share=0.95),
        Column(words("Rating"), Align.RIGHT, share=0.95),
        Column(words("Kind"), share=1.6),
        Column(words("Circuit"), share=1.9),
        Column(words("Feeds"), share=1.9),
        Column(words("Cable"), share=1.1),
        Column(words("Carries"), Align.RIGHT, share=0.9),
    )
    rows, runs = list[tuple[str, ...]](), list[list[Slot]]()
    for empty, run in groupby(slots, key=lambda slot: not slot.circuit):
        some = list(run)
        if empty:
            runs.append(some)
        if empty and not short:
            rows.append((_ways(some), "", "", "", _emptiness(some), "", "", ""))
        elif not empty:
            rows += [_row(slot, shown, by_way=by_way, short=short) for slot in some]
    if short and runs:
        rows.append(("", "", "", "", _emptiness(runs[0]), joined(", ", map(_ways, runs)), "", ""))
    return Table(columns, tuple(rows), caption=caption, small=True)


def _emptiness(run: list[Slot]) -> str:
    """What is said of ways with nothing of this job in them."""
    if run[0].free:
        return words("free")
    old = run[0].existing
    return words("not in this job: look what is there") if old else words("free, but for those with –")


def _ways(run: list[Slot]) -> str:
    first, last = run[0].way, run[-1].way
    if len(run) == 1:
        return Name(first)
    return words("{first} to {last}", first=Name(first), last=Name(last))


def _row(slot: Slot, shown: Display, *, by_way: bool, short: bool) -> tuple[str, ...]:
    circuit: str = Name(f"{slot.label} {slot.circuit}")
    if slot.existing:
        circuit = words("{circuit} (was there)", circuit=circuit)
    return (
        Name((slot.way or "–") if by_way else slot.place),
        Name(slot.reference),
        _rating(slot),
        _kind(slot),
        circuit,
        _fed(slot, short=short),
        _cable(slot, shown),
        _carried(slot),
    )


def _cable(slot: Slot, shown: Display) -> str:
    """Its own cable, and of another circuit's that is thinner and hangs behind it as well whose it is."""
    if slot.size is None:
        return words("size not known")
    own = shown.short(slot.size)
    if not slot.of_circuit:
        return own
    if slot.thinner is None:
        return words(
            "{own}; behind it also {circuit}, size not known", own=own, circuit=Name(slot.of_circuit)
        )
    return words(
        "{own}; behind it also {thinner} of {circuit}",
        own=own,
        thinner=shown.short(slot.thinner),
        circuit=Name(slot.of_circuit),
    )


def _fed(slot: Slot, *, short: bool) -> str:
    """What it feeds; on a crowded map not what the circuit is called after, and of many the first."""
    if not short or not slot.feeds:
        return Name(", ".join(slot.feeds))
    if len(slot.feeds) > 2:
        return words("{first} and {count} more", first=Name(slot.feeds[0]), count=len(slot.feeds) - 1)
    return "" if slot.feeds == (slot.circuit,) else Name(", ".join(slot.feeds))


def _rating(slot: Slot) -> str:
    if not slot.kind:
        return words("no fuse")
    return words("not known") if slot.rating_a is None else f"{number(slot.rating_a)} A"


def _kind(slot: Slot) -> str:
    if slot.family is not None and slot.holder == "tap":
        return words("{family}, in a tap", family=fuse_type(slot.family, slot.rated))
    if slot.family is not None:
        return fuse_type(slot.family, slot.rated)
    return words("kind not known") if slot.kind else ""


def _carried(slot: Slot) -> str:
    if slot.continuous_a is not None:
        return amps(slot.continuous_a)
    if not slot.known_a:
        return words("not known")
    return words("{least} or more", least=amps(slot.known_a))


def _unwritten(gear: Gear, mine: list[Slot]) -> Iterator[Paragraph]:
    loose = [slot for slot in mine if slot.circuit and slot.way not in gear.ways]
    if loose and gear.ways:
        yield Paragraph(words("– : the job does not say which way; write it here when it is fitted."))
