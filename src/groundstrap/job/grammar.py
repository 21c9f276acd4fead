"""The whole job file as one form: what may stand at each path of keys, and how it is judged there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from groundstrap.job.data import is_number
from groundstrap.job.equipment import RESERVED
from groundstrap.job.faults import Spot, one_of
from groundstrap.job.forms import (
    Fields,
    Form,
    Shape,
    ValueKind,
    choice,
    day,
    formed,
    meter,
    quantity,
    read_quantity,
    text,
)
from groundstrap.job.reader import BODIES, FORMAT, SYSTEMS
from groundstrap.job.schema import (
    CIRCUIT_KEYS,
    GEAR_KEYS,
    LOAD_KEYS,
    PART_WORDS,
    ROUTE_KEYS,
    STEP_KEYS,
    SUPPLY_KEYS,
    TOP_KEYS,
    ZONE_KEYS,
    Key,
    read_record,
)
from groundstrap.job.steps import read_steps
from groundstrap.job.tree import MapNode, Node, ScalarNode, SequenceNode
from groundstrap.job.values import curve, forbidden_in_name, read_keys, spots
from groundstrap.model import Basis, Situation
from groundstrap.units import Kind

__all__ = ["NAMED_SECTIONS", "ROOT", "Place", "judge", "place_of"]

NAMED_SECTIONS: Final = ("supplies", "gear", "loads", "circuits", "zones")
"""Sections whose entries are maps, each under a name of its own."""

_LARGEST_PATH: Final = 20


def _record(keys: Mapping[str, Key], what: str) -> Form:
    def read(spot: Spot) -> Fields:
        read_record(spot, keys, what)
        return {}

    return Form(read, Shape(kind=ValueKind.MAP, parts=keys))


def _named(each: Form, what: str) -> Form:
    def read(spot: Spot) -> Fields:
        for key, value in spot.entries(f"a map: the name of each {what}, and what it is"):
            judge_name(value.at(key), what)
            each(value)
        return {}

    return Form(read, Shape(kind=ValueKind.MAP, names=what, each=each))


def judge_name(key: Spot, what: str) -> None:
    """Tell where an entry can't have its name."""
    name = key.word("a name")
    mark = None if name is None else forbidden_in_name(name)
    if mark is not None:
        key.fault("a name without , : # [ ] { } and ' to '", reason=f"a name never holds '{mark}'")
    elif name in RESERVED and what in {"supply", "piece of gear", "load"}:
        key.fault("another name", reason=f"{name} means something of its own in paths")


def _list(each: Form, wanted: str) -> Form:
    def read(spot: Spot) -> Fields:
        for item in spot.items(wanted):
            each(item)
        return {}

    return Form(read, Shape(kind=ValueKind.LIST, each=each))


def _small(parts: dict[str, Form], what: str) -> Form:
    def read(spot: Spot) -> Fields:
        read_keys(spot, parts, what)
        return {}

    return Form(read, Shape(kind=ValueKind.MAP, parts=parts))


@formed(Shape(kind=ValueKind.CHOICE, choices=lambda: SYSTEMS))
def _system(spot: Spot) -> Fields:
    found = read_quantity(spot, Kind.VOLTAGE)
    if found is not None and (found.value not in {12.0, 24.0, 48.0} or found.plus_minus is not None):
        spot.fault(one_of("system voltage", SYSTEMS), reason="no system voltage of vehicles and boats here")
    return {}


@formed(Shape(kind=ValueKind.CHOICE, choices=lambda: (FORMAT,)))
def _format(spot: Spot) -> Fields:
    if spot.word(FORMAT) not in {None, FORMAT}:
        spot.fault(FORMAT, reason="this version of the format is not known here")
    return {}


@formed(Shape(kind=ValueKind.TEXT, names="step", parts=STEP_KEYS))
def STEP(spot: Spot) -> Fields:
    """One step of a path."""
    read_steps([spot])
    return {}


_supply_record: Final = _record(SUPPLY_KEYS, "supply")


@formed(Shape(kind=ValueKind.MAP, parts=SUPPLY_KEYS, choices=lambda: ("none",)))
def _supply(spot: Spot) -> Fields:
    none = isinstance(spot.node, ScalarNode) and spot.node.text.strip() == "none"
    return {} if none and spot.key[-1] == "alternator" else _supply_record(spot)


