"""Readings under power that prove the work: where each lead goes, what to expect, from when it fails.

A band holds 95 % of the readings of sound work with the meter that is named: the spread of what is expected
and the meter's own accuracy put together, as JCGM 100 has it. What lies beyond is looked at again. What lies
beyond the 99.9 % limit, or the limit of a rule, fails.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import replace
from enum import StrEnum
from typing import Any, Final

from groundstrap.assess import PartAssessment, SituationAssessment, SupplyAssessment
from groundstrap.locate.judged import ExpectedReading
from groundstrap.model import (
    Circuit,
    LoadKind,
    MeterSpec,
    Part,
    PartKind,
    Situation,
    State,
    Supply,
    SupplyKind,
    Uncertain,
)
from groundstrap.records import dataclass
from groundstrap.report.carried import Carried
from groundstrap.report.figures import amps, seconds
from groundstrap.report.measuring import FAIL, LOOK, SERIES_A, Expectation, expectations
from groundstrap.report.network_bands import Asked, bands_of, wiring_read
from groundstrap.report.plan import Plan
from groundstrap.tables import meter
from groundstrap.vet.accuracy import accuracy_of
from groundstrap.words import joined, words

__all__ = ["Band", "Method", "TestPoint", "banded", "live_points"]

_CRANKING_V: Final = 9.6
"""Lowest volts of a sound 12 V battery while it cranks; common practice. [V]"""
_HARD_PER_H: Final = 0.2
"""Of its capacity in an hour, from where a battery loses more than its ohms say; own judgement. [1/h]"""
_EMPTY_V: Final = 10.5
"""Lowest volts of a 12 V lead battery under load, 1.75 V a cell; common practice. [V]"""
_CHARGED: Final = 1.001
"""Times its rested volts, from where something charges a battery; own judgement. [1]"""
_SLEEPS: Final = 1.5
"""Times what is expected of a vehicle asleep, from where one looks again; own judgement. [1]"""
_SHOWN_A: Final = 0.05
"""Half a digit of the clamp in the table of meters: less is not read. [A]"""


class Method(StrEnum):
    """How a reading is taken."""

    VOLTS = "volts"
    SERIES = "amps in series"
    CLAMP = "clamp"
    OHMS = "ohms"


@dataclass(frozen=True, slots=True)
class Band:
    """Ends of what is accepted; None where there is none on that side."""

    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TestPoint:
    """One reading: where, when, how, what to expect, and what is accepted."""

    circuit: str | None
    """None of a reading at a supply."""
    red: str
    """Point of the red lead; of a current the thing that it flows through."""
    black: str = ""
    """Point of the black lead; empty of a current."""
    method: Method
    unit: str
    when: Situation | None
    """None where everything is off and the leads are off the batteries."""
    using: tuple[str, ...] = ()
    """Loads that run while it is taken."""
    expected: float | None
    """None where an open circuit is expected, or where nobody can name one value."""
    look: Band = Band()
    """Holds 95 % of what sound work reads."""
    fails: Band = Band()
    """Holds 99.9 % of it, or all that a rule allows where that is nearer."""
    allowed: float | None = None
    """What a rule allows, where it limits this one."""
    part: str = ""
    """Of volts across a part: its name."""
    how: str = ""
    """How all readings of its kind are taken."""
    note: str = ""
    """What is to be known of this one."""
    source: str = "own-computation"

    __test__ = False
    """What collects tests by their names leaves it alone."""


def banded(value: Uncertain, quantity: str, meter_name: str) -> tuple[Band, Band]:
    """Return both bands about a value: its own spread on each side with the meter's accuracy.

    Source: jcgm-100, independent uncertainties add as squares; the meter's accuracy is a limit, so its
    standard uncertainty is that over the root of three.

    Examples
    --------
    Nothing but a meter of 0.5 % and two hundredths: at 12 V 0.08 V at most, of which 1.96 / sqrt(3) count.

    >>> look, fails = banded(Uncertain(12.0, 12.0, 12.0), "voltage", "handheld")
    >>> round(look.high - 12.0, 3), round(fails.high - 12.0, 3)
    (0.091, 0.152)
    """
    spec = MeterSpec(text=meter_name, name=meter_name)
    own = accuracy_of(quantity, abs(value.value), spec, last_digit=0.0).standard
    low = math.hypot((value.value - value.low) / LOOK, own)
    high = math.hypot((value.high - value.value) / LOOK, own)
    return (
        Band(value.value - LOOK * low, value.value + LOOK * high),
        Band(value.value - FAIL * low, value.value + FAIL * high),
    )


def live_points(plan: Plan, meter_name: str) -> tuple[TestPoint, ...]:
    """Return the readings under power: supplies in each situation, what sleeps, loads, feeds and contacts.

    Examples
    --------
    A current above the reach of a meter in series is taken with a clamp:

    >>> how_amps(4.0), how_amps(13.6)
    (<Method.SERIES: 'amps in series'>, <Method.CLAMP: 'clamp'>)
    """
    loads = tuple(_of_load(plan, each, meter_name) for each in expectations(plan))
    told = (*loads, *_coils(plan, meter_name), *_feeds(plan, meter_name), *_contacts(plan, meter_name))
    return (*_supplies(plan, meter_name), *_asleep(plan), *by_network(plan, told, meter_name))


def by_network(plan: Plan, points: tuple[TestPoint, ...], meter_name: str) -> tuple[TestPoint, ...]:
    """Return readings with the bands that the network gives them; where it has no points, as they are."""
    asked = [
        Asked(
            each.when,
            each.using,
            each.red,
            each.black,
            "clamp" if each.method is Method.CLAMP else meter_name,
        )
        for each in points
        if each.when is not None
    ]
    bands = iter(bands_of(wiring_read(plan.installation), asked))
    return tuple(each if each.when is None else _banded_by(each, next(bands)) for each in points)


def _banded_by(point: TestPoint, found: ExpectedReading | None) -> TestPoint:
    """The same sides as before, with the ends of the network; a rule's limit where that is nearer."""
    if found is None or found.fails is None:
        return point
    look_low = None if point.look.low is None else max(found.look.low, 0.0)
    fails_low = None if point.fails.low is None else max(found.fails.low, 0.0)
    most = found.fails.high if point.allowed is None else min(found.fails.high, point.allowed)
    banded_by = replace(
        point,
        expected=found.expected,
        look=Band(look_low, found.look.high),
        fails=Band(fails_low, max(most, found.look.high)),
    )
    if point.allowed is None or point.unit != "A":
        # Volts that sound work may lose are no failure, whatever a rule leaves; amps above a fuse are one.
        return banded_by
    return _capped(banded_by, point.allowed)


