"""What rules need to know about a battery and what charges it."""

from __future__ import annotations

from typing import Final

from groundstrap.assess.figures import MACHINE_CABLE_OHM
from groundstrap.checks.facts import LoadSubject, SupplySubject
from groundstrap.checks.needs.loads import guards_a_boat
from groundstrap.checks.reach import chargers_of, reached
from groundstrap.model import LoadKind, PartKind, Situation, Supply, SupplyKind
from groundstrap.physics.charging import ChargeRange, charge_range
from groundstrap.tables import (
    alternator_default,
    battery_resistance,
    charge_voltage,
    rested_voltage_v,
    vehicle_draw,
)

__all__: list[str] = []

_CHARGING: Final = frozenset({Situation.IDLING, Situation.DRIVING, Situation.MAINS})
_BY_HAND: Final = frozenset({PartKind.SWITCH, PartKind.RELAY, PartKind.ISOLATOR})
_HOURS_A_DAY: Final = 24.0
_CHARGED_PCT: Final = (30.0, 50.0, 80.0)
"""States between which a lithium battery is charged on the way; own judgement."""
_HALF: Final = 0.5
"""Share of a battery's charge that may go before it starts badly; common practice."""


def is_alternator(subject: SupplySubject) -> bool:
    """Whether it is an alternator that somebody wrote."""
    return subject.supply.kind is SupplyKind.ALTERNATOR and not subject.supply.assumed


def batteries_on_it(subject: SupplySubject) -> int:
    """How many batteries it is joined to."""
    return len(_batteries_on(subject))


def batteries_that_part(subject: SupplySubject) -> int:
    """How many of them part themselves by their own protection."""
    return sum(_parts_itself(battery) for battery in _batteries_on(subject))


def is_lithium(subject: SupplySubject) -> bool:
    """Whether it is a lithium battery."""
    return _is_battery(subject) and subject.supply.chemistry == "lfp"


def is_charged(subject: SupplySubject) -> bool:
    """Whether it is a battery that an alternator, charger or converter is joined to, plus and minus."""
    if not _is_battery(subject):
        return False
    facts = subject.facts
    back = set(reached(facts, subject.supply.minus))
    body = {facts.point(point) for point in facts.installation.chassis_points}
    if back & body:
        back = back.union(*(reached(facts, point) for point in body))
    return any(facts.point(each.minus) in back for each in chargers_of(facts, subject.supply))


def coldest_charged_c(subject: SupplySubject) -> float | None:
    """Its temperature as written, else the coldest span of the day in which it is charged. [degC]"""
    if subject.supply.temperature_c is not None:
        return subject.supply.temperature_c
    spans = [
        span.temperature_c
        for span in subject.facts.installation.day
        if span.temperature_c is not None and (span.when in _CHARGING or span.sun_s)
    ]
    return min(spans, default=None)


def place_low_c(subject: SupplySubject) -> float:
    """Coldest air of its zone. [degC]"""
    return subject.facts.installation.zones[subject.supply.zone].low_c


def place_high_c(subject: SupplySubject) -> float:
    """Hottest air of its zone. [degC]"""
    return subject.facts.installation.zones[subject.supply.zone].high_c


def highest_charge_v(subject: SupplySubject) -> float | None:
    """Highest setpoint of what charges it; None where none is written. [V]"""
    setpoints = [each.setpoint for each in chargers_of(subject.facts, subject.supply)]
    return max((each.high for each in setpoints if each is not None), default=None)


def every_setpoint_written(subject: SupplySubject) -> bool:
    """Whether the setpoint of everything that charges it is written."""
    return all(each.setpoint is not None for each in chargers_of(subject.facts, subject.supply))


def chemistry(subject: SupplySubject) -> str | None:
    """Its chemistry, where somebody wrote it."""
    assumed = any(
        each.where == subject.supply.name and each.why == "a battery whose chemistry nobody wrote"
        for each in subject.facts.installation.assumptions
    )
    return None if assumed else subject.supply.chemistry


def most_charge_v(subject: SupplySubject) -> float | None:
    """Highest volts that it may be charged at, day by day. [V]"""
    kind = subject.supply.chemistry
    if not _is_battery(subject) or kind is None:
        return None
    # Where equalising begins a vented battery boils, which only one that is watched may.
    volts = charge_voltage(kind, "equalise").low_v if kind == "flooded" else _absorption_v(kind)
    return volts * subject.supply.nominal_v / 12.0


def float_v(subject: SupplySubject) -> float | None:
    """Upper end of the volts that only keep a full one full. [V]"""
    kind = subject.supply.chemistry
    if not _is_battery(subject) or kind is None:
        return None
    return charge_voltage(kind, "float").high_v * subject.supply.nominal_v / 12.0


def others_are_charged(subject: SupplySubject) -> bool:
    """Whether it is a battery beside another one that something charges."""
    facts = subject.facts
    return _is_battery(subject) and any(
        chargers_of(facts, other) for other in facts.batteries if other is not subject.supply
    )


