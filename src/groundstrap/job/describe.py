"""A job's text described for a page: every section, entry and field, and every key that may be added."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Final

from groundstrap.errors import Fault, JobError
from groundstrap.job.choice_words import choice_said
from groundstrap.job.data import is_number, plain_data, tidied
from groundstrap.job.forms import Form, ValueKind
from groundstrap.job.grammar import NAMED_SECTIONS, ROOT, STEP, form_of
from groundstrap.job.key_words import ENTRY_WORDS, About, about_key
from groundstrap.job.reader import read_job
from groundstrap.job.schema import CABLE_KEYS, PART_KEYS, PART_WORDS, Key
from groundstrap.job.splices import PAIRED, flow_text
from groundstrap.job.spoken import SENTENCES
from groundstrap.job.traps import whole_tree
from groundstrap.job.tree import MapNode, Node, ScalarNode, SequenceNode
from groundstrap.job.words import built_in_zones
from groundstrap.model import Basis, Situation
from groundstrap.records import dataclass
from groundstrap.units import units_for
from groundstrap.words import Words, words

__all__ = ["FieldForm", "JobForm", "KeyForm", "NamesForm", "form_for", "job_form"]

_NO_KEY: Final = words("no key of that name is read here")
_NO_FOLDER: Final = "there is no folder to look for it in"
_ENTRY_KEYS: Final = ("state", "note")


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyForm:
    """What a key takes: all that a page needs to offer it."""

    key: str
    """As it stands in the file; empty where the name is free or an item of a list has none."""
    label: str
    help: str
    example: str
    kind: ValueKind
    choices: tuple[str, ...] = ()
    """Words that would do: all of a choice, some of anything else."""
    choices_said: tuple[str, ...] = ()
    """The same as they are said to people, one for one; empty where they say it themselves."""
    units: tuple[str, ...] = ()
    """Units of a quantity, the usual one first."""
    names: str = ""
    """What a name is the name of: place, zone, load, step, point, file."""
    unknown: bool = False
    """Whether `unknown` may be written."""
    required: bool = False
    many: bool = False
    """Whether a list of such values may stand there."""
    parts: bool = False
    """Whether a map with keys of its own may stand there."""
    said: str = ""
    """A sentence that says such a value, where one would do: `5.4 A at 12.4 V`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldForm:
    """Something that stands in the file: a section, an entry, a key or an item of a list."""

    about: KeyForm
    path: tuple[str, ...]
    value: str
    """As it stands in the file; maps and lists in one line."""
    line: int
    column: int
    fields: tuple[FieldForm, ...] = ()
    addable: tuple[KeyForm, ...] = ()
    """Keys that it has not got yet."""
    item: KeyForm | None = None
    """What may be added under a name of its own, or as one more item."""
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class NamesForm:
    """Names that a job has, to choose from."""

    places: tuple[str, ...] = ()
    zones: tuple[str, ...] = ()
    loads: tuple[str, ...] = ()
    points: tuple[str, ...] = ()
    situations: tuple[str, ...] = tuple(str(each) for each in Situation)


@dataclass(frozen=True, slots=True, kw_only=True)
class JobForm:
    """A whole job as a form; without sections where its text is no YAML."""

    readable: bool
    sections: tuple[FieldForm, ...]
    addable: tuple[KeyForm, ...]
    names: NamesForm
    faults: tuple[Fault, ...]
    """Those that stand at no field; the others are with their fields."""


