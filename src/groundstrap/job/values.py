"""Forms that belong to one key each: banks, claims, measurements, duty, ways and the like."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

from groundstrap.job.faults import Spot, one_of, said
from groundstrap.job.forms import (
    UNKNOWN,
    Fields,
    Form,
    Shape,
    ValueKind,
    formed,
    is_unknown,
    meter,
    quantity,
    read_choice,
    read_count,
    read_quantity,
    size,
    text,
    yes_no,
)
from groundstrap.job.tree import MapNode, ScalarNode, SequenceNode
from groundstrap.job.words import known_contacts, known_plugs
from groundstrap.model import Claim, Duty, Fitted, Inrush, Measurement, Situation, Stall
from groundstrap.units import Kind, Quantity

__all__ = [
    "ambient",
    "bank",
    "claims",
    "cranking",
    "curve",
    "duty",
    "fitted",
    "forbidden_in_name",
    "inrush",
    "measured",
    "place",
    "rating_or_ohm",
    "read_keys",
    "read_situation",
    "runs",
    "spots",
    "stall",
    "ways",
]

_BANK: Final = re.compile(r"(\d{1,2}) in (series|parallel)")
_STANDARDS: Final = ("EN", "SAE")
_NAME_LIKE: Final = re.compile(r"[A-Za-z]{3,}|\d+[ -]?(?:pins?|poles?|ways?)\b")
"""Words, or a count of pins: no attempt at a current."""
_NOT_IN_NAMES: Final = ",:#[]{}"
_WAYS_TAKEN: Final = frozenset({"in", "out", "coil", "+", "-"})


def forbidden_in_name(name: str) -> str | None:
    """Return what a name may not hold and does, or None.

    >>> forbidden_in_name("bed, left"), forbidden_in_name("road to nowhere"), forbidden_in_name("bow light")
    (',', ' to ', None)
    """
    found = next((mark for mark in _NOT_IN_NAMES if mark in name), None)
    if found is not None:
        return found
    return " to " if " to " in f" {name} " else None


def read_keys(spot: Spot, forms: dict[str, Form], what: str) -> Fields | None:
    """Read a small map by its forms; None where a key is unknown or a value can't be read."""
    before = len(spot.faults.found)
    fields: Fields = {}
    for key, value in spot.entries(f"a map with {', '.join(forms)}"):
        form = forms.get(key.text)
        if form is None:
            known = tuple(forms)
            value.at(key).fault(
                one_of("key", known), nearest=spot.near(key.text, known), reason=f"no key of {what}"
            )
            continue
        fields.update(form(value))
    return fields if len(spot.faults.found) == before else None


def place(into: str) -> Form:
    """The name of a place."""

    def read(spot: Spot) -> Fields:
        word = spot.word("the name of a place")
        if word is None:
            return {}
        mark = forbidden_in_name(word)
        if mark is not None:
            spot.fault("a name without , : # [ ] { } and ' to '", reason=f"a name never holds '{mark}'")
            return {}
        return {into: word}

    return Form(read, Shape(kind=ValueKind.NAME, names="place"))


def spots(into: str, what: str, *, single: bool = True) -> Form:
    """A list whose members are read later, when all names are known; one alone where that is allowed."""

    def read(spot: Spot) -> Fields:
        if isinstance(spot.node, SequenceNode):
            return {into: spot.items(f"a list of {what}s")}
        if single and spot.word(f"a {what}, or a list of them") is not None:
            return {into: [spot]}
        if not single:
            spot.fault(f"a list of {what}s, in brackets", reason="it is no list")
        return {}

    if what == "step":
        return Form(read, Shape(kind=ValueKind.PATH, names=what, alone=single))
    each = Form(text(what).read, Shape(kind=ValueKind.NAME, names=what))
    return Form(read, Shape(kind=ValueKind.LIST, names=what, each=each, alone=single))


ABOUT: Final = "about "
"""Before a length that nobody has measured yet."""


@formed(Shape(kind=ValueKind.QUANTITY, quantities=(Kind.LENGTH,), unknown=True))
def way_out(spot: Spot) -> Fields:
    """The whole way out of a circuit; `about 5 m` is listed as assumed until somebody measures it."""
    if is_unknown(spot):
        return {}
    node = spot.node
    guessed = isinstance(node, ScalarNode) and node.text.strip().startswith(ABOUT)
    if guessed and isinstance(node, ScalarNode):
        text_ = node.text.strip().removeprefix(ABOUT)
        spot = spot.at(ScalarNode(text_, node.start, node.end, node.line, node.column))
    found = read_quantity(spot, Kind.LENGTH)
    return {} if found is None else {"length_m": found.value, "guessed": guessed}


