"""Readings of a load: what each makes of its power, and which errors it shares with others.

Every reading becomes a power at one voltage, its error split into named parts, each relative to the power.
Two readings that hold a part of the same name share that error fully (JCGM 100, 5.2.2 and F.1.2.3): the gain
of one meter, leads that nobody nulled, how much the element's ohms rise when hot.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Final

from groundstrap.model import Assumption, Installation, Load, Measurement, MeterSpec, Reading, Situation
from groundstrap.physics.loads import resistance_power_w
from groundstrap.physics.uncertainty import rectangular_uncertainty, root_sum_square, without_leads
from groundstrap.records import dataclass
from groundstrap.vet.accuracy import Accuracy, accuracy_of, lead_ends
from groundstrap.vet.feed import Feed
from groundstrap.vet.knowledge import Behaviour
from groundstrap.vet.knowledge import behaviour as behaviour_of
from groundstrap.vet.results import Trust
from groundstrap.vet.words import amps, either, ohms, remarks, volts, watts
from groundstrap.words import words

__all__ = ["PowerReading", "Taken", "read", "taken"]

MOST_DOUBT: Final = 1 / 3
"""A reading less sure than this share of itself gives no power; own judgement."""

_RESTING_V: Final = (11.8, 12.8)
_RUNNING_V: Final = (13.0, 14.8)
_REGULATED_SHARE: Final = (0.97, 1.03)
"""Volts at a load where nobody read them, for a 12 V system; own judgement."""

_OLDER: Final = words("an older reading, which counts for nothing: it was read again or mended since")

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
    voltage_half_width: float | None = None
    voltage_meter: MeterSpec | None = None
    voltage_of: str = ""
    """Which reading of the volts stands behind it; those of one name are one and the same."""
    situation: Situation | None = None
    pieces: int = 1
    """How many pieces of the load stand behind it like this one."""
    older: bool = False
    """Whether the load was read again or mended since: it is told and counts for nothing."""


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
        voltage_half_width=item.voltage_half_width,
        voltage_meter=item.meter if item.meter is not None and item.meter.name is not None else None,
        pieces=count,
    )


def _of_job(installation: Installation, load: Load) -> tuple[Taken, ...]:
    """Currents into the load while it ran, each with the volts across it where the same set has them."""
    found: list[Taken] = []
    newest = _newest(installation, load)
    for place, group in enumerate(installation.readings):
        if load.name not in group.using:
            continue
        across = next((item for item in group.values if _across(item, load) is not None), None)
        found.extend(
            Taken(
                current_a=abs(item.value),
                last_digit=item.last_digit,
                half_width=item.half_width,
                meter=item.meter or group.meter,
                voltage_v=_across(across, load) if across is not None else None,
                voltage_last_digit=across.last_digit if across is not None else 0.0,
                voltage_half_width=across.half_width if across is not None else None,
                voltage_meter=(across.meter or group.meter) if across is not None else None,
                voltage_of=words("set {place}", place=place),
                situation=group.when,
                older=id(item) not in newest,
            )
            for item in group.values
            if item.kind == "current" and item.through == load.name
        )
    return tuple(found)


def _newest(installation: Installation, load: Load) -> frozenset[int]:
    """Identities of the currents that count: since it was mended, of the newest day, the last in one case.

    Of what takes what is asked of it every day counts.
    """
    sets = installation.readings
    mine = {load.name, *(c.name for c in installation.circuits.values() if load.name in c.loads)}
    since = max((number for number, each in enumerate(sets) if each.mended in mine), default=0)
    read = [
        (each, item)
        for each in sets[since:]
        for item in each.values
        if load.name in each.using and item.kind == "current" and item.through == load.name
    ]
    if behaviour_of(load.kind).by_demand:
        return frozenset(id(item) for _, item in read)
    day = max((each.date for each, _ in read if each.date is not None), default=None)
    last = {(each.when, each.using): id(item) for each, item in read if each.date in {None, day}}
    return frozenset(last.values())


def _across(item: Reading, load: Load) -> float | None:
    """Volts across a load, whichever lead was on which end; None where it was read elsewhere."""
    if item.kind != "voltage" or {item.red, item.black} != {load.plus, load.minus}:
        return None
    return item.value if item.red == load.plus else -item.value


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
        return _refused(says, data.remark, accuracy.standard)
    behind = _behind_leads(load, item, reading_ohm, accuracy, number)
    uncertainty_ohm = root_sum_square(tuple(behind.parts_ohm.values()))
    if behind.value_ohm <= 0.0 or uncertainty_ohm > MOST_DOUBT * behind.value_ohm:
        remark = remarks(
            (behind.remark, words("too little is left to tell a power; null the leads and read again"))
        )
        return _refused(says, remark, uncertainty_ohm, behind.assumptions)
    hot, hot_doubt = (hot_low + hot_high) / 2, rectangular_uncertainty((hot_high - hot_low) / 2)
    parts: dict[Part, float] = {key: -part / behind.value_ohm for key, part in behind.parts_ohm.items()}
    parts["hot",] = -hot_doubt / hot
    power_w = resistance_power_w(feed.nominal_v, behind.value_ohm, hot_over_cold=hot)
    return PowerReading(
        says=says,
        trust=Trust.FULL,
        remark=remarks((behind.remark, *_warmed(behind.value_ohm, feed, hot_low, hot_high))),
        standard_uncertainty=uncertainty_ohm,
        at_v=feed.nominal_v,
        power_w=power_w * item.pieces,
        parts=parts,
        assumptions=behind.assumptions,
        own_volts=False,
    )


def _warmed(value_ohm: float, feed: Feed, hot_low: float, hot_high: float) -> tuple[str, ...]:
    """What the ohms come to as they were read, and what becomes of them hot."""
    cold_w = resistance_power_w(feed.nominal_v, value_ohm, hot_over_cold=1.0)
    rise = words(
        "{ohms} is {cold} cold at {at}", ohms=ohms(value_ohm), cold=watts(cold_w), at=volts(feed.nominal_v)
    )
    if hot_high <= 1.0:
        return (rise,)
    low, high = f"{hot_low:g}", f"{hot_high:g}"
    return rise, words("hot the ohms are {low} to {high} times that", low=low, high=high)


def _refused(
    says: Mapping[str, float | str],
    remark: str,
    standard_uncertainty: float,
    assumptions: tuple[Assumption, ...] = (),
) -> PowerReading:
    """A reading that gives no power, and why."""
    return PowerReading(
        says=says,
        trust=Trust.NONE,
        remark=remark,
        standard_uncertainty=standard_uncertainty,
        assumptions=assumptions,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Behind:
    """Resistance of the element itself, leads taken off."""

    value_ohm: float
    parts_ohm: Mapping[Part, float]
    remark: str
    assumptions: tuple[Assumption, ...]


def _behind_leads(load: Load, item: Taken, reading_ohm: float, accuracy: Accuracy, number: int) -> _Behind:
    gain_key, own_key = ("gain", accuracy.meter, "resistance"), ("own", str(number))
    noted = _meter_assumed(load, "resistance", accuracy)
    if item.leads_ohm is not None:
        value_ohm = reading_ohm - item.leads_ohm
        # The leads were read with the same meter: the gain is that of the difference, the digits count twice.
        lead_digits = _accuracy("resistance", item.leads_ohm, item).own if item.leads_ohm > 0.0 else 0.0
        share = max(value_ohm, 0.0) / reading_ohm if reading_ohm > 0.0 else 0.0
        parts = {gain_key: accuracy.gain * share, own_key: math.hypot(accuracy.own, lead_digits)}
        remark = (
            words("less {leads_ohm} of leads", leads_ohm=ohms(item.leads_ohm)) if item.leads_ohm > 0.0 else ""
        )
        return _Behind(value_ohm=value_ohm, parts_ohm=parts, remark=remark, assumptions=noted)
    ends = lead_ends(item.meter)
    low_ohm, high_ohm = ends.least_ohm, ends.most_ohm
    plain = {gain_key: accuracy.gain, own_key: accuracy.own}
    if high_ohm == 0.0:
        return _Behind(value_ohm=reading_ohm, parts_ohm=plain, remark="", assumptions=noted)
    said = words("{low_ohm} to {high_ohm}", low_ohm=ohms(low_ohm), high_ohm=ohms(high_ohm))
    remark = words("the leads were not nulled nor given and hold {said} of it", said=said)
    assumption = Assumption(
        words("{name} leads", name=load.name), said, words("test leads that nobody nulled; common practice")
    )
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
    if item.older:
        return _refused(says, _OLDER, accuracy.standard)
    if not value > 0.0 or (item.voltage_v is not None and item.voltage_v <= 0.0):
        return _refused(
            says, words("nothing flowed: it says nothing of the load while it runs"), accuracy.standard
        )
    if accuracy.standard > MOST_DOUBT * value:
        return _refused(
            says, words("lost in the meter's last digits: read it in a finer range"), accuracy.standard
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
    told = words("{low} at {at_v}", low=either(low, high, "is"), at_v=volts(at_v))
    return PowerReading(
        says=says,
        trust=Trust.WEAK if behaviour.by_demand else Trust.FULL,
        remark=remarks((told, *_of_what(item, behaviour))),
        standard_uncertainty=accuracy.standard,
        at_v=at_v,
        power_w=power_w * item.pieces,
        parts=parts,
        assumptions=(*_meter_assumed(load, quantity, accuracy), *noted),
        own_volts=item.voltage_v is not None,
    )


def _of_what(item: Taken, behaviour: Behaviour) -> tuple[str, ...]:
    """What else a reading of amps or watts needs to be told with it."""
    each = words("read of each of {count}", count=str(item.pieces)) if item.pieces > 1 else ""
    if not behaviour.by_demand:
        return (each,)
    return each, words("it takes what is asked of it, and this is what was asked then")


def _volts_at(
    load: Load, item: Taken, number: int, feed: Feed
) -> tuple[float, Mapping[Part, float], tuple[Assumption, ...]]:
    """Voltage of a reading, its relative uncertainty by parts, and what had to be assumed for it."""
    if item.voltage_v is not None:
        accuracy = accuracy_of(
            "voltage",
            item.voltage_v,
            item.voltage_meter,
            last_digit=item.voltage_last_digit,
            half_width=item.voltage_half_width,
        )
        parts: dict[Part, float] = {
            ("gain", accuracy.meter, "voltage"): accuracy.gain / item.voltage_v,
            ("own volts", item.voltage_of or str(number)): accuracy.own / item.voltage_v,
        }
        return item.voltage_v, parts, ()
    low_v, high_v = _usual_volts(item.situation, feed)
    middle_v = (low_v + high_v) / 2
    part = rectangular_uncertainty((high_v - low_v) / 2) / middle_v
    said = words("{low_v} to {high_v}", low_v=volts(low_v), high_v=volts(high_v))
    assumption = Assumption(
        words("{name} reading", name=load.name),
        said,
        words("nobody read the volts at the load; own judgement"),
    )
    return middle_v, {("usual volts", str(number)): part}, (assumption,)


def _usual_volts(situation: Situation | None, feed: Feed) -> tuple[float, float]:
    scale = feed.nominal_v / 12.0
    if feed.regulated:
        return feed.nominal_v * _REGULATED_SHARE[0], feed.nominal_v * _REGULATED_SHARE[1]
    if situation is None:
        return _RESTING_V[0] * scale, _RUNNING_V[1] * scale
    low_v, high_v = _RESTING_V if situation is Situation.RESTING else _RUNNING_V
    return low_v * scale, high_v * scale


def _accuracy(quantity: str, value: float, item: Taken) -> Accuracy:
    return accuracy_of(quantity, value, item.meter, last_digit=item.last_digit, half_width=item.half_width)


def _meter_assumed(load: Load, quantity: str, accuracy: Accuracy) -> tuple[Assumption, ...]:
    if not accuracy.assumed:
        return ()
    return (
        Assumption(
            words("{name} {quantity} meter", name=load.name, quantity=quantity),
            accuracy.meter,
            words("no meter is named with the reading"),
        ),
    )
