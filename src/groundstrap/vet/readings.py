"""Readings of a load: what each makes of its power, and which errors it shares with others.

Every reading becomes a power at one voltage, its error split into named parts, each relative to the power.
Two readings that hold a part of the same name share that error fully (JCGM 100, 5.2.2 and F.1.2.3): the gain
of one meter, leads that nobody nulled, how much the element's ohms rise when hot.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from groundstrap.model import Assumption, Installation, Load, Measurement, MeterSpec, Situation
from groundstrap.physics.loads import resistance_power_w
from groundstrap.physics.uncertainty import (
    meter_uncertainty,
    rectangular_uncertainty,
    root_sum_square,
    without_leads,
)
from groundstrap.tables import Meter, MeterFunction, meter
from groundstrap.vet.feed import Feed
from groundstrap.vet.knowledge import Behaviour
from groundstrap.vet.results import Trust
from groundstrap.vet.words import amps, either, joined, ohms, volts, watts

__all__ = ["PowerReading", "Taken", "read", "taken"]

MOST_DOUBT: Final = 1 / 3
"""A reading less sure than this share of itself gives no power; own judgement."""

_METER_CURRENT_A: Final = 10.0
"""Above this a current is taken with a clamp; the usual range of a handheld meter, common practice. [A]"""

_RESTING_V: Final = (11.8, 12.8)
_RUNNING_V: Final = (13.0, 14.8)
_REGULATED_SHARE: Final = (0.97, 1.03)
"""Volts at a load where nobody read them, for a 12 V system; own judgement."""

Part = tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """A reading as it was taken; exactly one of resistance, current and power is there."""

    resistance_ohm: float | None = None
    current_a: float | None = None
    power_w: float | None = None
    last_digit: float = 0.0
    half_width: float | None = None
    meter: MeterSpec | None = None
    leads_ohm: float | None = None
    voltage_v: float | None = None
    voltage_last_digit: float = 0.0
    voltage_meter: MeterSpec | None = None
    situation: Situation | None = None
    pieces: int = 1
    """How many pieces of the load stand behind it like this one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerReading:
    """A reading as a power at `at_v`, all pieces together; `power_w` is None where it gives none.

    `parts` are standard uncertainties relative to the power, by the name of the error they come from.
    """

    says: Mapping[str, float | str]
    trust: Trust
    remark: str
    standard_uncertainty: float | None = None
    at_v: float | None = None
    power_w: float | None = None
    parts: Mapping[Part, float] | None = None
    assumptions: tuple[Assumption, ...] = ()
    own_volts: bool = True
    """Whether the voltage was read; False for ohms, and where it had to be assumed."""

    @property
    def relative(self) -> float:
        """Standard uncertainty over the power."""
        return root_sum_square(tuple((self.parts or {}).values()))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Accuracy:
    """Standard uncertainty of a reading in its own unit: what the meter's readings share, and the rest."""

    gain: float
    own: float
    meter: str
    assumed: bool

    @property
    def standard(self) -> float:
        return math.hypot(self.gain, self.own)


def taken(installation: Installation, load: Load) -> tuple[Taken, ...]:
    """Return all readings that speak of a load's power: at its own leads, and among the job's readings."""
    own = tuple(_of_measurement(item, load.count) for item in load.measured)
    return own + _of_job(installation, load)


def _of_measurement(item: Measurement, count: int) -> Taken:
    return Taken(
        resistance_ohm=item.resistance_ohm,
        current_a=item.current_a,
        power_w=item.power_w,
        last_digit=item.last_digit,
        half_width=item.half_width,
        meter=item.meter,
        leads_ohm=item.leads_ohm,
        voltage_v=item.voltage_v,
        voltage_last_digit=item.voltage_last_digit,
        voltage_meter=item.meter if item.meter is not None and item.meter.name is not None else None,
        pieces=count,
    )


