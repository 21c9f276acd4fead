"""Supplies: the ends their volts move between, rested volts and charge, inner resistance, alternators."""

from __future__ import annotations

import math
from bisect import bisect_right
from typing import TYPE_CHECKING, Final

from groundstrap.errors import OutOfRangeError, TableError, UnknownNameError
from groundstrap.records import dataclass
from groundstrap.tables._remember import remembered
from groundstrap.tables.table import table, weakest
from groundstrap.words import words

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = [
    "BatteryResistance",
    "ColdFactor",
    "Cranking",
    "Default",
    "RestedCurve",
    "SupplyEnds",
    "alternator_default",
    "alternator_share",
    "battery_resistance",
    "charge_voltage",
    "cold_factor",
    "converter_efficiency",
    "cranking",
    "rested_curve",
    "rested_voltage_v",
    "state_of_charge_pct",
    "supply_ends",
    "vehicle_draw",
]

_ANSWERING_SERIES: Final = {"flooded": "A", "agm": "E", "gel": "G", "lfp": "I"}
"""Which of the printed series answers; the others stand beside it in the table."""

_EMF_V: Final = 12.5
"""Open-circuit volts that the cranking ratings start from."""

_TESTER_V: Final = (2.5, 3.0, 3.2)
"""Ohms of a conductance tester times cranking rating: low, typical, high; from memory."""

_LOAD_TEST_V: Final = 6.0
"""(12.6 V - 9.6 V) over half the rating: the most a battery that passes the load test has at 21 degC."""


_WARM_C: Final = 25.0
_COLD_C: Final = -18.0
"""Temperatures that a battery's warm and cold resistances stand for. [degC]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyEnds:
    """Lowest and highest volts at a supply's terminals. [V]"""

    low_v: float
    high_v: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RestedCurve:
    """Rested volts of a 12 V battery over its charge, rising; a printed band as its middle."""

    chemistry: str
    series: str
    soc_pct: tuple[float, ...]
    volts_v: tuple[float, ...]
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BatteryResistance:
    """Inner resistance of a full 12 V battery at 25 degC, and at -18 degC. [ohm]"""

    low_ohm: float
    typical_ohm: float
    high_ohm: float
    cold_low_ohm: float
    cold_high_ohm: float
    why: str
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ColdFactor:
    """Times the inner resistance of a warm battery. [1]"""

    low: float
    high: float
    at_c: float
    """Temperature that it stands for: the one asked for, or the end of the printed range. [degC]"""
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cranking:
    """Cranking power at a temperature against 27 degC: what a battery has, what an engine asks for. [%]"""

    has_pct: float
    asks_low_pct: float
    asks_high_pct: float
    beyond_table: bool
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Default:
    """A value that is taken where nothing is written: low, typical and high; the unit is the item's."""

    low: float
    typical: float
    high: float
    unit: str
    source: str
    known: str


def supply_ends(supply: str, system_v: float) -> SupplyEnds:
    """Lowest and highest volts at a supply. [V]

    Source: common-practice, for 12 V; other systems in proportion.

    Parameters
    ----------
    supply : str
        A chemistry, ``lead``, ``variable alternator`` or ``equalising charger``.
    system_v : float
        Nominal voltage, 6 to 60. [V]

    Examples
    --------
    >>> supply_ends("lfp", 24).low_v, supply_ends("variable alternator", 12).high_v
    (25.6, 15.5)
    """
    if not 6 <= system_v <= 60:
        raise OutOfRangeError("supply_ends", "system_v", system_v, 6, 60)
    data = table("supply_ends")
    row = data.find("supply", supply)
    if row is None:
        raise UnknownNameError("supply", supply, [row.text("supply") for row in data])
    scale = system_v / 12
    return SupplyEnds(
        low_v=row.number("low_v") * scale,
        high_v=row.number("high_v") * scale,
        source=data.source,
        known=data.known,
    )


