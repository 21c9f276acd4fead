"""Values of a job as a person says them, put as the file has them: `5.4 A at 12.4 V`, `30 A for 50 ms`.

Only what the file takes in braces is said in words here. What stands in braces already, and what is not
understood, is handed on as it came, to be judged by the form of its own key.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Final

from groundstrap.errors import JobError, QuantityError
from groundstrap.job.data import Data, is_number, plain_data, tidied
from groundstrap.job.device_words import PLUGS
from groundstrap.job.mended import cranking_said, mended
from groundstrap.job.traps import whole_tree
from groundstrap.job.typed import Typed, taken_apart
from groundstrap.job.typed_load import (
    SYSTEMS,
    Understood,
    claims_of,
    kind_of,
    read_label,
    read_measured,
)
from groundstrap.job.words import known_meters, known_plugs
from groundstrap.model import LoadKind
from groundstrap.records import dataclass
from groundstrap.units import Kind, parse_size

__all__ = ["SENTENCES", "Heard", "Spelt", "heard_in", "spelt"]

SENTENCES: Final[Mapping[str, str]] = {
    "claims": "60 W at 12 V, label",
    "measured": "4.2 A at 12.8 V",
    "fitted": "16 AWG 1.5 m, 10 A fuse, lighter",
    "inrush": "30 A for 40 ms",
    "stall": "11 A, survives",
    "duty": "40 s every 4 min",
    "works": "10.5 to 15 V",
    "ambient": "-20 to 55 degC",
    "setpoint": "14.2 to 14.7 V",
    "values": "battery 12.6 V",
    "path": "battery, fuse, lamp",
    "return": "battery -",
}
"""What may be said for each key, by an example that is understood."""

_NUMBER: Final = r"-?\d+(?:[.,]\d+)?"
_ENDS: Final = re.compile(
    rf"(?:from |von )?({_NUMBER})\s*(?:to|bis|up to|–|-)\s*({_NUMBER})\s*([^\d\s].*)", re.IGNORECASE
)
_READING: Final = re.compile(
    rf"(?:from |at |von |an )?(.+?)\s*[:=]?\s+({_NUMBER}\s*[^\d\s,]+)", re.IGNORECASE
)
_GAUGE: Final = re.compile(r"\d+(?:/0)?\s*(?:AWG|SAE)\b", re.IGNORECASE)
_ALWAYS: Final = ("continuous", "always", "all the time", "dauernd", "immer", "dauerlauf", "-dauerbetrieb")
_NOT: Final = ("not", "no", "never", "nicht", "kein", "nein")
_OUTLASTS: Final = ("survives", "survive", "stays whole", "hält aus", "übersteht")


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """One value that was said in words: its path, what the file has of it, and how it was understood."""

    path: tuple[str, ...]
    given: str
    value: Data
    made: Understood | None = None
    """Of a claim or a reading, with what looks like a slip."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spelt:
    """A value as the file has it, and which of its parts were said in words."""

    value: Data
    heard: tuple[Heard, ...] = ()


def spelt(path: Sequence[str], value: Data, root: Data, *, adding: bool = False) -> Spelt:
    """Return a value as the file has it, where it was said in words.

    Parameters
    ----------
    path : Sequence of str
        Keys down to where it goes.
    value : str, list or dict
        What was given: of a new entry, a map of its keys.
    root : dict
        The job, whose system and whose loads say how a number is meant.
    adding : bool
        Whether it is one more item of a list.

    Examples
    --------
    >>> spelt(("loads", "pump", "inrush"), "30 A for 50 ms", {}).value
    {'current': '30 A', 'time': '50 ms'}
    >>> spelt(("circuits", "horn"), {"from": "battery", "to": "horn", "length": "2 m"}, {}).value
    {'path': ['battery', 'fuse', 'horn'], 'length': '2 m'}
    """
    heard: list[Heard] = []
    value = _entry(tuple(path), value, root, heard) if len(path) == 2 else value
    if len(path) == 1 and path[0] in _LISTS and isinstance(value, dict):
        value = {key: _value((*path, "0", key), each, root, heard, item=False) for key, each in value.items()}
    if len(path) > 2:
        value = _value(tuple(path), value, root, heard, item=adding or is_number(path[-1]))
    return Spelt(value=value, heard=tuple(heard))


def heard_in(text: str, path: Sequence[str], value: Data, *, adding: bool = False) -> tuple[Heard, ...]:
    """Return what of a value was said in words, for the text of a job that it goes into.

    >>> heard_in("system: 24 V", ("loads", "pump", "claims"), "8 A")[0].value
    {'current': '8 A'}
    """
    return spelt(path, value, plain_data(whole_tree(text)), adding=adding).heard


