"""Batteries over days: two wells, open-circuit volts, cold, what they lose, take and keep, starting."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from groundstrap.errors import UnknownNameError
from groundstrap.records import dataclass
from groundstrap.tables._points import Curve, array_of, default_of, line_of, row_of
from groundstrap.tables._remember import remembered
from groundstrap.tables.supplies import Default, rested_curve
from groundstrap.tables.table import table, weakest

if TYPE_CHECKING:
    from numpy.typing import NDArray


__all__ = [
    "ChargeAcceptance",
    "CrankingCurve",
    "Curve",
    "OpenCircuit",
    "SelfDischarge",
    "TwoWells",
    "capacity_per_k",
    "charge_acceptance",
    "charge_efficiency",
    "cranking_curve",
    "engine_cranking",
    "freezing_curve",
    "open_circuit",
    "open_circuit_fact",
    "peukert_exponent",
    "self_discharge",
    "state_factor",
    "station_capacity_curve",
    "two_wells",
]

CHEMISTRIES: Final = ("flooded", "agm", "gel", "lfp")

_LEAD_CELLS: Final = 6
_LITHIUM_CELLS: Final = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoWells:
    """The two wells of a chemistry, over its capacity at 20 h."""

    exponent: float
    """Peukert's exponent that they were fitted to."""
    total: float
    share: float
    rate_per_h: float
    worst_pct: float
    """Largest miss of that exponent from the 20 h current to the capacity in an hour. [%]"""
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OpenCircuit:
    """Open-circuit volts of a 12 V battery at 25 degC from empty wells to full, rising.

    The head of a well is its charge over what it holds when full; 100 % of the rated scale is full, 0 % is
    the 20 h capacity taken, so that the scale goes on below nothing to where the wells are empty.
    """

    heads: NDArray[np.float64]
    states_pct: NDArray[np.float64]
    volts_v: NDArray[np.float64]
    per_k_low_v: float
    per_k_v: float
    per_k_high_v: float
    half_width_v: float
    """How far another battery of the chemistry may lie from the table. [V]"""
    rest_h: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SelfDischarge:
    """What a battery loses by itself in a month. [%]"""

    at_20_c_pct: float
    at_10_c_pct: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeAcceptance:
    """What a battery takes while it charges at its absorption volts."""

    bulk_low_a_per_ah: float
    bulk_high_a_per_ah: float
    """What makers ask a charger to stay under. [A/Ah]"""
    low_per_h: float
    typical_per_h: float
    high_per_h: float
    """Accepted current over what is missing. [1/h]"""
    float_ma_per_ah: float
    tail_a_per_ah: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CrankingCurve:
    """Cranking power by temperature against 27 degC: what a battery has, what an engine asks for. [%]"""

    temperature_c: NDArray[np.float64]
    has_pct: NDArray[np.float64]
    asks_low_pct: NDArray[np.float64]
    asks_high_pct: NDArray[np.float64]
    source: str
    known: str


def _family(chemistry: str) -> str:
    if chemistry not in (*CHEMISTRIES, "starter"):
        raise UnknownNameError("chemistry", chemistry, [*CHEMISTRIES, "starter"])
    return "lfp" if chemistry == "lfp" else "lead"


def _plain(chemistry: str) -> str:
    return "flooded" if chemistry == "starter" else chemistry


@remembered
def peukert_exponent(chemistry: str) -> Default:
    """Peukert's exponent of a chemistry: low, typical, high.

    Source: handbook-battery; the typical one is that which `two_wells` is fitted to.

    >>> peukert_exponent("agm").typical
    1.1
    """
    data = table("peukert_exponents")
    row = row_of(data, "chemistry", _plain(chemistry), "chemistry")
    return default_of(data, row, "1")


@remembered
def two_wells(chemistry: str) -> TwoWells:
    """The two wells of a chemistry, for a battery of 1 Ah at 20 h.

    Source: own-computation, fitted to Peukert's rule; a test fits them again.

    >>> two_wells("agm").share
    0.68205
    """
    data = table("two_wells")
    row = row_of(data, "chemistry", _plain(chemistry), "chemistry")
    return TwoWells(
        exponent=row.number("exponent"),
        total=row.number("total"),
        share=row.number("share"),
        rate_per_h=row.number("rate_per_h"),
        worst_pct=row.number("worst_pct"),
        source=data.source,
        known=data.known,
    )


@remembered
def open_circuit_fact(item: str) -> Default:
    """Return a fact about open-circuit volts, such as ``lead mV per K and cell``.

    >>> open_circuit_fact("lead empty").typical
    10.5
    """
    data = table("open_circuit_facts")
    row = row_of(data, "item", item, "fact about open-circuit volts")
    return default_of(data, row, row.text("unit"))


