"""What wires carry where current divides between ways: it hangs on sizes, and only ever grows in a choice."""

from __future__ import annotations

from groundstrap.assess import DesignCurrents, PieceCurrents
from groundstrap.assess.wiring import Wiring
from groundstrap.records import replace

__all__ = ["divides", "larger"]


def divides(wiring: Wiring) -> bool:
    """Tell whether some current divides between ways, so that what each carries hangs on its size."""
    return not all(setting.flows.tree for setting in wiring.settings)


def larger(known: DesignCurrents, found: DesignCurrents) -> DesignCurrents:
    """Return the known currents, each raised to what was found where that is more."""
    pieces = {name: _larger(piece, found.pieces[name]) for name, piece in known.pieces.items()}
    return replace(known, pieces=pieces)


def _larger(known: PieceCurrents, found: PieceCurrents) -> PieceCurrents:
    """The same piece with the larger of each current; one that is not known stays so."""
    if known.continuous_a is None or found.continuous_a is None or found.continuous_a <= known.continuous_a:
        return known
    return replace(
        known,
        continuous_a=found.continuous_a,
        drop_a=max(known.drop_a or 0.0, found.drop_a or 0.0),
        peak_a=max(known.peak_a or 0.0, found.peak_a or 0.0),
        thermal_shares=found.thermal_shares,
    )