def _entry(path: tuple[str, ...], value: Data, root: Data, heard: list[Heard]) -> Data:
    """A whole entry, of which each key may be said in words."""
    if not isinstance(value, dict):
        return value
    if path[0] == "circuits":
        value = _with_path(path, value, root, heard)
    elif path[0] == "loads":
        value = _with_kind(path, value, heard)
        root = {**(root if isinstance(root, dict) else {}), "loads": {path[1]: value}}
    made = {key: _value((*path, key), each, root, heard, item=False) for key, each in value.items()}
    for each in heard:
        # A label says more than what is claimed: so many alike, the volts it works between.
        if each.made is not None and each.path[-1] == "claims":
            count = {"count": str(each.made.count)} if each.made.count > 1 else {}
            works = {"works": each.made.works} if each.made.works else {}
            made = {**count, **works, **made}
    return made


def _value(path: tuple[str, ...], value: Data, root: Data, heard: list[Heard], *, item: bool) -> Data:
    """One value under its own key."""
    key = next((each for each in reversed(path) if not is_number(each)), "")
    reader = _READERS.get(key)
    if reader is None or (item and key not in _SEVERAL):
        return _spelling(path, value, heard)
    said = _as_text(value, _PARTS.get(key, ()))
    if said is None or said in {"", "unknown"}:
        return _spelling(path, value, heard)
    if said[0] in "{[":
        return _from_braces(said, value)
    made = _listener(path, root) if key in {"claims", "measured"} else None
    found = reader(taken_apart(said), made)
    if item and isinstance(found, list):
        found = found[0] if len(found) == 1 else None
    if found is None or found in (value, said):
        return _spelling(path, value, heard)
    heard.append(Heard(path=path, given=said, value=found, made=made))
    return found


def _spelling(path: tuple[str, ...], value: Data, heard: list[Heard]) -> Data:
    """A quantity in the file's spelling; so is each of a small map."""
    if isinstance(value, dict):
        return {key: _spelling((*path, key), each, heard) for key, each in value.items()}
    found = mended(path, tidied(value)) if isinstance(value, str) and len(path) > 1 else None
    if found is None:
        return value
    heard.append(Heard(path=path, given=str(value), value=found))
    return found


def _from_braces(said: str, value: Data) -> Data:
    """Return what stands in braces, as the file has it."""
    try:
        return plain_data(whole_tree(said))
    except JobError:
        return value


def _as_text(value: Data, known: Sequence[str]) -> str | None:
    """Return what was said; a map with none of the file's keys was no map, but a sentence with a colon."""
    if isinstance(value, dict) and value and not set(value) & set(known):
        if all(isinstance(each, str) for each in value.values()):
            return ", ".join(f"{key}: {each}" if each else key for key, each in value.items())
        return None
    return tidied(value) if isinstance(value, str) else None


def _with_path(
    path: tuple[str, ...], value: dict[str, Data], root: Data, heard: list[Heard]
) -> dict[str, Data]:
    """A circuit that is said by where it begins and where it ends."""
    ends = {key: tidied(str(value[key])) for key in ("from", "to") if key in value}
    rest = {key: each for key, each in value.items() if key not in ends}
    if not ends or "path" in rest:
        return rest if ends else value
    begins, goes = ends.get("from", "battery"), ends.get("to", path[1])
    negative = begins == "chassis" or begins.endswith(" -") or goes == "chassis" or goes.endswith(" -")
    if goes.casefold() in _NOT_FOUND:
        steps: list[Data] = [begins, "unknown"]
    elif negative or rest.get("state") == "existing":
        # Of what is there already a fuse that nobody spoke of is none.
        steps = [begins, goes]
    else:
        steps = _fused(begins, goes, str(rest.get("length", "")), root)
    heard.append(Heard(path=(*path, "path"), given=f"{begins}, {goes}", value=list(steps)))
    return {"path": steps, **rest}


def _fused(begins: str, goes: str, length: str, root: Data) -> list[Data]:
    """A new cable with its fuse where a battery feeds a short on it: at each end that is one."""
    job = root if isinstance(root, dict) else {}
    supplies = job.get("supplies")
    known = supplies if isinstance(supplies, dict) else {}
    kinds = {name: each.get("kind") for name, each in known.items() if isinstance(each, dict)}
    long_m = next((amount.value for amount in taken_apart(length).of(Kind.LENGTH)), _FAR_M * 2)
    if kinds.get(goes) != "battery" or begins not in kinds or long_m <= _FAR_M:
        return [begins, "fuse", goes]
    first = ["fuse"] if kinds[begins] == "battery" else []
    return [begins, *first, "fuse", {"length": _NEAR}, goes]