@formed(Shape(kind=ValueKind.TEXT))
def bank(spot: Spot) -> Fields:
    """`2 in series` or `2 in parallel`."""
    wanted = "such as 2 in series, or 2 in parallel"
    word = spot.word(wanted)
    if word is None:
        return {}
    match = _BANK.fullmatch(word)
    if match is None or int(match[1]) < 2:
        spot.fault(wanted, reason="it is no bank")
        return {}
    return {match[2]: int(match[1])}


_AMPS: Final = re.compile(r"(\d+) ?(?:A|amps?)?", re.IGNORECASE)


@formed(Shape(kind=ValueKind.TEXT, unknown=True))
def cranking(spot: Spot) -> Fields:
    """`640 A EN` or `640 A SAE`: the two standards differ, so one of them is named."""
    if is_unknown(spot):
        return {}
    wanted = "a current with its standard, such as 640 A EN or 640 A SAE"
    word = spot.word(wanted)
    if word is None:
        return {}
    head, _, standard = word.rpartition(" ")
    if standard not in _STANDARDS:
        nearest = f"{head} {standard.upper()}" if standard.upper() in _STANDARDS else None
        amps = _AMPS.fullmatch(word)
        if amps is not None:
            wanted = f"{amps[1]} A EN or {amps[1]} A SAE, whichever its label says; CCA is SAE's"
        spot.fault(wanted, nearest=nearest, reason="the standard is missing, and the two differ")
        return {}
    node = spot.node
    part = ScalarNode(head, node.start, node.end, node.line, node.column)
    found = read_quantity(spot.at(part), Kind.CURRENT)
    return {} if found is None else {"cranking_a": found.value, "cranking_standard": standard}


@formed(Shape(kind=ValueKind.QUANTITY, quantities=(Kind.TEMPERATURE,), ends=True))
def ambient(spot: Spot) -> Fields:
    """The coldest and hottest air of a zone; one temperature is both."""
    found = read_quantity(spot, Kind.TEMPERATURE, ranges=True, least=None)
    if found is None:
        return {}
    if found.low is None or found.high is None:
        return {"low_c": found.value, "high_c": found.value}
    return {"low_c": found.low, "high_c": found.high}


@formed(Shape(kind=ValueKind.NAME, names="file"))
def curve(spot: Spot) -> Fields:
    """The file with a maker's own time-current points; the reader of the job opens it."""
    word = spot.word("the name of a CSV file beside the job file")
    return {} if word is None else {"curve": word}


@formed(Shape(kind=ValueKind.LIST, names="way", each=text("way"), alone=True))
def ways(spot: Spot) -> Fields:
    """A count, or names: slots of a block, pins of a connector, positions of a switch."""
    if not isinstance(spot.node, SequenceNode):
        found = read_count(spot, most=200)
        return {} if found is None else {"ways": tuple(str(number + 1) for number in range(found))}
    names: list[str] = []
    for item in spot.items("a count or a list of names"):
        name = item.word("the name of a way")
        if name is None:
            continue
        mark = forbidden_in_name(name)
        if mark is not None:
            item.fault("a name without , : # [ ] { } and ' to '", reason=f"a name never holds '{mark}'")
        elif name in _WAYS_TAKEN or name.split()[-1] in _WAYS_TAKEN:
            item.fault("another name", reason="points are named with in, out, coil, + and - already")
        elif name in names:
            item.fault("each way once", reason="two ways of one name")
        else:
            names.append(name)
    return {"ways": tuple(names)}


def rating_or_ohm(word: str) -> Form:
    """What stands behind a part's own word in a step: its rating, nothing, or `unknown`."""
    kinds = (Kind.CURRENT, Kind.RESISTANCE) if word == "resistor" else (Kind.CURRENT,)

    def read(spot: Spot) -> Fields:
        if isinstance(spot.node, ScalarNode) and spot.node.empty:
            return {}
        if is_unknown(spot):
            return {"unknown_rating": True}
        if _is_name(spot):
            _name_for_rating(spot, word)
            return {}
        found = read_quantity(spot, kinds)
        if found is None:
            return {}
        return {"resistance_ohm" if found.kind is Kind.RESISTANCE else "rating_a": found.value}

    return Form(read, Shape(kind=ValueKind.QUANTITY, quantities=kinds, unknown=True))


_CLAIM: Final[dict[str, Form]] = {
    "power": quantity("power_w", Kind.POWER),
    "current": quantity("current_a", Kind.CURRENT),
    "voltage": quantity("voltage_v", Kind.VOLTAGE),
    "temperature": quantity("temperature_c", Kind.TEMPERATURE, signed=True),
    "by": text("by"),
}


@formed(Shape(kind=ValueKind.MAP, parts=_CLAIM, several=True, unknown=True))
def claims(spot: Spot) -> Fields:
    """One claim, a list of them, or `unknown`."""
    if is_unknown(spot):
        return {"claims_unknown": True}
    found = [claim for one in _one_or_several(spot) if (claim := _claim(one)) is not None]
    return {"claims": tuple(found)} if found else {}


