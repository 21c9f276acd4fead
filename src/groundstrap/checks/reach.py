"""What a point of the network leads to by metal: cable, parts and ties, but no load and no converter."""

from __future__ import annotations

from collections.abc import Collection

from groundstrap.checks.facts import Facts
from groundstrap.model import Supply, SupplyKind

__all__ = ["ahead_of_isolators", "chargers_of", "reached"]


def reached(
    facts: Facts, start: str, without: Collection[str] = (), ends: Collection[str] = ()
) -> frozenset[str]:
    """Return the points that one leads to, itself included.

    Elements named in `without` are left out; points in `ends` are reached and lead no further. What was
    found stays with the facts as long as they live.
    """
    key = (facts.point(start), frozenset(without), frozenset(ends))
    known = facts.ways
    if key not in known:
        known[key] = _walk(facts, *key)
    return known[key]


def _walk(facts: Facts, start: str, without: frozenset[str], ends: frozenset[str]) -> frozenset[str]:
    seen, queue = {start}, [start]
    while queue:
        here = queue.pop()
        for other, name in () if here in ends else facts.links.get(here, ()):
            if other not in seen and name not in without:
                seen.add(other)
                queue.append(other)
    return frozenset(seen)


def chargers_of(facts: Facts, battery: Supply) -> tuple[Supply, ...]:
    """Return the alternators, chargers and converters whose output a battery's plus is joined to."""
    bus = reached(facts, battery.plus)
    return tuple(
        supply
        for supply in facts.supplies.values()
        if supply.kind not in {SupplyKind.BATTERY, SupplyKind.SOLAR} and facts.point(supply.plus) in bus
    )


def ahead_of_isolators(facts: Facts, point: str) -> bool:
    """Tell whether a battery's plus post can be reached from a point without passing an isolator."""
    way = reached(facts, point, facts.isolators)
    return any(facts.point(battery.plus) in way for battery in facts.batteries)
