"""What the forms of a job are filled with: its text described, names to choose from, values in braces."""

from __future__ import annotations

import json
import zlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, Final

from markupsafe import Markup, escape

from groundstrap import api
from groundstrap.errors import Fault
from groundstrap.records import dataclass, replace
from groundstrap.web.pages import explained, phrases
from groundstrap.web.pages.brief import in_brief

__all__ = ["as_typed", "attributes", "braced", "edit_of", "ends", "faulty", "forms_of"]

_BEGINS: Final[Mapping[str, tuple[str, ...]]] = {
    "supplies": ("kind", "chemistry", "capacity", "cranking", "rating", "current", "power", "at"),
    "gear": ("kind", "at"),
    "loads": ("kind", "claims", "measured", "at"),
    "circuits": ("length", "wire", "fuse", "state"),
    "places": (),
    "zones": ("ambient", "wet", "vapour"),
    "routes": ("from", "to", "length", "laid"),
    "waivers": ("rule", "where", "reason", "by"),
    "readings": ("when", "values"),
    "day": ("resting", "idling", "driving"),
}
"""Keys that a new entry of a section is asked for at once; any other can be added to it."""
_OF_KINDS: Final[Mapping[tuple[str, str], str]] = {
    ("supplies", "chemistry"): "battery",
    ("supplies", "capacity"): "battery",
    ("supplies", "cranking"): "battery",
    ("supplies", "rating"): "alternator",
    ("supplies", "current"): "charger",
    ("supplies", "power"): "solar",
}
"""Keys that are asked for only once their kind is chosen."""
_SECTIONS: Final = (
    "supplies",
    "loads",
    "circuits",
    "places",
    "routes",
    "gear",
    "zones",
    "readings",
    "waivers",
    "day",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Root:
    """The file itself, which keys with one value are added to."""

    path: tuple[str, ...] = ()
    addable: tuple[api.KeyForm, ...] = ()


def forms_of(text: str, say: Callable[[str], str]) -> Mapping[str, Any]:
    """Return what the template of the forms is filled with.

    Parameters
    ----------
    text : str
        The whole text of the job file.
    say : callable
        Says a text in the language of the page.
    """
    form = api.job_form(text)
    offers = _Offers(say)
    names = form.names
    step_keys = api.form_for("step")
    sections = {key.key: key for key in form.addable if key.key in _SECTIONS}
    parts = [key.key for key in step_keys if key.key not in {"wire", "length", "note", "state"}]
    return {
        "form": form,
        "root": _Root(addable=tuple(key for key in form.addable if key.key not in _SECTIONS)),
        "missing": [sections[key] for key in _SECTIONS if key in sections],
        "of_kinds": _OF_KINDS,
        "brief": lambda each: in_brief(each, say),
        "begins": {section: _begins(section, names) for section in _SECTIONS},
        "step_keys": step_keys,
        "lists": (
            ("place", names.places),
            ("zone", names.zones),
            ("load", names.loads),
            ("point", names.points),
            ("step", (*names.points, *parts)),
            ("end", tuple(dict.fromkeys((*names.loads, *names.points)))),
            ("any", ("unknown", *names.places)),
        ),
        "field_attributes": attributes,
        "part_attributes": _part_attributes,
        "options": offers.options,
        "told": offers.told,
        "offered": offers.choices,
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class _Offered:
    """A key that some entry may be given, under a code that tells it from others of the same name."""

    code: str
    key: api.KeyForm


class _Offers:
    """Keys that are offered on one page: many entries offer the same ones, and each is explained once."""

    def __init__(self, say: Callable[[str], str]) -> None:
        self._say = say
        self._told: dict[str, api.KeyForm] = {}
        self._made: dict[tuple[api.KeyForm, ...], Markup] = {}

    def options(self, keys: tuple[api.KeyForm, ...]) -> Markup:
        """Return the options of a list to choose a key from."""
        if keys not in self._made:
            self._made[keys] = Markup("").join(self._option(key) for key in keys)
        return self._made[keys]

    def _option(self, key: api.KeyForm) -> Markup:
        code = f"{key.key}-{zlib.crc32(repr((key.label, key.help, key.example)).encode()):x}"
        self._told[code] = key
        return Markup('<option value="{}" data-key-code="{}">{}</option>').format(
            key.key, code, self._say(key.label)
        )

    def choices(self, key: api.KeyForm) -> str:
        """Return the words of a closed list, each with how it is said, for the list that a script makes."""
        words = [*key.choices, *(("unknown",) if key.unknown and "unknown" not in key.choices else ())]
        shown = dict(zip(key.choices, key.choices_said, strict=False))
        unknown = self._say(phrases.PLAIN["not_known"])
        return json.dumps(
            [[each, unknown if each == "unknown" else self._say(shown.get(each, each))] for each in words],
            ensure_ascii=False,
        )

    def told(self) -> list[_Offered]:
        """Return what was offered so far."""
        return [_Offered(code=code, key=key) for code, key in self._told.items()]


def _begins(section: str, names: api.NamesForm) -> list[api.KeyForm]:
    """Return the keys that a new entry is asked for at once, in the order of asking."""
    known = {key.key: key for key in api.form_for(section)}
    asked = [_as_asked(section, known[key]) for key in _BEGINS[section] if key in known]
    if section == "circuits":
        return [*_ends(names), *asked]
    return asked


def _as_asked(section: str, key: api.KeyForm) -> api.KeyForm:
    """A key as somebody is asked for it who adds a load: by the questions of the first look."""
    if section == "loads" and key.key in explained.ASKED:
        label, hint = explained.ASKED[key.key]
        return replace(key, label=label, help=hint)
    return key


def _ends(names: api.NamesForm) -> Iterator[api.KeyForm]:
    """Where a new circuit begins and ends, which its path is written from."""
    for key, choices, of in (("from", names.points, ""), ("to", (), "end")):
        label, hint = explained.ASKED[key]
        kind = api.ValueKind.CHOICE if choices else api.ValueKind.NAME
        example = choices[0] if choices else ""
        yield api.KeyForm(
            key=key, label=label, help=hint, example=example, kind=kind, choices=choices, names=of
        )


def attributes(path: Sequence[str], faults: Sequence[Fault]) -> Markup:
    """Return the attributes of a field: its name for a form, its path for the script."""
    told = json.dumps(list(path), ensure_ascii=False)
    wrong = Markup(' aria-invalid="true"') if faults else Markup("")
    return Markup('name="f {}" data-path="{}"{}').format(escape(told), escape(told), wrong)


def _part_attributes(key: str) -> Markup:
    """Return the attributes of a field of an entry that is not there yet."""
    return Markup('name="part {0}" data-part-key="{0}"').format(key)


def faulty(field: api.FieldForm) -> bool:
    """Whether a field or anything in it has a fault."""
    return bool(field.faults) or any(faulty(each) for each in field.fields)


def ends(field: api.FieldForm) -> str:
    """Return a route as drawings name it: from where to where."""
    there = {each.path[-1]: each.value for each in field.fields}
    return f"{there.get('from', '')} to {there.get('to', '')}"


def braced(text: str) -> Any:
    """Return a value as somebody typed it: a text, or a map or list where it stands in braces.

    >>> braced("{current: 3.2 A, of: [a, b]}"), braced("3.2 A"), braced("fuse: 15 A")
    ({'current': '3.2 A', 'of': ['a', 'b']}, '3.2 A', {'fuse': '15 A'})
    """
    text = text.strip()
    if text[:1] == "[" and text.endswith("]"):
        return [braced(each) for each in _split(text[1:-1])]
    if text[:1] == "{" and text.endswith("}"):
        text = text[1:-1]
    elif ": " not in text:
        return text
    return {key.strip(): braced(value) for key, _, value in (each.partition(":") for each in _split(text))}


def as_typed(value: Any) -> Any:
    """Return a value as it was typed, also where it stands under the key of a new entry.

    >>> as_typed({"fuse": "{fuse: 15 A}"}), as_typed("[a, b]")
    ({'fuse': {'fuse': '15 A'}}, ['a', 'b'])
    """
    if isinstance(value, dict):
        return {key: as_typed(each) for key, each in value.items()}
    return braced(value) if isinstance(value, str) else value


def _split(text: str) -> Iterator[str]:
    """Yield what stands between commas that are not in braces of their own."""
    depth, begin = 0, 0
    for place, sign in enumerate(text):
        if sign in "{[":
            depth += 1
        elif sign in "}]":
            depth -= 1
        elif sign == "," and not depth:
            yield text[begin:place].strip()
            begin = place + 1
    if text[begin:].strip():
        yield text[begin:].strip()


def edit_of(wish: Mapping[str, Any], key: str, value: str, parts: Mapping[str, str]) -> api.Edit:
    """Return the edit that a button of a form asks for.

    Parameters
    ----------
    wish : Mapping
        What the button says: what to `do` at which `path`.
    key, value : str
        What was typed or chosen beside it.
    parts : Mapping of str to str
        What was typed for the keys of a new entry.
    """
    path = tuple(str(each) for each in wish["path"])
    given: Any = {name: braced(each) for name, each in parts.items() if each.strip()}
    if not given:
        given = braced(value)
    match wish["do"]:
        case "remove":
            return api.Edit(path=path, do=api.EditKind.REMOVE)
        case "move":
            return api.Edit(path=path, do=api.EditKind.MOVE, before=wish.get("before"))
        case "rename":
            return api.Edit(path=path, value=value, do=api.EditKind.RENAME)
        case "fact":
            return api.Edit(path=(*path, key), value=given)
        case "entry":
            return api.Edit(path=(*path, key), value=given or {}, do=api.EditKind.ADD)
        case "step":
            step: Any = {key: given} if key and given else key or given
            return api.Edit(path=path, value=step, do=api.EditKind.ADD)
        case _:
            return api.Edit(path=path, value=given or {}, do=api.EditKind.ADD)