@remembered
def open_circuit(chemistry: str) -> OpenCircuit:
    """Open-circuit volts of a 12 V battery over the head of its wells and over the rated state.

    Source: handbook-battery from 0 to 100 %; below, the computed shape of a model, drawn together (own
    judgement). lfp: paper-lfp-piecewise, whose whole range is laid over both wells.

    Parameters
    ----------
    chemistry : str
        ``flooded``, ``starter``, ``agm``, ``gel`` or ``lfp``.

    Examples
    --------
    >>> curve = open_circuit("flooded")
    >>> float(curve.volts_v[0]), float(curve.volts_v[-1]), round(float(curve.states_pct[0]), 2)
    (10.5, 12.65, -9.92)
    """
    chemistry = _plain(chemistry)
    family, wells, printed = _family(chemistry), two_wells(chemistry), rested_curve(chemistry)
    states, volts = np.array(printed.soc_pct), np.array(printed.volts_v)
    empty_pct = 100 * (1 - wells.total)
    if family == "lfp":
        states = 100 - (100 - states) * wells.total
    else:
        states, volts = _down_to_empty(states, volts, empty_pct)
    cells = _LITHIUM_CELLS if family == "lfp" else _LEAD_CELLS
    per_k = open_circuit_fact(f"{family} mV per K and cell")
    branches_mv = open_circuit_fact("lfp hysteresis per cell").high
    makers_v = open_circuit_fact("lead between makers").high
    return OpenCircuit(
        heads=array_of((states - empty_pct) / (100 - empty_pct)),
        states_pct=array_of(states),
        volts_v=array_of(volts),
        per_k_low_v=per_k.low * cells / 1000,
        per_k_v=per_k.typical * cells / 1000,
        per_k_high_v=per_k.high * cells / 1000,
        half_width_v=branches_mv / 2 * cells / 1000 if family == "lfp" else makers_v,
        rest_h=open_circuit_fact(f"{family} rest hours").typical,
        source=printed.source,
        known=weakest(printed.known, "own judgement" if family == "lead" else "computed"),
    )