def _with_kind(path: tuple[str, ...], value: dict[str, Data], heard: list[Heard]) -> dict[str, Data]:
    """A load whose name says what it is."""
    if "kind" in value:
        return value
    # The label may say more than the name: `2 x 9W LED` of awning lights.
    said = value.get("claims")
    kind = kind_of(taken_apart(f"{said if isinstance(said, str) else ''} {path[1]}"))
    if kind is None:
        return value
    heard.append(Heard(path=(*path, "kind"), given=path[1], value=str(kind)))
    return {"kind": str(kind), **value}


def _listener(path: tuple[str, ...], root: Data) -> Understood:
    """What is known of a load before its label is read: the system it is in, and its kind."""
    made = Understood(name=path[1])
    job = root if isinstance(root, dict) else {}
    system = str(job.get("system", ""))
    made.system_v = next((v for v, _, _ in SYSTEMS if system.startswith(f"{v:g} ")), made.system_v)
    loads = job.get("loads")
    load = loads.get(path[1]) if isinstance(loads, dict) else None
    kind = load.get("kind") if isinstance(load, dict) else None
    if isinstance(kind, str) and kind in set(LoadKind):
        made.kind = LoadKind(kind)
    if isinstance(load, dict) and "measured" in path:
        _labelled(made, load)
    return made


def _labelled(made: Understood, load: Mapping[str, Data]) -> None:
    """Note what the label says and how many there are, which a reading of one piece is held against."""
    claims = load.get("claims")
    claim = claims[0] if isinstance(claims, list) and claims else claims
    if isinstance(claim, dict):
        claim = " ".join(str(claim[key]) for key in ("power", "current", "voltage") if key in claim)
    if isinstance(claim, str):
        label = Understood(name=made.name, kind=made.kind, system_v=made.system_v)
        read_label(label, taken_apart(claim))
        made.power, made.current, made.count = label.power, label.current, label.count
    count = str(load.get("count", ""))
    if count.isdecimal() and int(count) > 0:
        made.count = int(count)


def _claims(typed: Typed, made: Understood | None) -> Data | None:
    assert made is not None
    read_label(made, typed)
    return None if made.power is None and made.current is None else claims_of(made)


def _measured(typed: Typed, made: Understood | None) -> Data | None:
    assert made is not None
    read_measured(made, typed)
    if not made.readings:
        return None
    meter = next((name for name in known_meters() if typed.says(name)), None)
    return {**made.readings, **({} if meter is None else {"meter": meter})}


def _fitted(typed: Typed, _: Understood | None) -> Data | None:
    found: dict[str, Data] = {}
    gauge = _GAUGE.search(typed.text)
    area = next(iter(typed.of(Kind.AREA)), None)
    wire = gauge[0] if gauge is not None else None if area is None else area.text
    if wire is not None:
        try:
            found["wire"] = parse_size(wire).text
        except QuantityError as error:
            if error.nearest is not None:
                found["wire"] = error.nearest
    for key, kind in (("length", Kind.LENGTH), ("fuse", Kind.CURRENT)):
        amount = next(iter(typed.of(kind)), None)
        if amount is not None:
            found[key] = amount.text
    plug = next((name for name in known_plugs() if typed.says(name.replace("-", " "))), None)
    plug = plug or next((name for name, phrases in PLUGS.items() if typed.says(*phrases)), None)
    return {**found, **({} if plug is None else {"plug": plug})} or None


def _inrush(typed: Typed, _: Understood | None) -> Data | None:
    current, time = typed.of(Kind.CURRENT), typed.of(Kind.TIME)
    return {"current": current[0].text, "time": time[0].text} if current and time else None


def _stall(typed: Typed, _: Understood | None) -> Data | None:
    current = typed.of(Kind.CURRENT)
    if not current or not typed.words:
        return None
    if not typed.says(*_OUTLASTS):
        return {"current": current[0].text}
    return {"current": current[0].text, "survives": "no" if typed.says(*_NOT) else "yes"}


def _duty(typed: Typed, _: Understood | None) -> Data | None:
    text = _AN_HOUR.sub("1 h", _HALF_AN_HOUR.sub("30 min", typed.text))
    for said, every in _EVERY.items():
        text = re.sub(said, f" every {every}", text, flags=re.IGNORECASE)
    typed = taken_apart(text)
    times, share = typed.of(Kind.TIME), typed.of(Kind.PERCENT)
    if len(times) == 2:
        return {"run": times[0].text, "every": times[1].text}
    if share and not times:
        return share[0].text
    return "continuous" if typed.says(*_ALWAYS) and not typed.says(*_NOT) else None