@remembered
def rested_curve(chemistry: str, series: str | None = None) -> RestedCurve:
    """Rested volts over charge of a 12 V battery.

    Source: handbook-battery; ``series`` picks another printed table than the one that answers.

    Examples
    --------
    >>> rested_curve("flooded").volts_v[-1], rested_curve("flooded", "B").volts_v[2]
    (12.65, 12.2)
    """
    wanted = series or _ANSWERING_SERIES.get(chemistry, "")
    data = table("rested_voltage")
    rows = [row for row in data if (row.text("chemistry"), row.text("series")) == (chemistry, wanted)]
    if not rows:
        raise UnknownNameError("chemistry and series", f"{chemistry} {wanted}".strip(), _known_series())
    return RestedCurve(
        chemistry=chemistry,
        series=wanted,
        soc_pct=tuple(row.number("soc_pct") for row in rows),
        volts_v=tuple((row.number("low_v") + row.number("high_v")) / 2 for row in rows),
        source="paper-lfp-piecewise" if wanted == "I" else data.source,
        known=weakest(*(data.known_of(row) for row in rows)),
    )


def _known_series() -> list[str]:
    rows = table("rested_voltage")
    return list(dict.fromkeys(f"{row.text('chemistry')} {row.text('series')}" for row in rows))


def rested_voltage_v(chemistry: str, soc_pct: float, *, series: str | None = None) -> float:
    """Rested volts of a 12 V battery at a charge. [V]

    Source: handbook-battery; linear between rows, refused outside them.

    Examples
    --------
    >>> rested_voltage_v("flooded", 50), rested_voltage_v("flooded", 100)
    (12.24, 12.65)
    """
    curve = rested_curve(chemistry, series)
    return _linear("rested_voltage_v", "soc_pct", soc_pct, curve.soc_pct, curve.volts_v)


def state_of_charge_pct(chemistry: str, rested_v: float, *, series: str | None = None) -> float:
    """Charge of a 12 V battery by its rested volts. [%]

    Source: handbook-battery; linear between rows, refused outside them. A tenth of a volt between makers is a
    tenth of the charge for lead-acid; for ``lfp`` volts on the plateau do not tell.

    Examples
    --------
    >>> round(state_of_charge_pct("flooded", 12.15), 1)      # between 12.06 at 25 % and 12.24 at 50 %
    37.5
    """
    curve = rested_curve(chemistry, series)
    return _linear("state_of_charge_pct", "rested_v", rested_v, curve.volts_v, curve.soc_pct)


def _linear(function: str, name: str, value: float, keys: Sequence[float], values: Sequence[float]) -> float:
    if not keys[0] <= value <= keys[-1]:
        raise OutOfRangeError(function, name, value, keys[0], keys[-1])
    index = min(bisect_right(keys, value), len(keys) - 1)
    share = (value - keys[index - 1]) / (keys[index] - keys[index - 1])
    return values[index - 1] + share * (values[index] - values[index - 1])


