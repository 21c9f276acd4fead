"""What the law of boats allows a fuse at most, beside the lower limit of good practice."""

from __future__ import annotations

from collections.abc import Iterator

from groundstrap.assess.conductors import conductor, stretch_ampacity
from groundstrap.assess.regions import Guard
from groundstrap.assess.results import LegalLimit, StretchAmpacity
from groundstrap.assess.wiring import Wiring
from groundstrap.model import Basis, Wire
from groundstrap.tables import overcurrent_limit

__all__ = ["legal_limit"]


def legal_limit(wiring: Wiring, guard: Guard) -> LegalLimit | None:
    """Return the largest rating that the law allows before the wires of a fuse.

    None where no such law holds (`road`), and where one of the wires is not known.

    Source: cfr-33-183-455 (c), on the values of table 5 of cfr-33-183-425 with its own notes.
    """
    installation = wiring.installation
    if installation.basis is not Basis.BOAT:
        return None
    rule = overcurrent_limit(installation.system_v)
    lowest: LegalLimit | None = None
    for name in guard.pieces:
        wire = wiring.topology.pieces[wiring.index(name)].wire
        if wire is None:
            continue
        for found in _stretches(wiring, wire):
            if found is None or found.corrected_a is None or found.printed_a is None:
                return None
            share = rule.most_pct / 100.0
            most_a = share * found.corrected_a
            if lowest is None or most_a < lowest.most_a:
                lowest = LegalLimit(
                    most_a=most_a,
                    printed_most_a=share * found.printed_a,
                    share_pct=rule.most_pct,
                    where=name,
                    source=f"{rule.source}, (c)",
                )
    return lowest


def _stretches(wiring: Wiring, wire: Wire) -> Iterator[StretchAmpacity | None]:
    """Ampacity of each piece of a wire; None where its size is not known."""
    if wire.size is None:
        yield None
        return
    one = conductor(wire, wire.size, wiring.installation.basis)
    for lie in wiring.lies[wire.name]:
        yield stretch_ampacity(one, lie, wiring.installation.basis, wire.parallel)