def _ends(typed: Typed, _: Understood | None) -> Data | None:
    match = _ENDS.fullmatch(typed.text.replace("°", "deg"))
    if match is None or ".." in typed.text:
        return None
    low, high, unit = match[1].replace(",", "."), match[2].replace(",", "."), match[3].strip()
    return f"{low}..{high} {unit}"


def _values(typed: Typed, _: Understood | None) -> Data | None:
    """`battery 12.6 V, pump 12.1 V`: a point and what was read there, as often as need be."""
    found: list[Data] = []
    for part in re.split(r",\s+|;", typed.text):
        match = _READING.fullmatch(part.strip())
        if match is None:
            return None
        amount = taken_apart(match[2]).amounts
        # Leads that are the wrong way round read less than nothing: the sign is part of what was read.
        sign = "-" if match[2].startswith("-") else ""
        found.append({match[1]: f"{sign}{amount[0].text}" if amount and amount[0].kind else match[2]})
    return found or None


def _steps(typed: Typed, _: Understood | None) -> Data | None:
    """`battery, fuse 15 A, pump`: names and parts in order."""
    parts = [part.strip() for part in re.split(r",|→|->", typed.text)]
    if len(parts) < 2 or not all(parts):
        return None
    return [_step(part) for part in parts]


def _step(text: str) -> Data:
    key, colon, value = text.partition(":")
    if colon and value.strip():
        return {key.strip(): value.strip()}
    match = re.fullmatch(r"(fuse|breaker|switch|relay|wire|length)\s+(\d.*)", text)
    return text if match is None else {match[1]: match[2]}


_LISTS: Final = frozenset({"readings", "routes", "day"})
"""Sections that are lists of small maps."""
_HALF_AN_HOUR: Final = re.compile(r"\b(?:half an hour|(?:eine )?halbe stunde)\b", re.IGNORECASE)
_AN_HOUR: Final = re.compile(r"^(?:an|one|eine) (?:hour|stunde)\b", re.IGNORECASE)
_EVERY: Final = {
    r"\s(?:a|an|per|each|every|in the|pro|am|jeden) (?:day|tag)\b|\s(?:daily|täglich)\b|/day\b": "24 h",
    r"\s(?:an|per|each|every|pro|jede) (?:hour|stunde)\b|\s(?:hourly|stündlich)\b|/(?:h|hour)\b": "1 h",
    r"\s(?:a|per|each|every|pro|in der|jede) (?:week|woche)\b": "168 h",
}
"""How people say how often something runs, each with the time from one run to the next."""
_FAR_M: Final = 0.3
"""From a battery to its fuse on the road at most; common practice. [m]"""
_NEAR: Final = "20 cm"
"""From a battery to the fuse of a cable that ends at it."""
_NOT_FOUND: Final = frozenset({"unknown", "not known", "don't know", "dont know", "?", "unbekannt"})
"""How people say that nobody found where a wire ends."""
_CHEMISTRY: Final = {
    "lithium": "lfp",
    "lifepo4": "lfp",
    "lithium iron phosphate": "lfp",
    "lead": "flooded",
    "lead acid": "flooded",
    "lead-acid": "flooded",
    "wet": "flooded",
    "wet cell": "flooded",
    "glass mat": "agm",
    "blei": "flooded",
    "nass": "flooded",
}
"""What people call the chemistries of batteries. Lithium in a vehicle is iron phosphate; common practice."""


def _chemistry(said: Typed, _: Understood | None) -> Data | None:
    return _CHEMISTRY.get(said.text.casefold().strip())


def _cranking(typed: Typed, _: Understood | None) -> Data | None:
    return cranking_said(typed.text)


_READERS: Final[Mapping[str, Callable[[Typed, Understood | None], Data | None]]] = {
    "chemistry": _chemistry,
    "cranking": _cranking,
    "claims": _claims,
    "measured": _measured,
    "fitted": _fitted,
    "inrush": _inrush,
    "stall": _stall,
    "duty": _duty,
    "works": _ends,
    "ambient": _ends,
    "setpoint": _ends,
    "values": _values,
    "path": _steps,
    "return": _steps,
}
_SEVERAL: Final = frozenset({"claims", "measured", "values"})
"""Lists of which one item may be said."""
_PARTS: Final[Mapping[str, Sequence[str]]] = {
    "claims": ("power", "current", "voltage", "temperature", "by"),
    "measured": ("resistance", "current", "power", "voltage", "leads", "meter"),
    "fitted": ("wire", "length", "fuse", "plug"),
    "inrush": ("current", "time"),
    "stall": ("current", "survives"),
    "duty": ("run", "every"),
}
"""Keys of each small map: one with none of them was no map."""
