"""Slowest and fastest curve of a fuse as its gates give them, and what cold air does to it."""

from __future__ import annotations

from groundstrap.records import dataclass
from groundstrap.tables._remember import remembered
from groundstrap.tables.fuses import fuse_family, fuse_gates
from groundstrap.tables.table import NotTabled, table, weakest

__all__ = ["ColdAir", "GateCurve", "cold_air", "fastest_curve", "slowest_curve"]


@dataclass(frozen=True, slots=True, kw_only=True)
class GateCurve:
    """One side of a fuse's band: multiples of the rating, rising, with a time at each."""

    multiples: tuple[float, ...]
    times_s: tuple[float, ...]
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ColdAir:
    """What cold air adds to the current that opens a fuse or breaker: by a melting point or by a share."""

    tested_c: float
    melts_c: float | None
    share_per_k: float | None
    source: str
    known: str


@remembered
def slowest_curve(family: str, rating_a: float) -> GateCurve | NotTabled:
    """Return the multiples at which a family is sure to open, with the longest time at each.

    Source: iso-8820-3, operating times, and data sheets.

    Examples
    --------
    Type E is sure to open from 1.35 times on, within half an hour.

    >>> curve = slowest_curve("high-current blade", 60)
    >>> curve.multiples, curve.times_s
    ((1.35, 2.0, 3.5, 6.0), (1800.0, 50.0, 7.0, 1.0))
    """
    found = fuse_gates(family, rating_a)
    if isinstance(found, NotTabled):
        return found
    sure = [(gate, gate.most_s) for gate in found.gates if gate.most_s is not None]
    if not found.opens_surely:
        return NotTabled(
            why=f"no gate promises when a {found.family} of {rating_a:g} A opens; its maker's curve is needed"
        )
    return GateCurve(
        multiples=tuple(gate.share_pct / 100 for gate, _ in sure),
        times_s=tuple(most_s for _, most_s in sure),
        source=sure[0][0].source,
        known=weakest(*(gate.known for gate, _ in sure)),
    )


@remembered
def fastest_curve(family: str, rating_a: float) -> GateCurve | NotTabled:
    """Return the multiples up to which a family holds, with the shortest time at each.

    >>> fastest_curve("regular blade", 10).times_s[:3]
    (360000.0, 0.75, 0.25)
    """
    found = fuse_gates(family, rating_a)
    if isinstance(found, NotTabled):
        return found
    held = [(gate, gate.least_s) for gate in found.gates if gate.least_s is not None]
    if not held:
        return NotTabled(why=f"no gate says how long a {found.family} of {rating_a:g} A holds")
    return GateCurve(
        multiples=tuple(gate.share_pct / 100 for gate, _ in held),
        times_s=tuple(least_s for _, least_s in held),
        source=held[0][0].source,
        known=weakest(*(gate.known for gate, _ in held)),
    )


@remembered
def cold_air(family: str) -> ColdAir:
    """Return what cold air adds to the current that opens a family.

    >>> cold_air("high-current blade").melts_c
    231.9
    """
    found = fuse_family(family)
    kind = "breaker" if found.kind == "breaker" else ("time-lag fuse" if found.time_lag else "quick fuse")
    data = table("fuse_cold")
    row = data.find("kind", kind)
    assert row is not None
    return ColdAir(
        tested_c=row.number("tested_c"),
        melts_c=row.maybe("melts_c"),
        share_per_k=row.maybe("share_per_k"),
        source=data.source_of(row),
        known=data.known_of(row),
    )