@formed(Shape(kind=ValueKind.NAME, names="zone"))
def _zone_name(spot: Spot) -> Fields:
    spot.word("the name of a zone")
    return {}


@formed(Shape(kind=ValueKind.NAME, names="load", parts={}, each=quantity("power_w", Kind.POWER)))
def _running(spot: Spot) -> Fields:
    """A load that runs, or `{load: its power}`."""
    if isinstance(spot.node, MapNode):
        for _, value in spot.entries("a load and its power"):
            read_quantity(value, Kind.POWER)
    else:
        spot.word("the name of a load")
    return {}


def _loads(*more: str) -> Form:
    def read(spot: Spot) -> Fields:
        several = spot.items("a list of loads") if isinstance(spot.node, SequenceNode) else [spot]
        for item in several:
            _running(item)
        return {}

    shape = Shape(kind=ValueKind.LIST, names="load", each=_running, alone=True, choices=lambda: more)
    return Form(read, shape)


_USING: Final = {"using": _loads("all", "none"), "except": _loads()}

DAY_KEYS: Final[dict[str, Form]] = {
    **{str(each): quantity("time_s", Kind.TIME) for each in Situation},
    **_USING,
    "temperature": quantity("temperature_c", Kind.TEMPERATURE, signed=True),
    "sun": quantity("sun_s", Kind.TIME, least=None),
}


@formed(Shape(kind=ValueKind.QUANTITY, quantities=(Kind.VOLTAGE, Kind.CURRENT, Kind.TEMPERATURE)))
def _reading(spot: Spot) -> Fields:
    read_quantity(spot, (Kind.VOLTAGE, Kind.CURRENT, Kind.TEMPERATURE), least=None)
    return {}


VALUE_KEYS: Final[dict[str, Form]] = {"meter": meter("meter"), "note": text("note")}


@formed(Shape(kind=ValueKind.MAP, names="point", parts=VALUE_KEYS, each=_reading))
def _value(spot: Spot) -> Fields:
    for key, value in spot.entries(
        "a point, or two with ' to ' between, and what was read: battery: 12.62 V"
    ):
        VALUE_KEYS.get(key.text, _reading)(value)
    return {}


READING_KEYS: Final[dict[str, Form]] = {
    "when": choice("when", "situation", Situation),
    **_USING,
    "meter": meter("meter"),
    "date": day("date"),
    "by": text("by"),
    "mended": text("mended"),
    "values": _list(_value, "a list of values, such as - battery: 12.6 V"),
}
WAIVER_KEYS: Final[dict[str, Form]] = {key: text(key) for key in ("rule", "where", "reason", "by")}

_TOP: Final[dict[str, Form]] = {
    "groundstrap": _format,
    "title": text("title"),
    "about": _named(text("about"), "text"),
    "system": _system,
    "basis": choice("basis", "basis", Basis),
    "units": choice("units", "units", ("metric", "us")),
    "sizes": choice("sizes", "sizes", ("metric", "awg")),
    "body": choice("body", "body", BODIES),
    "return": spots("return", "step"),
    "supplies": _named(_supply, "supply"),
    "places": _named(_zone_name, "place"),
    "zones": _named(_record(ZONE_KEYS, "zone"), "zone"),
    "routes": _list(_record(ROUTE_KEYS, "route"), "a list of {from, to, length}"),
    "gear": _named(_record(GEAR_KEYS, "piece of gear"), "piece of gear"),
    "loads": _named(_record(LOAD_KEYS, "load"), "load"),
    "circuits": _named(_record(CIRCUIT_KEYS, "circuit"), "circuit"),
    "day": _list(_small(DAY_KEYS, "a span of the day"), "a list of spans, such as {driving: 35 min}"),
    "stock": curve,
    "readings": _list(_small(READING_KEYS, "a set of readings"), "a list of readings"),
    "waivers": _list(_small(WAIVER_KEYS, "a waiver"), "a list of {rule, where, reason, by}"),
}  # fmt: skip
_REQUIRED: Final = frozenset({"groundstrap", "title", "system"})

