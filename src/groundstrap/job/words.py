"""Words that the reference tables know: zones, families of fuses, insulations, meters, plugs."""

from __future__ import annotations

from functools import cache
from typing import Final

from groundstrap.errors import UnknownNameError
from groundstrap.model import Basis, Zone
from groundstrap.tables.contacts import plug_names
from groundstrap.tables.fuses import fuse_family, fuse_family_names
from groundstrap.tables.insulation import insulation
from groundstrap.tables.limits import zone, zone_names
from groundstrap.tables.loads import meter_names

__all__ = ["built_in_zones", "known_family", "known_insulation", "known_meters", "known_plug"]

_BOAT_ZONES: Final = frozenset({"engine space", "bilge"})


def built_in_zones(basis: Basis) -> dict[str, Zone]:
    """Return the zones that need not be listed, by name; some are for boats only.

    >>> built_in_zones(Basis.ROAD)["engine bay"].high_c
    85.0
    """
    return {
        name: zone for name, zone in _every_zone().items() if basis is Basis.BOAT or name not in _BOAT_ZONES
    }


@cache
def _every_zone() -> dict[str, Zone]:
    return {
        data.name: Zone(
            name=data.name, low_c=data.low_c, high_c=data.high_c, wet=data.wet, vapour=data.vapour
        )
        for data in (zone(name) for name in zone_names())
    }


def known_insulation(word: str) -> str:
    """Return the name under which the tables keep an insulation."""
    return insulation(word).name


def known_family(word: str) -> tuple[str | None, tuple[str, ...]]:
    """Return the name under which the tables keep a family of fuses, and all such names."""
    try:
        return fuse_family(word).name, fuse_family_names()
    except UnknownNameError:
        return None, fuse_family_names()


def known_meters() -> tuple[str, ...]:
    """Return the meters that need no accuracy."""
    return meter_names()


def known_plug(word: str) -> tuple[str | None, tuple[str, ...]]:
    """Return the name under which the tables keep a plug, and all such names."""
    return (word if word in plug_names() else None), plug_names()