def how_amps(most_a: float) -> Method:
    """Return how a current is read: a meter in series only where its range has room to spare."""
    return Method.SERIES if most_a <= SERIES_A else Method.CLAMP


def _current(value: Uncertain, meter_name: str, **at: Any) -> TestPoint:
    """A current with its bands; none of them reaches below nothing."""
    method = how_amps(abs(value.high))
    look, fails = banded(value, "current", "clamp" if method is Method.CLAMP else meter_name)
    look, fails = (Band(max(each.low or 0.0, 0.0), each.high) for each in (look, fails))
    return TestPoint(method=method, unit="A", expected=value.value, look=look, fails=fails, **at)


def _voltage(value: Uncertain, meter_name: str, **at: Any) -> TestPoint:
    look, fails = banded(value, "voltage", meter_name)
    return TestPoint(method=Method.VOLTS, unit="V", expected=value.value, look=look, fails=fails, **at)


def _supplies(plan: Plan, meter_name: str) -> Iterator[TestPoint]:
    """Volts and amps of every supply in each situation that was solved."""
    for solved in plan.assessment.situations.values():
        for supply in plan.installation.supplies.values():
            found = plan.assessment.supplies.get(supply.name)
            if found is None or {supply.plus, supply.minus} - solved.volts_v.keys():
                continue
            yield from _posts(supply, found, solved)
            yield from _given(plan, supply, found, solved, meter_name)