def job_form(text: str, *, folder: Path | None = None) -> JobForm:
    r"""Return everything that a job's text holds and may hold, each with its faults.

    Parameters
    ----------
    text : str
        The whole text of the job file; with faults it is described as far as it is YAML.
    folder : Path or None
        Where files that it names are looked for; without one nothing is said about them.

    Examples
    --------
    >>> text = "groundstrap: 1\ntitle: Horn\nsystem: 12 V\nloads:\n  horn: {claims: {current: 5 amp}}\n"
    >>> form = job_form(text)
    >>> horn = form.sections[3].fields[0]
    >>> horn.fields[0].fields[0].faults[0].nearest
    '5 A'
    >>> [key.label for key in horn.addable][:3]
    ['kind of load', 'place', 'stud']
    """
    faults = _faults(text, folder)
    try:
        root = whole_tree(text)
    except JobError as error:
        return JobForm(readable=False, sections=(), addable=(), names=NamesForm(), faults=error.faults)
    if not isinstance(root, MapNode):
        addable = tuple(_keys_of(ROOT, "", ()))
        return JobForm(readable=True, sections=(), addable=addable, names=NamesForm(), faults=faults)
    by_key: dict[str, list[Fault]] = {}
    for fault in faults:
        by_key.setdefault(fault.key, []).append(fault)
    teller = _Teller(text, by_key)
    sections = tuple(
        teller.field(e.value, (tidied(e.key.text),), _below(ROOT, tidied(e.key.text)), "")
        for e in root.entries
    )
    written = tuple(tidied(entry.key.text) for entry in root.entries)
    return JobForm(
        readable=True,
        sections=sections,
        addable=tuple(_keys_of(ROOT, "", written)),
        names=_names(root),
        faults=tuple(fault for each in by_key.values() for fault in each),
    )


def form_for(section: str) -> tuple[KeyForm, ...]:
    """Return the keys that an entry of a section may have, or those of the file itself.

    Parameters
    ----------
    section : str
        `supplies`, `gear`, `loads`, `circuits`, `zones`, `routes`, `day`, `readings`, `waivers`; `step` for
        the steps of a path; empty for the file.

    Examples
    --------
    >>> [key.key for key in form_for("zones")]
    ['ambient', 'wet', 'vapour', 'closed']
    """
    if section == "step":
        return tuple(_keys_of(STEP, "step", ()))
    form = _below(ROOT, section) if section else ROOT
    each = form if form is None or not section else form.shape.each
    return () if each is None else tuple(_keys_of(each, section, ()))


def _faults(text: str, folder: Path | None) -> tuple[Fault, ...]:
    try:
        read_job(text, folder=folder)
    except JobError as error:
        return tuple(fault for fault in error.faults if folder is not None or fault.reason != _NO_FOLDER)
    return ()


def _below(form: Form | None, key: str) -> Form | None:
    if form is None:
        return None
    shape = form.shape
    if shape.parts is not None and key in shape.parts:
        return form_of(shape.parts[key])
    return shape.each


class _Teller:
    """Describes nodes, and gives each fault to the field that it stands at."""

    def __init__(self, text: str, faults: dict[str, list[Fault]]) -> None:
        self.text, self.faults = text, faults

    def field(self, node: Node, path: tuple[str, ...], form: Form | None, scope: str) -> FieldForm:
        """Describe what stands at a path."""
        key = path[-1]
        about = _stray(key, node) if form is None else _about(scope, key, form)
        inner = scope_of(path, scope)
        fields = tuple(self._fields(node, path, form, inner))
        mine: list[Fault] = []
        if self.faults:
            mine += self.faults.pop(".".join(path), [])
            mine += [fault for name in self._stray_faults(path) for fault in self.faults.pop(name)]
        return FieldForm(
            about=about,
            path=path,
            value=self._told(node, path),
            line=node.line,
            column=node.column,
            fields=fields,
            addable=() if form is None else _addable(form, node, inner),
            item=_item(form, node, inner),
            faults=tuple(mine),
        )

    def _fields(
        self, node: Node, path: tuple[str, ...], form: Form | None, scope: str
    ) -> Iterator[FieldForm]:
        if isinstance(node, MapNode):
            for entry in node.entries:
                key = tidied(entry.key.text)
                yield self.field(entry.value, (*path, key), _below(form, key), scope)
        elif isinstance(node, SequenceNode):
            for number, item in enumerate(node.items):
                yield self.field(item, (*path, str(number)), _item_form(form), scope)

    def _told(self, node: Node, path: tuple[str, ...]) -> str:
        if isinstance(node, ScalarNode):
            return tidied(node.text)
        written = self.text[node.start : node.end]
        if node.flow and "\n" not in written:
            return written
        return flow_text(plain_data(node), pairs=any(key in PAIRED for key in path))

    def _stray_faults(self, path: tuple[str, ...]) -> list[str]:
        """Keys of faults below a path that no field of it has taken."""
        begin = f"{'.'.join(path)}."
        return [name for name in self.faults if name.startswith(begin)]


