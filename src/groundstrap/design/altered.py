"""An installation with some of what is written taken back or changed, to try what that would give."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from itertools import pairwise

from groundstrap.model import (
    FUSES,
    Circuit,
    Element,
    Installation,
    Part,
    PartKind,
    Passage,
    State,
    Stretch,
    Wire,
)
from groundstrap.records import replace

__all__ = ["changed_wires", "fuse_at", "opened", "shorter", "with_ohms"]


def opened(installation: Installation, names: Collection[str]) -> Installation:
    """Return the same with these wires and fuses to be chosen anew."""

    def one(element: Element) -> Element:
        if isinstance(element, Wire) and element.name in names:
            return replace(element, size=None, origin=None, unknown=False, state=State.NEW)
        if isinstance(element, Part) and element.name in names:
            # Its resistance and its curve are those of the fuse that is written.
            return replace(
                element, rating_a=None, origin=None, curve=None, resistance_ohm=None, state=State.NEW
            )
        return element

    return _changed(installation, one)


def with_ohms(installation: Installation, part: str, ohm: float) -> Installation:
    """Return the same with another resistance of one part."""

    def one(element: Element) -> Element:
        meant = isinstance(element, Part) and element.name == part
        return replace(element, resistance_ohm=ohm) if meant and isinstance(element, Part) else element

    return _changed(installation, one)


def changed_wires(installation: Installation, circuit: str, change: Callable[[Wire], Wire]) -> Installation:
    """Return the same with a change of each of a circuit's cables whose size is open."""

    def one(element: Element) -> Element:
        if isinstance(element, Wire) and element.circuit == circuit and element.size is None:
            return change(element)
        return element

    return _changed(installation, one)


def shorter(wire: Wire, share: float) -> Wire:
    """Return a wire of this share of its length, in each zone that it crosses."""
    stretches = tuple(_shorter(stretch, share) for stretch in wire.stretches)
    return replace(wire, length_m=wire.length_m * share, stretches=stretches)


def _shorter(stretch: Stretch, share: float) -> Stretch:
    route_m = None if stretch.route_m is None else stretch.route_m * share
    return replace(stretch, length_m=stretch.length_m * share, route_m=route_m)


def fuse_at(installation: Installation, circuit: str, *, far: bool) -> Installation | None:
    """Return the same with a circuit's fuse, or a new one, right at one end of its way out.

    None where something else hangs on the way between, or the circuit has several fuses.
    """
    old = installation.circuits[circuit]
    steps = [element for element in old.path if not isinstance(element, Passage)]
    fuses = [step for step in steps if isinstance(step, Part) and step.kind in FUSES]
    rest = [step for step in steps if step not in fuses]
    inner = {point for step in steps for point in (step.start, step.end)} - {old.start, old.end}
    others = (each for name, each in installation.circuits.items() if name != circuit)
    tapped = any(inner & {each.start, each.end, each.back_end} for each in others)
    if len(fuses) > 1 or not rest or tapped or any(isinstance(e, Passage) for e in old.path[1:-1]):
        return None
    end = old.path[-1] if far else old.path[0]
    gear = installation.gear.get(end.name) if isinstance(end, Passage) else None
    fuse = fuses[0] if fuses else _new_fuse(installation, circuit)
    if gear is not None:
        fuse = replace(fuse, place=gear.place, zone=gear.zone)
    distance_m = old.length_m if far else 0.0
    fuse = replace(fuse, distance_m=distance_m, distance_written=True)
    order = [*rest, fuse] if far else [fuse, *rest]
    path = (*_first(old), *_joined(order, old.start, steps[-1].end), *_last(old))
    return replace(installation, circuits={**installation.circuits, circuit: replace(old, path=path)})


def _new_fuse(installation: Installation, circuit: str) -> Part:
    wire = installation.circuits[circuit].wires[0]
    zone = wire.stretches[0].zone if wire.stretches else next(iter(installation.zones))
    name = f"{circuit} fuse"
    return Part(
        name=name, kind=PartKind.FUSE, circuit=circuit, start=wire.start, end=wire.start, place="", zone=zone
    )


def _first(circuit: Circuit) -> tuple[Element, ...]:
    return circuit.path[:1] if isinstance(circuit.path[0], Passage) else ()


def _last(circuit: Circuit) -> tuple[Element, ...]:
    return circuit.path[-1:] if isinstance(circuit.path[-1], Passage) else ()


def _joined(steps: Sequence[Wire | Part], start: str, end: str) -> Iterator[Element]:
    """The steps one behind the other, by points of their own between."""
    points = [start, *(f"{steps[0].circuit} tried {number}" for number in range(1, len(steps))), end]
    for step, (here, there) in zip(steps, pairwise(points), strict=True):
        yield replace(step, start=here, end=there)


def _changed(installation: Installation, change: Callable[[Element], Element]) -> Installation:
    circuits = {name: _each(circuit, change) for name, circuit in installation.circuits.items()}
    return replace(installation, circuits=circuits)


def _each(circuit: Circuit, change: Callable[[Element], Element]) -> Circuit:
    path = tuple(change(element) for element in circuit.path)
    back = tuple(change(element) for element in circuit.back)
    return circuit if (path, back) == (circuit.path, circuit.back) else replace(circuit, path=path, back=back)