def _posts(supply: Supply, found: SupplyAssessment, solved: SituationAssessment) -> Iterator[TestPoint]:
    """Volts at a battery: how full it is nobody knows, so the band is all that a sound one may have."""
    if supply.kind is not SupplyKind.BATTERY:
        return
    value_v = solved.volts_v[supply.plus] - solved.volts_v[supply.minus]
    # What nothing charges may be as empty as one that is used.
    least_v = found.low_v if value_v <= found.emf_v * _CHARGED else found.emf_v
    band = {
        Situation.RESTING: Band(min(found.low_v, value_v), max(found.emf_v, value_v)),
        Situation.CRANKING: Band(_CRANKING_V * found.nominal_v / 12.0, None),
    }.get(solved.situation, Band(min(least_v, value_v), max(found.high_v, value_v)))
    hard = _is_hard(supply, solved)
    if hard:
        # More than its ohms takes volts away then, and the longer it runs the more: no single value holds.
        lead = supply.chemistry != "lfp"
        empty_v = _EMPTY_V * found.nominal_v / 12.0 if lead else found.low_v
        band = Band(min(band.low or value_v, empty_v), band.high)
    yield TestPoint(
        circuit=None,
        red=supply.plus,
        black=supply.minus,
        method=Method.VOLTS,
        unit="V",
        when=solved.situation,
        using=tuple(sorted(solved.running)),
        expected=None if hard else value_v,
        look=band,
        note=words("within the first minute: hard on it, it sinks while the loads run") if hard else "",
        source="common-practice",
    )


def _is_hard(supply: Supply, solved: SituationAssessment) -> bool:
    """Whether a battery gives more than a share of its capacity in an hour."""
    flows_a = solved.supplies_a.get(supply.name, 0.0)
    cranks = solved.situation is Situation.CRANKING
    return not cranks and supply.capacity_ah is not None and flows_a > _HARD_PER_H * supply.capacity_ah


def _given(
    plan: Plan, supply: Supply, found: SupplyAssessment, solved: SituationAssessment, meter_name: str
) -> Iterator[TestPoint]:
    """Amps that an alternator, charger or converter gives, by what runs; no more than it can."""
    flows_a = solved.supplies_a.get(supply.name, 0.0)
    if supply.kind is SupplyKind.BATTERY or flows_a <= _SHOWN_A or solved.situation is Situation.CRANKING:
        return
    at: dict[str, Any] = {
        "circuit": None,
        "red": supply.name,
        "when": solved.situation,
        "using": tuple(sorted(solved.running)),
    }
    if supply.kind is not SupplyKind.DC_DC or _has_battery(plan, supply):
        point = _current(Uncertain(flows_a, flows_a, flows_a), meter_name, **at)
        note = words("less the fuller its battery is")
        yield replace(point, look=Band(None, found.capability_a), fails=Band(), note=note)
        return
    low, high = _spread(plan, solved.running)
    most_a = max(flows_a, min(flows_a * high, found.capability_a or math.inf))
    yield _current(Uncertain(flows_a, flows_a * low, most_a), meter_name, **at)


def _has_battery(plan: Plan, supply: Supply) -> bool:
    """Whether a converter's output leads to a battery."""
    circuits = plan.assessment.circuits.values()
    return any(
        each.charging for each in circuits if plan.installation.circuits[each.name].start == supply.plus
    )