def scope_of(path: tuple[str, ...], scope: str) -> str:
    """Return by which words the keys below a path are told."""
    if len(path) == 1:
        return path[0]
    last = path[-1]
    if last in {"path", "return"}:
        return "step"
    return last if last in {"claims", "measured", "fitted", "inrush", "stall", "duty", "values"} else scope


def _item_form(form: Form | None) -> Form | None:
    if form is None:
        return None
    if form.shape.kind is ValueKind.PATH:
        return STEP
    return form if form.shape.several else form.shape.each


def _item(form: Form | None, node: Node, scope: str) -> KeyForm | None:
    """Return what may be added to a list, or to a map whose names are free."""
    if form is None:
        return None
    shape = form.shape
    if shape.kind is ValueKind.PATH:
        return _made("step", "", STEP, required=False)
    if shape.several:
        return _made(scope, "", form, required=False)
    if shape.each is None or (isinstance(node, ScalarNode) and not shape.alone and shape.parts != {}):
        return None
    named = shape.names if shape.names in ENTRY_WORDS and shape.kind is ValueKind.LIST else scope
    return _made(named, "", shape.each, required=False)


def _addable(form: Form, node: Node, scope: str) -> tuple[KeyForm, ...]:
    """Return the keys that an entry has not got yet."""
    shape = form.shape
    if not shape.parts or isinstance(node, SequenceNode):
        return ()
    written = [tidied(e.key.text) for e in node.entries] if isinstance(node, MapNode) else [node.text]
    if shape.names == "step":
        return _of_step(node, tuple(written))
    if isinstance(node, ScalarNode) and node.text == "none":
        return ()
    kind = dict(_entries(node)).get("kind")
    word = tidied(kind.text) if isinstance(kind, ScalarNode) else None
    return _fitting(form, scope, tuple(written), word)


@lru_cache(maxsize=512)
def _fitting(form: Form, scope: str, written: tuple[str, ...], kind: str | None) -> tuple[KeyForm, ...]:
    return tuple(_keys_of(form, scope, written, kind))


@lru_cache(maxsize=512)
def _steps(written: tuple[str, ...], word: str | None) -> tuple[KeyForm, ...]:
    keys = (*PART_KEYS, *_ENTRY_KEYS) if word is not None else tuple(CABLE_KEYS)
    more = _keys_of(STEP, "step", written, word)
    return tuple(key for key in more if key.key in keys or key.key == word)


def _of_step(node: Node, written: tuple[str, ...]) -> tuple[KeyForm, ...]:
    word = next((key for key in written if key in PART_WORDS), None)
    if isinstance(node, ScalarNode):
        # A name has no keys; a part's own word becomes a map once it is given one.
        return () if word is None else _steps((), word)
    return _steps(written, word)


def _keys_of(form: Form, scope: str, written: tuple[str, ...], kind: str | None = None) -> Iterator[KeyForm]:
    parts: Mapping[str, Key | Form] = form.shape.parts or {}
    for name, part in parts.items():
        kinds = part.kinds if isinstance(part, Key) else frozenset()
        if name in written or (kinds and kind is not None and kind not in kinds):
            continue
        yield _made(scope, name, form_of(part), required=isinstance(part, Key) and part.required)


def _about(scope: str, key: str, form: Form) -> KeyForm:
    known = about_key(scope, key)
    return _made(scope, key if known is not None else "", form, required=False)


