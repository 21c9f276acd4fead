"""Conductors: standard sizes, the data of any cross-section, and the metals they are made of."""

from __future__ import annotations

import math
from functools import cache
from typing import TYPE_CHECKING, Final, Literal

from groundstrap.errors import OutOfRangeError, UnknownNameError
from groundstrap.records import dataclass
from groundstrap.tables._remember import remembered
from groundstrap.tables.table import table, weakest
from groundstrap.units import awg_area_mm2, sae_area_mm2

if TYPE_CHECKING:
    from groundstrap.tables.table import Row

__all__ = [
    "ConductorData",
    "Material",
    "StandardSize",
    "conductor_data",
    "material",
    "material_names",
    "standard_sizes",
]

System = Literal["metric", "awg", "sae"]
SYSTEMS: Final = ("metric", "awg", "sae")

LAY_FACTOR: Final = 1.02
"""Stranded over solid resistance of the same area; NFPA 70 chapter 9 table 8 gives 1.018 to 1.026."""

STRAND_FACTOR: Final = 1.15
"""Diameter of a bunched conductor over that of a solid one of the same area; common practice."""

COPPER_RHO20_OHM_MM2_PER_M: Final = 1 / 58
"""International annealed copper standard."""

_SAME_SIZE: Final = 1e-3
"""Two areas are one size when they differ by less: AWG areas are often written with three digits."""