def _of_job(installation: Installation, load: Load) -> tuple[Taken, ...]:
    """Currents into the load while it ran, each with the volts across it where the same set has them."""
    found: list[Taken] = []
    for group in installation.readings:
        if load.name not in group.using:
            continue
        across = next(
            (
                item
                for item in group.values
                if item.kind == "voltage" and (item.red, item.black) == (load.plus, load.minus)
            ),
            None,
        )
        found.extend(
            Taken(
                current_a=abs(item.value),
                last_digit=item.last_digit,
                meter=item.meter or group.meter,
                voltage_v=across.value if across is not None else None,
                voltage_last_digit=across.last_digit if across is not None else 0.0,
                voltage_meter=(across.meter or group.meter) if across is not None else None,
                situation=group.when,
            )
            for item in group.values
            if item.kind == "current" and item.through == load.name
        )
    return tuple(found)


def read(load: Load, item: Taken, *, number: int, behaviour: Behaviour, feed: Feed) -> PowerReading:
    """Make a power of a reading, with its uncertainty, or say why it gives none."""
    if item.resistance_ohm is not None:
        return _read_ohms(load, item, item.resistance_ohm, number=number, behaviour=behaviour, feed=feed)
    return _read_flow(load, item, number=number, behaviour=behaviour, feed=feed)


