"""Nothing of the file format that a page can't do: each key is offered, set, read back and taken out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import pytest
from ruamel.yaml import YAML

from groundstrap.errors import JobError
from groundstrap.job import Edit, EditKind, KeyForm, edited, form_for, job_form, read_job
from groundstrap.job import records as readers
from groundstrap.job.describe import FieldForm
from groundstrap.job.forms import Form
from groundstrap.job.grammar import DAY_KEYS, READING_KEYS, ROOT, VALUE_KEYS, WAIVER_KEYS, form_of
from groundstrap.job.key_words import about_key
from groundstrap.job.schema import (
    CABLE_KEYS,
    CIRCUIT_KEYS,
    GEAR_KEYS,
    LOAD_KEYS,
    PART_KEYS,
    PART_WORDS,
    ROUTE_KEYS,
    SUPPLY_KEYS,
    TOP_KEYS,
    ZONE_KEYS,
    Key,
)
from tests.support.edited import at, held

BASE = """\
groundstrap: 1
title: Test
system: 12 V
supplies:
  battery: {kind: battery}
zones:
  shelf: {ambient: -20..55 degC}
routes:
  - {from: battery, to: bed, length: 3 m}
gear:
  thing: {kind: block}
loads:
  lamp: {claims: {power: 60 W}}
  other: {claims: {power: 6 W}}
circuits:
  lamp: {path: [battery, fuse, lamp], length: 3 m}
  other: {path: [battery, fuse, {wire: 6 mm2}, other], length: 3 m}
day:
  - {driving: 35 min}
readings:
  - {when: idling, values: [battery: 14.2 V]}
waivers:
  - {rule: PRT001, where: lamp, reason: sealed, by: me}