@remembered
def battery_resistance(
    chemistry: str,
    *,
    capacity_ah: float | None = None,
    cranking_a: float | None = None,
    standard: str = "SAE",
) -> BatteryResistance:
    """Inner resistance of a full 12 V battery. [ohm]

    Source: cranking rating by sae-j537 or EN 50342-1 where one is given; else handbook-battery, as one over
    the capacity; else a battery of usual size.

    Parameters
    ----------
    chemistry : str
        ``flooded``, ``agm``, ``gel``, ``lfp``, or ``starter`` for a flooded starter battery.
    capacity_ah : float or None
        Capacity at 20 h. [Ah]
    cranking_a : float or None
        Cold cranking rating. [A]
    standard : str
        ``SAE`` or ``EN``: of the rating.

    Examples
    --------
    By hand: 650 A SAE is at most (12.5 - 7.2) / 650 at -18 degC.

    >>> round(battery_resistance("flooded", cranking_a=650).cold_high_ohm * 1000, 2)
    8.15
    """
    if cranking_a is not None:
        return _by_cranking(cranking_a, standard)
    data = table("battery_resistance")
    row = data.find("chemistry", chemistry)
    if row is None:
        raise UnknownNameError("chemistry", chemistry, [row.text("chemistry") for row in data])
    usual_ah = row.number("capacity_ah")
    if capacity_ah is not None and not 1 <= capacity_ah <= 5000:
        raise OutOfRangeError("battery_resistance", "capacity_ah", capacity_ah, 1, 5000)
    scale = usual_ah / (usual_ah if capacity_ah is None else capacity_ah)
    low, high = row.number("low_mohm") / 1000 * scale, row.number("high_mohm") / 1000 * scale
    cold = table("battery_resistance_factors").rows[0]
    lithium = chemistry == "lfp"
    return BatteryResistance(
        low_ohm=low,
        typical_ohm=math.sqrt(low * high),
        high_ohm=high,
        cold_low_ohm=low * (1.0 if lithium else cold.number("low")),
        cold_high_ohm=high * cold.number("high"),
        why=words("typical of {usual}; no capacity is given", usual=f"{usual_ah:g} Ah")
        if capacity_ah is None
        else words(
            "typical of {usual}, scaled to {capacity}",
            usual=f"{usual_ah:g} Ah",
            capacity=f"{capacity_ah:g} Ah",
        ),
        source=data.source,
        known=data.known,
    )


def cold_factor(temperature_c: float) -> ColdFactor:
    """How many times its warm resistance a lead-acid battery has at a temperature. [1]

    Source: handbook-battery, 1.8 to 2.5 at -18 degC; own-judgement, the straight line from 1 at 25 degC. A
    warmer one counts as warm and a colder one as at -18 degC, and `at_c` says so.

    Parameters
    ----------
    temperature_c : float
        Of the battery. [degC]

    Examples
    --------
    By hand: 3.5 degC lies half way, so half of 0.8 and of 1.5 on top.

    >>> found = cold_factor(3.5)
    >>> round(found.low, 3), round(found.high, 3)
    (1.4, 1.75)
    """
    if not math.isfinite(temperature_c):
        raise OutOfRangeError("cold_factor", "temperature_c", temperature_c, -60, 60)
    data = table("battery_resistance_factors")
    row = data.rows[0]
    at_c = min(max(temperature_c, _COLD_C), _WARM_C)
    way = (_WARM_C - at_c) / (_WARM_C - _COLD_C)
    return ColdFactor(
        low=1.0 + way * (row.number("low") - 1.0),
        high=1.0 + way * (row.number("high") - 1.0),
        at_c=at_c,
        source=data.source_of(row),
        known=data.known_of(row),
    )


def _by_cranking(cranking_a: float, standard: str) -> BatteryResistance:
    if not 50 <= cranking_a <= 5000:
        raise OutOfRangeError("battery_resistance", "cranking_a", cranking_a, 50, 5000)
    ratings = table("cranking_ratings")
    row = ratings.find("standard", standard)
    if row is None:
        raise UnknownNameError("cranking standard", standard, [row.text("standard") for row in ratings])
    low_v, typical_v, _ = _TESTER_V
    cold = table("battery_resistance_factors").rows[0]
    return BatteryResistance(
        low_ohm=low_v / cranking_a,
        typical_ohm=typical_v / cranking_a,
        high_ohm=_LOAD_TEST_V / cranking_a,
        cold_low_ohm=low_v / cranking_a * cold.number("low"),
        cold_high_ohm=(_EMF_V - row.number("volts")) / cranking_a,
        why=words(
            "from its cranking rating of {rating} {standard}", rating=f"{cranking_a:g} A", standard=standard
        ),
        source=ratings.source_of(row),
        known="from memory",
    )


