"""An edit puts what it says and changes nothing else: values, order, comments, manner of writing."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groundstrap.errors import CallError, GroundstrapError, JobError
from groundstrap.job import Edit, EditKind, edited, job_form, read_job
from groundstrap.job.grammar import NAMED_SECTIONS
from groundstrap.job.schema import PART_WORDS
from tests.support.edited import TEXTS, WRITTEN, at, comments_of, entries, held

HELD = [held(text) for text in TEXTS]
PATHS = [entries(each) for each in HELD]
ALIKE: dict[tuple[str, int], list[Any]] = {}
for one_held, its_paths in zip(HELD[: len(WRITTEN)], PATHS, strict=False):
    for one_path in its_paths:
        ALIKE.setdefault((one_path[-1], len(one_path)), []).append(at(one_held, one_path))
NAMED = ("supplies", "gear", "loads", "circuits")
Path = tuple[str, ...]


def same(one: Any, other: Any) -> bool:
    """Whether two jobs hold the same in the same order."""
    if isinstance(one, dict) and isinstance(other, dict):
        return list(one) == list(other) and all(same(one[key], other[key]) for key in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(same, one, other))
    return bool(one == other)


@st.composite
def places(draw: st.DrawFn) -> tuple[str, Any, Path]:
    """A job, what it holds, and something in it."""
    number = draw(st.integers(0, len(TEXTS) - 1))
    return TEXTS[number], HELD[number], draw(st.sampled_from(PATHS[number]))


def test_jobs_in_lines_hold_what_jobs_in_braces_hold() -> None:
    assert len(TEXTS) > 2 * len(WRITTEN)
    for text in TEXTS[len(WRITTEN) : 2 * len(WRITTEN)]:
        assert comments_of(text)
        read_job(text, folder=None) if "stock:" not in text and "curve:" not in text else None


@given(places(), st.data())
@settings(max_examples=20, deadline=None)
def test_a_value_that_is_set_is_there_and_nothing_else_has_changed(
    place: tuple[str, Any, Path], data: st.DataObject
) -> None:
    text, before, path = place
    # What stands elsewhere in some job under the same key: mostly right, at times refused.
    value = data.draw(st.sampled_from(ALIKE[path[-1], len(path)]))
    try:
        after = edited(text, [Edit(path=path, value=value, do=EditKind.SET)])
    except JobError:
        return
    wanted = copy.deepcopy(before)
    parent = at(wanted, path[:-1])
    parent[int(path[-1]) if isinstance(parent, list) else path[-1]] = value
    assert same(held(after), wanted)
    if not isinstance(at(before, path), dict | list):
        assert comments_of(after) == comments_of(text)


@given(places())
@settings(max_examples=15, deadline=None)
def test_what_is_added_and_removed_leaves_the_text_as_it_was(place: tuple[str, Any, Path]) -> None:
    text, before, path = place
    section = path[0]
    new: list[Path] = []
    if section in NAMED and len(path) > 1:
        new.append((*path[:2], "note"))
    if section in NAMED:
        new.append((section, "brand new thing"))
    for where in new:
        if len(where) == 3 and (not isinstance(at(before, path[:2]), dict) or "note" in at(before, path[:2])):
            continue
        value: Any = "seen, by day" if len(where) == 3 else {"note": "new"}
        if len(where) == 2 and section == "circuits":
            value = {"path": ["battery", "fuse", "lamp"], "length": "2 m"}
        if len(where) == 2 and section in {"supplies", "gear"}:
            value = {"kind": "battery" if section == "supplies" else "block"}
        more = edited(text, [Edit(path=where, value=value, do=EditKind.ADD)])
        assert at(held(more), where) == value
        assert comments_of(more) == comments_of(text)
        assert edited(more, [Edit(path=where)]) == text


@given(places())
@settings(max_examples=15, deadline=None)
def test_an_item_that_is_added_and_removed_leaves_the_text_as_it_was(place: tuple[str, Any, Path]) -> None:
    text, before, _ = place
    lists = [p for p in entries(before) if isinstance(at(before, p), list) and p[-1] in {"path", "routes"}]
    for where in lists[:1]:
        value: Any = "switch" if where[-1] == "path" else {"from": "roof", "to": "cabin", "length": "2 m"}
        size = len(at(before, where))
        for number in (0, size // 2, None):
            more = edited(text, [Edit(path=where, value=value, do=EditKind.ADD, before=number)])
            index = size if number is None else number
            assert at(held(more), (*where, str(index))) == value
            assert comments_of(more) == comments_of(text)
            assert edited(more, [Edit(path=(*where, index))]) == text


@given(places())
@settings(max_examples=20, deadline=None)
def test_what_is_removed_is_gone_and_nothing_else(place: tuple[str, Any, Path]) -> None:
    text, before, path = place
    if path[0] == "circuits" and path[-1] in PART_WORDS:
        return  # the part stays, and only its rating goes: below
    after = held(edited(text, [Edit(path=path)]))
    while (
        len(path) > 1
        and len(at(before, path[:-1])) == 1
        and not (len(path) == 3 and path[0] in NAMED_SECTIONS)
    ):
        path = path[:-1]
    kept = [p for p in entries(before) if p[: len(path)] != path]
    scalars = [p for p in kept if not isinstance(at(before, p), dict | list)]
    moved = [_behind(p, path, before) for p in scalars]
    assert [at(after, p) for p in moved] == [at(before, p) for p in scalars]
    assert len([p for p in entries(after) if not isinstance(at(after, p), dict | list)]) == len(scalars)


@given(places())
@settings(max_examples=15, deadline=None)
def test_a_part_that_loses_its_rating_stays(place: tuple[str, Any, Path]) -> None:
    text, before, path = place
    if path[0] != "circuits" or path[-1] not in PART_WORDS:
        return
    found = at(held(edited(text, [Edit(path=path)])), path[:-1])
    rest = {key: value for key, value in at(before, path[:-1]).items() if key != path[-1]}
    assert found == ({path[-1]: "", **rest} if rest else path[-1])


def _behind(path: Path, gone: Path, before: Any) -> Path:
    """Where something stands once an item of a list before it is gone."""
    n = len(gone) - 1
    if not isinstance(at(before, gone[:-1]), list) or path[:n] != gone[:n] or len(path) <= n:
        return path
    return (*path[:n], str(int(path[n]) - 1), *path[n + 1 :]) if int(path[n]) > int(gone[n]) else path


@given(places(), st.data())
@settings(max_examples=15, deadline=None)
def test_what_is_moved_stands_elsewhere_and_every_comment_is_kept(
    place: tuple[str, Any, Path], data: st.DataObject
) -> None:
    text, before, path = place
    parent = at(before, path[:-1])
    keys = list(parent) if isinstance(parent, dict) else [str(n) for n in range(len(parent))]
    target = data.draw(st.sampled_from([*keys, None]))
    after = edited(text, [Edit(path=path, do=EditKind.MOVE, before=target)])
    order = [key for key in keys if key != path[-1]]
    order.insert(len(order) if target in {None, path[-1]} else order.index(target), path[-1])
    if target == path[-1]:
        order = keys
    found = at(held(after), path[:-1])
    pairs = [at(before, (*path[:-1], key)) for key in order]
    assert (list(found.values()) if isinstance(found, dict) else found) == pairs
    assert sorted(comments_of(after)) == sorted(comments_of(text))


@given(places())
@settings(max_examples=15, deadline=None)
def test_a_rename_goes_there_and_back(place: tuple[str, Any, Path]) -> None:
    text, before, path = place
    if path[0] not in (*NAMED_SECTIONS, "places") or len(path) < 2:
        return
    name, new = path[1], "quite new"
    try:
        after = edited(text, [Edit(path=(path[0], name), value=new, do=EditKind.RENAME)])
    except CallError:
        return
    assert comments_of(after) == comments_of(text)
    assert new in held(after)[path[0]]
    assert name not in held(after)[path[0]]
    again = edited(after, [Edit(path=(path[0], new), value=name, do=EditKind.RENAME)])
    assert held(again) == before
    assert _faults(after) == _faults(text)


def _faults(text: str) -> int:
    try:
        read_job(text)
    except JobError as error:
        return len(error.faults)
    return 0


@given(places(), st.text(max_size=30))
@settings(max_examples=15, deadline=None)
def test_any_text_may_be_a_note(place: tuple[str, Any, Path], note: str) -> None:
    text, before, path = place
    if path[0] not in NAMED or len(path) < 2 or not isinstance(at(before, path[:2]), dict):
        return
    try:
        after = edited(text, [Edit(path=(*path[:2], "note"), value=note, do=EditKind.SET)])
    except GroundstrapError:
        assert not note.split() or any(not c.isprintable() or not c.isascii() for c in note)
        return
    assert at(held(after), (*path[:2], "note")) == " ".join(note.split())


@pytest.mark.parametrize("number", range(len(TEXTS)))
def test_a_form_holds_everything_that_the_text_holds(number: int) -> None:
    form = job_form(TEXTS[number])
    assert form.readable
    found: list[Path] = []
    waiting = list(form.sections)
    while waiting:
        field = waiting.pop()
        found.append(field.path)
        waiting += field.fields
    assert sorted(found) == sorted(entries(HELD[number]))
