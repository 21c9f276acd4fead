"""Kinds of load and meters: how current follows voltage, what a reading may be trusted for, and how well."""

from __future__ import annotations

from typing import TYPE_CHECKING

from groundstrap.errors import UnknownNameError
from groundstrap.records import dataclass
from groundstrap.tables._remember import remembered
from groundstrap.tables.table import table, weakest

if TYPE_CHECKING:
    from groundstrap.tables.table import Row

__all__ = ["LoadKindData", "Meter", "MeterFunction", "load_kind", "load_kind_names", "meter", "meter_names"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadKindData:
    """What is known of a kind of load before anybody measured one.

    ``exponent`` is that of the voltage in the current: 1 a resistor, 0 constant current, -1 constant power.
    ``works_low_v`` and ``works_high_v`` are for a 12 V system; None where not known.
    """

    name: str
    exponent: float
    resistance_tells_power: bool
    hot_over_cold_low: float | None
    hot_over_cold_high: float | None
    inrush_low: float
    inrush_high: float
    inrush_low_s: float | None
    inrush_high_s: float | None
    works_low_v: float | None
    works_high_v: float | None
    efficiency_low_pct: float | None
    efficiency_high_pct: float | None
    contact_factor: float | None
    usual_run_min: float | None
    remark: str
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterFunction:
    """Accuracy of one function of a meter: share of the reading, last digits, and the usual last digit."""

    reading_pct: float
    digits: float
    resolution: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Meter:
    """A meter by name: its three functions and its leads. Resolutions in V, A and ohm."""

    name: str
    voltage: MeterFunction
    current: MeterFunction
    resistance: MeterFunction
    leads_least_ohm: float
    leads_most_ohm: float
    known: str


@remembered
def load_kind_names() -> tuple[str, ...]:
    """Return the kinds of load.

    >>> load_kind_names()[:3]
    ('heater', 'ptc heater', 'lamp')
    """
    return tuple(row.text("kind") for row in table("load_kinds"))


@remembered
def load_kind(name: str) -> LoadKindData:
    """Return what is known of a kind of load.

    >>> load_kind("lamp").exponent, load_kind("lamp").resistance_tells_power
    (0.55, False)
    """
    data = table("load_kinds")
    row = data.find("kind", name)
    remark = table("load_remarks").find("kind", name)
    if row is None or remark is None:
        raise UnknownNameError("kind of load", name, load_kind_names())
    return LoadKindData(
        name=name,
        exponent=row.number("exponent"),
        resistance_tells_power=row.text("ohms_tell") == "yes",
        hot_over_cold_low=row.maybe("hot_over_cold_low"),
        hot_over_cold_high=row.maybe("hot_over_cold_high"),
        inrush_low=row.number("inrush_low"),
        inrush_high=row.number("inrush_high"),
        inrush_low_s=row.maybe("inrush_low_s"),
        inrush_high_s=row.maybe("inrush_high_s"),
        works_low_v=row.maybe("works_low_v"),
        works_high_v=row.maybe("works_high_v"),
        efficiency_low_pct=row.maybe("efficiency_low_pct"),
        efficiency_high_pct=row.maybe("efficiency_high_pct"),
        contact_factor=row.maybe("contact_factor"),
        usual_run_min=row.maybe("usual_run_min"),
        remark=remark.text("remark"),
        source=data.source_of(row),
        known=data.known_of(row),
    )


@remembered
def meter_names() -> tuple[str, ...]:
    """Return the names of the meters.

    >>> meter_names()
    ('basic', 'handheld', 'bench', 'clamp')
    """
    return tuple(dict.fromkeys(row.text("meter") for row in table("meters")))


def _function(row: Row) -> MeterFunction:
    data = table("meters")
    return MeterFunction(
        reading_pct=row.number("reading_pct"),
        digits=row.number("digits"),
        resolution=row.number("resolution"),
        source=data.source_of(row),
        known=data.known_of(row),
    )


@remembered
def meter(name: str) -> Meter:
    """Return a meter by name.

    Source: maker-meter-data. The accuracies are limits, not standard uncertainties.

    Examples
    --------
    >>> basic = meter("basic")
    >>> basic.resistance.reading_pct, basic.resistance.digits, basic.leads_most_ohm
    (0.8, 2.0, 0.5)
    """
    functions = {row.text("quantity"): _function(row) for row in table("meters") if row.text("meter") == name}
    leads = table("meter_leads").find("meter", name)
    if not functions or leads is None:
        raise UnknownNameError("meter", name, meter_names())
    return Meter(
        name=name,
        voltage=functions["voltage"],
        current=functions["current"],
        resistance=functions["resistance"],
        leads_least_ohm=leads.number("least_ohm"),
        leads_most_ohm=leads.number("most_ohm"),
        known=weakest(*(function.known for function in functions.values())),
    )