def cranking(temperature_c: float) -> Cranking:
    """Cranking power at a temperature against 27 degC. [%]

    Source: handbook-cranking; linear between rows, the end row beyond them, flagged.

    Examples
    --------
    >>> cranking(-18).has_pct, cranking(-18).asks_high_pct, cranking(35).beyond_table
    (40.0, 250.0, True)
    """
    if not math.isfinite(temperature_c):
        raise OutOfRangeError("cranking", "temperature_c", temperature_c, -60, 60)
    data = table("cranking_by_temperature")
    keys = data.numbers("temperature_c")
    at_c = min(max(temperature_c, keys[0]), keys[-1])
    has, low, high = (
        _linear("cranking", "temperature_c", at_c, keys, data.numbers(column))
        for column in ("has_pct", "asks_low_pct", "asks_high_pct")
    )
    return Cranking(
        has_pct=has,
        asks_low_pct=low,
        asks_high_pct=high,
        beyond_table=at_c != temperature_c,
        source=data.source,
        known=data.known,
    )


def alternator_share(shaft_rpm: float) -> float:
    """Share of an alternator's rated current by shaft speed.

    Source: handbook-motor-vehicle, typical curve, from memory.

    >>> alternator_share(1800), round(alternator_share(2250), 3)
    (0.5, 0.635)
    """
    data = table("alternator_share")
    keys, values = data.numbers("shaft_rpm"), data.numbers("share")
    return _linear("alternator_share", "shaft_rpm", shaft_rpm, keys, values)


@remembered
def alternator_default(item: str) -> Default:
    """Return what is taken of an alternator where nothing is written, such as ``setpoint`` at 12 V.

    >>> alternator_default("idle share").typical
    0.5
    """
    data = table("alternator_defaults")
    row = data.find("item", item)
    if row is None:
        raise UnknownNameError("alternator value", item, [row.text("item") for row in data])
    return Default(
        low=row.number("low"),
        typical=row.number("typical"),
        high=row.number("high"),
        unit=row.text("unit"),
        source=data.source_of(row),
        known=data.known_of(row),
    )


@remembered
def vehicle_draw(*, engine_running: bool) -> Default:
    """Return what a 12 V vehicle itself draws. [A]

    >>> vehicle_draw(engine_running=False).typical
    0.03
    """
    data = table("vehicle_draw")
    row = data.find("state", "with the engine" if engine_running else "at rest")
    if row is None:
        raise TableError("vehicle_draw", "a state is missing", wanted="at rest, with the engine")
    return Default(
        low=row.number("low_a"),
        typical=row.number("typical_a"),
        high=row.number("high_a"),
        unit="A",
        source=data.source_of(row),
        known=data.known_of(row),
    )


@remembered
def charge_voltage(chemistry: str, stage: str) -> SupplyEnds:
    """Return the band of a charging stage of a 12 V battery. [V]

    >>> charge_voltage("lfp", "absorption").high_v
    14.6
    """
    data = table("charge_voltages")
    for row in data:
        if (row.text("chemistry"), row.text("stage")) == (chemistry, stage):
            return SupplyEnds(
                low_v=row.number("low_v"),
                high_v=row.number("high_v"),
                source=data.source,
                known=data.known_of(row),
            )
    known = [f"{row.text('chemistry')} {row.text('stage')}" for row in data]
    raise UnknownNameError("charging stage", f"{chemistry} {stage}", known)


@remembered
def converter_efficiency(kind: str) -> Default:
    """Return the efficiency of a charger, converter or inverter. [%]

    >>> converter_efficiency("dc-dc").typical
    87.0
    """
    data = table("converter_efficiency")
    row = data.find("kind", kind)
    if row is None:
        raise UnknownNameError("converter", kind, [row.text("kind") for row in data])
    return Default(
        low=row.number("low_pct"),
        typical=row.number("typical_pct"),
        high=row.number("high_pct"),
        unit="%",
        source=data.source,
        known=data.known_of(row),
    )