"""
TABLES: Mapping[str, tuple[tuple[str, ...], Mapping[str, Key | Form]]] = {
    "supplies": (("supplies", "battery"), SUPPLY_KEYS),
    "gear": (("gear", "thing"), GEAR_KEYS),
    "loads": (("loads", "lamp"), LOAD_KEYS),
    "circuits": (("circuits", "lamp"), CIRCUIT_KEYS),
    "zones": (("zones", "shelf"), ZONE_KEYS),
    "routes": (("routes", "0"), ROUTE_KEYS),
    "day": (("day", "0"), DAY_KEYS),
    "readings": (("readings", "0"), READING_KEYS),
    "values": (("readings", "0", "values", "0"), VALUE_KEYS),
    "waivers": (("waivers", "0"), WAIVER_KEYS),
}
KEYS = [(scope, name) for scope, (_, table) in TABLES.items() for name in table]
PARTS = [
    (word, name)
    for word in PART_WORDS
    for name, key in PART_KEYS.items()
    if not key.kinds or word in key.kinds
] + [(word, word) for word in PART_WORDS]
SMALL = [
    (scope, name, part)
    for scope, (_, table) in TABLES.items()
    for name, key in table.items()
    for part in form_of(key).shape.parts or ()
]
SAFE = {
    "claims": {"power": "5 W", "by": "label"},
    "measured": {"resistance": "2 ohm", "meter": "handheld"},
    "fitted": {"fuse": "5 A", "wire": "16 AWG"},
    "inrush": {"current": "30 A", "time": "40 ms"},
    "stall": {"current": "11 A", "survives": "no"},
    "duty": {"run": "40 s", "every": "4 min"},
}
EXAMPLE = {"path": "[battery, fuse, lamp]", "at": "bed", "never_with": "[other]", "using": "[other]"}


def example(scope: str, key: str) -> object:
    """The example that a page shows of a key, as it would be read from a file."""
    about = about_key(scope, key)
    assert about is not None, f"{scope}.{key} has no words"
    return held(f"x: {EXAMPLE.get(key, about.example)}")["x"]


def of_kind(scope: str, key: str) -> tuple[str, tuple[str, ...]]:
    """A job in which an entry may have a key, by its kind, and the path of the entry."""
    path, table = TABLES[scope]
    known = table[key]
    kinds = sorted(known.kinds) if isinstance(known, Key) else []
    if not kinds:
        return BASE, path
    if scope == "loads":
        return edited(BASE, [Edit(path=(*path, "kind"), value=kinds[0])]), path
    return edited(BASE, [Edit(path=(*path, "kind"), value=kinds[0])]), path


def field_at(text: str, path: tuple[str, ...]) -> FieldForm:
    """The field of a form at a path."""
    waiting = list(job_form(text).sections)
    while waiting:
        field = waiting.pop()
        if field.path == path:
            return field
        waiting += field.fields
    raise AssertionError(path)


def offered(text: str, path: tuple[str, ...]) -> dict[str, KeyForm]:
    return {key.key: key for key in field_at(text, path).addable}


@pytest.mark.parametrize(("scope", "key"), KEYS)
def test_each_key_is_offered_set_read_back_and_taken_out(scope: str, key: str) -> None:
    text, path = of_kind(scope, key)
    if key in at(held(text), path):
        text = _without(text, path, key)
    told = offered(text, path)[key]
    assert told.label
    assert told.help
    value = example(scope, key)
    more = edited(text, [Edit(path=(*path, key), value=value, do=EditKind.SET)])  # type: ignore[arg-type]
    assert at(held(more), (*path, key)) == value
    assert field_at(more, (*path, key)).about.key == key
    assert key not in offered(more, path)
    if len(at(held(text), path)):
        assert held(edited(more, [Edit(path=(*path, key))])) == held(text)


def _without(text: str, path: tuple[str, ...], key: str) -> str:
    """A job whose entry has not got a key, but another one."""
    other = {"supplies": "note", "gear": "note", "loads": "note", "circuits": "note", "zones": "wet"}
    scope = path[0]
    if len(at(held(text), path)) == 1:
        text = edited(text, [Edit(path=(*path, other.get(scope, "using")), value=_some(scope))])
    return edited(text, [Edit(path=(*path, key))])


def _some(scope: str) -> str:
    return {"zones": "dry", "day": "all"}.get(scope, "seen")


@pytest.mark.parametrize(("word", "key"), PARTS)
def test_each_key_of_a_part_is_offered_set_read_back_and_taken_out(word: str, key: str) -> None:
    path = ("circuits", "lamp", "path", "1")
    text = edited(BASE, [Edit(path=path, value=word)])
    assert key in offered(text, path)
    value = example("step", key)
    more = edited(text, [Edit(path=(*path, key), value=value)])  # type: ignore[arg-type]
    assert at(held(more), (*path, key)) == value
    gone = at(held(edited(more, [Edit(path=(*path, key))])), path)
    assert gone in ({word: ""}, word)


@pytest.mark.parametrize("key", CABLE_KEYS)
def test_each_key_of_a_cable_is_offered_set_read_back_and_taken_out(key: str) -> None:
    path = ("circuits", "other", "path", "2")
    text = BASE if key != "wire" else BASE.replace("{wire: 6 mm2}", "{length: 1 m}")
    assert key in offered(text, path)
    value = example("step", key)
    more = edited(text, [Edit(path=(*path, key), value=value)])  # type: ignore[arg-type]
    assert at(held(more), (*path, key)) == value
    assert edited(more, [Edit(path=(*path, key))]) != more


@pytest.mark.parametrize(("scope", "key", "part"), SMALL)
def test_each_part_of_a_small_map_is_offered_and_set(scope: str, key: str, part: str) -> None:
    _, path = of_kind(scope, key)
    value = example(key, part)
    more = edited(BASE, [Edit(path=(*path, key, part), value=value)])  # type: ignore[arg-type]
    found = at(held(more), (*path, key))
    assert (found[0] if isinstance(found, list) else found)[part] == value
    base = edited(BASE, [Edit(path=(*path, key))]) if key in at(held(BASE), path) else BASE
    other = next(each for each in SAFE[key] if each != part)
    alone = edited(base, [Edit(path=(*path, key, other), value=SAFE[key][other])])
    assert part in offered(alone, (*path, key))


@pytest.mark.parametrize("key", TOP_KEYS)
def test_each_section_is_offered_set_and_taken_out(key: str) -> None:
    text = edited(BASE, [Edit(path=(key,))]) if key in held(BASE) else BASE
    assert key in {each.key for each in job_form(text).addable}
    value = example("", key)
    more = edited(text, [Edit(path=(key,), value=value)])  # type: ignore[arg-type]
    assert held(more)[key] == value
    assert list(held(more)) == [name for name in TOP_KEYS if name in held(more)] or key in held(BASE)
    assert edited(more, [Edit(path=(key,))]) == text


@pytest.mark.parametrize(
    "path",
    [
        ("supplies", "battery", "capacity"), ("supplies", "battery", "chemistry"),
        ("loads", "lamp", "claims"), ("loads", "lamp", "duty"), ("loads", "lamp", "stall"),
        ("circuits", "lamp", "wire"),
        ("circuits", "lamp", "fuse"), ("circuits", "lamp", "length"), ("circuits", "lamp", "path", "1"),
        ("circuits", "lamp", "path", "1", "fuse"), ("circuits", "other", "path", "2", "wire"),
        ("gear", "thing", "rating"), ("circuits", "lamp", "insulation"),
    ],
)  # fmt: skip
def test_what_is_there_and_nobody_knows_can_be_written(path: tuple[str, ...]) -> None:
    assert at(held(edited(BASE, [Edit(path=path, value="unknown")])), path) == "unknown"


def test_what_takes_unknown_says_so() -> None:
    wrong = []
    for scope, key in KEYS:
        text, path = of_kind(scope, key)
        told = next(each for each in form_for(scope) if each.key == key) if scope != "values" else None
        if told is None or key in {"note", "kind"}:
            continue
        try:
            edited(text, [Edit(path=(*path, key), value="unknown", do=EditKind.SET)])
            reads = True
        except JobError:
            reads = False
        if reads is not told.unknown and told.kind not in {"text", "name", "list", "path"}:
            wrong.append((scope, key, reads, told.unknown))
    assert not wrong


def test_tables_of_the_page_are_those_of_the_reader() -> None:
    assert set(ROOT.shape.parts or ()) == set(TOP_KEYS)
    assert tuple(READING_KEYS) == readers._READING_KEYS
    assert set(readers._DAY_KEYS) <= set(DAY_KEYS)


def every_field(text: str) -> Iterator[FieldForm]:
    waiting = list(job_form(text).sections)
    while waiting:
        field = waiting.pop()
        yield field
        waiting += field.fields


def test_a_fault_stands_at_its_own_field() -> None:
    text = BASE.replace("power: 60 W", "power: 60 V").replace("length: 3 m", "lenght: 3 m")
    found = {field.path: field.faults for field in every_field(text) if field.faults}
    assert found[("loads", "lamp", "claims", "power")][0].line == 13
    assert found[("circuits", "lamp", "lenght")][0].nearest == "length"


def test_a_text_that_is_no_yaml_is_told_with_its_line() -> None:
    form = job_form("groundstrap: 1\ntitle: [a\n")
    assert not form.readable
    assert form.faults[0].line > 0


def test_names_to_choose_from_are_those_of_the_job() -> None:
    names = job_form(BASE.replace("kind: block", "kind: block, ways: 2")).names
    assert names.loads == ("lamp", "other")
    assert {"battery", "thing 1", "thing 2", "chassis"} <= set(names.points)
    assert {"shelf", "cabin"} <= set(names.zones)


def test_the_job_that_these_tests_edit_reads() -> None:
    assert read_job(BASE).installation.title == "Test"
    assert YAML(typ="safe", pure=True).load(BASE)["title"] == "Test"
