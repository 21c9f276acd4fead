"""What the rule sets and the trade ask for: drop, least size, place of a fuse, supports; and the zones."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from groundstrap.errors import OutOfRangeError, UnknownNameError
from groundstrap.records import dataclass
from groundstrap.tables._remember import remembered
from groundstrap.tables.table import table
from groundstrap.units import awg_area_mm2, sae_area_mm2

if TYPE_CHECKING:
    from groundstrap.tables.table import Row

__all__ = [
    "AllowedDrop",
    "MinimumSize",
    "OvercurrentLimit",
    "PartTemperature",
    "PlacementLimit",
    "SupportSpacing",
    "ZoneData",
    "allowed_drop",
    "minimum_size",
    "overcurrent_limit",
    "part_temperature",
    "placement_limit",
    "placement_limits",
    "support_spacing",
    "zone",
    "zone_names",
]

SHORT_DUTY_MIN: Final = 5.0
"""A circuit that runs for less is a short one: common practice."""

BASES: Final = ("road", "boat")


@dataclass(frozen=True, slots=True, kw_only=True)
class AllowedDrop:
    """Voltage drop allowed out and back, as a share of the nominal voltage, and why."""

    pct: float
    why: str
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MinimumSize:
    """Smallest conductor by strength, whatever its current."""

    area_mm2: float
    label: str
    why: str
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneData:
    """A built-in zone: ambient, wetness, and what vapour may gather there.

    ``vapour`` is ``no``, ``petrol``, ``hydrogen``, or ``unknown`` where it depends on the fuel on board.
    """

    name: str
    low_c: float
    high_c: float
    wet: str
    vapour: str
    only_with_vented_lead_acid: bool
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacementLimit:
    """Longest conductor between a source and the device that protects it."""

    basis: str
    rule: str
    most_m: float
    as_printed: str
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OvercurrentLimit:
    """Greatest rating of a boat's fuse, as a share of the conductor's corrected ampacity."""

    most_pct: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SupportSpacing:
    """Distance between supports of a conductor; ``least_m`` is None where only the most is stated."""

    least_m: float | None
    most_m: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PartTemperature:
    """Temperature that a conductor may bring to a part whose own limit is unknown: band of practice."""

    low_c: float
    high_c: float
    source: str
    known: str


def _basis(basis: str) -> None:
    if basis not in BASES:
        raise UnknownNameError("basis", basis, BASES)


_WHY: Final = {
    "critical": "losing it is dangerous",
    "charging": "a charging circuit needs its volts",
    "feeder": "it feeds a block",
    "short": f"it runs for less than {SHORT_DUTY_MIN:g} min",
    "continuous": "none of the stricter cases applies",
}


@remembered
def allowed_drop(
    basis: str,
    *,
    critical: bool = False,
    charging: bool = False,
    feeder: bool = False,
    duty_minutes: float | None = None,
) -> AllowedDrop:
    """Voltage drop allowed where the job states none. [%]

    Source: on ``boat`` iso-10133, clause 4.8, and abyc-e11; on ``road`` common-practice.

    Parameters
    ----------
    basis : str
        ``road`` or ``boat``.
    critical, charging, feeder : bool
        What the circuit is for; the strictest that applies decides.
    duty_minutes : float or None
        How long it runs at one time; None where that is not limited. [min]

    Examples
    --------
    >>> allowed_drop("boat", critical=True).pct, allowed_drop("road").pct
    (3.0, 5.0)
    >>> allowed_drop("road", duty_minutes=1).pct
    10.0
    """
    _basis(basis)
    named = {"critical": critical, "charging": charging, "feeder": feeder}
    short = duty_minutes is not None and duty_minutes < SHORT_DUTY_MIN
    purpose = next((name for name, applies in named.items() if applies), "short" if short else "continuous")
    data = table("allowed_drop")
    row = next(row for row in data if row.text("basis") == basis and row.text("purpose") == purpose)
    return AllowedDrop(
        pct=row.number("drop_pct"), why=_WHY[purpose], source=data.source_of(row), known=data.known_of(row)
    )


@remembered
def minimum_size(basis: str, *, sizes: str = "metric", sheathed: bool = False) -> MinimumSize:
    """Smallest conductor by strength. [mm2]

    Source: on ``boat`` iso-10133, clause 7.7, for metric sizes and cfr-33-183-425 for gauges; on ``road``
    common-practice.

    Examples
    --------
    >>> minimum_size("boat").label, minimum_size("boat", sizes="awg").label, minimum_size("road").label
    ('1 mm2', '16 AWG', '0.75 mm2')
    """
    _basis(basis)
    laid = "sheathed" if sheathed else "single"
    data = table("minimum_sizes")
    for row in data:
        if (row.text("basis"), row.text("sizes"), row.text("laid")) == (basis, sizes, laid):
            size = row.text("size")
            unit = "mm2" if sizes == "metric" else sizes.upper()
            return MinimumSize(
                area_mm2=_area_mm2(size, sizes),
                label=f"{size} {unit}",
                why="conductors in a sheath or a panel" if sheathed else "single conductors, by strength",
                source=data.source_of(row),
                known=data.known_of(row),
            )
    raise UnknownNameError("system of sizes", sizes, ("metric", "awg", "sae"))


def _area_mm2(size: str, sizes: str) -> float:
    if sizes == "metric":
        return float(size)
    return awg_area_mm2(size) if sizes == "awg" else sae_area_mm2(size)


@remembered
def zone_names() -> tuple[str, ...]:
    """Return the names of the built-in zones.

    >>> zone_names()[:2]
    ('cabin', 'engine bay')
    """
    return tuple(row.text("zone") for row in table("zones"))


@remembered
def zone(name: str) -> ZoneData:
    """Return a built-in zone.

    >>> zone("engine bay").high_c
    85.0
    """
    data = table("zones")
    row = data.find("zone", name)
    if row is None:
        raise UnknownNameError("zone", name, zone_names())
    return ZoneData(
        name=name,
        low_c=row.number("low_c"),
        high_c=row.number("high_c"),
        wet=row.text("wet"),
        vapour=row.text("vapour"),
        only_with_vented_lead_acid=row.text("only_with_vented_lead_acid") == "yes",
        source=data.source_of(row),
        known=data.known_of(row),
    )


def _placement(row: Row) -> PlacementLimit:
    data = table("placement")
    return PlacementLimit(
        basis=row.text("basis"),
        rule=row.text("rule"),
        most_m=row.number("most_m"),
        as_printed=row.text("as_printed"),
        source=data.source_of(row),
        known=data.known_of(row),
    )


@remembered
def placement_limits(basis: str) -> tuple[PlacementLimit, ...]:
    """Return every limit of place that is known for a basis; the strictest need not be the one that binds.

    >>> [limit.as_printed for limit in placement_limits("road")]
    ['300 mm', '450 mm']
    """
    found = tuple(_placement(row) for row in table("placement") if row.text("basis") == basis)
    if not found:
        raise UnknownNameError("basis", basis, dict.fromkeys(row.text("basis") for row in table("placement")))
    return found


@remembered
def placement_limit(basis: str, *, sheathed: bool = False, at_battery: bool = False) -> PlacementLimit:
    """Longest conductor before its fuse. [m]

    Source: on ``boat`` cfr-33-183-455 (b), and abyc-e11 for a sheathed conductor on a battery terminal; on
    ``road`` common-practice.

    Parameters
    ----------
    basis : str
        ``road`` or ``boat``.
    sheathed : bool
        Whether it lies in a sheath or enclosure all the way.
    at_battery : bool
        Whether it is joined directly to a battery terminal.

    Examples
    --------
    By hand: 7 in x 0.0254.

    >>> placement_limit("boat").most_m, placement_limit("boat", sheathed=True, at_battery=True).as_printed
    (0.1778, '72 in')
    """
    _basis(basis)
    rule = "bare"
    if basis == "boat" and sheathed:
        rule = "sheathed from battery terminal" if at_battery else "sheathed"
    return next(limit for limit in placement_limits(basis) if limit.rule == rule)


def overcurrent_limit(system_v: float) -> OvercurrentLimit:
    """Greatest rating of a boat's fuse over the conductor's corrected ampacity. [%]

    Source: cfr-33-183-455 (c).

    >>> overcurrent_limit(12).most_pct, overcurrent_limit(50).most_pct
    (150.0, 100.0)
    """
    if not 0 < system_v < float("inf"):
        raise OutOfRangeError("overcurrent_limit", "system_v", system_v, 0, float("inf"))
    data = table("overcurrent_limits")
    row = data.rows[0 if system_v < 50 else 1]
    return OvercurrentLimit(most_pct=row.number("most_pct_of_ampacity"), source=data.source, known=data.known)


def support_spacing(basis: str, *, battery_conductor: bool = False) -> SupportSpacing:
    """Distance between supports. [m]

    Source: on ``boat`` iso-10133, clauses 7.3 and 7.4; on ``road`` common-practice.

    >>> support_spacing("boat", battery_conductor=True).most_m
    0.3
    """
    _basis(basis)
    wanted = "harness" if basis == "road" else "battery conductor" if battery_conductor else "general"
    data = table("support_spacing")
    row = next(row for row in data if (row.text("basis"), row.text("conductor")) == (basis, wanted))
    return SupportSpacing(
        least_m=row.maybe("least_m"),
        most_m=row.number("most_m"),
        source=data.source_of(row),
        known=data.known_of(row),
    )


@remembered
def part_temperature() -> PartTemperature:
    """Temperature that a conductor may bring to a fuse, relay or stud of unknown limit. [degC]

    >>> part_temperature().low_c
    80.0
    """
    data = table("part_temperature")
    row = data.rows[0]
    return PartTemperature(
        low_c=row.number("low_c"), high_c=row.number("high_c"), source=data.source, known=data.known
    )