ROOT: Final = Form(
    lambda _: {},
    Shape(
        kind=ValueKind.MAP,
        parts={name: Key(_TOP[name], required=name in _REQUIRED) for name in TOP_KEYS},
    ),
)
"""The file itself: a map of its sections."""


class Place:
    """What may stand at a path of keys: its form, and the record that it is a key of."""

    __slots__ = ("form", "known", "order", "parent", "parts", "step", "what")

    def __init__(self, form: Form | None, parent: Form | None, what: str) -> None:
        """Keep what was found; `form` is None where no key of that name is."""
        self.form, self.parent, self.what = form, parent, what
        shape = None if parent is None else parent.shape
        self.parts: Mapping[str, Key | Form] = {} if shape is None or shape.parts is None else shape.parts
        self.known = tuple(self.parts)
        self.step = parent is STEP

    @property
    def is_list(self) -> bool:
        """Whether a list may stand here."""
        if self.form is None:
            return False
        shape = self.form.shape
        return shape.kind in {ValueKind.LIST, ValueKind.PATH} or shape.several


def form_of(part: Key | Form) -> Form:
    """Return the form of a key, however its table keeps it."""
    return part.form if isinstance(part, Key) else part


_WHAT: Final = {
    "supplies": "supply", "gear": "piece of gear", "loads": "load", "circuits": "circuit", "zones": "zone",
    "routes": "route", "day": "span of the day", "readings": "set of readings", "waivers": "waiver",
}  # fmt: skip


def place_of(path: Sequence[str]) -> Place:
    """Return what may stand at a path of keys, numbers of list items among them.

    >>> place_of(("loads", "pump", "claims", "power")).form.shape.quantities[0].value
    'power'
    >>> place_of(("circuits", "pump", "path", "1", "fuse")).step
    True
    """
    form: Form | None = ROOT
    parent: Form | None = None
    for number, key in enumerate(path[:_LARGEST_PATH]):
        if form is None:
            return Place(None, None, "")
        parent, form = form, _below(form, key, last=path[number - 1] if number else "")
        if parent.shape.several and is_number(key):
            parent = None
    return Place(form, parent, _WHAT.get(path[0], "job") if path else "job")


def _below(form: Form, key: str, *, last: str) -> Form | None:
    shape = form.shape
    if shape.several and is_number(key):
        one = Shape(kind=shape.kind, parts=shape.parts)
        return Form(form.read, one)
    if shape.kind is ValueKind.PATH:
        return STEP if is_number(key) else None
    if shape.parts is not None and key in shape.parts:
        return form_of(shape.parts[key])
    return shape.each if shape.each is not None and (key or last) else None


def judge(spot: Spot, place: Place, beside: Node | None) -> None:
    """Judge a value where it stands; `beside` is the map that it is in, which says of what kind that is."""
    key = spot.key[-1] if spot.key else ""
    if place.form is None:
        shape = None if place.parent is None else place.parent.shape
        if shape is not None and shape.parts:
            near = spot.near(key, place.known)
            spot.fault(
                one_of("key", place.known), found=key, nearest=near, reason="no key of that name is read here"
            )
        else:
            spot.fault("a key that the job file has", found=key, reason="nothing is known by that path")
        return
    part = place.parts.get(key)
    if isinstance(part, Key) and part.kinds and isinstance(beside, MapNode):
        kind = _kind_in(beside, step=place.step)
        if kind is not None and kind not in part.kinds:
            what = kind if place.step else f"{place.what} of kind {kind}"
            wanted = f"it on {', '.join(sorted(part.kinds))} only"
            spot.fault(wanted, found=key, reason=f"a {what} has no such key")
            return
    if place.parent is not None and place.parent.shape.names and place.parent.shape.parts is None:
        judge_name(spot.at(ScalarNode(key, 0, 0, spot.node.line, spot.node.column)), place.parent.shape.names)
    place.form(spot)


def _kind_in(node: MapNode, *, step: bool) -> str | None:
    if step:
        return next((e.key.text for e in node.entries if e.key.text in PART_WORDS), None)
    return next(
        (e.value.text for e in node.entries if e.key.text == "kind" and isinstance(e.value, ScalarNode)), None
    )
