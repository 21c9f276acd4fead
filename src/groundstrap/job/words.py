"""Words that the reference tables know: zones, families of fuses, insulations, meters, plugs."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Final

from groundstrap.errors import UnknownNameError
from groundstrap.model import Basis, Zone
from groundstrap.tables.contacts import plug_names
from groundstrap.tables.fuses import fuse_family, fuse_family_names
from groundstrap.tables.insulation import insulation, insulation_names
from groundstrap.tables.limits import zone, zone_names
from groundstrap.tables.loads import meter_names
from groundstrap.tables.sockets import trailer_standards

__all__ = [
    "built_in_zones",
    "known_contacts",
    "known_families",
    "known_family",
    "known_insulation",
    "known_insulations",
    "known_meters",
    "known_plugs",
    "needs_vented_battery",
]

_BOAT_ZONES: Final = frozenset({"engine space", "bilge"})


def built_in_zones(basis: Basis) -> Mapping[str, Zone]:
    """Return the zones that need not be listed, by name; some are for boats only.

    >>> built_in_zones(Basis.ROAD)["engine bay"].high_c
    85.0
    """
    return {
        name: zone for name, zone in _every_zone().items() if basis is Basis.BOAT or name not in _BOAT_ZONES
    }


def needs_vented_battery(name: str) -> bool:
    """Tell whether vapour gathers in a built-in zone only with a vented lead-acid battery in it."""
    return zone(name).only_with_vented_lead_acid


@cache
def _every_zone() -> dict[str, Zone]:
    return {
        data.name: Zone(
            name=data.name,
            low_c=data.low_c,
            high_c=data.high_c,
            wet=data.wet,
            vapour=data.vapour,
            closed=True if data.only_with_vented_lead_acid else None,
        )
        for data in (zone(name) for name in zone_names())
    }


def known_insulation(word: str) -> str:
    """Return the name under which the tables keep an insulation."""
    return insulation(word).name


def known_insulations() -> tuple[str, ...]:
    """Return the names of all insulations that have one; a temperature class is named by its temperature."""
    return insulation_names()


def known_families() -> tuple[str, ...]:
    """Return the names of all families of fuses."""
    return fuse_family_names()


def known_family(word: str) -> str | None:
    """Return the name under which the tables keep a family of fuses; None where they know none."""
    try:
        return fuse_family(word).name
    except UnknownNameError:
        return None


def known_meters() -> tuple[str, ...]:
    """Return the meters that need no accuracy."""
    return meter_names()


def known_contacts() -> tuple[str, ...]:
    """Return every plug, and every standard of trailer sockets, that a connector may be."""
    return plug_names() + trailer_standards()


def known_plugs() -> tuple[str, ...]:
    """Return the names of all plugs."""
    return plug_names()
