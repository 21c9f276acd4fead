"""A first job from what somebody types in passing: what it is, its label, a reading, how far, fed from where.

Nothing is changed in silence: what was read otherwise than typed, or looks like a slip, comes back as one.
"""

from __future__ import annotations

import re
from dataclasses import field
from enum import StrEnum
from typing import Final

from groundstrap.errors import QuantityError
from groundstrap.job.data import Data
from groundstrap.job.device_words import BOAT_WORDS, BOTH_WAYS, BOXES, KIND_WORDS, PLACES, SOCKETS
from groundstrap.job.edits import Edit, EditKind, edited
from groundstrap.job.equipment import RESERVED
from groundstrap.job.forms import UNKNOWN
from groundstrap.job.new import NewJob, new_job_text
from groundstrap.job.typed import Amount, Typed, taken_apart
from groundstrap.job.words import built_in_zones
from groundstrap.model import Basis, LoadKind
from groundstrap.records import dataclass, replace
from groundstrap.units import Kind, parse_size

__all__ = ["FirstLook", "Slip", "SlipKind", "Source", "Understood", "understood"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstLook:
    """What somebody typed, each as it was typed; any of it may be left empty."""

    kind: str = ""
    """What it is: light bar, cool box, bilge pump."""
    label: str = ""
    """What its label or seller says: 45W, 5 amps, 12V 3.2A."""
    measured: str = ""
    """What a meter showed: 3.2 A at 12.6."""
    distance: str = ""
    """How far, one way: 4 m, 13 ft."""
    fed_from: str = ""
    """Starter battery, socket, fuse box, or the place of the battery."""
    wire: str = ""
    """Wire that is there already or lies on the shelf: 4 mm2, 12 AWG."""
    title: str = ""
    system: str = ""
    basis: str = ""


class SlipKind(StrEnum):
    """What was read otherwise than typed, or looks like a slip."""

    COMMA = "a comma was read as a decimal point"
    NO_UNIT = "a number without a unit"
    WATTS_AS_AMPS = "amperes that would be watts"
    AMPS_AS_MILLIAMPS = "amperes that would be milliamperes"
    TOO_SMALL = "less than such a thing draws"
    PRODUCT = "volts times amperes are not the watts"
    NO_VOLTS = "a current read at unknown volts"
    VOLTS_ALONE = "volts alone tell no current"
    FUSE = "a fuse is no draw"
    PEAK = "a peak is no draw"
    OTHER_VOLTS = "volts that the vehicle has not got"
    ABOVE_LABEL = "a reading far above its label"
    BOTH_WAYS = "a length out and back was halved"
    LONG = "a length that may be doubled"
    SHORT = "a length that is none"
    DIAMETER = "millimetres that are no size"
    NO_SIZE = "no size of wire"
    RANGE = "the upper end of a range was taken"
    NOT_UNDERSTOOD = "not understood"


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """One of them: the field, what was typed, what was taken, and what else may have been meant."""

    kind: SlipKind
    field: str
    given: str
    taken: str = ""
    meant: str = ""
    """What to type in that field instead, where that is likely."""
    value: float | None = None
    """Of a current that would be absurd, its power; of a product, what it comes to [W]; of a reading, how
    many times its label it is."""


class Source(StrEnum):
    """What the load is fed from."""

    BATTERY = "battery"
    SOCKET = "socket"
    FUSE_BOX = "fuse box"


@dataclass(slots=True, kw_only=True)
class Understood:
    """What was understood, and the job's text that says it."""

    name: str = "load"
    kind: LoadKind = LoadKind.OTHER
    known_kind: bool = False
    system_v: float = 12.0
    system_said: bool = False
    basis: Basis = Basis.ROAD
    count: int = 1
    power: Amount | None = None
    current: Amount | None = None
    label_v: Amount | None = None
    works: str = ""
    readings: dict[str, str] = field(default_factory=dict)
    """Keys and texts of one measurement."""
    fuse: str = ""
    length: str = ""
    """One way; empty where nothing was said."""
    wire: str = ""
    source: Source = Source.BATTERY
    battery: str = "battery"
    place: str = "engine bay"
    source_said: bool = False
    slips: list[Slip] = field(default_factory=list)
    text: str = ""

    def slip(self, kind: SlipKind, where: str, given: str, taken: str = "",
        *, meant: str = "",
             value: float | None = None) -> None:  # fmt: skip
        """Note a slip."""
        self.slips.append(Slip(kind=kind, field=where, given=given, taken=taken, meant=meant, value=value))


_MOST_W: Final[dict[LoadKind, float]] = {
    LoadKind.LED: 500.0, LoadKind.LAMP: 300.0, LoadKind.ELECTRONICS: 600.0, LoadKind.FAN: 500.0,
    LoadKind.PUMP: 700.0, LoadKind.COMPRESSOR: 1500.0, LoadKind.PTC_HEATER: 700.0, LoadKind.HEATER: 1500.0,
    LoadKind.CHARGER: 1500.0, LoadKind.OTHER: 1500.0, LoadKind.MOTOR: 6000.0, LoadKind.INVERTER: 6000.0,
}  # fmt: skip
"""From so many watts a current looks like watts that were typed for amperes. [W] Own judgement."""
_LEAST_RUNNING_A: Final = 0.05
"""Less no motor, pump, heater or lamp draws while it runs. [A] Own judgement."""
_MISMATCH: Final = 1.25
"""So much volts times amperes may differ from the watts beside them. Own judgement."""
_ABOVE_LABEL: Final = 2.0
"""No load draws so many times its label: ohms take 1.44 times as much at 14.4 V as at 12 V, and a label and a
meter are off by less than the rest. Own judgement."""
_LONGEST_M: Final = {Basis.ROAD: 12.0, Basis.BOAT: 18.0}
"""A longer way may be out and back. [m] Own judgement."""
_SHORTEST_M: Final = 0.05
_SYSTEMS: Final = ((12.0, 10.0, 16.0), (24.0, 20.0, 32.0), (48.0, 40.0, 60.0))


def understood(look: FirstLook) -> Understood:
    """Return what was understood of a few typed words, with the text of the job that they make.

    >>> made = understood(FirstLook(kind="light bar", label="45W", distance="4 m"))
    >>> made.kind.value, made.power.text, made.length
    ('led', '45 W', '4 m')
    """
    made = Understood()
    named = taken_apart(look.kind)
    label = taken_apart(look.label or (look.kind if named.amounts else ""))
    measured = taken_apart(look.measured)
    _what(made, look, named)
    _system(made, look, label, measured)
    _label(made, label)
    _measured(made, measured)
    _length(made, taken_apart(look.distance))
    _wire(made, look.wire)
    _fed(made, look.fed_from)
    made.text = _job_text(made, look)
    return made


def _what(made: Understood, look: FirstLook, named: Typed) -> None:
    """What it is, what it is called, and by which rules it is judged."""
    for kind, phrases in KIND_WORDS.items():
        if named.says(*phrases):
            made.kind, made.known_kind = kind, True
            break
    words = [word for word in re.findall(r"[^\W_][\w'-]*", look.kind) if not word[0].isdigit()]
    name = " ".join(words)[:40].strip().lower()
    if not name and look.kind.strip():
        made.slip(SlipKind.NOT_UNDERSTOOD, "kind", look.kind.strip())
    made.name = f"the {name}" if name in RESERVED else (name or "load").replace(" to ", " ")
    boat = taken_apart(f"{look.kind} {look.fed_from} {look.title} {look.basis}").says(*BOAT_WORDS)
    made.basis = Basis.BOAT if boat else Basis.ROAD


def _system(made: Understood, look: FirstLook, label: Typed, measured: Typed) -> None:
    """The system's voltage: what is said of it, else what the label and the reading have in common."""
    said = taken_apart(look.system)
    for typed in (said, measured, label):
        volts = typed.of(Kind.VOLTAGE) or (typed.bare if typed is said else ())
        near = {v for amount in volts for v, low, high in _SYSTEMS if low <= amount.value <= high}
        if near and not (typed is label and any(a.low < a.value for a in volts)):
            made.system_v, made.system_said = min(near), True
            return


def _label(made: Understood, label: Typed) -> None:
    """Power, current and voltage that its label says."""
    made.count = label.times if label.times <= 20 else 1
    _commas(made, "label", label)
    volts = [v for v in label.of(Kind.VOLTAGE) if v.low >= 9.0 * made.system_v / 12.0 - 3.0]
    for amount in label.of(Kind.VOLTAGE):
        if amount.low < amount.value and amount.low >= 6.0:
            made.works = f"{amount.low:g}..{amount.text}"
    powers, currents = ([a for a in label.of(k) if a.value > 0.0] for k in (Kind.POWER, Kind.CURRENT))
    if len(powers) + len(currents) < len(label.of(Kind.POWER, Kind.CURRENT)):
        made.slip(SlipKind.NOT_UNDERSTOOD, "label", label.text)
    for amount in [a for a in currents if a.after.startswith("fuse") or label.says("fuse size", "fused at")]:
        currents.remove(amount)
        made.fuse = amount.text
        made.slip(SlipKind.FUSE, "label", amount.written, taken=amount.text)
    if not powers and not currents:
        _bare_label(made, label, powers)
    made.power = max(powers, key=lambda amount: amount.value, default=None)
    made.current = max(currents, key=lambda amount: amount.value, default=None)
    system = next((v for v in volts if _is_system(v, made.system_v) and v.low == v.value), None)
    made.label_v = system
    if label.says("peak", "surge", "starting", "inrush", "pmpo") and (made.power or made.current):
        made.slip(SlipKind.PEAK, "label", label.text)
    _odd_volts(made, label)
    _plausible(made, "label", made.current)
    _product(made)


def _is_system(volts: Amount, system_v: float) -> bool:
    return any(v == system_v and low <= volts.value <= high for v, low, high in _SYSTEMS)


def _bare_label(made: Understood, label: Typed, powers: list[Amount]) -> None:
    if not label.bare:
        if label.text and not label.amounts:
            made.slip(SlipKind.NOT_UNDERSTOOD, "label", label.text)
        return
    number = label.bare[0]
    taken = _in_unit(number, "W", Kind.POWER)
    if number.value > 0.0:
        powers.append(taken)
    made.slip(SlipKind.NO_UNIT, "label", number.written, taken=taken.text, meant=f"{number.text} A")


def _odd_volts(made: Understood, label: Typed) -> None:
    """Mains, or the five volts of a small plug: amperes at those are not the vehicle's."""
    for volts in label.of(Kind.VOLTAGE):
        known = any(low <= volts.value <= high or low <= volts.low <= high for _, low, high in _SYSTEMS)
        if known or not 0.0 < volts.value <= volts.low:
            continue
        current = made.current
        watts = None if current is None else current.value * volts.value
        if made.power is None and watts is not None:
            text = f"{watts:.6g} W"
            made.power = Amount(written=text, text=text, value=watts, kind=Kind.POWER, low=watts)
        made.current = None
        made.slip(SlipKind.OTHER_VOLTS, "label", volts.written,
                  taken="" if made.power is None else made.power.text, value=watts)  # fmt: skip
        return


def _plausible(made: Understood, where: str, current: Amount | None) -> None:
    """A current that would be absurd, and what may have been meant."""
    if current is None:
        return
    watts = current.value * made.system_v
    if watts > _MOST_W.get(made.kind, 1500.0):
        if where == "measured" and current.value < 1000.0:
            made.slip(SlipKind.AMPS_AS_MILLIAMPS, where, current.written, current.text,
                      meant=f"{_number(current)} mA", value=watts)  # fmt: skip
        else:
            made.slip(SlipKind.WATTS_AS_AMPS, where, current.written, current.text,
                      meant=f"{_number(current)} W", value=watts)  # fmt: skip
    elif 0.0 < current.value < _LEAST_RUNNING_A and made.kind not in {
        LoadKind.ELECTRONICS, LoadKind.LED, LoadKind.OTHER, LoadKind.CHARGER,
    }:  # fmt: skip
        meant = f"{_number(current)} A" if current.text.endswith("mA") else ""
        made.slip(SlipKind.TOO_SMALL, where, current.written, current.text, meant=meant)


def _in_unit(number: Amount, unit: str, kind: Kind) -> Amount:
    """Return a number that was typed without a unit in the one that is taken."""
    return replace(number, text=f"{number.text} {unit}", kind=kind)


def _number(amount: Amount) -> str:
    return amount.text.split(" ")[0]


def _product(made: Understood) -> None:
    power, current = made.power, made.current
    if power is None or current is None:
        return
    low_v = high_v = made.label_v.value if made.label_v is not None else 0.0
    if made.label_v is None:
        low_v, high_v = made.system_v, 1.2 * made.system_v
    least, most = current.value * low_v / _MISMATCH, current.value * high_v * _MISMATCH
    if not least <= power.value <= most:
        volts = made.label_v.text if made.label_v is not None else f"{made.system_v:g} V"
        given = f"{volts}, {current.text}, {power.text}"
        made.slip(SlipKind.PRODUCT, "label", given, value=current.value * (low_v or made.system_v))


def _measured(made: Understood, typed: Typed) -> None:
    """One measurement at its own leads."""
    if not typed.text:
        return
    _commas(made, "measured", typed)
    current = next(iter(typed.of(Kind.CURRENT)), None)
    power = next(iter(typed.of(Kind.POWER)), None)
    ohms = next(iter(typed.of(Kind.RESISTANCE)), None)
    volts = next((amount for amount in typed.of(Kind.VOLTAGE) if amount.value > 0.0), None)
    if current is None and power is None and ohms is None and typed.bare:
        number = typed.bare[0]
        current = _in_unit(number, "A", Kind.CURRENT)
        made.slip(SlipKind.NO_UNIT, "measured", number.written, taken=current.text)
    what = current or power or ohms
    if what is None or what.value <= 0.0:
        kind = SlipKind.VOLTS_ALONE if volts is not None else SlipKind.NOT_UNDERSTOOD
        made.slip(kind, "measured", typed.text)
        return
    made.readings = {str(what.kind): what.text}
    if what is ohms:
        return
    _plausible(made, "measured", current)
    # What nobody read never stands in the job as if it was: vet says what it takes for it, and why.
    made.readings["voltage"] = UNKNOWN if volts is None else volts.text
    if volts is None:
        made.slip(SlipKind.NO_VOLTS, "measured", what.written)
    at_v = made.system_v if volts is None else volts.value
    _against_label(made, what, what.value if what is power else what.value * at_v)


def _against_label(made: Understood, reading: Amount, read_w: float) -> None:
    """A reading far above the label, of all pieces together: one of the two is not what it was taken for."""
    power_w = 0.0 if made.power is None else made.power.value
    current_w = 0.0 if made.current is None else made.current.value * made.system_v
    label_w, said = max(power_w, current_w) * made.count, made.power if power_w >= current_w else made.current
    if said is not None and 0.0 < _ABOVE_LABEL * label_w < read_w:
        made.slip(SlipKind.ABOVE_LABEL, "measured", reading.text, said.text, value=read_w / label_w)


def _length(made: Understood, typed: Typed) -> None:
    """The way of the cable, one way."""
    if not typed.text:
        return
    _commas(made, "distance", typed)
    lengths = list(typed.of(Kind.LENGTH))
    if "of" in typed.words and len(lengths) > 1:
        # '4 m of 6 mm': the second one is the wire's size.
        _wire(made, lengths.pop().written, where="distance")
    lengths = [amount for amount in lengths if amount.value > 0.0]
    if not lengths and typed.bare and typed.bare[0].value > 0.0:
        number = typed.bare[0]
        lengths = [_in_unit(number, "m", Kind.LENGTH)]
        made.slip(SlipKind.NO_UNIT, "distance", number.written, lengths[0].text, meant=f"{number.text} ft")
    if not lengths:
        made.slip(SlipKind.NOT_UNDERSTOOD, "distance", typed.text)
        return
    if any(amount.low < amount.value for amount in lengths):
        made.slip(SlipKind.RANGE, "distance", typed.text, taken=lengths[0].text)
    metres = sum(amount.value for amount in lengths)
    text = lengths[0].text if len(lengths) == 1 else f"{metres:.6g} m"
    if typed.says(*BOTH_WAYS):
        text = _halved(lengths[0], metres, single=len(lengths) == 1)
        metres /= 2.0
        made.slip(SlipKind.BOTH_WAYS, "distance", typed.text, taken=text)
    elif metres > _LONGEST_M[made.basis]:
        half = _halved(lengths[0], metres, single=len(lengths) == 1)
        made.slip(SlipKind.LONG, "distance", typed.text, taken=text, meant=half)
    if metres < _SHORTEST_M:
        made.slip(SlipKind.SHORT, "distance", typed.text, meant=f"{_number(lengths[0])} m")
        return
    made.length = text


def _halved(length: Amount, metres: float, *, single: bool) -> str:
    number, unit = length.text.split(" ")
    return f"{float(number) / 2.0:.6g} {unit}" if single else f"{metres / 2.0:.6g} m"


def _wire(made: Understood, text: str, *, where: str = "wire") -> None:
    """The size of a wire that is given."""
    told = " ".join(text.replace("cable", " ").replace("wire", " ").split())
    if not told:
        return
    try:
        made.wire = parse_size(told).text
    except QuantityError as error:
        nearest = error.nearest
        amount = next(iter(taken_apart(told).of(Kind.LENGTH)), None)
        if amount is not None:
            meant = f"{_number(amount)} mm2" if where == "wire" else ""
            made.slip(SlipKind.DIAMETER, where, text, meant=meant)
        elif nearest is not None:
            made.wire = parse_size(nearest).text
        else:
            made.slip(SlipKind.NO_SIZE, where, text)


def _fed(made: Understood, text: str) -> None:
    """Where it is fed from: a socket, the fuse box, or a battery and its place."""
    typed = taken_apart(text)
    made.place = "battery box" if made.basis is Basis.BOAT else "engine bay"
    if not typed.text:
        return
    made.source_said = True
    if typed.says(*SOCKETS):
        made.source = Source.SOCKET
        return
    if typed.says(*BOXES):
        made.source = Source.FUSE_BOX
        return
    known = [place for place, phrases in PLACES.items() if typed.says(*phrases)]
    if known and known[0] in built_in_zones(made.basis):
        made.place = known[0]
    for name in ("starter battery", "house battery", "leisure battery", "cranking battery", "second battery"):
        if typed.says(name):
            made.battery = name
    if not known and not typed.says("battery", "batteries", "bank", "alternator"):
        made.source_said = False
        made.slip(SlipKind.NOT_UNDERSTOOD, "fed_from", typed.text, taken=f"{made.battery}, {made.place}")


def _commas(made: Understood, where: str, typed: Typed) -> None:
    for amount in typed.amounts:
        if amount.comma:
            made.slip(SlipKind.COMMA, where, amount.written, taken=amount.text)


def _job_text(made: Understood, look: FirstLook) -> str:
    """Return the text of the job, each thing put where it belongs."""
    title = " ".join(look.title.split()) or f"{made.name[:1].upper()}{made.name[1:]}"
    text = new_job_text(NewJob(
        title=title[:120], load=made.name, length=made.length or NewJob().length,
        system=f"{made.system_v:g} V", basis=str(made.basis), kind=str(made.kind), battery_at=made.place,
    ))  # fmt: skip
    load, circuit = ("loads", made.name), ("circuits", made.name)
    edits = [Edit(path=(*load, "claims"), value=_claims(made))]
    edits += [Edit(path=(*load, "measured"), value=[dict(made.readings)])] if made.readings else []
    edits += [Edit(path=(*load, "count"), value=str(made.count))] if made.count > 1 else []
    edits += [Edit(path=(*load, "works"), value=made.works)] if made.works else []
    fitted = {**({"fuse": made.fuse} if made.fuse else {}), **_plug(made)}
    edits += [Edit(path=(*load, "fitted"), value=fitted)] if fitted else []
    edits += [Edit(path=(*circuit, "wire"), value=made.wire)] if made.wire else []
    if made.battery != "battery":
        edits.append(Edit(path=("supplies", "battery"), value=made.battery, do=EditKind.RENAME))
    return edited(text, [*edits, *_source_edits(made)])


def _plug(made: Understood) -> dict[str, str]:
    return {"plug": "lighter"} if made.source is Source.SOCKET else {}


def _claims(made: Understood) -> Data:
    claims: list[Data] = []
    if made.power is not None:
        claims.append({"power": made.power.text})
    if made.current is not None:
        claims.append({"current": made.current.text})
    if made.label_v is not None:
        for claim in claims:
            if isinstance(claim, dict):
                claim["voltage"] = made.label_v.text
    if not claims:
        return "unknown"
    return claims[0] if len(claims) == 1 else claims


def _source_edits(made: Understood) -> list[Edit]:
    path = ("circuits", made.name, "path")
    if made.source is Source.SOCKET:
        steps: list[Data] = [
            made.battery,
            {"fuse": "unknown", "state": "existing"},
            {"wire": "unknown", "state": "existing"},
            {"connector": "", "plug": "lighter", "state": "existing"},
            made.name,
        ]
        return [Edit(path=path, value=steps)]
    if made.source is Source.FUSE_BOX:
        name = "vehicle fuse box" if made.name == "fuse box" else "fuse box"
        box: Data = {"kind": "block", "at": "cabin", "state": "existing"}
        feed: Data = {
            "path": [made.battery, {"fuse": "unknown"}, name],
            "wire": "unknown",
            "length": "unknown",
            "state": "existing",
        }
        return [
            Edit(path=("gear", name), value=box),
            Edit(path=("circuits", f"{name} feed"), value=feed),
            Edit(path=path, value=[name, {"fuse": "", "holder": "tap"}, made.name]),
            Edit(path=("circuits", made.name, "return"), value="chassis"),
        ]
    return []