def _spread(plan: Plan, running: Iterable[str]) -> tuple[float, float]:
    """Shares by which all loads that run may draw less or more together, each for itself."""
    found = [plan.assessment.loads[name].current_a for name in running if name in plan.assessment.loads]
    known = [each for each in found if each is not None]
    total_a = sum(each.value for each in known)
    if total_a <= 0.0:
        return 1.0, 1.0
    less = math.hypot(*(each.value - each.low for each in known))
    more = math.hypot(*(each.high - each.value for each in known))
    return 1.0 - less / total_a, 1.0 + more / total_a


def _asleep(plan: Plan) -> Iterator[TestPoint]:
    """What the vehicle and all that sleeps on it draw, where somebody wrote it."""
    loads = [each for each in plan.installation.loads.values() if each.state is not State.REMOVE]
    staying = [s for s in plan.installation.supplies.values() if s.state is not State.REMOVE]
    batteries = [s for s in staying if s.kind is SupplyKind.BATTERY]
    total_a = sum(each.asleep_a or 0.0 for each in loads) + sum(b.standing_a or 0.0 for b in batteries)
    if total_a > 0.0 and len(batteries) == 1:
        yield TestPoint(
            circuit=None,
            red=batteries[0].minus,
            method=Method.SERIES,
            unit="A",
            when=Situation.RESTING,
            expected=total_a,
            look=Band(None, _SLEEPS * total_a),
            note=words(
                "all off and locked for 30 min; a wire across the meter until it is in, so nothing wakes"
            ),
            source="own-judgement",
        )


def _of_load(plan: Plan, each: Expectation, meter_name: str) -> TestPoint:
    """A load's amps, or the volts lost before or behind it."""
    at: dict[str, Any] = {
        "circuit": each.circuit,
        "when": each.when,
        "using": each.using,
        "source": each.source,
    }
    if each.red is None or each.black is None:
        run_s = plan.installation.loads[each.load].duty.run_s
        note = "" if run_s is None else words("for {time} at most", time=seconds(run_s))
        point = _current(each.expected, meter_name, red=each.load, note=note, **at)
        return point if each.stands is None else _within(replace(point, allowed=each.allowed), each.stands)
    point = _voltage(each.expected, meter_name, red=each.red, black=each.black, **at)
    low_v, high_v = max(point.look.low or 0.0, 0.0), point.look.high or 0.0
    # Less is lost where the load draws less: its amps say so, and no joint is too good.
    return replace(point, look=Band(low_v, high_v), fails=Band(None, point.fails.high), allowed=each.allowed)


def _within(point: TestPoint, stands: Carried) -> TestPoint:
    """The same current with nothing accepted above what carries it, which is told."""
    told = words("{name} stands {most}", name=stands.name, most=amps(stands.most_a))
    note = joined("; ", [point.note, told] if point.note else [told])
    return replace(_capped(point, stands.most_a), note=note)


def _capped(point: TestPoint, most: float) -> TestPoint:
    """With both bands ended at a value."""
    look, fails = (
        Band(each.low, most if each.high is None else min(each.high, most))
        for each in (point.look, point.fails)
    )
    return replace(point, look=look, fails=fails)


def _coils(plan: Plan, meter_name: str) -> Iterator[TestPoint]:
    """Volts at each new relay's coil while it is on: what is lost before and behind it does not say them.

    Source: din-72552, the numbers of its ends.
    """
    for circuit in plan.installation.circuits.values():
        for name in circuit.loads if circuit.state is State.NEW else ():
            coil, assessed = plan.installation.loads.get(name), plan.assessment.loads.get(name)
            if coil is None or coil.kind is not LoadKind.COIL or assessed is None:
                continue
            when = assessed.working_in
            solved = None if when is None else plan.assessment.situations.get(when)
            if (
                solved is None
                or name not in solved.loads_a
                or {coil.plus, coil.minus} - solved.volts_v.keys()
            ):
                continue
            across_v = solved.volts_v[coil.plus] - solved.volts_v[coil.minus]
            yield _voltage(
                Uncertain(across_v, across_v, across_v),
                meter_name,
                circuit=circuit.name,
                red=coil.plus,
                black=coil.minus,
                when=solved.situation,
                using=tuple(sorted(solved.running)),
                note=words("86 and 85 of {relay}, where they are numbered", relay=coil.relay or name),
            )