def _is_name(spot: Spot) -> bool:
    """Whether words stand where a rating is wanted: a name, or the kind of a plug, such as `13 pin`."""
    if not isinstance(spot.node, ScalarNode):
        return False
    text_here = spot.node.text.strip()
    return _NAME_LIKE.match(text_here) is not None


def _name_for_rating(spot: Spot, word: str) -> None:
    """Tell where what was written for a rating belongs."""
    wanted = f"a current, such as {word}: 20 A"
    nearest = None
    if word == "connector":
        kinds = known_contacts()
        nearest = spot.near(said(spot.node, spot.faults.text), kinds)
        nearest = None if nearest is None else f"connector, plug: {nearest}"
        wanted += f"; what plug or socket it is goes under plug ({one_of('plug', kinds)})"
    elif word in {"fuse", "breaker"}:
        wanted += "; its type goes under family"
    wanted += "; a part with a name stands in gear, and its name alone in the path"
    spot.fault(wanted, nearest=nearest, reason="it is no current")


def _one_or_several(spot: Spot) -> list[Spot]:
    if isinstance(spot.node, SequenceNode):
        return spot.items("a list")
    if isinstance(spot.node, MapNode):
        return [spot]
    spot.fault(
        f"a map in braces, a list of them, or {UNKNOWN}", reason="one text stands where a map is wanted"
    )
    return []


def _claim(spot: Spot) -> Claim | None:
    fields = read_keys(spot, _CLAIM, "a claim")
    if fields is None or not _exactly_one(spot, fields, ("power_w", "current_a"), "power or current"):
        return None
    return Claim(**fields, text=_source(spot))


def _source(spot: Spot) -> str:
    return " ".join(spot.faults.text[spot.node.start : spot.node.end].split())


def _exactly_one(spot: Spot, fields: Fields, names: Iterable[str], words: str) -> bool:
    there = [name for name in names if name in fields]
    if len(there) == 1:
        return True
    reason = "two values stand in one map" if there else "the value is missing"
    spot.fault(f"one of {words}; a list of maps where there are several", reason=reason)
    return False


def _kept(into: str, kind: Kind, *, unknown: bool = False) -> Form:
    """Keep the whole quantity: its tolerance and its last digit count; `unknown`, if allowed, is None."""

    def read(spot: Spot) -> Fields:
        if unknown and is_unknown(spot):
            return {into: None}
        found = read_quantity(spot, kind)
        return {} if found is None else {into: found}

    return Form(read, Shape(kind=ValueKind.QUANTITY, quantities=(kind,), unknown=unknown))


_MEASURED: Final[dict[str, Form]] = {
    "resistance": _kept("resistance", Kind.RESISTANCE),
    "current": _kept("current", Kind.CURRENT),
    "power": _kept("power", Kind.POWER),
    "voltage": _kept("voltage", Kind.VOLTAGE, unknown=True),
    "leads": quantity("leads_ohm", Kind.RESISTANCE, least=None),
    "meter": meter("meter"),
}
_MEASURED_FIELDS: Final = {"resistance": "resistance_ohm", "current": "current_a", "power": "power_w"}


@formed(Shape(kind=ValueKind.MAP, parts=_MEASURED, several=True))
def measured(spot: Spot) -> Fields:
    """Readings at the load's own leads."""
    found = [one for item in _one_or_several(spot) if (one := _measurement(item)) is not None]
    return {"measured": tuple(found)} if found else {}


def _measurement(spot: Spot) -> Measurement | None:
    fields = read_keys(spot, _MEASURED, "a measurement")
    if fields is None or not _exactly_one(spot, fields, _MEASURED_FIELDS, "resistance, current or power"):
        return None
    what = next(name for name in _MEASURED_FIELDS if name in fields)
    value: Quantity = fields.pop(what)
    if what != "resistance" and "voltage" not in fields:
        spot.fault("the voltage at which it was read, or unknown", reason="voltage is missing")
        return None
    voltage: Quantity | None = fields.pop("voltage", None)
    fields[_MEASURED_FIELDS[what]] = value.value
    return Measurement(
        **fields,
        voltage_v=None if voltage is None else voltage.value,
        half_width=value.plus_minus,
        last_digit=value.last_digit,
        voltage_half_width=None if voltage is None else voltage.plus_minus,
        voltage_last_digit=0.0 if voltage is None else voltage.last_digit,
        text=_source(spot),
    )


@formed(Shape(kind=ValueKind.CHOICE, choices=known_plugs))
def _plug(spot: Spot) -> Fields:
    word = spot.word("a plug")
    if word is None:
        return {}
    known = known_plugs()
    if word not in known:
        spot.fault(one_of("plug", known), nearest=spot.near(word, known), reason="no plug of that name")
        return {}
    return {"plug": word}


