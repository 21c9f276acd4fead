"""Where a cable's end goes: the place, the thing there with its reference, and which of its terminals."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise

from groundstrap.draw.references import References
from groundstrap.model import (
    FUSES,
    Circuit,
    GearKind,
    Installation,
    Load,
    LoadKind,
    Part,
    PartKind,
    Passage,
    Supply,
)
from groundstrap.records import dataclass, replace
from groundstrap.report.plan import Plan
from groundstrap.words import Name, words

__all__ = ["Spot", "spots_of", "way_words"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """One terminal of one thing."""

    point: str
    place: str
    thing: str
    """Its name as the job has it."""
    reference: str
    """What stands beside it on the drawing, such as `-F3`."""
    terminal: str
    """What the terminal is called: a number after DIN 72552, a sign; empty where there is one alone."""

    @property
    def short(self) -> str:
        """The thing with its terminal, for a label."""
        return f"{self.reference} {self.terminal}".rstrip()


def spots_of(plan: Plan, refs: References) -> Mapping[str, Spot]:
    """Return every point that cable may end at, by its name."""
    found: dict[str, Spot] = {}
    for spot in _every(plan.installation, refs):
        found.setdefault(spot.point, spot)
    numbers = {point: number for part in plan.assessment.parts.values() for point, number in part.terminals}
    for point, number in numbers.items():
        if point in found:
            found[point] = replace(found[point], terminal=number)
    return found


def _every(installation: Installation, refs: References) -> Iterator[Spot]:
    for supply in installation.supplies.values():
        yield from _of_supply(supply, refs)
    for load in installation.loads.values():
        yield from _of_load(installation, load, refs)
    for gear in installation.gear.values():
        if gear.kind in {GearKind.BLOCK, GearKind.CHASSIS}:
            yield _spot(gear.name, gear.place, gear.name, refs)
    for point in installation.chassis_points:
        yield _spot(point, point.partition(" at ")[2], words("body"), refs, of=point)
    for circuit in installation.circuits.values():
        yield from _of_circuit(installation, circuit, refs)


def _spot(
    point: str, place: str, thing: str, refs: References, *, terminal: str = "", of: str | None = None
) -> Spot:
    reference = refs.by_name.get(thing if of is None else of, "")
    return Spot(point=point, place=place, thing=thing, reference=reference, terminal=terminal)


def _of_supply(supply: Supply, refs: References) -> Iterator[Spot]:
    ends: list[tuple[str | None, str]] = [(supply.plus, "+"), (supply.minus, "-")]
    if supply.in_plus is not None:
        ends = [(supply.in_plus, words("in +")), (supply.in_minus, words("in -"))]
        ends += [(supply.plus, words("out +")), (supply.minus, words("out -"))]
    ends += [(tap, words("+ of battery {number}", number=place)) for place, tap in enumerate(supply.taps, 1)]
    for point, terminal in ends:
        if point is not None:
            yield _spot(point, supply.place, supply.name, refs, terminal=terminal)


def _of_load(installation: Installation, load: Load, refs: References) -> Iterator[Spot]:
    thing = load.relay if load.kind is LoadKind.COIL and load.relay is not None else load.name
    gear = installation.gear.get(thing)
    place = load.place if gear is None else gear.place
    for point, terminal in ((load.plus, "+"), (load.minus, "-")):
        yield _spot(point, place, thing, refs, terminal=terminal, of=load.name)


def _of_circuit(installation: Installation, circuit: Circuit, refs: References) -> Iterator[Spot]:
    for way in (circuit.path, circuit.back):
        for before, element in pairwise((None, *way)):
            if isinstance(element, Part):
                yield from _of_part(installation, element, before, refs)
            elif isinstance(element, Passage) and element.what == "unknown":
                yield _spot(element.point, "", words("an end that nobody found"), refs, of=element.point)


def _of_part(installation: Installation, part: Part, before: object, refs: References) -> Iterator[Spot]:
    gear = installation.gear.get(part.gear or "")
    thing = part.name if gear is None else gear.name
    reference = refs.by_name.get(part.name, refs.by_name.get(thing, ""))
    block = _block_before(installation, part, before)
    if block is not None:
        # It sits in the block: the cable ends at the block's own terminal behind it.
        thing = way_words(block.name, block.way)
        reference = f"{refs.by_name.get(block.name, '')}{reference}"
    for point, side in ((part.start, words("in")), (part.end, words("out"))):
        terminal: str = side
        if block is not None or part.kind is PartKind.JOINT:
            terminal = ""
        elif part.kind is PartKind.CONNECTOR and part.way is not None:
            terminal = words("{pin} {side}", pin=Name(part.way), side=side)
        yield Spot(point=point, place=part.place, thing=thing, reference=reference, terminal=terminal)


def _block_before(installation: Installation, part: Part, before: object) -> Passage | None:
    """The block that a fuse or breaker sits in, as its circuit passes it."""
    if not isinstance(before, Passage) or part.kind not in FUSES:
        return None
    gear = installation.gear.get(before.name)
    return before if gear is not None and gear.kind is GearKind.BLOCK else None


def way_words(block: str, way: str | None) -> str:
    """Return a block with one of its ways."""
    return block if way is None else f"{block} {way}"
