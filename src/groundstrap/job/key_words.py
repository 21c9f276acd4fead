"""Each key of the job file in plain words: what it is called on a page, what it is for, and an example."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from groundstrap.records import dataclass
from groundstrap.words import Words, words

__all__ = ["ENTRY_WORDS", "About", "about_key"]


@dataclass(frozen=True, slots=True)
class About:
    """A key in plain words; the example is a text as it would stand in the file."""

    label: Words
    help: Words
    example: str


Scope = Mapping[str, About]

_ENTRY: Final[Scope] = {
    "state": About(
        words("new, there already, or to go"),
        words("left out it is new; existing was found on the vehicle, remove is taken out"),
        "existing",
    ),
    "note": About(words("note"), words("whatever should not be forgotten"), "behind the left panel"),
}

_TOP: Final[Scope] = {
    "groundstrap": About(words("version of the format"), words("1 is the one that there is"), "1"),
    "title": About(words("title"), words("what is done, in a few words"), "Work light on the trailer"),
    "about": About(
        words("for the record"),
        words("vehicle, owner, who did it, date: any name and its text"),
        "{vehicle: grey van, owner: J. Smith}",
    ),
    "system": About(words("system voltage"), words("what the batteries give together"), "12 V"),
    "basis": About(words("rules"), words("those for the road, or those for boats"), "road"),
    "units": About(words("units of results"), words("metric, or feet and degrees Fahrenheit"), "metric"),
    "sizes": About(words("cable sizes"), words("in mm2, or in American gauges"), "metric"),
    "body": About(words("body"), words("what it is made of: wood and fibreglass conduct nothing"), "steel"),
    "return": About(
        words("usual return"),
        words("where negatives end that say nothing else: a busbar, the chassis"),
        "negative bus",
    ),
    "supplies": About(
        words("supplies"),
        words("batteries, alternator, chargers, solar panels"),
        "{battery: {kind: battery}}",
    ),
    "places": About(
        words("places"), words("spots on the vehicle, each with the air around it"), "{bed: cabin}"
    ),
    "zones": About(
        words("zones"),
        words("air that a place has: how hot, how wet"),
        "{shelf zone: {ambient: -20..55 degC}}",
    ),
    "routes": About(
        words("routes"),
        words("lengths measured between places, one way, as the cable runs"),
        "[{from: battery, to: bed, length: 3.4 m}]",
    ),
    "gear": About(
        words("gear"),
        words("blocks, switches, relays and plugs that have a name"),
        "{fuse block: {kind: block, ways: 6}}",
    ),
    "loads": About(words("loads"), words("what uses current"), "{lamp: {claims: {power: 60 W}}}"),
    "circuits": About(words("circuits"), words("runs of cable, out and back"), "{lamp: {length: 7 m}}"),
    "day": About(words("a usual day"), words("how long it stands, idles and drives"), "[{driving: 35 min}]"),
    "stock": About(words("stock"), words("a CSV file of what is on the shelf"), "shelf.csv"),
    "readings": About(
        words("readings"),
        words("what a meter showed on the vehicle"),
        "[{when: idling, values: [battery: 14.2 V]}]",
    ),
    "waivers": About(
        words("waivers"),
        words("findings that a person answers for"),
        "[{rule: PRT001, where: lamp, reason: sealed in oil, by: J. Smith}]",
    ),
}

_SUPPLY: Final[Scope] = {
    "kind": About(words("kind of supply"), words("battery, alternator, charger or panel"), "battery"),
    "at": About(words("place"), words("where it is; left out, a place of its own"), "engine bay"),
    "stud": About(words("stud"), words("thread of its terminals"), "M8"),
    "chemistry": About(words("chemistry"), words("left out it is flooded"), "agm"),
    "bank": About(words("bank"), words("how many alike, and how they are joined"), "2 in series"),
    "capacity": About(words("capacity"), words("Ah at 20 h, or reserve in minutes"), "80 Ah"),
    "cranking": About(words("cranking current"), words("with its standard, EN or SAE"), "640 A EN"),
    "limit": About(words("most it gives"), words("current limit of its own protection"), "100 A"),
    "rested": About(words("voltage after rest"), words("read after hours without load"), "12.6 V"),
    "temperature": About(words("temperature"), words("of the battery itself"), "-5 degC"),
    "resistance": About(words("resistance inside"), words("of one battery, where it is known"), "6 mohm"),
    "standing": About(words("draw at rest"), words("what the vehicle itself takes, asleep"), "30 mA"),
    "running": About(words("draw with the engine"), words("what the vehicle itself takes, running"), "20 A"),
    "rating": About(words("rating"), words("what its label says"), "110 A"),
    "setpoint": About(words("voltage it holds"), words("a range where a computer varies it"), "14.2 V"),
    "idle": About(words("output at idle"), words("share of its rating, or current"), "40 %"),
    "current": About(words("most it gives"), words("current at its output"), "30 A"),
    "efficiency": About(words("efficiency"), words("what comes out of what goes in"), "88 %"),
    "when": About(words("when it runs"), words("always, ignition, engine, hand or a signal"), "engine"),
    "isolated": About(
        words("output apart from the input"), words("whether its negatives are not joined inside"), "yes"
    ),
    "power": About(words("power"), words("in full sun, from its label"), "120 W"),
    "voltage": About(words("voltage"), words("at full power"), "18 V"),
}

_PART: Final[Scope] = {
    **{
        str(part): About(
            words("{part}: rating", part=part),
            words("left out it is chosen, or taken as large enough"),
            "15 A",
        )
        for part in (
            words("fuse"),
            words("breaker"),
            words("switch"),
            words("isolator"),
            words("relay"),
            words("connector"),
            words("sensor"),
            words("diode"),
            words("joint"),
        )
    },
    "resistor": About(words("resistor: resistance or rating"), words("of the resistor"), "6.8 ohm"),
    "family": About(words("family of fuse"), words("its shape, by a name that no maker owns"), "mini blade"),
    "breaks": About(words("breaking capacity"), words("the most it can interrupt"), "1 kA"),
    "holder": About(words("holder"), words("what it sits in"), "tap"),
    "coil": About(words("coil current"), words("what its coil takes"), "150 mA"),
    "resistance": About(words("resistance"), words("of the part, where it was measured"), "2 mohm"),
    "closes": About(words("closes at"), words("voltage at which it closes by itself"), "13.3 V"),
    "opens": About(words("opens at"), words("voltage at which it opens by itself"), "12.8 V"),
    "when": About(words("closed when"), words("always, ignition, engine, hand or a signal"), "ignition"),
    "ignition_protected": About(
        words("ignition-protected"), words("whether it may stand where petrol vapour gathers"), "yes"
    ),
    "curve": About(words("own curve"), words("a CSV file of its maker's times"), "fuse60.csv"),
    "plug": About(words("plug"), words("what plug or socket it is"), "lighter"),
    "suppressor": About(words("suppressor"), words("what takes the coil's spike"), "diode"),
    "rated_for": About(words("rated for"), words("kind of load its rating holds for"), "motor"),
    "solid_state": About(words("solid state"), words("whether it has no contacts"), "no"),
    "rated_at": About(words("rated at"), words("voltage its rating holds for"), "32 V"),
}

_GEAR: Final[Scope] = {
    "kind": About(words("kind of gear"), words("block, switch, relay, plug and so on"), "block"),
    "at": _SUPPLY["at"],
    "rating": About(words("rating"), words("the most it carries for good"), "100 A"),
    "stud": _SUPPLY["stud"],
    "ways": About(words("ways"), words("how many, or their names: slots, pins, positions"), "6"),
    "together": About(words("most at one time"), words("what is ever drawn from it at once"), "70 %"),
    "spare": About(words("kept free"), words("room for growth"), "25 %"),
}

_LOAD: Final[Scope] = {
    "kind": About(words("kind of load"), words("lamps, motors and electronics draw differently"), "pump"),
    "at": _SUPPLY["at"],
    "stud": _SUPPLY["stud"],
    "count": About(words("how many"), words("so many alike"), "2"),
    "claims": About(
        words("what is claimed"), words("what its label or seller says"), "{power: 60 W, by: label}"
    ),
    "measured": About(
        words("what was measured"),
        words("at its own leads"),
        "{current: 4.2 A, voltage: 12.8 V}",
    ),
    "fitted": About(
        words("what it came with"), words("lead, fuse and plug out of its box"), "{wire: 16 AWG, fuse: 10 A}"
    ),
    "inrush": About(
        words("at switch-on"), words("its peak, and how long it lasts"), "{current: 30 A, time: 40 ms}"
    ),
    "asleep": About(words("draw when off"), words("what it takes switched off"), "15 mA"),
    "duty": About(words("share of the time"), words("all the time, a share, or a run and its pause"), "30 %"),
    "works": About(words("voltage it works between"), words("both ends, from its manual"), "10.5..15 V"),
    "restart": About(words("comes back at"), words("voltage after its cut-out"), "11.8 V"),
    "efficiency": About(words("efficiency"), words("of the inverter"), "88 %"),
    "critical": About(words("dangerous to lose"), words("bilge pump, navigation light"), "yes"),
    "runs": About(words("runs while"), words("situations in which it may run"), "driving"),
    "never_with": About(words("never runs with"), words("loads that an interlock keeps apart"), "[fridge]"),
    "largest_fuse": About(words("largest fuse ahead"), words("what its maker allows"), "15 A"),
    "stall": About(
        words("when blocked"), words("current of the blocked motor"), "{current: 11 A, survives: no}"
    ),
}

_CABLE: Final[Scope] = {
    "wire": About(words("wire"), words("size of the cable; left out it is chosen"), "6 mm2"),
    "length": About(words("length"), words("one way, as the cable runs"), "3.4 m"),
    "material": About(words("material"), words("left out it is copper"), "tinned copper"),
    "insulation": About(words("insulation"), words("temperature class, or type"), "105 degC"),
    "colour": About(words("colour"), words("of the insulation"), "red"),
    "parallel": About(words("side by side"), words("how many conductors share the current"), "2"),
    "laid": About(words("laid"), words("free, in a loom or in a conduit"), "loom"),
    "with": About(words("others in the bundle"), words("loaded conductors that are not in the job"), "4"),
}

_CIRCUIT: Final[Scope] = {
    "path": About(
        words("path"), words("what the current passes, from the source on"), "[battery, fuse, lamp]"
    ),
    "return": About(words("return"), words("where its negative ends"), "negative bus"),
    "fuse": About(words("fuse"), words("rating of each fuse that has none; left out it is chosen"), "15 A"),
    "drop": About(words("allowed fall of volts"), words("out and back"), "3 %"),
    "carries": About(words("carries besides"), words("current that is not drawn here"), "5 A"),
    "label": About(words("number on its wires"), words("left out one is given"), "7"),
    "length": About(
        words("length"),
        words("the whole way out, about 3 m if nobody measured; left out, by the routes"),
        "3.4 m",
    ),
    "wire": About(words("wire"), words("size of each cable that has none; left out it is chosen"), "6 mm2"),
}

_ZONE: Final[Scope] = {
    "ambient": About(words("air"), words("coldest and hottest"), "-20..55 degC"),
    "wet": About(words("wetness"), words("how much water comes there"), "splash"),
    "vapour": About(words("vapour"), words("what gathers there"), "no"),
    "closed": About(words("closed"), words("whether it holds gas in, as a box or locker does"), "yes"),
}

_ROUTE: Final[Scope] = {
    "from": About(words("from"), words("the place where it begins"), "battery"),
    "to": About(words("to"), words("the place where it ends"), "bed"),
    "length": About(words("length"), words("as the cable runs, one way"), "3.4 m"),
}

_USING: Final[Scope] = {
    "using": About(words("running"), words("loads that run then: a list, all or none"), "all"),
    "except": About(words("but not"), words("loads that are left out of all"), "[hoist]"),
}

_DAY: Final[Scope] = {
    "resting": About(words("resting"), words("how long it stands, engine off"), "14 h"),
    "idling": About(words("idling"), words("how long it idles"), "20 min"),
    "driving": About(words("driving"), words("how long it drives"), "35 min"),
    "cranking": About(words("cranking"), words("how long the starter turns"), "5 s"),
    "mains": About(words("on mains"), words("how long it is plugged in"), "6 h"),
    **_USING,
    "temperature": About(words("temperature"), words("of the air meanwhile"), "-5 degC"),
    "sun": About(words("full sun"), words("hours of full sun meanwhile"), "3 h"),
}

_READING: Final[Scope] = {
    "when": About(words("when"), words("what the vehicle did meanwhile"), "idling"),
    **_USING,
    "meter": About(words("meter"), words("which one, or its accuracy"), "0.8 % + 2 digits"),
    "date": About(words("date"), words("day it was read: year, month, day"), "2026-11-28"),
    "by": About(words("by"), words("who read it"), "J. Smith"),
    "mended": About(
        words("mended"),
        words("what was mended before: what that can have changed is history"),
        "pump return 1",
    ),
    "values": About(words("values"), words("where, and what was read"), "[battery: 12.6 V]"),
}

_WAIVER: Final[Scope] = {
    "rule": About(words("rule"), words("its number or name"), "PRT001"),
    "where": About(words("where"), words("what the finding is about"), "lamp"),
    "reason": About(words("reason"), words("why it may stay so"), "sealed in oil"),
    "by": About(words("by"), words("who answers for it"), "J. Smith"),
}

_MAPS: Final[Mapping[str, Scope]] = {
    "claims": {
        "power": About(words("power"), words("in watts"), "60 W"),
        "current": About(words("current"), words("in amperes"), "5 A"),
        "voltage": About(words("at"), words("voltage it is said for"), "12 V"),
        "temperature": About(words("at"), words("temperature it is said for"), "20 degC"),
        "by": About(words("says who"), words("label, manual, seller"), "label"),
    },
    "measured": {
        "resistance": About(words("resistance"), words("at its own leads, cold"), "2.1 ohm"),
        "current": About(words("current"), words("while it runs"), "4.2 A"),
        "power": About(words("power"), words("while it runs"), "52 W"),
        "voltage": About(words("at"), words("voltage at its leads meanwhile"), "12.8 V"),
        "leads": About(words("leads"), words("what the meter shows with its leads together"), "0.2 ohm"),
        "meter": _READING["meter"],
    },
    "fitted": {
        "wire": About(words("its lead"), words("size of it"), "16 AWG"),
        "length": About(words("length"), words("of its lead"), "1.5 m"),
        "fuse": About(words("its fuse"), words("rating of it"), "15 A"),
        "plug": About(words("its plug"), words("what plug it has"), "lighter"),
    },
    "inrush": {
        "current": About(words("peak"), words("read with a clamp that holds it"), "30 A"),
        "time": About(words("for"), words("how long it lasts"), "40 ms"),
    },
    "stall": {
        "current": About(words("current"), words("of the blocked motor"), "11 A"),
        "survives": About(words("survives it"), words("whether it may stay so for good"), "no"),
    },
    "duty": {
        "run": About(words("runs for"), words("how long at a time"), "40 s"),
        "every": About(words("every"), words("from one start to the next"), "4 min"),
    },
    "values": {
        "meter": About(words("meter"), words("where it was another one"), "handheld"),
        "note": _ENTRY["note"],
    },
}

_SCOPES: Final[Mapping[str, tuple[Scope, ...]]] = {
    "": (_TOP,),
    "supplies": (_SUPPLY, _ENTRY),
    "gear": (_GEAR, _PART, _ENTRY),
    "loads": (_LOAD, _ENTRY),
    "circuits": (_CIRCUIT, _CABLE, _ENTRY),
    "step": (_PART, _CABLE, _ENTRY),
    "zones": (_ZONE,),
    "routes": (_ROUTE, _CABLE, _ENTRY),
    "day": (_DAY,),
    "readings": (_READING,),
    "waivers": (_WAIVER,),
    **{name: (scope,) for name, scope in _MAPS.items()},
}

ENTRY_WORDS: Final[Scope] = {
    "supplies": About(words("supply"), words("its name is yours to give"), "{kind: battery}"),
    "gear": About(words("piece of gear"), words("its name is yours to give"), "{kind: block}"),
    "loads": About(words("load"), words("its name is yours to give"), "{claims: {power: 60 W}}"),
    "circuits": About(words("circuit"), words("named as its load, or as you like"), "{length: 7 m}"),
    "zones": About(words("zone"), words("its name is yours to give"), "{ambient: -20..55 degC}"),
    "places": About(words("place"), words("the zone whose air it has"), "cabin"),
    "about": About(words("entry"), words("any text"), "grey van"),
    "routes": About(
        words("route"), words("a length that was measured"), "{from: battery, to: bed, length: 3.4 m}"
    ),
    "day": About(words("span of the day"), words("a situation, and how long it lasts"), "{driving: 35 min}"),
    "readings": About(
        words("set of readings"), words("read at one time"), "{when: idling, values: [battery: 14.2 V]}"
    ),
    "waivers": About(
        words("waiver"),
        words("a finding that a person answers for"),
        "{rule: PRT001, where: lamp, reason: sealed in oil, by: J. Smith}",
    ),
    "step": About(words("step"), words("a name, a part, cable, or unknown"), "fuse"),
    "value": About(words("reading"), words("a point, or one to another, and the value"), "{battery: 14.2 V}"),
    "point": About(words("reading"), words("what the meter showed"), "14.2 V"),
    "load": About(words("load"), words("the name of a load"), "lamp"),
    "power": About(words("power"), words("what it takes then"), "350 W"),
    "claims": About(words("claim"), words("what its label or seller says"), "{power: 60 W, by: label}"),
    "measured": About(words("measurement"), words("at its own leads"), "{resistance: 2.1 ohm}"),
    "way": About(words("way"), words("name of a slot, pin or position"), "left"),
    "situation": About(words("situation"), words("what the vehicle does"), "driving"),
}
"""What an entry of a section, or an item of a list, is called."""


def about_key(scope: str, key: str) -> About | None:
    """Return a key of a section or small map in plain words; None where it has no such key.

    >>> about_key("circuits", "drop").label, about_key("step", "holder").example
    ('allowed fall of volts', 'tap')
    """
    return next((each[key] for each in _SCOPES.get(scope, ()) if key in each), None)