def _read_ohms(
    load: Load, item: Taken, reading_ohm: float, *, number: int, behaviour: Behaviour, feed: Feed
) -> PowerReading:
    says: dict[str, float | str] = {"resistance_ohm": reading_ohm}
    if item.leads_ohm is not None:
        says["leads_ohm"] = item.leads_ohm
    accuracy = _accuracy("resistance", reading_ohm, item)
    data = behaviour.data
    hot_low, hot_high = data.hot_over_cold_low, data.hot_over_cold_high
    if not data.resistance_tells_power or hot_low is None or hot_high is None:
        return PowerReading(
            says=says, trust=Trust.NONE, remark=data.remark, standard_uncertainty=accuracy.standard
        )
    behind = _behind_leads(load, item, reading_ohm, accuracy, number)
    uncertainty_ohm = root_sum_square(tuple(behind.parts_ohm.values()))
    if behind.value_ohm <= 0.0 or uncertainty_ohm > MOST_DOUBT * behind.value_ohm:
        return PowerReading(
            says=says,
            trust=Trust.NONE,
            remark=joined(
                (behind.remark, "too little is left to tell a power; null the leads and read again")
            ),
            standard_uncertainty=uncertainty_ohm,
            assumptions=behind.assumptions,
        )
    hot, hot_doubt = (hot_low + hot_high) / 2, rectangular_uncertainty((hot_high - hot_low) / 2)
    parts: dict[Part, float] = {key: -part / behind.value_ohm for key, part in behind.parts_ohm.items()}
    parts["hot",] = -hot_doubt / hot
    power_w = resistance_power_w(feed.nominal_v, behind.value_ohm, hot_over_cold=hot)
    cold_w = resistance_power_w(feed.nominal_v, behind.value_ohm, hot_over_cold=1.0)
    rise = f"{ohms(behind.value_ohm)} is {watts(cold_w)} cold at {volts(feed.nominal_v)}"
    warm = f"hot the ohms are {hot_low:g} to {hot_high:g} times that" if hot_high > 1.0 else ""
    return PowerReading(
        says=says,
        trust=Trust.FULL,
        remark=joined((behind.remark, rise, warm)),
        standard_uncertainty=uncertainty_ohm,
        at_v=feed.nominal_v,
        power_w=power_w * item.pieces,
        parts=parts,
        assumptions=behind.assumptions,
        own_volts=False,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Behind:
    """Resistance of the element itself, leads taken off."""

    value_ohm: float
    parts_ohm: Mapping[Part, float]
    remark: str
    assumptions: tuple[Assumption, ...]


def _behind_leads(load: Load, item: Taken, reading_ohm: float, accuracy: _Accuracy, number: int) -> _Behind:
    gain_key, own_key = ("gain", accuracy.meter, "resistance"), ("own", str(number))
    noted = _meter_assumed(load, "resistance", accuracy)
    if item.leads_ohm is not None:
        value_ohm = reading_ohm - item.leads_ohm
        # The leads were read with the same meter: the gain is that of the difference, the digits count twice.
        lead_digits = _accuracy("resistance", item.leads_ohm, item).own if item.leads_ohm > 0.0 else 0.0
        share = max(value_ohm, 0.0) / reading_ohm if reading_ohm > 0.0 else 0.0
        parts = {gain_key: accuracy.gain * share, own_key: math.hypot(accuracy.own, lead_digits)}
        remark = f"less {ohms(item.leads_ohm)} of leads" if item.leads_ohm > 0.0 else ""
        return _Behind(value_ohm=value_ohm, parts_ohm=parts, remark=remark, assumptions=noted)
    low_ohm, high_ohm = _leads(item.meter)
    plain = {gain_key: accuracy.gain, own_key: accuracy.own}
    if high_ohm == 0.0:
        return _Behind(value_ohm=reading_ohm, parts_ohm=plain, remark="", assumptions=noted)
    said = f"{ohms(low_ohm)} to {ohms(high_ohm)}"
    remark = f"the leads were not nulled nor given and hold {said} of it"
    assumption = Assumption(f"{load.name} leads", said, "test leads that nobody nulled; common practice")
    if reading_ohm < low_ohm:
        return _Behind(value_ohm=0.0, parts_ohm=plain, remark=remark, assumptions=(*noted, assumption))
    behind = without_leads(reading_ohm, low_ohm=low_ohm, high_ohm=high_ohm)
    # Readings with one meter were taken with its one pair of leads.
    parts = {**plain, ("leads", accuracy.meter): behind.standard_uncertainty}
    return _Behind(value_ohm=behind.value, parts_ohm=parts, remark=remark, assumptions=(*noted, assumption))


def _read_flow(load: Load, item: Taken, *, number: int, behaviour: Behaviour, feed: Feed) -> PowerReading:
    quantity = "current" if item.current_a is not None else "power"
    value = item.current_a if item.current_a is not None else item.power_w
    assert value is not None
    says: dict[str, float | str] = {f"{quantity}_{'a' if quantity == 'current' else 'w'}": value}
    if item.voltage_v is not None:
        says["voltage_v"] = item.voltage_v
    accuracy = _accuracy(quantity, value, item)
    if not value > 0.0 or (item.voltage_v is not None and item.voltage_v <= 0.0):
        remark = "nothing flowed, so it says nothing about the load while it runs"
        return PowerReading(
            says=says, trust=Trust.NONE, remark=remark, standard_uncertainty=accuracy.standard
        )
    if accuracy.standard > MOST_DOUBT * value:
        remark = "it is lost in the meter's last digits; read it with a finer range"
        return PowerReading(
            says=says, trust=Trust.NONE, remark=remark, standard_uncertainty=accuracy.standard
        )
    at_v, volt_parts, noted = _volts_at(load, item, number, feed)
    # Power at a fixed voltage moves by -n (current read) or -(n + 1) (power read) with the voltage read.
    moves = -behaviour.exponent if quantity == "current" else -(behaviour.exponent + 1)
    parts: dict[Part, float] = {
        ("gain", accuracy.meter, quantity): accuracy.gain / value,
        ("own", str(number)): accuracy.own / value,
        **{key: moves * part for key, part in volt_parts.items()},
    }
    power_w = value * at_v if quantity == "current" else value
    low, high = amps(value) if quantity == "current" else watts(value), watts(power_w)
    demand = (
        "a load that takes what is asked of it: it says what was asked then" if behaviour.by_demand else ""
    )
    return PowerReading(
        says=says,
        trust=Trust.WEAK if behaviour.by_demand else Trust.FULL,
        remark=joined((f"{either(low, high, 'is')} at {volts(at_v)}", demand)),
        standard_uncertainty=accuracy.standard,
        at_v=at_v,
        power_w=power_w * item.pieces,
        parts=parts,
        assumptions=(*_meter_assumed(load, quantity, accuracy), *noted),
        own_volts=item.voltage_v is not None,
    )


def _volts_at(
    load: Load, item: Taken, number: int, feed: Feed
) -> tuple[float, Mapping[Part, float], tuple[Assumption, ...]]:
    """Voltage of a reading, its relative uncertainty by parts, and what had to be assumed for it."""
    if item.voltage_v is not None:
        accuracy = _accuracy_of(
            "voltage", item.voltage_v, item.voltage_meter, last_digit=item.voltage_last_digit
        )
        parts: dict[Part, float] = {
            ("gain", accuracy.meter, "voltage"): accuracy.gain / item.voltage_v,
            ("own volts", str(number)): accuracy.own / item.voltage_v,
        }
        return item.voltage_v, parts, ()
    low_v, high_v = _usual_volts(item.situation, feed)
    middle_v = (low_v + high_v) / 2
    part = rectangular_uncertainty((high_v - low_v) / 2) / middle_v
    said = f"{volts(low_v)} to {volts(high_v)}"
    assumption = Assumption(f"{load.name} reading", said, "nobody read the volts at the load; own judgement")
    return middle_v, {("usual volts", str(number)): part}, (assumption,)


def _usual_volts(situation: Situation | None, feed: Feed) -> tuple[float, float]:
    scale = feed.nominal_v / 12.0
    if feed.regulated:
        return feed.nominal_v * _REGULATED_SHARE[0], feed.nominal_v * _REGULATED_SHARE[1]
    if situation is None:
        return _RESTING_V[0] * scale, _RUNNING_V[1] * scale
    low_v, high_v = _RESTING_V if situation is Situation.RESTING else _RUNNING_V
    return low_v * scale, high_v * scale


def _accuracy(quantity: str, value: float, item: Taken) -> _Accuracy:
    return _accuracy_of(quantity, value, item.meter, last_digit=item.last_digit, half_width=item.half_width)


def _accuracy_of(
    quantity: str,
    value: float,
    spec: MeterSpec | None,
    *,
    last_digit: float,
    half_width: float | None = None,
) -> _Accuracy:
    """Accuracy of a reading: what the meter's leaflet says, or what was written with it if that is wider."""
    named = _named(spec, quantity, value)
    if named is None:
        assert spec is not None
        pct, digits, resolution = spec.reading_pct or 0.0, spec.digits or 0.0, 0.0
    else:
        function = _function(named, quantity)
        pct, digits, resolution = function.reading_pct, function.digits, function.resolution
    digit = last_digit if last_digit > 0.0 else resolution
    found = meter_uncertainty(value, accuracy_pct=min(pct, 100.0), digits=digits, digit=digit)
    standard = max(found.standard, rectangular_uncertainty(half_width or 0.0))
    own = math.sqrt(max(standard**2 - found.gain**2, 0.0))
    if digits == 0.0:
        # A leaflet without digits still shows only whole last digits.
        own = math.hypot(own, rectangular_uncertainty(digit / 2))
    name = spec.text if spec is not None else (named.name if named is not None else "")
    return _Accuracy(gain=found.gain, own=own, meter=name, assumed=spec is None)


def _named(spec: MeterSpec | None, quantity: str, value: float) -> Meter | None:
    """Meter of the tables; None where its figures were written."""
    if spec is None:
        return meter("clamp" if quantity == "current" and value > _METER_CURRENT_A else "basic")
    return meter(spec.name) if spec.name is not None else None


def _function(named: Meter, quantity: str) -> MeterFunction:
    if quantity == "power":
        # Watts are made of both functions: their shares add, and the digits are those of the watts shown.
        return MeterFunction(
            reading_pct=named.voltage.reading_pct + named.current.reading_pct,
            digits=named.current.digits,
            resolution=named.current.resolution * 10,
            source=named.current.source,
            known=named.known,
        )
    return {"voltage": named.voltage, "current": named.current, "resistance": named.resistance}[quantity]


def _leads(spec: MeterSpec | None) -> tuple[float, float]:
    found = meter(spec.name if spec is not None and spec.name is not None else "basic")
    return found.leads_least_ohm, found.leads_most_ohm


def _meter_assumed(load: Load, quantity: str, accuracy: _Accuracy) -> tuple[Assumption, ...]:
    if not accuracy.assumed:
        return ()
    return (
        Assumption(f"{load.name} {quantity} meter", accuracy.meter, "no meter is named with the reading"),
    )
