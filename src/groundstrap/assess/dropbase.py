"""What all drops have in common: what is known, which volts they count from, what decides them."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap.assess.lengthless import at_any_length
from groundstrap.assess.limits import DropLimit
from groundstrap.assess.results import DropAssessment
from groundstrap.assess.wiring import Wiring
from groundstrap.model import PartKind, SupplyKind

__all__ = ["blank_drop", "certain", "decided", "nominal_of", "settled"]


def certain(wiring: Wiring, draw: str) -> bool:
    """Tell whether all that a draw's drop hangs on is known: sizes, parts and other loads on its way."""
    doubtful = at_any_length(wiring, "doubtful drops", lambda bare: _doubtful(bare, bare.tree.drop_draws))
    return draw not in doubtful


def settled(wiring: Wiring, draw: str) -> bool:
    """Tell whether all that a draw's volts hang on is known, the ways from other batteries included."""
    doubtful = at_any_length(wiring, "doubtful volts", lambda bare: _doubtful(bare, bare.tree.home_draws))
    return draw not in doubtful


def _doubtful(wiring: Wiring, passing: Mapping[str, frozenset[str]]) -> frozenset[str]:
    """Draws with a piece that nobody knows on their way, or in company whose current nobody knows."""
    unknown = {name for name, draw in wiring.currents.draws.items() if not (draw.known or _charges(name))}
    doubtful: set[str] = set()
    for name, draws in passing.items():
        piece = wiring.topology.pieces[wiring.index(name)]
        bare = name in wiring.stand_ins or (piece.part is not None and piece.part.kind is PartKind.UNKNOWN)
        if bare or (piece.conducts and not unknown.isdisjoint(draws)):
            doubtful |= draws
    return frozenset(doubtful)


def _charges(draw: str) -> bool:
    return draw.endswith(" charge")


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