def fed_by_panel(subject: SupplySubject) -> bool:
    """Whether a solar panel is joined to it."""
    facts = subject.facts
    bus = reached(facts, subject.supply.plus)
    panels = (s for s in facts.supplies.values() if s.kind is SupplyKind.SOLAR)
    return any(facts.point(panel.plus) in bus for panel in panels)


def joined_battery(subject: SupplySubject) -> str:
    """An earlier battery that cable or a relay puts it in parallel with; empty where there is none."""
    neighbour = _neighbour(subject)
    return neighbour.name if neighbour is not None else ""


def beside_batteries(subject: SupplySubject) -> bool:
    """Whether it is a battery beside another one."""
    return _is_battery(subject) and len(subject.facts.batteries) > 1


def in_series_with(subject: SupplySubject) -> str:
    """Another battery whose plus metal joins to its minus; empty where there is none."""
    other = _in_series(subject)
    return "" if other is None else other.name


def single_v(subject: SupplySubject) -> float:
    """Volts that it goes by. [V]"""
    return subject.supply.nominal_v


def together_v(subject: SupplySubject) -> float:
    """Volts of it and of the battery that it is in series with. [V]"""
    other = _in_series(subject)
    return subject.supply.nominal_v + (0.0 if other is None else other.nominal_v)


def _in_series(subject: SupplySubject) -> Supply | None:
    facts, supply = subject.facts, subject.supply
    way = reached(facts, supply.minus)
    return next((b for b in facts.batteries if b is not supply and facts.point(b.plus) in way), None)


def neighbour_chemistry(subject: SupplySubject) -> str | None:
    """Chemistry of that battery, where somebody wrote it."""
    neighbour = _neighbour(subject)
    return None if neighbour is None else chemistry(SupplySubject(subject.facts, neighbour, None))


def straight_from(subject: SupplySubject) -> str:
    """The alternator that it is joined to without a converter between; empty where there is none."""
    found = chargers_of(subject.facts, subject.supply) if _is_battery(subject) else ()
    return next((each.name for each in found if each.kind is SupplyKind.ALTERNATOR), "")


def alternator_written(subject: SupplySubject) -> bool:
    """Whether somebody wrote that alternator; one is assumed where none is listed."""
    found = subject.facts.supplies.get(straight_from(subject))
    return found is not None and not found.assumed


def straight_low_a(subject: SupplySubject) -> float | None:
    """Least that it takes of that alternator, every part at the end that gives least. [A]"""
    found = _straight_charge(subject)
    return None if found is None else found.low_a


def straight_high_a(subject: SupplySubject) -> float | None:
    """Most that it takes of it, every part at the end that gives most. [A]"""
    found = _straight_charge(subject)
    return None if found is None else found.high_a


def _straight_charge(subject: SupplySubject) -> ChargeRange | None:
    """Between that alternator, the way and the battery; None where a rating or a size is not known."""
    battery, source = subject.supply, subject.facts.supplies.get(straight_from(subject))
    if source is None or source.rating_a is None or battery.capacity_ah is None:
        return None
    if battery.chemistry != "lfp":
        return None
    scale = battery.nominal_v / 12.0
    own = battery_resistance("lfp", capacity_ah=battery.capacity_ah * battery.parallel)
    volts, droop, hot = (alternator_default(item) for item in ("setpoint", "droop", "hot share"))
    span = source.setpoint
    low_v, high_v = (volts.low * scale, volts.high * scale) if span is None else (span.low, span.high)
    emf = [rested_voltage_v("lfp", state) * scale for state in _CHARGED_PCT]
    draws = vehicle_draw(engine_running=True)
    way = MACHINE_CABLE_OHM
    return charge_range(
        (low_v, (low_v + high_v) / 2.0, high_v),
        emf_v=(emf[0], emf[1], emf[2]),
        loop_ohm=(
            own.low_ohm * scale + droop.low + 2.0 * way.low,
            own.typical_ohm * scale + droop.typical + 2.0 * way.typical,
            own.high_ohm * scale + droop.high + 2.0 * way.high,
        ),
        limit_a=(
            max(source.rating_a * hot.low - draws.high / scale, 0.0),
            max(source.rating_a * hot.typical - draws.typical / scale, 0.0),
            max(source.rating_a * hot.high - draws.low / scale, 0.0),
        ),
    )


def is_panel(subject: SupplySubject) -> bool:
    """Whether it is a solar panel."""
    return subject.supply.kind is SupplyKind.SOLAR


def battery_behind_panel(subject: SupplySubject) -> str:
    """The battery that it is joined to with no controller between; empty where there is none."""
    return next((battery.name for battery in _batteries_on(subject)), "")


def panel_can_be_parted(subject: SupplySubject) -> bool:
    """Whether an isolator, switch or breaker stands in one of its circuits."""
    facts = subject.facts
    ends = {facts.point(subject.supply.plus), facts.point(subject.supply.minus)}
    opens = _BY_HAND | {PartKind.BREAKER}
    return any(
        part.kind in opens
        for circuit in facts.circuits.values()
        if ends & {facts.point(circuit.start), facts.point(circuit.end)}
        for part in circuit.parts
    )


