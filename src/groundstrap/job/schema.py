"""The keys of a job file in one table for each kind of entry: how each is read, and what it applies to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Final

from groundstrap.job.faults import Spot, one_of
from groundstrap.job.forms import (
    Fields,
    Form,
    choice,
    count,
    family,
    insulation,
    number_of,
    plug_or_socket,
    quantity,
    size,
    span,
    text,
    usual_spelling,
    value_or_span,
    yes_no,
)
from groundstrap.job.tree import ScalarNode
from groundstrap.job.values import (
    ambient,
    bank,
    claims,
    cranking,
    curve,
    duty,
    fitted,
    inrush,
    measured,
    place,
    rating_or_ohm,
    runs,
    spots,
    stall,
    way_out,
    ways,
)
from groundstrap.model import GearKind, LoadKind, PartKind, State, SupplyKind
from groundstrap.records import dataclass
from groundstrap.units import Kind

__all__ = [
    "CABLE_KEYS",
    "CIRCUIT_KEYS",
    "GEAR_KEYS",
    "LOAD_KEYS",
    "MATERIALS",
    "PART_KEYS",
    "PART_WORDS",
    "ROUTE_KEYS",
    "STEP_KEYS",
    "SUPPLY_KEYS",
    "TOP_KEYS",
    "ZONE_KEYS",
    "Key",
    "Record",
    "read_record",
]

MATERIALS: Final = ("copper", "tinned copper", "copper-clad aluminium", "aluminium")
LAYINGS: Final = ("free", "loom", "conduit")
CHEMISTRIES: Final = ("flooded", "agm", "gel", "lfp")
SUPPRESSORS: Final = ("diode", "resistor", "none")
CONTACT_CLASSES: Final = ("resistive", "lamp", "motor", "inductive")
PART_WORDS: Final = tuple(str(kind) for kind in PartKind if kind is not PartKind.UNKNOWN)

Keys = Mapping[str, "Key"]


@dataclass(frozen=True, slots=True)
class Key:
    """One key: how its value is read, and the kinds of entry that it belongs to (none: all of them)."""

    form: Form
    kinds: frozenset[str] = frozenset()
    required: bool = False


@dataclass(slots=True)
class Record:
    """What was read of one entry: fields of the model, and the spot of each key that was written."""

    spot: Spot
    fields: Fields
    spots: dict[str, Spot] = field(default_factory=dict)


def _for(form: Form, *kinds: str) -> Key:
    return Key(form, frozenset(kinds))


_EVERY_ENTRY: Final[Keys] = {
    "state": Key(choice("state", "state", (State.EXISTING, State.REMOVE))),
    "note": Key(text("note")),
}

_CONVERTERS: Final = (SupplyKind.DC_DC, SupplyKind.SOLAR_CHARGER, SupplyKind.MAINS_CHARGER)

SUPPLY_KEYS: Final[Keys] = {
    "kind": Key(choice("kind", "kind of supply", SupplyKind), required=True),
    "at": Key(place("place")),
    "stud": Key(text("stud")),
    "chemistry": _for(choice("chemistry", "chemistry", CHEMISTRIES, unknown=True), "battery"),
    "bank": _for(bank, "battery"),
    "capacity": _for(number_of({Kind.CAPACITY: "capacity_ah", Kind.TIME: "reserve_s"}), "battery"),
    "cranking": _for(cranking, "battery"),
    "limit": _for(quantity("limit_a", Kind.CURRENT), "battery"),
    "rested": _for(quantity("rested_v", Kind.VOLTAGE), "battery"),
    "temperature": _for(quantity("temperature_c", Kind.TEMPERATURE, signed=True), "battery"),
    "resistance": _for(quantity("resistance_ohm", Kind.RESISTANCE), "battery"),
    "standing": _for(quantity("standing_a", Kind.CURRENT, least=None), "battery"),
    "running": _for(quantity("running_a", Kind.CURRENT, least=None), "battery"),
    "rating": _for(quantity("rating_a", Kind.CURRENT), "alternator"),
    "setpoint": _for(value_or_span("setpoint", Kind.VOLTAGE), "alternator", *_CONVERTERS),
    "idle": _for(number_of({Kind.PERCENT: "idle_pct", Kind.CURRENT: "idle_a"}), "alternator"),
    "current": _for(quantity("current_a", Kind.CURRENT), *_CONVERTERS),
    "efficiency": _for(quantity("efficiency_pct", Kind.PERCENT, most=100.0), *_CONVERTERS),
    "when": _for(text("when"), *_CONVERTERS),
    "isolated": _for(yes_no("isolated"), *_CONVERTERS),
    "power": _for(quantity("power_w", Kind.POWER), "solar"),
    "voltage": _for(quantity("voltage_v", Kind.VOLTAGE), "solar"),
    **_EVERY_ENTRY,
}

# What a part has, be it a step of a path or a piece of gear with a name.
PART_KEYS: Final[Keys] = {
    "family": _for(family("family"), "fuse", "breaker"),
    "breaks": _for(quantity("interrupt_a", Kind.CURRENT), "fuse", "breaker"),
    "holder": _for(text("holder"), "fuse", "breaker"),
    "coil": _for(quantity("coil_a", Kind.CURRENT), "relay"),
    "resistance": Key(quantity("resistance_ohm", Kind.RESISTANCE)),
    "closes": _for(quantity("closes_v", Kind.VOLTAGE), "relay", "switch", "isolator"),
    "opens": _for(quantity("opens_v", Kind.VOLTAGE), "relay", "switch", "isolator"),
    "when": Key(text("when")),
    "ignition_protected": Key(yes_no("ignition_protected")),
    "curve": _for(curve, "fuse", "breaker"),
    "plug": _for(plug_or_socket("plug"), "connector"),
    "suppressor": _for(choice("suppressor", "suppressor", SUPPRESSORS, unknown=True), "relay"),
    "rated_for": _for(choice("rated_for", "class of load", CONTACT_CLASSES), "switch", "relay", "isolator"),
    "solid_state": _for(yes_no("solid_state"), "switch", "relay", "isolator"),
    "rated_at": _for(quantity("rated_at_v", Kind.VOLTAGE), "switch", "relay", "isolator", "fuse", "breaker"),
}

GEAR_KEYS: Final[Keys] = {
    "kind": Key(choice("kind", "kind of gear", GearKind), required=True),
    "at": Key(place("place")),
    "rating": Key(quantity("rating_a", Kind.CURRENT)),
    "stud": Key(text("stud")),
    "ways": _for(ways, "block", "connector", "switch", "relay", "isolator"),
    "together": _for(number_of({Kind.CURRENT: "together_a", Kind.PERCENT: "together_pct"}), "block"),
    "spare": _for(quantity("spare_pct", Kind.PERCENT, most=100.0, least=None), "block"),
    **PART_KEYS,
    **_EVERY_ENTRY,
}

LOAD_KEYS: Final[Keys] = {
    "kind": Key(
        choice("kind", "kind of load", tuple(kind for kind in LoadKind if kind is not LoadKind.COIL))
    ),
    "at": Key(place("place")),
    "stud": Key(text("stud")),
    "count": Key(count("count")),
    "claims": Key(claims),
    "measured": Key(measured),
    "fitted": Key(fitted),
    "inrush": Key(inrush),
    "asleep": Key(quantity("asleep_a", Kind.CURRENT, least=None)),
    "duty": Key(duty),
    "works": Key(span("works", Kind.VOLTAGE)),
    "restart": Key(quantity("restart_v", Kind.VOLTAGE)),
    "efficiency": _for(quantity("efficiency_pct", Kind.PERCENT, most=100.0), "inverter"),
    "critical": Key(yes_no("critical")),
    "runs": Key(runs),
    "never_with": Key(spots("never_with", "load")),
    "largest_fuse": Key(quantity("largest_fuse_a", Kind.CURRENT)),
    "stall": Key(stall),
    **_EVERY_ENTRY,
}

_CABLE_WAYS: Final[Keys] = {
    "material": Key(choice("material", "material", MATERIALS)),
    "insulation": Key(insulation("insulation")),
    "colour": Key(text("colour")),
    "parallel": Key(count("parallel", most=20)),
    "laid": Key(choice("laid", "way to lay cable", LAYINGS)),
    "with": Key(count("others", most=100)),
}

CABLE_KEYS: Final[Keys] = {
    "wire": Key(size("size")),
    "length": Key(quantity("length_m", Kind.LENGTH)),
    **_CABLE_WAYS,
    **_EVERY_ENTRY,
}

STEP_KEYS: Final[Keys] = {
    **{word: Key(rating_or_ohm(word)) for word in PART_WORDS},
    **PART_KEYS,
    **CABLE_KEYS,
}

CIRCUIT_KEYS: Final[Keys] = {
    "path": Key(spots("path", "step", single=False)),
    "return": Key(spots("return", "step")),
    "wire": Key(size("size")),
    "fuse": Key(quantity("fuse_a", Kind.CURRENT)),
    "length": Key(way_out),
    "drop": Key(number_of({Kind.PERCENT: "drop_pct", Kind.VOLTAGE: "drop_v"})),
    "carries": Key(quantity("carries_a", Kind.CURRENT)),
    "label": Key(text("label")),
    **_CABLE_WAYS,
    **_EVERY_ENTRY,
}

ZONE_KEYS: Final[Keys] = {
    "ambient": Key(ambient),
    "wet": Key(choice("wet", "wetness", ("dry", "splash", "spray", "submerged"))),
    "vapour": Key(choice("vapour", "vapour", ("no", "petrol", "hydrogen"))),
    "closed": Key(yes_no("closed")),
}

ROUTE_KEYS: Final[Keys] = {
    "from": Key(place("start"), required=True),
    "to": Key(place("end"), required=True),
    "length": Key(quantity("length_m", Kind.LENGTH), required=True),
    "laid": Key(choice("laid", "way to lay cable", LAYINGS)),
    "with": Key(count("others", most=100)),
    "note": Key(text("note")),
}

TOP_KEYS: Final = (
    "groundstrap", "title", "about", "system", "basis", "units", "sizes", "body", "return", "supplies",
    "places", "zones", "routes", "gear", "loads", "circuits", "day", "stock", "readings", "waivers",
)  # fmt: skip


def read_record(spot: Spot, keys: Keys, what: str, *, kind: str | None = None) -> Record:
    """Read a map by its table of keys; `kind` is that of the entry where it is known already."""
    record = Record(spot, {})
    entries = spot.entries(f"a map of what the {what} is, in braces")
    written = {key.text: value for key, value in entries}
    if kind is None and "kind" in keys:
        kind = _kind_of(written.get("kind"))
    for key, value in entries:
        name = usual_spelling(key.text)
        known = keys.get(name)
        if known is None:
            nearest = _unknown_key(value.at(key), what, keys)
            if nearest is None or nearest in written:
                continue
            # Read as what was meant, so that nothing else in the file is a fault because of it.
            name, known = nearest, keys[nearest]
        if name in record.spots:
            value.at(key).fault(f"one of {name} and {key.text}", reason="it is written twice")
            continue
        if known.kinds and kind is not None and kind not in known.kinds:
            _misplaced_key(value.at(key), known.kinds, f"{what} of kind {kind}")
            continue
        record.spots[name] = value
        record.fields.update(known.form(value))
    for name, known in keys.items():
        if known.required and name not in written and name not in record.spots and _is_map(spot):
            spot.fault(f"{name} of the {what}", found="", reason=f"{name} is missing")
    return record


def _is_map(spot: Spot) -> bool:
    return not isinstance(spot.node, ScalarNode)


def _kind_of(spot: Spot | None) -> str | None:
    if spot is None or not isinstance(spot.node, ScalarNode):
        return None
    return spot.node.text.strip()


def _unknown_key(spot: Spot, what: str, keys: Keys) -> str | None:
    """Tell that a key is not known, and return the one that was likely meant."""
    known = tuple(keys)
    text_here = spot.node.text if isinstance(spot.node, ScalarNode) else ""
    nearest = spot.near(text_here, known)
    spot.fault(one_of("key", known), nearest=nearest, reason=f"no key of a {what}")
    return nearest


def _misplaced_key(spot: Spot, kinds: frozenset[str], what: str) -> None:
    spot.fault(f"it on {', '.join(sorted(kinds))} only", reason=f"a {what} has no such key")
