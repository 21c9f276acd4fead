"""Published ampacity of a conductor where it lies: the table, the row, and every factor on it.

Which table answers is decided by the job's basis and the insulation's class, never by the unit of the size.
Areas step down to the next tabled one. Physics may lower the result elsewhere and never raises it.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from functools import cache
from typing import Final, Literal

from groundstrap.errors import OutOfRangeError, UnknownNameError
from groundstrap.records import dataclass
from groundstrap.tables._remember import remembered
from groundstrap.tables.table import NotTabled, table
from groundstrap.units import awg_area_mm2

__all__ = ["Ampacity", "Factor", "Unsuitable", "published_ampacity"]

Basis = Literal["road", "boat"]

BASE_AMBIENT_C: Final = 30.0
"""Ambient of both tables."""

ENGINE_SPACE_C: Final = 50.0
"""Ambient that the factors for engine spaces stand for: 33 CFR 183.425, table 5, note 1."""

_SAME_SIZE: Final = 1e-3
"""An area this much below a tabled one is that size: gauges are often written with three digits."""

_ROUNDING: Final = 0.01
"""The printed factors for engine spaces follow the square-root rule to this; more is a misprint."""

CFR_TABLE: Final = "boat_ampacity_33_cfr_183_table_5"
VDE_TABLE: Final = "road_ampacity_vde_0298_4"
_CFR_CLASSES: Final = (60.0, 75.0, 80.0, 90.0, 105.0, 125.0, 200.0)
_VDE_CLASS_C: Final = 70.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Factor:
    """One factor on a tabled ampacity, and where it comes from."""

    name: str
    value: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Ampacity:
    """A published ampacity after every factor: what it started from and what it was multiplied by."""

    value_a: float
    base_a: float
    row: str
    row_area_mm2: float
    table: str
    table_class_c: float
    factors: tuple[Factor, ...]
    remarks: tuple[str, ...]
    source: str
    locator: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsuitable:
    """An insulation that may not lie here at all: its class is not above the ambient temperature."""

    insulation_c: float
    ambient_c: float
    why: str


@dataclass(frozen=True, slots=True)
class _Rows:
    """Keys and values of one column of a table, ascending by area."""

    areas_mm2: tuple[float, ...]
    labels: tuple[str, ...]
    amps: tuple[float, ...]


@cache
def _cfr_rows(class_c: float) -> _Rows:
    data = table(CFR_TABLE)
    gauges = [row.text("awg") for row in data]
    return _Rows(
        tuple(awg_area_mm2(gauge) for gauge in gauges),
        tuple(f"{gauge} AWG" for gauge in gauges),
        data.numbers(f"at_{class_c:.0f}_c_a"),
    )


@cache
def _vde_rows(column: str) -> _Rows:
    data = table(VDE_TABLE)
    areas = data.numbers("area_mm2")
    return _Rows(areas, tuple(f"{area:g} mm2" for area in areas), data.numbers(column))


def _checked(basis: str, area_mm2: float, loaded_conductors: int) -> None:
    if basis not in {"road", "boat"}:
        raise UnknownNameError("basis", basis, ("road", "boat"))
    if not 0 < area_mm2 < math.inf:
        raise OutOfRangeError("published_ampacity", "area_mm2", area_mm2, 0, math.inf)
    if loaded_conductors < 1:
        raise OutOfRangeError("published_ampacity", "loaded_conductors", loaded_conductors, 1, math.inf)


@remembered
def published_ampacity(
    *,
    basis: Basis,
    insulation_c: float,
    area_mm2: float,
    ambient_c: float,
    loaded_conductors: int = 1,
    engine_space: bool = False,
) -> Ampacity | Unsuitable | NotTabled:
    """Published ampacity of one copper conductor where it lies, with each factor. [A]

    Source: cfr-33-183-425, table 5 and its notes, on ``boat``; on ``road`` vde-0298-4, tables 11, 17 and 26,
    for 70 degC PVC and the column of 33 CFR above that, where it has a row of that size.

    Parameters
    ----------
    basis : str
        ``road`` or ``boat``.
    insulation_c : float
        Temperature class; one without a column takes the next lower one. [degC]
    area_mm2 : float
        Metal cross-section; steps down to the next tabled one. [mm2]
    ambient_c : float
        Hottest ambient on the way. [degC]
    loaded_conductors : int
        Loaded conductors in the bundle, this one included.
    engine_space : bool
        Whether note 1 of 33 CFR 183.425 applies, which stands for 50 degC.

    Examples
    --------
    By hand: 10 AWG of 105 degC is 60 A; x 0.85 in an engine space; x 0.6 among four to six.

    >>> found = published_ampacity(basis="boat", insulation_c=105, area_mm2=5.2612, ambient_c=50,
    ...                            loaded_conductors=4, engine_space=True)
    >>> round(found.value_a, 1), [factor.value for factor in found.factors]
    (30.6, [0.85, 0.6])
    """
    _checked(basis, area_mm2, loaded_conductors)
    ambient_c = max(ambient_c, ENGINE_SPACE_C) if engine_space else ambient_c
    if insulation_c <= ambient_c:
        why = f"insulation of {insulation_c:g} degC may not lie where it is {ambient_c:g} degC"
        return Unsuitable(insulation_c=insulation_c, ambient_c=ambient_c, why=why)
    if basis == "road" and _VDE_CLASS_C <= insulation_c < _CFR_CLASSES[1]:
        return _by_vde(area_mm2, ambient_c, loaded_conductors)
    found = _by_cfr(insulation_c, area_mm2, ambient_c, loaded_conductors, engine_space=engine_space)
    if basis == "road" and isinstance(found, NotTabled) and ambient_c < _VDE_CLASS_C <= insulation_c:
        # Thinner than any gauge of the better classes' table: the next lower class has a row for it.
        return _by_vde(area_mm2, ambient_c, loaded_conductors)
    return found


def _by_cfr(
    insulation_c: float, area_mm2: float, ambient_c: float, loaded: int, *, engine_space: bool
) -> Ampacity | NotTabled:
    lower = [class_c for class_c in _CFR_CLASSES if class_c <= insulation_c]
    if not lower:
        return NotTabled(why=f"no ampacity is published for insulation of {insulation_c:g} degC")
    class_c = lower[-1]
    if class_c <= ambient_c:
        why = f"{insulation_c:g} degC insulation counts as {class_c:g} degC; it is {ambient_c:g} degC there"
        return NotTabled(why=why)
    remarks = []
    if class_c < insulation_c:
        remarks.append(f"{insulation_c:g} degC has no column; the next lower, {class_c:g} degC, is used")
    factors = _cfr_ambient(class_c, ambient_c, engine_space=engine_space) + _cfr_bundle(loaded)
    if loaded > 2:
        remarks.append("in law the bundle factor applies from 50 V; below, good practice applies it too")
    return _answer(CFR_TABLE, _cfr_rows(class_c), class_c, area_mm2, factors, tuple(remarks))


def _cfr_ambient(class_c: float, ambient_c: float, *, engine_space: bool) -> tuple[Factor, ...]:
    rule = _square_root(class_c, ambient_c)
    if not engine_space or ambient_c > ENGINE_SPACE_C:
        return rule
    row = table("boat_engine_space_factors_33_cfr_183").find("insulation_c", f"{class_c:g}")
    assert row is not None
    printed = row.number("factor")
    if printed - rule[0].value > _ROUNDING:
        return rule
    return (Factor(name="engine space", value=printed, source="cfr-33-183-425", known="verified"),)


def _square_root(class_c: float, ambient_c: float) -> tuple[Factor, ...]:
    """Square-root rule from 30 degC; nothing is gained below that."""
    if ambient_c <= BASE_AMBIENT_C:
        return ()
    value = math.sqrt((class_c - ambient_c) / (class_c - BASE_AMBIENT_C))
    return (Factor(name=f"ambient {ambient_c:g} degC", value=value, source="nec-310-15", known="computed"),)


def _cfr_bundle(loaded: int) -> tuple[Factor, ...]:
    data = table("boat_bundle_factors_33_cfr_183")
    value = data.numbers("factor")[bisect_right(data.numbers("loaded_from"), loaded) - 1]
    if value == 1:
        return ()
    return (Factor(name=f"{loaded} loaded conductors", value=value, source=data.source, known=data.known),)


def _by_vde(area_mm2: float, ambient_c: float, loaded: int) -> Ampacity | NotTabled:
    column = "single_core_a" if loaded == 1 else "two_or_three_loaded_a"
    remarks = ("column for one conductor" if loaded == 1 else "column for two or three loaded conductors",)
    factors = _vde_ambient(ambient_c) + _vde_bundle(loaded)
    return _answer(VDE_TABLE, _vde_rows(column), _VDE_CLASS_C, area_mm2, factors, remarks)


def _vde_ambient(ambient_c: float) -> tuple[Factor, ...]:
    """Factor of the next higher tabled ambient; beyond the last the square-root rule, which they follow."""
    if ambient_c <= BASE_AMBIENT_C:
        return ()
    data = table("ambient_factors_vde_0298_4")
    for row in data:
        if row.number("ambient_c") >= ambient_c:
            name = f"ambient {ambient_c:g} degC"
            return (Factor(name=name, value=row.number("factor"), source=data.source, known=data.known),)
    return _square_root(_VDE_CLASS_C, ambient_c)


def _vde_bundle(loaded: int) -> tuple[Factor, ...]:
    """Factor of the next higher tabled count; beyond the last it falls with the root of the count."""
    if loaded <= 3:
        return ()
    data = table("bundle_factors_vde_0298_4")
    name = f"{loaded} loaded conductors"
    for row in data:
        if row.number("loaded_conductors") >= loaded:
            return (Factor(name=name, value=row.number("factor"), source=data.source, known=data.known),)
    last = data.rows[-1]
    value = last.number("factor") * math.sqrt(last.number("loaded_conductors") / loaded)
    return (Factor(name=name, value=value, source="own-judgement", known="own judgement"),)


def _answer(
    name: str,
    rows: _Rows,
    class_c: float,
    area_mm2: float,
    factors: tuple[Factor, ...],
    remarks: tuple[str, ...],
) -> Ampacity | NotTabled:
    index = bisect_right(rows.areas_mm2, area_mm2 * (1 + _SAME_SIZE)) - 1
    if index < 0:
        why = f"{area_mm2:g} mm2 is below {rows.labels[0]}, the smallest size with a published ampacity"
        return NotTabled(why=why)
    data = table(name)
    return Ampacity(
        value_a=rows.amps[index] * math.prod(factor.value for factor in factors),
        base_a=rows.amps[index],
        row=rows.labels[index],
        row_area_mm2=rows.areas_mm2[index],
        table=name,
        table_class_c=class_c,
        factors=factors,
        remarks=remarks,
        source=data.source,
        locator=data.locator,
        known=data.known,
    )
