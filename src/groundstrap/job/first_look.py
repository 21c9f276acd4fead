"""A first job from what somebody types in passing: what it is, its label, a reading, how far, fed from where.

Nothing is changed in silence: what was read otherwise than typed, or looks like a slip, comes back as one.
"""

from __future__ import annotations

import re
from typing import Final

from groundstrap.errors import QuantityError
from groundstrap.job.data import Data
from groundstrap.job.device_words import (
    BATTERIES,
    BATTERY_WORDS,
    BOAT_WORDS,
    BOTH_WAYS,
    BOXES,
    KIND_WORDS,
    LIGHTER_PLUGS,
    PLACES,
    SOCKETS,
)
from groundstrap.job.edits import Edit, EditKind, edited
from groundstrap.job.equipment import RESERVED
from groundstrap.job.new import NewJob, new_job_text
from groundstrap.job.typed import Amount, Typed, taken_apart
from groundstrap.job.typed_load import (
    MOST_ALIKE,
    SYSTEMS,
    Slip,
    SlipKind,
    Source,
    Understood,
    claims_of,
    in_unit,
    kind_of,
    note_commas,
    number_of,
    read_label,
    read_measured,
)
from groundstrap.job.values import ABOUT
from groundstrap.job.words import built_in_zones
from groundstrap.model import Basis, LoadKind
from groundstrap.records import dataclass
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


_LONGEST_M: Final = {Basis.ROAD: 12.0, Basis.BOAT: 18.0}
"""A longer way may be out and back. [m] Own judgement."""
_SHORTEST_M: Final = 0.05
_NO_CABLE: Final = re.compile(r"cable|wire|leitung|kabel", re.IGNORECASE)


def understood(look: FirstLook) -> Understood:
    """Return what was understood of a few typed words, with the text of the job that they make.

    >>> made = understood(FirstLook(kind="light bar", label="45W", distance="4 m"))
    >>> made.kind.value, made.power.text, made.length
    ('led', '45 W', '4 m')
    """
    made = Understood()
    named = taken_apart(look.kind)
    label = taken_apart(look.label or (look.kind if named.of(Kind.POWER, Kind.CURRENT) else ""))
    measured = taken_apart(look.measured)
    _what(made, look, named)
    _system(made, look, label, measured)
    read_label(made, label)
    made.count = max(made.count, named.times if named.times <= MOST_ALIKE else 1)
    read_measured(made, measured)
    _length(made, taken_apart(look.distance))
    _wire(made, look.wire)
    _fed(made, look.fed_from)
    made.text = _job_text(made, look)
    return made


def _what(made: Understood, look: FirstLook, named: Typed) -> None:
    """What it is, what it is called, and by which rules it is judged."""
    known = kind_of(named)
    if known is not None:
        made.kind, made.known_kind = known, True
    made.plugged = taken_apart(f"{look.kind} {look.label}").says(*LIGHTER_PLUGS)
    name = " ".join(_name_words(look.kind, named, known))[:40].strip()
    if not name and look.kind.strip():
        made.slip(SlipKind.NOT_UNDERSTOOD, "kind", look.kind.strip())
    made.name = f"the {name}" if name in RESERVED else (name or "load").replace(" to ", " ")
    boat = taken_apart(f"{look.kind} {look.fed_from} {look.title} {look.basis}").says(*BOAT_WORDS)
    made.basis = Basis.BOAT if boat else Basis.ROAD


def _name_words(typed: str, named: Typed, known: LoadKind | None) -> list[str]:
    """The words of its name: as they were typed where they are German, whose nouns are capitalised."""
    plain = [phrase for phrase in KIND_WORDS.get(known, ()) if not phrase.startswith("-")] if known else []
    german = known is not None and not named.says(*plain)
    left = list(named.words)
    return [
        word if german else word.lower()
        for word in re.findall(r"[^\W\d_][\w'-]*", typed)
        if word.lower() in left and left.pop(left.index(word.lower()))
    ]


def _system(made: Understood, look: FirstLook, label: Typed, measured: Typed) -> None:
    """The system's voltage: what is said of it, else what the label and the reading have in common."""
    said = taken_apart(look.system)
    for typed in (said, measured, label):
        volts = typed.of(Kind.VOLTAGE) or (typed.bare if typed is said else ())
        near = {v for amount in volts for v, low, high in SYSTEMS if low <= amount.value <= high}
        if near and not (typed is label and any(a.low < a.value for a in volts)):
            made.system_v, made.system_said = min(near), True
            return


def _length(made: Understood, typed: Typed) -> None:
    """The way of the cable, one way."""
    if not typed.text:
        return
    note_commas(made, "distance", typed)
    lengths = list(typed.of(Kind.LENGTH))
    if {"of", "von", "mit"} & set(typed.words) and len(lengths) > 1:
        # '4 m of 6 mm': the second one is the wire's size.
        _wire(made, lengths.pop().written, where="distance")
    lengths = [amount for amount in lengths if amount.value > 0.0]
    if not lengths and typed.bare and typed.bare[0].value > 0.0:
        number = typed.bare[0]
        lengths = [in_unit(number, "m", Kind.LENGTH)]
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
        made.slip(SlipKind.SHORT, "distance", typed.text, meant=f"{number_of(lengths[0])} m")
        return
    made.length = text


def _halved(length: Amount, metres: float, *, single: bool) -> str:
    number, unit = length.text.split(" ")
    return f"{float(number) / 2.0:.6g} {unit}" if single else f"{metres / 2.0:.6g} m"


def _wire(made: Understood, text: str, *, where: str = "wire") -> None:
    """The size of a wire that is given."""
    told = " ".join(_NO_CABLE.sub(" ", text).split())
    if not told:
        return
    try:
        made.wire = parse_size(told).text
    except QuantityError as error:
        nearest = error.nearest
        amount = next(iter(taken_apart(told).of(Kind.LENGTH)), None)
        if amount is not None:
            meant = f"{number_of(amount)} mm2" if where == "wire" else ""
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
    for name, phrases in BATTERIES.items():
        if typed.says(*phrases):
            made.battery = name
    if not known and not typed.says(*BATTERY_WORDS):
        made.source_said = False
        made.slip(SlipKind.NOT_UNDERSTOOD, "fed_from", typed.text, taken=f"{made.battery}, {made.place}")


def _job_text(made: Understood, look: FirstLook) -> str:
    """Return the text of the job, each thing put where it belongs."""
    title = " ".join(look.title.split()) or f"{made.name[:1].upper()}{made.name[1:]}"
    text = new_job_text(NewJob(
        title=title[:120], load=made.name, length=made.length or f"{ABOUT}{NewJob().length}",
        system=f"{made.system_v:g} V", basis=str(made.basis), kind=str(made.kind), battery_at=made.place,
    ))  # fmt: skip
    load, circuit = ("loads", made.name), ("circuits", made.name)
    edits = [Edit(path=(*load, "claims"), value=claims_of(made))]
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
    return {"plug": "lighter"} if made.source is Source.SOCKET or made.plugged else {}


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
