"""An installation with some of what is written taken back or changed, to try what that would give."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import replace

from groundstrap.model import Circuit, Element, Installation, Part, State, Stretch, Wire

__all__ = ["changed_wires", "opened", "shorter", "with_ohms"]


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


def _changed(installation: Installation, change: Callable[[Element], Element]) -> Installation:
    circuits = {name: _each(circuit, change) for name, circuit in installation.circuits.items()}
    return replace(installation, circuits=circuits)


def _each(circuit: Circuit, change: Callable[[Element], Element]) -> Circuit:
    path = tuple(change(element) for element in circuit.path)
    back = tuple(change(element) for element in circuit.back)
    return circuit if (path, back) == (circuit.path, circuit.back) else replace(circuit, path=path, back=back)