def _feeds(plan: Plan, meter_name: str) -> Iterator[TestPoint]:
    """Volts lost along each new circuit that ends at a block, out and back: its loads hang on other ones."""
    for circuit in plan.installation.circuits.values():
        solved = _fullest(plan, circuit) if circuit.state is State.NEW and not circuit.loads else None
        if solved is None:
            continue
        for start, end in _legs(circuit):
            if {start, end} - solved.volts_v.keys():
                continue
            lost_v = solved.volts_v[start] - solved.volts_v[end]
            if abs(lost_v) < meter(meter_name).voltage.resolution:
                continue
            size_v = abs(lost_v)
            point = _voltage(
                Uncertain(size_v, size_v, size_v),
                meter_name,
                circuit=circuit.name,
                red=start if lost_v > 0.0 else end,
                black=end if lost_v > 0.0 else start,
                when=solved.situation,
                using=tuple(sorted(solved.running)),
            )
            yield replace(point, look=Band(None, point.look.high), fails=Band(None, point.fails.high))


def _legs(circuit: Circuit) -> Iterator[tuple[str, str]]:
    """Both ends of its way out, and of its way back where it has one."""
    out = [wire for wire in circuit.wires if not wire.returning]
    back = [wire for wire in circuit.wires if wire.returning]
    if out:
        yield circuit.start, out[-1].end
    if back:
        yield back[0].start, back[-1].end


def _contacts(plan: Plan, meter_name: str) -> Iterator[TestPoint]:
    """Volts across each new fuse with its holder, each relay, isolator and switch, while its loads run."""
    for circuit in plan.installation.circuits.values():
        solved = _fullest(plan, circuit) if circuit.state is State.NEW else None
        for part in circuit.parts if solved is not None else ():
            found = plan.assessment.parts.get(part.name)
            if part.state is not State.EXISTING and found is not None and part.kind is not PartKind.JOINT:
                assert solved is not None
                yield from _across(circuit, part, found, solved, meter_name)


def _fullest(plan: Plan, circuit: Circuit) -> SituationAssessment | None:
    """The situation in which a load behind a circuit is read, else the one in which most flows."""
    flowing = {
        each.situation: each
        for each in plan.assessment.situations.values()
        if each.situation is not Situation.CRANKING and each.circuits_a.get(circuit.name)
    }
    loads = (plan.assessment.loads.get(name) for name in plan.assessment.circuits[circuit.name].loads)
    read = [each.working_in for each in loads if each is not None and each.working_in in flowing]
    if read and read[0] is not None:
        return flowing[read[0]]
    return max(flowing.values(), key=lambda each: abs(each.circuits_a[circuit.name]), default=None)


def _across(
    circuit: Circuit, part: Part, found: PartAssessment, solved: SituationAssessment, meter_name: str
) -> Iterator[TestPoint]:
    """One contact; left out where it loses less than the meter shows."""
    if found.drop_v is None or not found.through_a:
        return
    share = abs(solved.circuits_a[circuit.name]) / found.through_a
    value = Uncertain(found.drop_v.value * share, found.drop_v.low * share, found.drop_v.high * share)
    if value.high < meter(meter_name).voltage.resolution:
        return
    point = _voltage(
        value,
        meter_name,
        circuit=circuit.name,
        red=part.start,
        black=part.end,
        part=part.name,
        when=solved.situation,
        using=tuple(sorted(solved.running)),
    )
    # A contact that loses less than others of its kind is better, not worse.
    yield replace(point, look=Band(None, point.look.high), fails=Band(None, point.fails.high))
