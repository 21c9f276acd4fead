"""The day, the readings and the waivers of a job file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from groundstrap.job.faults import Spot, one_of
from groundstrap.job.forms import Fields, day, read_meter, read_quantity
from groundstrap.job.forms import text as text_form
from groundstrap.job.points import Points, Target, Thing
from groundstrap.job.tree import MapNode, ScalarNode, SequenceNode
from groundstrap.job.values import read_keys, read_situation
from groundstrap.model import (
    Circuit,
    DaySpan,
    Load,
    LoadKind,
    MeterSpec,
    Reading,
    ReadingSet,
    Situation,
    Supply,
    SupplyKind,
    Waiver,
)
from groundstrap.records import dataclass
from groundstrap.units import Kind, Quantity, format_quantity
from groundstrap.words import Name, term, words

__all__ = ["Things", "read_day", "read_readings", "read_waivers"]

_MOST_TIMES: Final = 1.5
"""Of what is written for a supply: 12 V are charged with 15, an open panel gives a fifth more; own judgement.
[1]"""
_VALUE_KINDS: Final = (Kind.VOLTAGE, Kind.CURRENT, Kind.TEMPERATURE)
_READING_KEYS: Final = ("when", "using", "except", "meter", "date", "by", "mended", "values")
_DAY_KEYS: Final = ("using", "except", "temperature", "sun")


@dataclass(frozen=True, slots=True)
class Things:
    """What the day and the readings speak of."""

    points: Points
    supplies: Mapping[str, Supply]
    loads: Mapping[str, Load]
    circuits: Mapping[str, Circuit]
    known_circuits: frozenset[str]

    def running(self) -> tuple[str, ...]:
        """Loads that can be listed as running; coils run by themselves."""
        return tuple(name for name, load in self.loads.items() if load.kind is not LoadKind.COIL)

    def loads_of(self, name: str) -> tuple[str, ...] | None:
        """Return the load of a name, or the loads on a circuit of that name; None where there is neither."""
        if name in self.running():
            return (name,)
        if name in self.circuits:
            return tuple(
                load for load in self.circuits[name].loads if self.loads[load].kind is not LoadKind.COIL
            )
        return () if name in self.known_circuits or self.points.broken(name) else None


def read_day(things: Things, section: Spot | None) -> tuple[DaySpan, ...]:
    """Read the spans of the day."""
    if section is None:
        return ()
    spans = [_day_span(things, spot) for spot in section.items("a list of spans, such as {driving: 35 min}")]
    return tuple(span for span in spans if span is not None)


def _day_span(things: Things, spot: Spot) -> DaySpan | None:
    before = len(spot.faults.found)
    entries = dict(_known_entries(spot, (*tuple(Situation), *_DAY_KEYS), "a span of the day"))
    whens = [key for key in entries if key in tuple(Situation)]
    if len(whens) != 1:
        if isinstance(spot.node, MapNode) and len(spot.faults.found) == before:
            reason = "two situations stand in one span" if whens else "no situation is said"
            spot.fault(one_of("situation", tuple(Situation)), reason=reason)
        return None
    time = read_quantity(entries[whens[0]], Kind.TIME)
    using = _using(things, entries)
    temperature = (
        read_quantity(entries["temperature"], Kind.TEMPERATURE, least=None)
        if "temperature" in entries
        else None
    )
    sun = read_quantity(entries["sun"], Kind.TIME, least=None) if "sun" in entries else None
    if time is None:
        return None
    return DaySpan(
        when=Situation(whens[0]),
        time_s=time.value,
        using=using,
        temperature_c=None if temperature is None else temperature.value,
        sun_s=None if sun is None else sun.value,
    )


def _known_entries(spot: Spot, known: tuple[str, ...], what: str) -> list[tuple[str, Spot]]:
    found: list[tuple[str, Spot]] = []
    for key, value in spot.entries(f"a map with {', '.join(str(word) for word in known)}"):
        if key.text in known:
            found.append((key.text, value))
        else:
            nearest = value.near(key.text, known)
            value.at(key).fault(one_of("key", known), nearest=nearest, reason=f"no key of {what}")
    return found


def _using(things: Things, entries: Mapping[str, Spot]) -> dict[str, float | None]:
    """Return the loads that run, each with its power where one is written."""
    spot = entries.get("using")
    chosen: dict[str, float | None] = {}
    if spot is not None:
        if isinstance(spot.node, ScalarNode) and spot.node.text.strip() in {"all", "none"}:
            if spot.node.text.strip() == "all":
                chosen = dict.fromkeys(things.running())
        else:
            chosen = _listed(things, spot)
    left_out = entries.get("except")
    if left_out is not None:
        for name in _listed(things, left_out):
            chosen.pop(name, None)
    return chosen


def _listed(things: Things, spot: Spot) -> dict[str, float | None]:
    several = spot.items("a list of loads, all, or none") if isinstance(spot.node, SequenceNode) else [spot]
    found: dict[str, float | None] = {}
    for item in several:
        if isinstance(item.node, MapNode):
            for key, value in item.entries("a load and its power"):
                power = read_quantity(value, Kind.POWER)
                for name in _loads_at(things, value.at(key)):
                    found[name] = None if power is None else power.value
        else:
            found.update(dict.fromkeys(_loads_at(things, item)))
    return found


def _loads_at(things: Things, spot: Spot) -> tuple[str, ...]:
    word = spot.word("the name of a load")
    if word is None:
        return ()
    found = things.loads_of(word)
    if found is None:
        # A load often has a circuit of its own name.
        spot.unknown_name("load", tuple(dict.fromkeys((*things.running(), *things.circuits))))
        return ()
    return found


def read_readings(things: Things, section: Spot | None) -> tuple[ReadingSet, ...]:
    """Read the measurements on the job."""
    if section is None:
        return ()
    sets = [
        _reading_set(things, spot) for spot in section.items("a list of readings, each with when and values")
    ]
    return tuple(one for one in sets if one is not None)


def _reading_set(things: Things, spot: Spot) -> ReadingSet | None:
    entries = dict(_known_entries(spot, _READING_KEYS, "a set of readings"))
    if not isinstance(spot.node, MapNode):
        return None
    # What was mended stands by itself until something is read.
    for key in ("when",) if "mended" in entries else ("when", "values"):
        if key not in entries:
            wanted = words("{key} of the readings", key=Name(key))
            spot.fault(wanted, found="", reason=words("{key} is missing", key=Name(key)))
    when = read_situation(entries["when"]) if "when" in entries else None
    meter = read_meter(entries["meter"]) if "meter" in entries else None
    using = _using(things, entries)
    values: list[Reading] = []
    if "values" in entries:
        for item in entries["values"].items("a list of values, such as - battery: 12.6 V"):
            values += _values(things, item, meter)
    taken: dict[str, str] = {}
    for key, form in (("date", day("date")), ("by", text_form("by")), ("mended", text_form("mended"))):
        if key in entries:
            taken.update(form(entries[key]))
    return (
        None
        if when is None
        else ReadingSet(when=when, using=frozenset(using), meter=meter, values=tuple(values), **taken)
    )


def _values(things: Things, spot: Spot, meter: MeterSpec | None) -> list[Reading]:
    wanted = words("a point, or two with ' to ' between, and what was read: battery: 12.62 V")
    entries = spot.entries(wanted)
    own = {key.text: value for key, value in entries if key.text in {"meter", "note"}}
    if "meter" in own:
        meter = read_meter(own["meter"])
    note = own["note"].word("a text") if "note" in own else None
    read = [(key, value) for key, value in entries if key.text not in own]
    if len(read) != 1:
        if isinstance(spot.node, MapNode):
            spot.fault(
                wanted,
                reason=words("no point stands there") if not read else words("two readings stand in one map"),
            )
        return []
    key, value = read[0]
    quantity = read_quantity(value, _VALUE_KINDS, least=None)
    if quantity is None:
        return []
    if quantity.kind is Kind.VOLTAGE and _is_too_much(things, value, quantity):
        return []
    at = value.at(key)
    fields = _where(things, at, " ".join(key.text.split()), quantity)
    if fields is None:
        return []
    return [
        Reading(
            **fields,
            kind=str(quantity.kind),
            value=quantity.value,
            last_digit=quantity.last_digit,
            half_width=quantity.plus_minus,
            meter=meter,
            note=note,
            text=quantity.text,
            key="/".join(spot.key),
        )
    ]


def _is_too_much(things: Things, spot: Spot, quantity: Quantity) -> bool:
    """Tell of more volts than the job can have: `180 V` typed for `180 mV`."""
    each = [_highest_v(supply) for supply in things.supplies.values()]
    most_v = None if None in each else max((v for v in each if v is not None), default=None)
    if most_v is None or abs(quantity.value) <= most_v:
        return False
    number = format_quantity(quantity.value, "V").removesuffix("V")
    spot.fault(
        words("what the meter showed, with the unit that it showed: V or mV"),
        reason=words("more than the {most} that this job can have", most=format_quantity(most_v, "V")),
        nearest=f"{number}mV" if quantity.unit == "V" else None,
    )
    return True


def _highest_v(supply: Supply) -> float | None:
    """Volts that no sound or failing supply exceeds for as long as a meter takes; None where nobody knows."""
    written = [supply.nominal_v, supply.voltage_v, None if supply.setpoint is None else supply.setpoint.high]
    if supply.kind is SupplyKind.SOLAR and supply.voltage_v is None:
        return None
    return _MOST_TIMES * max(each for each in written if each is not None)


def _where(things: Things, spot: Spot, text: str, quantity: Quantity) -> Fields | None:
    """Return where a value was read: between two points, or through a thing."""
    red, to, black = text.partition(" to ")
    if to:
        if quantity.kind is not Kind.VOLTAGE:
            reason = words("a {quantity} is not read between two points", quantity=term(str(quantity.kind)))
            spot.fault(words("volts between two points"), reason=reason)
            return None
        ends = [_point(things, spot, end.strip()) for end in (red, black)]
        return None if None in ends else {"red": ends[0], "black": ends[1]}
    if quantity.kind is Kind.VOLTAGE:
        return _across(things, spot, text)
    return _through(things, spot, text)


def _point(things: Things, spot: Spot, text: str) -> str | None:
    """Return the node of a point in a reading."""
    if text == "chassis" or text in _joints(things):
        return text
    target = things.points.look_up(spot, text)
    if target is None or target.point is not None:
        return target.point if target is not None else None
    if target.thing is Thing.SUPPLY:
        return things.supplies[target.name].plus
    if target.thing in {Thing.LOAD, Thing.COIL}:
        return f"{target.name} +"
    wanted = words("{part} in, or {part} out", part=text)
    spot.fault(wanted, found=text, reason=words("a part has two sides"))
    return None


def _joints(things: Things) -> set[str]:
    return {
        node
        for circuit in things.circuits.values()
        for wire in circuit.wires
        for node in (wire.start, wire.end)
        if " joint " in node or node.endswith((" start", " end"))
    }


def _across(things: Things, spot: Spot, text: str) -> Fields | None:
    """Return both points of a reading across one thing."""
    target = things.points.look_up(spot, text)
    if target is None:
        return None
    ends = _ends(things, target)
    if ends is None:
        reason = words("volts are read between two points")
        spot.fault(words("two points, such as {part} to battery -", part=text), found=text, reason=reason)
        return None
    return {"red": ends[0], "black": ends[1]}


def _ends(things: Things, target: Target) -> tuple[str, str] | None:
    name = target.name
    if target.thing is Thing.SUPPLY and target.side in {None, "in", "out"}:
        supply = things.supplies[name]
        if target.side == "in" and supply.in_plus is not None and supply.in_minus is not None:
            return supply.in_plus, supply.in_minus
        return supply.plus, supply.minus
    if target.point is not None and target.way is None:
        return None
    if target.thing in {Thing.LOAD, Thing.COIL} and target.side is None:
        return f"{name} +", f"{name} -"
    base = name if target.way is None else f"{name} {target.way}"
    for circuit in things.circuits.values():
        for part in circuit.parts:
            if part.name == base:
                return part.start, part.end
    return None


def _through(things: Things, spot: Spot, text: str) -> Fields | None:
    """Return the thing that a current was read through, or a temperature at."""
    shared = text in things.loads or text in things.supplies
    if text in things.known_circuits and not shared:
        return {"through": text}
    if any(wire.name == text for circuit in things.circuits.values() for wire in circuit.wires):
        # A clamp goes round a cable as well, by the name that plans and lists give it.
        return {"through": text}
    target = things.points.look_up(spot, text, wanted=words("a load, supply, circuit, part or cable"))
    if target is None:
        return None
    if target.thing is Thing.GEAR and target.way is not None:
        return {"through": f"{target.name} {target.way}"}
    return {
        "through": target.point
        if target.point is not None and target.thing is not Thing.BLOCK
        else target.name
    }


def read_waivers(section: Spot | None) -> tuple[Waiver, ...]:
    """Read the findings that a person answers for; all four texts are needed."""
    if section is None:
        return ()
    found: list[Waiver] = []
    forms = {key: text_form(key) for key in ("rule", "where", "reason", "by")}
    for spot in section.items("a list of {rule, where, reason, by}"):
        fields = read_keys(spot, forms, "a waiver")
        if fields is None:
            continue
        missing = [key for key in forms if key not in fields]
        if missing:
            spot.fault("rule, where, reason and by", reason=f"{missing[0]} is missing")
        else:
            found.append(Waiver(**fields))
    return tuple(found)
