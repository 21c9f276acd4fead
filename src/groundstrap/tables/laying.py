"""Laying: heat-shrink, loom, conduit, grommets by outer diameter; bend radius; distances to keep."""

from __future__ import annotations

import math

from groundstrap.errors import OutOfRangeError, UnknownNameError
from groundstrap.records import dataclass
from groundstrap.tables._remember import remembered
from groundstrap.tables.table import NotTabled, table

__all__ = [
    "BendRadius",
    "ConduitFill",
    "Distance",
    "Grommet",
    "HeatShrink",
    "JamRatio",
    "SplitLoom",
    "bend_cables",
    "bend_radius",
    "conduit_fill",
    "conduit_jam",
    "grommet_for",
    "heat_shrink_for",
    "laying_distance",
    "split_loom_for",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatShrink:
    """A heat-shrink tube: bore before and after, and the diameters that it covers."""

    ratio: str
    adhesive: bool
    expanded_mm: float
    recovered_mm: float
    covers_low_mm: float
    covers_high_mm: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SplitLoom:
    """Split corrugated loom: bore, and outer diameter where known."""

    bore_mm: float
    inch: str
    outer_mm: float | None
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ConduitFill:
    """Share of a conduit's bore that its cables may fill."""

    fill_pct: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JamRatio:
    """Bore over cable diameter between which three cables can jam side by side."""

    low_ratio: float
    high_ratio: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BendRadius:
    """Least bend radius over the outer diameter: where it lies still, and where it moves."""

    low: float
    high: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Grommet:
    """Hole of a grommet that takes a bundle."""

    hole_mm: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Distance:
    """Distance to keep from something: at least, and usual."""

    item: str
    least_mm: float
    usual_mm: float
    source: str
    known: str


def _positive(function: str, name: str, value: float) -> None:
    if not 0 < value < math.inf:
        raise OutOfRangeError(function, name, value, 0, math.inf)


@remembered
def heat_shrink_for(
    smallest_mm: float, largest_mm: float, *, adhesive: bool = False
) -> HeatShrink | NotTabled:
    """Return the narrowest tube that goes over the largest part and grips the smallest.

    Source: common-practice, from memory.

    Parameters
    ----------
    smallest_mm, largest_mm : float
        Least and greatest outer diameter that it covers, cable and barrel. [mm]
    adhesive : bool
        Whether it is lined with adhesive, as in wet places.

    Examples
    --------
    >>> heat_shrink_for(4.0, 5.0).expanded_mm, heat_shrink_for(4.0, 7.5, adhesive=True).expanded_mm
    (6.4, 9.0)
    >>> heat_shrink_for(2.0, 12.0).why
    'no heat-shrink tube without adhesive covers both 2 and 12 mm'
    """
    _positive("heat_shrink_for", "smallest_mm", smallest_mm)
    if not smallest_mm <= largest_mm < math.inf:
        raise OutOfRangeError("heat_shrink_for", "largest_mm", largest_mm, smallest_mm, math.inf)
    data = table("heat_shrink")
    for row in data:
        lined = row.text("adhesive") == "yes"
        low_mm, high_mm = row.number("covers_low_mm"), row.number("covers_high_mm")
        if lined == adhesive and low_mm <= smallest_mm and largest_mm <= high_mm:
            return HeatShrink(
                ratio=row.text("ratio"),
                adhesive=lined,
                expanded_mm=row.number("expanded_mm"),
                recovered_mm=row.number("recovered_mm"),
                covers_low_mm=low_mm,
                covers_high_mm=high_mm,
                source=data.source,
                known=data.known,
            )
    lining = "with" if adhesive else "without"
    return NotTabled(
        why=f"no heat-shrink tube {lining} adhesive covers both {smallest_mm:g} and {largest_mm:g} mm"
    )


@remembered
def split_loom_for(bundle_mm: float) -> SplitLoom | NotTabled:
    """Return the narrowest split loom whose bore takes a bundle.

    Source: common-practice, from memory.

    Parameters
    ----------
    bundle_mm : float
        Outer diameter of the bundle. [mm]

    Examples
    --------
    >>> split_loom_for(10.2).bore_mm, split_loom_for(60).why
    (13.0, 'no split loom takes a bundle of 60 mm; the widest known has a bore of 51 mm')
    """
    _positive("split_loom_for", "bundle_mm", bundle_mm)
    data = table("split_loom")
    for row in data:
        if row.number("bore_mm") >= bundle_mm:
            return SplitLoom(
                bore_mm=row.number("bore_mm"),
                inch=row.text("inch"),
                outer_mm=row.maybe("outer_mm"),
                source=data.source,
                known=data.known,
            )
    widest_mm = data.rows[-1].number("bore_mm")
    why = f"no split loom takes a bundle of {bundle_mm:g} mm; the widest known has a bore of {widest_mm:g} mm"
    return NotTabled(why=why)


@remembered
def conduit_fill(cables: int, *, nipple: bool = False) -> ConduitFill:
    """Return the share of a conduit's bore that so many cables may fill. [%]

    Source: nec-9-1; a nipple is not longer than 600 mm.

    >>> [conduit_fill(count).fill_pct for count in (1, 2, 3, 9)]
    [53.0, 31.0, 40.0, 40.0]
    """
    if cables < 1:
        raise OutOfRangeError("conduit_fill", "cables", cables, 1, math.inf)
    run = "nipple" if nipple else "conduit"
    data = table("conduit_fill")
    rows = [row for row in data if row.text("run") == run and row.number("cables") <= cables]
    return ConduitFill(
        fill_pct=rows[-1].number("fill_pct"), source=data.source, known=data.known_of(rows[-1])
    )


def conduit_jam() -> JamRatio:
    """Return the bore over cable diameter between which three cables can jam in a conduit.

    Source: nec-9-1, note 2.

    >>> conduit_jam().low_ratio
    2.8
    """
    data = table("conduit_jam")
    row = data.rows[0]
    return JamRatio(
        low_ratio=row.number("low_ratio"),
        high_ratio=row.number("high_ratio"),
        source=data.source,
        known=data.known,
    )


@remembered
def bend_cables() -> tuple[str, ...]:
    """Return the cables whose bend radius is tabled.

    >>> bend_cables()
    ('thin-wall road wire', 'single wire', 'battery cable', 'aircraft wire')
    """
    return tuple(row.text("cable") for row in table("bend_radius"))


@remembered
def bend_radius(cable: str) -> BendRadius:
    """Return the least bend radius of a cable over its outer diameter. [1]

    Source: common-practice, from memory; aircraft wire army-tm-1-1500.

    >>> bend_radius("battery cable").high
    8.0
    """
    data = table("bend_radius")
    row = data.find("cable", cable)
    if row is None:
        raise UnknownNameError("cable", cable, bend_cables())
    return BendRadius(
        low=row.number("low"),
        high=row.number("high"),
        source=data.source_of(row),
        known=data.known_of(row),
    )


@remembered
def grommet_for(bundle_mm: float) -> Grommet | NotTabled:
    """Return the smallest hole whose grommet takes a bundle with room to move. [mm]

    Source: common-practice, from memory: 2 mm over the bundle.

    >>> grommet_for(7.2).hole_mm
    9.5
    """
    _positive("grommet_for", "bundle_mm", bundle_mm)
    data = table("grommet_holes")
    for row in data:
        if row.number("bundle_mm") >= bundle_mm:
            return Grommet(hole_mm=row.number("hole_mm"), source=data.source, known=data.known)
    widest_mm = data.rows[-1].number("bundle_mm")
    return NotTabled(why=f"no grommet takes a bundle of {bundle_mm:g} mm; the widest takes {widest_mm:g} mm")


@remembered
def laying_distance(item: str) -> Distance:
    """Return the distance to keep from something. [mm]

    Source: cfr-33-183-420, faa-ac-43-13-1b; exhaust and drip loop common-practice, from memory.

    >>> laying_distance("exhaust").least_mm
    100.0
    """
    data = table("laying_distances")
    row = data.find("item", item)
    if row is None:
        raise UnknownNameError("distance", item, [row.text("item") for row in data])
    return Distance(
        item=item,
        least_mm=row.number("least_mm"),
        usual_mm=row.number("usual_mm"),
        source=data.source_of(row),
        known=data.known_of(row),
    )