@lru_cache(maxsize=1024)
def _made(scope: str, key: str, form: Form, *, required: bool) -> KeyForm:
    """Describe a key by its form and its words."""
    shape = form.shape
    about = _words(scope, key, form)
    choices = () if shape.choices is None else tuple(str(word) for word in shape.choices())
    closed = shape.kind in {ValueKind.CHOICE, ValueKind.YES_NO} or key == "runs"
    of = "yes-no" if shape.kind is ValueKind.YES_NO else key
    return KeyForm(
        key=key,
        label=about.label,
        help=about.help,
        example=about.example,
        kind=shape.kind,
        choices=choices,
        choices_said=tuple(choice_said(scope, of, each) for each in choices) if closed else (),
        units=units_for(shape.quantities) if shape.quantities else _size_units(shape.kind),
        names=shape.names,
        unknown=shape.unknown,
        required=required,
        many=shape.several or shape.alone,
        parts=bool(shape.parts),
        said=SENTENCES.get(key or scope, "") if key or shape.kind is ValueKind.MAP else "",
    )


def _size_units(kind: ValueKind) -> tuple[str, ...]:
    return ("mm2", "AWG", "SAE") if kind is ValueKind.SIZE else ()


def _words(scope: str, key: str, form: Form) -> About:
    found = about_key(scope, key) if key else None
    if found is not None:
        return found
    names = {"point": "value"}.get(form.shape.names, form.shape.names)
    if form.shape.quantities and not form.shape.parts:
        names = "point" if scope == "values" else "power"
    return (
        ENTRY_WORDS.get(names) or ENTRY_WORDS.get(scope) or About(words("entry"), words("any text"), "text")
    )


def _stray(key: str, node: Node) -> KeyForm:
    kind = ValueKind.TEXT if isinstance(node, ScalarNode) else ValueKind.MAP
    return KeyForm(key=key, label=Words("{key}", {"key": key}), help=_NO_KEY, example="", kind=kind)


def _names(root: MapNode) -> NamesForm:
    sections = {tidied(e.key.text): e.value for e in root.entries}
    named = {
        section: [name for name, _ in _entries(sections.get(section))]
        for section in (*NAMED_SECTIONS, "places")
    }
    basis = sections.get("basis")
    boat = isinstance(basis, ScalarNode) and basis.text == "boat"
    zones = list(built_in_zones(Basis.BOAT if boat else Basis.ROAD)) + named["zones"]
    things = [*named["supplies"], *named["gear"], *named["loads"]]
    batteries = [] if "battery" in things else ["battery"]
    return NamesForm(
        places=tuple(dict.fromkeys((*named["places"], *_places_of(sections), *zones))),
        zones=tuple(dict.fromkeys(zones)),
        loads=tuple(named["loads"]),
        points=tuple(dict.fromkeys((*batteries, *_points(sections), "chassis"))),
    )


def _entries(node: Node | None) -> list[tuple[str, Node]]:
    return [(tidied(e.key.text), e.value) for e in node.entries] if isinstance(node, MapNode) else []


def _places_of(sections: Mapping[str, Node]) -> Iterator[str]:
    """Places that things are at, or that have a thing's own name."""
    for section in ("supplies", "gear", "loads"):
        for name, entry in _entries(sections.get(section)):
            at = dict(_entries(entry)).get("at")
            yield tidied(at.text) if isinstance(at, ScalarNode) else name


def _points(sections: Mapping[str, Node]) -> Iterator[str]:
    for section in ("supplies", "gear", "loads"):
        for name, entry in _entries(sections.get(section)):
            yield name
            ways = dict(_entries(entry)).get("ways") if section == "gear" else None
            if isinstance(ways, SequenceNode):
                yield from (f"{name} {tidied(way.text)}" for way in ways.items if isinstance(way, ScalarNode))
            elif isinstance(ways, ScalarNode) and is_number(ways.text) and len(ways.text) < 4:
                yield from (f"{name} {number + 1}" for number in range(int(ways.text)))
