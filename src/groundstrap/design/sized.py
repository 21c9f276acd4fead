"""A wiring with wires chosen."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap.assess.wiring import Wiring, wire_up
from groundstrap.design.growth import divides, larger
from groundstrap.model import Installation
from groundstrap.records import replace
from groundstrap.units import ConductorSize

__all__ = ["sized_alone", "with_sizes"]


def with_sizes(wiring: Wiring, sizes: Mapping[str, ConductorSize]) -> Wiring:
    """Return the same wiring with these wires chosen; currents that hang on sizes are found anew."""
    installation = wiring.installation.with_choices(sizes, {})
    if divides(wiring):
        now = wire_up(installation, wiring.estimates)
        return replace(now, currents=larger(wiring.currents, now.currents))
    return _laid(wiring, installation, sizes)


def sized_alone(wiring: Wiring, sizes: Mapping[str, ConductorSize]) -> Wiring:
    """Return the same wiring with these wires chosen and every current as it was."""
    return _laid(wiring, wiring.installation.with_choices(sizes, {}), sizes)


def _laid(wiring: Wiring, installation: Installation, sizes: Mapping[str, ConductorSize]) -> Wiring:
    wires = {wire.name: wire for wire in installation.wires()}
    pieces = tuple(
        replace(piece, wire=wires[piece.name]) if piece.name in sizes else piece
        for piece in wiring.topology.pieces
    )
    return replace(
        wiring,
        installation=installation,
        topology=replace(wiring.topology, installation=installation, pieces=pieces),
        stand_ins={name: size for name, size in wiring.stand_ins.items() if name not in sizes},
        # What is kept there of these wires is of the sizes that stood in for them.
        own_wires={},
        passive={},
    )
