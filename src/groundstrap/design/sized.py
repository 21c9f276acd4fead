"""A wiring with wires chosen."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from groundstrap.assess.lengthless import made_alike
from groundstrap.assess.links import links_of
from groundstrap.assess.wiring import Wiring, part_resistances, wire_up
from groundstrap.design.growth import divides, larger
from groundstrap.design.results import Design
from groundstrap.model import Installation
from groundstrap.records import replace
from groundstrap.units import ConductorSize

__all__ = ["as_chosen", "sized_alone", "with_sizes"]


def with_sizes(wiring: Wiring, sizes: Mapping[str, ConductorSize]) -> Wiring:
    """Return the same wiring with these wires chosen; currents that hang on sizes are found anew."""
    if divides(wiring):
        now = wire_up(wiring.installation.with_choices(sizes, {}), wiring.estimates)
        return replace(now, currents=larger(wiring.currents, now.currents))
    return sized_alone(wiring, sizes)


def sized_alone(wiring: Wiring, sizes: Mapping[str, ConductorSize]) -> Wiring:
    """Return the same wiring with these wires chosen and every current as it was."""

    def make(one: Wiring) -> Wiring:
        return _laid(one, one.installation.with_choices(sizes, {}), sizes)

    return made_alike(wiring, make(wiring), frozenset(sizes.items()), make)


def as_chosen(sized: Wiring, design: Design) -> Wiring:
    """Return the wiring of a whole choice as `wire_up` has it, from the one with its wires chosen."""
    if divides(sized) or any(links_of(sized.topology, sized.settings, sized.supplies)):
        # What flows hangs on sizes.
        return wire_up(design.installation, sized.estimates)
    names = {*design.fuses, *design.families}
    ratings = {
        part.name: (part.rating_a or 0.0, part.family or "")
        for part in design.installation.parts()
        if part.name in names
    }

    def make(one: Wiring) -> Wiring:
        laid = _laid(one, one.installation.with_choices({}, ratings), names)
        ends = part_resistances(laid.topology, laid.currents, laid.short_runs)
        return replace(laid, ends=ends, own_wires=one.own_wires)

    return made_alike(sized, make(sized), frozenset(ratings.items()), make)


def _laid(wiring: Wiring, installation: Installation, changed: Collection[str]) -> Wiring:
    wires = {wire.name: wire for wire in installation.wires()}
    parts = {part.name: part for part in installation.parts()}
    pieces = tuple(
        replace(piece, wire=wires.get(piece.name), part=parts.get(piece.name))
        if piece.name in changed
        else piece
        for piece in wiring.topology.pieces
    )
    return replace(
        wiring,
        installation=installation,
        topology=replace(wiring.topology, installation=installation, pieces=pieces),
        stand_ins={name: size for name, size in wiring.stand_ins.items() if name not in changed},
        # What is kept there of these wires is of the sizes that stood in for them.
        own_wires={},
        passive={},
    )