_LEAST_MM2, _MOST_MM2 = 0.05, 500.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A conductor metal at 20 degC."""

    name: str
    rho20_ohm_mm2_per_m: float
    alpha20_per_k: float
    heat_j_per_m3k: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StandardSize:
    """One size that is sold, with its greatest resistance at 20 degC and its usual diameters."""

    system: str
    label: str
    area_mm2: float
    plain_ohm_per_m_20c: float
    tinned_ohm_per_m_20c: float
    conductor_d_mm: float
    thick_outer_d_mm: float
    thin_outer_d_mm: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ConductorData:
    """What is known about a conductor of some area: resistance, diameters, metal, and how it is known."""

    area_mm2: float
    system: str
    label: str | None
    material: Material
    ohm_per_m_20c: float
    conductor_d_mm: float
    thin_outer_d_mm: float
    thick_outer_d_mm: float
    alpha20_per_k: float
    rho20_ohm_mm2_per_m: float
    heat_j_per_m3k: float
    method: str
    source: str
    known: str

    @property
    def outer_d_mm(self) -> float:
        """Diameter over a thin wall: the smaller surface, so the hotter and safer assumption. [mm]"""
        return self.thin_outer_d_mm


@remembered
def material_names() -> tuple[str, ...]:
    """Return the names of the conductor metals.

    >>> material_names()[0]
    'copper'
    """
    return tuple(row.text("material") for row in table("conductor_materials"))


@remembered
def material(name: str) -> Material:
    """Return a conductor metal by name.

    >>> material("aluminium").rho20_ohm_mm2_per_m
    0.028264
    """
    return _metal(name)


@cache
def _metal(name: str) -> Material:
    data = table("conductor_materials")
    row = data.find("material", name)
    if row is None:
        raise UnknownNameError("conductor material", name, material_names())
    return Material(
        name=name,
        rho20_ohm_mm2_per_m=COPPER_RHO20_OHM_MM2_PER_M
        if name == "copper"
        else row.number("rho20_ohm_mm2_per_m"),
        alpha20_per_k=row.number("alpha20_per_k"),
        heat_j_per_m3k=row.number("heat_j_per_m3k"),
        source=data.source_of(row),
        known=data.known_of(row),
    )


def standard_sizes(system: System) -> tuple[StandardSize, ...]:
    """Return the sizes that are commonly sold, ascending.

    Metric sizes are those of ISO 6722 that IEC 60228 has too, AWG and SAE sizes the even ones and 1 to 4/0.

    >>> [size.label for size in standard_sizes("metric")][:4]
    ['0.5 mm2', '0.75 mm2', '1 mm2', '1.5 mm2']
    """
    if system not in SYSTEMS:
        raise UnknownNameError("system of sizes", system, SYSTEMS)
    return _SIZES[system]()


@cache
def _metric_sizes() -> tuple[StandardSize, ...]:
    return tuple(_metric_size(row) for row in table("road_cable_iso_6722") if row.text("preferred") == "yes")


def _metric_size(row: Row) -> StandardSize:
    area_mm2 = row.number("nominal_mm2")
    return StandardSize(
        system="metric",
        label=f"{area_mm2:g} mm2",
        area_mm2=area_mm2,
        plain_ohm_per_m_20c=row.number("plain_mohm_per_m") / 1000,
        tinned_ohm_per_m_20c=row.number("tinned_mohm_per_m") / 1000,
        conductor_d_mm=row.number("conductor_d_mm"),
        thick_outer_d_mm=_thick_outer_d_mm(row),
        thin_outer_d_mm=row.number("thin_outer_d_mm"),
        source="iso-6722",
        known=row.text("plain_known"),
    )


def _thick_outer_d_mm(row: Row) -> float:
    printed = row.maybe("thick_outer_d_mm")
    return row.number("thin_outer_d_mm") if printed is None else printed


@cache
def _awg_sizes() -> tuple[StandardSize, ...]:
    rows = [row for row in table("awg_b258") if row.text("preferred") == "yes"]
    return tuple(_gauge_size("awg", row.text("awg"), awg_area_mm2(row.text("awg"))) for row in rows)


@cache
def _sae_sizes() -> tuple[StandardSize, ...]:
    gauges = table("sae_gauge_area")
    return tuple(_gauge_size("sae", row.text("sae"), sae_area_mm2(row.text("sae"))) for row in gauges)


_SIZES: Final = {"metric": _metric_sizes, "awg": _awg_sizes, "sae": _sae_sizes}


def _gauge_size(system: str, gauge: str, area_mm2: float) -> StandardSize:
    conductor_d_mm = bunched_diameter_mm(area_mm2)
    thin_mm, thick_mm = _gauge_walls_mm(area_mm2)
    plain = LAY_FACTOR * COPPER_RHO20_OHM_MM2_PER_M / area_mm2
    return StandardSize(
        system=system,
        label=f"{gauge} {system.upper()}",
        area_mm2=area_mm2,
        plain_ohm_per_m_20c=plain,
        tinned_ohm_per_m_20c=plain * _coating_factor(area_mm2),
        conductor_d_mm=conductor_d_mm,
        thick_outer_d_mm=conductor_d_mm + 2 * thick_mm,
        thin_outer_d_mm=conductor_d_mm + 2 * thin_mm,
        source="astm-b258" if system == "awg" else "sae-j1127-j1128",
        known="computed",
    )


def bunched_diameter_mm(area_mm2: float) -> float:
    """Diameter of a bunched, stranded conductor. [mm]

    Source: common-practice, 1.15 times the solid diameter.

    >>> round(bunched_diameter_mm(6), 2)
    3.18
    """
    return STRAND_FACTOR * math.sqrt(4 * area_mm2 / math.pi)


def _gauge_walls_mm(area_mm2: float) -> tuple[float, float]:
    chosen = None
    for row in table("awg_cable_walls"):
        if chosen is None or awg_area_mm2(row.text("awg")) <= area_mm2 * (1 + _SAME_SIZE):
            chosen = row
    assert chosen is not None
    return chosen.number("thin_wall_mm"), chosen.number("thick_wall_mm")


def _metric_walls_mm(area_mm2: float) -> tuple[float, float]:
    """Walls of the next smaller ISO 6722 size: a thinner wall has less surface and runs hotter."""
    rows = table("road_cable_iso_6722").rows
    chosen = rows[0]
    for row in rows:
        if row.number("nominal_mm2") <= area_mm2:
            chosen = row
    conductor_d_mm = chosen.number("conductor_d_mm")
    thin = (chosen.number("thin_outer_d_mm") - conductor_d_mm) / 2
    return thin, (_thick_outer_d_mm(chosen) - conductor_d_mm) / 2


@cache
def _coating_steps() -> tuple[tuple[float, float], ...]:
    """Coated over plain resistance by area, from NFPA 70 chapter 9 table 8, thinnest first."""
    rows = table("awg_stranded_nec_9_8").rows
    return tuple(
        (awg_area_mm2(row.text("awg")), row.number("coated_ohm_per_kft") / row.number("plain_ohm_per_kft"))
        for row in rows
    )


def _coating_factor(area_mm2: float) -> float:
    """Step down by area; below 18 AWG its factor, the greatest, stands."""
    steps = _coating_steps()
    below = [factor for area, factor in steps if area <= area_mm2 * (1 + _SAME_SIZE)]
    return below[-1] if below else steps[0][1]


def _metric_row(area_mm2: float) -> Row | None:
    for row in table("road_cable_iso_6722"):
        if math.isclose(row.number("nominal_mm2"), area_mm2, rel_tol=_SAME_SIZE):
            return row
    return None


def _gauge_of(area_mm2: float, system: str) -> str | None:
    """Label of the AWG or SAE gauge with this area, None where there is none."""
    name, key, area_of = ("awg_b258", "awg", awg_area_mm2) if system == "awg" else _SAE_GAUGES
    for row in table(name):
        if math.isclose(area_of(row.text(key)), area_mm2, rel_tol=_SAME_SIZE):
            return f"{row.text(key)} {system.upper()}"
    return None


_SAE_GAUGES: Final = ("sae_gauge_area", "sae", sae_area_mm2)


@remembered
def conductor_data(area_mm2: float, *, material: str = "copper", system: System = "metric") -> ConductorData:
    """Resistance, diameters and metal of a conductor of any area.

    A metric size of ISO 6722 has that table's greatest resistance and diameters; any other area 1.02/58 ohm
    mm2/m and geometric diameters. Clad and plain aluminium take the ratio of their resistivity to copper's.

    Parameters
    ----------
    area_mm2 : float
        Metal cross-section, 0.05 to 500. [mm2]
    material : str
        Name of the metal, as ``material_names()`` lists them.
    system : str
        ``metric``, ``awg`` or ``sae``: decides where the area is looked for.

    Examples
    --------
    >>> conductor_data(6).ohm_per_m_20c                # ISO 6722, read
    0.00314
    >>> round(conductor_data(5.9376).ohm_per_m_20c * 1000, 4)     # 84 x 0.30 mm: 1.02 / (58 x 5.9376)
    2.9618
    """
    if not _LEAST_MM2 <= area_mm2 <= _MOST_MM2:
        raise OutOfRangeError("conductor_data", "area_mm2", area_mm2, _LEAST_MM2, _MOST_MM2)
    if system not in SYSTEMS:
        raise UnknownNameError("system of sizes", system, SYSTEMS)
    metal = _metal(material)
    row = _metric_row(area_mm2) if system == "metric" else None
    return _from_table(row, metal) if row is not None else _from_geometry(area_mm2, metal, system)


def _from_table(row: Row, metal: Material) -> ConductorData:
    size = _metric_size(row)
    tinned = metal.name == "tinned copper"
    ratio = 1.0 if tinned else metal.rho20_ohm_mm2_per_m / COPPER_RHO20_OHM_MM2_PER_M
    ohm = (size.tinned_ohm_per_m_20c if tinned else size.plain_ohm_per_m_20c) * ratio
    way = "greatest resistance of ISO 6722" + ("" if ratio == 1.0 else f" x {ratio:.3f} for {metal.name}")
    return ConductorData(
        area_mm2=size.area_mm2,
        system="metric",
        label=size.label,
        material=metal,
        ohm_per_m_20c=ohm,
        conductor_d_mm=size.conductor_d_mm,
        thin_outer_d_mm=size.thin_outer_d_mm,
        thick_outer_d_mm=size.thick_outer_d_mm,
        alpha20_per_k=metal.alpha20_per_k,
        rho20_ohm_mm2_per_m=metal.rho20_ohm_mm2_per_m,
        heat_j_per_m3k=metal.heat_j_per_m3k,
        method=way,
        source="iso-6722",
        known=weakest(row.text("tinned_known") if tinned else row.text("plain_known"), metal.known),
    )


def _from_geometry(area_mm2: float, metal: Material, system: str) -> ConductorData:
    tinned = metal.name == "tinned copper" and system != "metric"
    rho = COPPER_RHO20_OHM_MM2_PER_M if tinned else metal.rho20_ohm_mm2_per_m
    factor = _coating_factor(area_mm2) if tinned else 1.0
    conductor_d_mm = bunched_diameter_mm(area_mm2)
    thin_mm, thick_mm = _metric_walls_mm(area_mm2) if system == "metric" else _gauge_walls_mm(area_mm2)
    return ConductorData(
        area_mm2=area_mm2,
        system=system,
        label=None if system == "metric" else _gauge_of(area_mm2, system),
        material=metal,
        ohm_per_m_20c=LAY_FACTOR * rho / area_mm2 * factor,
        conductor_d_mm=conductor_d_mm,
        thin_outer_d_mm=conductor_d_mm + 2 * thin_mm,
        thick_outer_d_mm=conductor_d_mm + 2 * thick_mm,
        alpha20_per_k=metal.alpha20_per_k,
        rho20_ohm_mm2_per_m=metal.rho20_ohm_mm2_per_m,
        heat_j_per_m3k=metal.heat_j_per_m3k,
        method=f"lay factor {LAY_FACTOR:g} x resistivity / area, diameter {STRAND_FACTOR:g} x solid",
        source=metal.source,
        known=weakest("computed", metal.known),
    )
