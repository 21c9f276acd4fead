"""What all drops have in common: what is known, which volts they count from, what decides them."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap.assess.limits import DropLimit
from groundstrap.assess.results import DropAssessment
from groundstrap.assess.wiring import Wiring
from groundstrap.model import PartKind, SupplyKind

__all__ = ["blank_drop", "certain", "decided", "nominal_of", "settled"]


def certain(wiring: Wiring, draw: str) -> bool:
    """Tell whether all that a draw's drop hangs on is known: sizes, parts and other loads on its way."""
    return _known(wiring, draw, wiring.tree.drop_draws)


def settled(wiring: Wiring, draw: str) -> bool:
    """Tell whether all that a draw's volts hang on is known, the ways from other batteries included."""
    return _known(wiring, draw, wiring.tree.home_draws)


def _known(wiring: Wiring, draw: str, passing: Mapping[str, frozenset[str]]) -> bool:
    others: set[str] = set()
    for name, draws in passing.items():
        if draw not in draws:
            continue
        piece = wiring.topology.pieces[wiring.index(name)]
        if name in wiring.stand_ins or (piece.part is not None and piece.part.kind is PartKind.UNKNOWN):
            return False
        if piece.conducts:
            others |= draws
    return all(wiring.currents.draws[d].known or d.endswith(" charge") for d in others)


def nominal_of(wiring: Wiring, draw: str) -> float:
    """Nominal volts of what feeds a draw. [V]"""
    design = wiring.currents.draws.get(draw)
    supply = wiring.installation.supplies.get(design.source or "") if design is not None else None
    if supply is None or design is None:
        return wiring.installation.system_v
    if supply.kind is not SupplyKind.BATTERY or supply.series == 1:
        return supply.nominal_v
    found = wiring.supplies[supply.name]
    return supply.nominal_v / supply.series * round(design.low_v / found.low_v)


def blank_drop(limit: DropLimit, source: str | None) -> DropAssessment:
    """Return a drop that is not known, with its limit."""
    return DropAssessment(
        drop_v=None,
        drop_pct=None,
        limit_v=limit.limit_v,
        limit_pct=limit.limit_pct,
        limit_source=limit.source,
        limit_why=limit.why,
        load=None,
        load_v=None,
        source=source,
        source_v=None,
        situation=None,
    )


def decided(low_v: float, high_v: float | None, limit_v: float | None) -> bool | None:
    """Tell whether a drop keeps its limit: a verdict that flips inside the body's interval is none."""
    if limit_v is None:
        return None
    slack = limit_v * (1 + 1e-9)
    if high_v is not None and high_v <= slack:
        return True
    return False if low_v > slack else None