_FITTED: Final[dict[str, Form]] = {
    "wire": size("wire"),
    "length": quantity("length_m", Kind.LENGTH),
    "fuse": quantity("fuse_a", Kind.CURRENT),
    "plug": _plug,
}
_INRUSH: Final[dict[str, Form]] = {
    "current": quantity("current_a", Kind.CURRENT),
    "time": quantity("time_s", Kind.TIME),
}
_STALL: Final[dict[str, Form]] = {
    "current": quantity("current_a", Kind.CURRENT),
    "survives": yes_no("survives"),
}
_DUTY: Final[dict[str, Form]] = {
    "run": quantity("run_s", Kind.TIME),
    "every": quantity("every_s", Kind.TIME),
}


@formed(Shape(kind=ValueKind.MAP, parts=_FITTED))
def fitted(spot: Spot) -> Fields:
    """What the load came with."""
    fields = read_keys(spot, _FITTED, "what it came with")
    return {} if fields is None else {"fitted": Fitted(**fields)}


def _whole(spot: Spot, forms: dict[str, Form], what: str, needed: tuple[str, ...]) -> Fields | None:
    """Read a map in which some keys are needed; of those that are `unknown` no field comes back."""
    fields = read_keys(spot, forms, what)
    if fields is None or not isinstance(spot.node, MapNode):
        return None
    written = {entry.key.text for entry in spot.node.entries}
    missing = [name for name in needed if name not in written]
    if missing:
        spot.fault(f"{' and '.join(needed)}", reason=f"{missing[0]} is missing")
        return None
    return fields


@formed(Shape(kind=ValueKind.MAP, parts=_INRUSH))
def inrush(spot: Spot) -> Fields:
    """Current at switch-on and for how long."""
    fields = _whole(spot, _INRUSH, "an inrush", ("current", "time"))
    if fields is None:
        return {}
    if "current_a" not in fields:
        # Left out it would count as none, and that is more than anybody knows.
        spot.fault("its current, read with a clamp that holds the peak", reason="the current is not known")
        return {}
    return {"inrush": Inrush(**fields)}


@formed(Shape(kind=ValueKind.QUANTITY, quantities=(Kind.CURRENT,), parts=_STALL, unknown=True))
def stall(spot: Spot) -> Fields:
    """Current of the blocked motor, and whether it survives that."""
    if isinstance(spot.node, ScalarNode):
        found = None if is_unknown(spot) else read_quantity(spot, Kind.CURRENT)
        return {} if found is None else {"stall": Stall(current_a=found.value)}
    fields = _whole(spot, _STALL, "a stall", ("current",))
    return {} if not fields else {"stall": Stall(**fields)}


@formed(
    Shape(
        kind=ValueKind.QUANTITY,
        quantities=(Kind.PERCENT,),
        choices=lambda: ("continuous",),
        parts=_DUTY,
        unknown=True,
    )
)
def duty(spot: Spot) -> Fields:
    """`continuous`, a share, or `{run: 40 s, every: 4 min}`; one that is not known counts as `continuous`."""
    if is_unknown(spot):
        return {}
    if isinstance(spot.node, ScalarNode):
        if spot.node.text.strip() == "continuous":
            return {"duty": Duty()}
        found = read_quantity(spot, Kind.PERCENT)
        if found is None:
            return {}
        if found.value > 100.0:
            spot.fault("at most 100 %", reason="a share of more than everything")
            return {}
        return {"duty": Duty(share_pct=found.value, written=True)}
    fields = _whole(spot, _DUTY, "a duty", ("run", "every"))
    if fields is None or not {"run_s", "every_s"} <= fields.keys():
        return {}
    if fields["run_s"] > fields["every_s"]:
        spot.fault(
            "a run that ends before the next begins", reason="it runs longer than it takes to come again"
        )
        return {}
    share_pct = 100.0 * fields["run_s"] / fields["every_s"]
    return {"duty": Duty(share_pct=share_pct, written=True, **fields)}


def read_situation(spot: Spot) -> Situation | None:
    """Read a situation by its name."""
    word = read_choice(spot, "situation", tuple(Situation))
    return None if word is None else Situation(word)


@formed(
    Shape(
        kind=ValueKind.LIST,
        names="situation",
        choices=lambda: tuple(Situation),
        each=text("situation"),
        alone=True,
    )
)
def runs(spot: Spot) -> Fields:
    """Situations in which a load may run."""
    several = spot.items("a list of situations") if isinstance(spot.node, SequenceNode) else [spot]
    found = frozenset(one for item in several if (one := read_situation(item)) is not None)
    return {"runs": found, "runs_written": True} if found else {}