def fills_from(subject: SupplySubject) -> str:
    """The battery that it empties into another one, of a converter; empty where it does not."""
    facts, supply = subject.facts, subject.supply
    if supply.kind is not SupplyKind.DC_DC or supply.in_plus is None:
        return ""
    before, behind = reached(facts, supply.in_plus), reached(facts, supply.plus)
    fills = any(facts.point(battery.plus) in behind - before for battery in facts.batteries)
    emptied = (battery.name for battery in facts.batteries if facts.point(battery.plus) in before)
    return next(emptied, "") if fills else ""


def works_only_with(subject: SupplySubject) -> str:
    """What lets it work: a signal, or a part on its way in that opens; empty where nothing ever stops it."""
    facts, supply = subject.facts, subject.supply
    if supply.when is not None and supply.when != "always":
        return supply.when
    ways = [circuit for circuit in facts.circuits.values() if circuit.converter == supply.name]
    names = [
        name
        for circuit in ways
        for name in (circuit.name, *facts.assessment.circuits[circuit.name].feeders)
        if name in facts.circuits
    ]
    opening = (p for name in names for p in facts.circuits[name].parts if p.kind in _BY_HAND)
    return next((part.gear or part.name for part in opening), "")


def sleepers_a(subject: SupplySubject) -> float | None:
    """What the vehicle and sleeping loads draw at rest with nothing switched on, where written. [A]"""
    if not _is_battery(subject):
        return None
    drawn = [subject.supply.standing_a] if subject.supply.standing_a is not None else []
    drawn += [
        load.asleep_a * load.count
        for load in subject.facts.loads.values()
        if load.asleep_a is not None and _asleep_on(subject, load.name)
    ]
    return sum(drawn) if drawn else None


def days_to_half_d(subject: SupplySubject) -> float | None:
    """Days until that has taken half of its charge; None where its capacity is not known. [d]"""
    drawn_a, capacity_ah = sleepers_a(subject), subject.supply.capacity_ah
    if not drawn_a or capacity_ah is None:
        return None
    return _HALF * capacity_ah * subject.supply.parallel / drawn_a / _HOURS_A_DAY


def is_vented(subject: SupplySubject) -> bool | None:
    """Whether it is a battery that gives off gas; None where nobody wrote its chemistry."""
    if not _is_battery(subject):
        return False
    written = chemistry(subject)
    return None if written is None else written == "flooded"


def where_people_are(subject: SupplySubject) -> bool:
    """Whether somebody wrote that it stands in the cabin."""
    facts, supply = subject.facts, subject.supply
    assumed = any(each.where == f"places.{supply.place}" for each in facts.installation.assumptions)
    return supply.zone == "cabin" and not assumed and not supply.assumed


def on_boat(subject: SupplySubject) -> bool:
    """Whether the job is judged as a boat."""
    return subject.facts.basis == "boat"


def loads_past_isolator(subject: SupplySubject) -> str:
    """A load that no isolator parts from it, pumps of the bilge and alarms aside; empty where none is."""
    facts = subject.facts
    if not _is_battery(subject):
        return ""
    isolators = [part.name for part in facts.parts.values() if part.kind is PartKind.ISOLATOR]
    # A load with a second feed is the end of both: what hangs on the other one is not fed through it.
    ends = frozenset(facts.point(load.plus) for load in facts.loads.values())
    bus = reached(facts, subject.supply.plus, isolators, ends)
    loads = (
        load.name
        for load in facts.loads.values()
        if facts.point(load.plus) in bus and load.kind is not LoadKind.COIL and not load.critical
        if not guards_a_boat(LoadSubject(facts, load, None, None))
    )
    return next(loads, "")


def _is_battery(subject: SupplySubject) -> bool:
    return subject.supply.kind is SupplyKind.BATTERY


def _batteries_on(subject: SupplySubject) -> tuple[Supply, ...]:
    bus = reached(subject.facts, subject.supply.plus)
    return tuple(b for b in subject.facts.batteries if subject.facts.point(b.plus) in bus)


def _parts_itself(battery: Supply) -> bool:
    """Whether it has a protection of its own, which every lithium battery is sold with."""
    return battery.limit_a is not None or battery.chemistry == "lfp"


def _absorption_v(kind: str) -> float:
    return charge_voltage(kind, "absorption").high_v


def _neighbour(subject: SupplySubject) -> Supply | None:
    facts = subject.facts
    if not _is_battery(subject):
        return None
    diodes = [part.name for part in facts.parts.values() if part.kind is PartKind.DIODE]
    bus = reached(facts, subject.supply.plus, diodes)
    for other in facts.batteries:
        if other.name == subject.supply.name:
            return None
        if facts.point(other.plus) in bus:
            return other
    return None


def _asleep_on(subject: SupplySubject, load: str) -> bool:
    """Whether a load hangs on this battery with no part on its way that a hand or the key opens."""
    facts = subject.facts
    found = facts.assessment.loads.get(load)
    if found is None or found.source != subject.supply.name:
        return False
    names = {name for own in found.circuits for name in (own, *facts.assessment.circuits[own].feeders)}
    parts = [part for name in names if name in facts.circuits for part in facts.circuits[name].parts]
    return not any(part.kind in _BY_HAND and part.when != "always" for part in parts)