def _down_to_empty(
    states: NDArray[np.float64], volts: NDArray[np.float64], empty_pct: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The printed points, at 0 % too, and below them the tail to where the wells are empty."""
    if states[0] > 0:
        at_zero = open_circuit_fact("agm at 0 %").typical
        states, volts = np.append(0.0, states), np.append(at_zero, volts)
    tail, empty_v = table("open_circuit_tail"), open_circuit_fact("lead empty").typical
    left, share = np.array(tail.numbers("left"))[:-1], np.array(tail.numbers("volts_share"))[:-1]
    return (
        np.append(empty_pct * (1 - left), states),
        np.append(empty_v + share * (volts[0] - empty_v), volts),
    )


@remembered
def capacity_per_k(chemistry: str, duty: str = "10 to 20 h") -> Default:
    """Change of a battery's capacity for each kelvin, against 25 degC. [%/K]

    Source: maker-battery-data; lithium from memory. ``duty`` is ``10 to 20 h`` or ``1 to 3 h``.

    >>> capacity_per_k("flooded").typical, capacity_per_k("flooded", "1 to 3 h").typical
    (0.8, 1.0)
    """
    data = table("battery_capacity_by_temperature")
    wanted = (_family(chemistry), duty)
    for row in data:
        if (row.text("chemistry"), row.text("duty")) == wanted:
            ends = ("low_pct_per_k", "typical_pct_per_k", "high_pct_per_k")
            return default_of(data, row, "%/K", ends)
    raise UnknownNameError("duty", duty, list(dict.fromkeys(row.text("duty") for row in data)))


@remembered
def station_capacity_curve() -> Curve:
    """Capacity of a lead-acid battery in heavy station duty by temperature, against 25 degC. [1]

    Source: ieee-485: one over its factors.

    >>> curve = station_capacity_curve()
    >>> float(curve.keys[5]), round(float(curve.typical[5]), 3)
    (10.0, 0.84)
    """
    data = table("capacity_by_temperature_ieee_485")
    return line_of(data, "temperature_c", (1 / factor for factor in data.numbers("factor")))


@remembered
def self_discharge(battery: str) -> SelfDischarge:
    """What a battery loses by itself in a month. [%]

    Source: handbook-battery. A chemistry, or ``starter``, ``spiral agm``, ``semi-traction``, ``traction``;
    ``flooded`` is a starter battery's.

    >>> self_discharge("flooded").at_20_c_pct
    6.0
    """
    data = table("self_discharge")
    row = row_of(data, "battery", "starter" if battery == "flooded" else battery, "battery")
    return SelfDischarge(
        at_20_c_pct=row.number("at_20_c_pct"),
        at_10_c_pct=row.number("at_10_c_pct"),
        source=data.source,
        known=data.known_of(row),
    )


@remembered
def charge_acceptance(chemistry: str) -> ChargeAcceptance:
    """What a battery takes at its absorption volts, 25 degC.

    Source: handbook-battery, makers' guidance.

    >>> charge_acceptance("flooded").typical_per_h
    0.77
    """
    data = table("charge_acceptance")
    row = row_of(data, "chemistry", _plain(chemistry), "chemistry")
    return ChargeAcceptance(
        bulk_low_a_per_ah=row.number("bulk_low_a_per_ah"),
        bulk_high_a_per_ah=row.number("bulk_high_a_per_ah"),
        low_per_h=row.number("low_per_h"),
        typical_per_h=row.number("typical_per_h"),
        high_per_h=row.number("high_per_h"),
        float_ma_per_ah=row.number("float_ma_per_ah"),
        tail_a_per_ah=row.number("tail_a_per_ah"),
        source=data.source,
        known=data.known,
    )


@remembered
def charge_efficiency(chemistry: str) -> Curve:
    """Share of the charging ampere-hours that a battery keeps, by its state in per cent. [1]

    Source: handbook-battery.

    >>> curve = charge_efficiency("agm")
    >>> curve.keys.tolist(), curve.typical.tolist()
    ([0.0, 80.0, 100.0], [0.97, 0.97, 0.7])
    """
    data, family = table("charge_efficiency"), _family(chemistry)
    rows = [row for row in data if row.text("chemistry") == family]
    low, typical, high = (
        array_of(row.number(column) for row in rows) for column in ("low", "typical", "high")
    )
    return Curve(
        keys=array_of(row.number("state_pct") for row in rows),
        low=low,
        typical=typical,
        high=high,
        source=data.source,
        known=data.known,
    )


@remembered
def freezing_curve() -> Curve:
    """Temperature at which the acid of a lead-acid battery freezes, by its state in per cent. [degC]

    Source: handbook-battery; lithium iron phosphate has no acid.

    >>> float(freezing_curve().typical[0])
    -10.0
    """
    data = table("electrolyte_freezing")
    return line_of(data, "state_pct", data.numbers("freezes_c"))


@remembered
def state_factor(chemistry: str) -> Default:
    """Inner resistance at 20 % charge over that of a full battery. [1]

    Source: handbook-battery; lithium iron phosphate keeps its own (own judgement).

    >>> state_factor("gel").low, state_factor("gel").high
    (1.5, 2.0)
    """
    if _family(chemistry) == "lfp":
        return Default(
            low=1.0, typical=1.0, high=1.0, unit="1", source="own-judgement", known="own judgement"
        )
    data = table("battery_resistance_factors")
    row = row_of(data, "case", "20 % charged", "case")
    low, high = row.number("low"), row.number("high")
    return Default(
        low=low,
        typical=(low + high) / 2,
        high=high,
        unit="1",
        source=data.source_of(row),
        known=data.known_of(row),
    )


@remembered
def cranking_curve() -> CrankingCurve:
    """Cranking power by temperature against 27 degC, as points for `physics.storage.along`. [%]

    Source: handbook-cranking. Nothing is printed beyond its ends: say so where one asks there.

    >>> curve = cranking_curve()
    >>> float(curve.temperature_c[1]), float(curve.has_pct[1]), float(curve.asks_high_pct[1])
    (-18.0, 40.0, 250.0)
    """
    data = table("cranking_by_temperature")
    return CrankingCurve(
        temperature_c=array_of(data.numbers("temperature_c")),
        has_pct=array_of(data.numbers("has_pct")),
        asks_low_pct=array_of(data.numbers("asks_low_pct")),
        asks_high_pct=array_of(data.numbers("asks_high_pct")),
        source=data.source,
        known=data.known,
    )


@remembered
def engine_cranking(engine: str = "any") -> Default:
    """Current that turns a warm engine of usual size at 12 V, after the first peak. [A]

    Source: handbook-cranking; ``petrol``, ``diesel``, or ``any`` where nobody says.

    >>> engine_cranking("petrol").high
    200.0
    """
    data = table("engine_cranking")
    row = row_of(data, "engine", engine, "engine")
    return default_of(data, row, "A", ("low_a", "typical_a", "high_a"))
