"""Three-way merging: what only one changed is taken, what both changed is asked, comments stay."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from groundstrap.job.tree import parse_tree
from groundstrap.shelf.merging import Merged, MergedFiles, merge_files, merge_texts
from groundstrap.shelf.parts import value_of

EXAMPLES = ("hive-pickup", "book-bus", "oyster-skiff")
BASE = """\
# Van of the bakery
title: Bakery van
about: {vehicle: panel van, owner: bakery}  # as told by phone

routes:
  - {from: tray, to: bed, length: 3 m}   # along the frame
  - from: bed
    to: tail
    length: 1 m

loads:
  # seen on the label
  lamp: {claims: {power: 5 W}}  # by the door
  fan:
    kind: motor      # of the roof
    claims: {power: 30 W}
circuits:
  lamp: {path: [battery, fuse, lamp], length: 3 m}
  fan: {length: 4 m}
  pump: {path: [battery, wire: 1 mm2, fuse: 3 A, pump]}
# end
"""


def merged(mine: str, theirs: str, base: str = BASE) -> str:
    found = merge_texts(base, mine, theirs)
    assert found.text is not None, found.clashes
    return found.text


def changed(*pairs: tuple[str, str], text: str = BASE) -> str:
    for old, new in pairs:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


@pytest.mark.parametrize(
    ("mine", "theirs"),
    [
        (("5 W", "6 W"), ("30 W", "40 W")),
        (("5 W", "6 W"), ("by the door", "by the bed")),
        (("kind: motor ", "kind: fan "), ("of the roof", "of the wall")),
        (("length: 3 m}   # along", "length: 3.2 m}   # along"), ("length: 1 m", "length: 2 m")),
        (("# seen on the label", "# seen on the box"), ("lamp: {claims", "bulb: {claims")),
        (("battery, fuse, lamp", "battery, switch, fuse, lamp"), ("length: 4 m", "length: 5 m")),
        (("owner: bakery", "owner: mill"), ("vehicle: panel van", "vehicle: box van")),
        (("# end", "# the end"), ("# Van of the bakery", "# Van of the mill")),
        (("  fan: {length: 4 m}\n", ""), ("length: 3 m}\n", "length: 3 m, wire: 1 mm2}\n")),
        ((", owner: bakery", ""), ("panel van", "box van")),
        (("vehicle: panel van, ", ""), ("owner: bakery", "owner: mill")),
        (("fuse: 3 A", "fuse: 5 A"), ("from: bed\n", "from: bed    # below\n")),
        (("fuse: 3 A", "{fuse: 3 A, family: mini blade}"), ("wire: 1 mm2", "wire: 2 mm2")),
    ],
)
def test_disjoint_edits_are_as_if_done_one_after_the_other(
    mine: tuple[str, str], theirs: tuple[str, str]
) -> None:
    both = changed(mine, theirs)
    assert merged(changed(mine), changed(theirs)) == both
    assert merged(changed(theirs), changed(mine)) == both


def test_new_entries_of_both_stand_side_by_side_with_their_comments() -> None:
    mine = changed(
        ("  fan: {length: 4 m}\n", "  fan: {length: 4 m}\n  # mine\n  heater: {length: 1 m}  # p\n")
    )
    theirs = changed(("  fan: {length: 4 m}\n", "  fan: {length: 4 m}\n  hoist: {length: 2 m}\n"))
    text = merged(mine, theirs)
    assert "  # mine\n  heater: {length: 1 m}  # p\n" in text
    assert "  hoist: {length: 2 m}\n" in text
    assert text.endswith("# end\n")


def test_new_records_of_a_list_are_both_kept() -> None:
    mine = changed(("    length: 1 m\n", "    length: 1 m\n  - {from: a, to: b, length: 1 m}\n"))
    theirs = changed(("    length: 1 m\n", "    length: 1 m\n  - {from: c, to: d, length: 1 m}\n"))
    text = merged(mine, theirs)
    assert "{from: a, to: b" in text
    assert "{from: c, to: d" in text


def test_the_first_of_all_is_taken_away_and_the_comment_below_stays() -> None:
    text = "a: 1\n# of b\nb: 2\n"
    assert merged("# of b\nb: 2\n", text + "c: 3\n", text) == "# of b\nb: 2\nc: 3\n"


def test_one_that_both_added_alike_is_there_once() -> None:
    mine = changed(("# end", "day: []\n# end"))
    assert merged(mine, changed(("# end", "day: []\n# end"), ("5 W", "6 W"))).count("day: []") == 1


def test_what_both_added_under_one_key_is_put_together() -> None:
    mine = changed(("# end", "places:\n  bed: cabin\n# end"))
    theirs = changed(("# end", "places:\n  tail: outside\n# end"))
    assert "places:\n  bed: cabin\n  tail: outside\n" in merged(mine, theirs)


def test_a_value_is_put_where_none_stood() -> None:
    base = "a: {fuse, holder: tap}\nb:\n"
    assert merged("a: {fuse: 3 A, holder: tap}\nb:\n", "a: {fuse, holder: tap}\nb: 2\n", base) == (
        "a: {fuse: 3 A, holder: tap}\nb: 2\n"
    )


def test_both_comments_are_kept_where_both_wrote_one() -> None:
    text = merged(changed(("by the door", "by the bed")), changed(("by the door", "at the back")))
    assert "# by the bed" in text
    assert "# at the back" in text
    text = merged(changed(("# seen on the label", "# mine")), changed(("# seen on the label", "# theirs")))
    assert "  # mine\n  # theirs\n  lamp" in text


def test_a_section_that_one_indented_otherwise_takes_the_others_change() -> None:
    base = "loads:\n  fan:\n    kind: motor\n    at: roof\n"
    mine = "loads:\n    fan:\n        kind: motor\n        at: roof\n"
    theirs = base.replace("roof", "wall") + "  lamp:\n    at: bed  # below\n"
    text = merged(mine, theirs, base)
    assert value_of(parse_tree(text).root) == value_of(parse_tree(theirs).root)
    assert "# below" in text


def test_one_that_was_written_in_another_way_takes_nothing_from_the_other() -> None:
    base = "loads:\n  fan:\n    kind: motor\n"
    text = merged("loads:\n  fan: {kind: motor}\n", base.replace("motor", "pump"), base)
    assert value_of(parse_tree(text).root) == value_of(parse_tree(base.replace("motor", "pump")).root)


@pytest.mark.parametrize(
    ("mine", "theirs", "path"),
    [
        (("5 W", "6 W"), ("5 W", "7 W"), ("loads", "lamp", "claims", "power")),
        (("length: 1 m", "length: 2 m"), ("length: 1 m", "length: 3 m"), ("routes", 1, "length")),
        (("battery, fuse, lamp", "battery, a, lamp"), ("battery, fuse, lamp", "battery, b, lamp"),
         ("circuits", "lamp", "path", 1)),
        (("battery, fuse, lamp", "battery, x, fuse, lamp"), ("battery, fuse, lamp", "battery, y, fuse, lamp"),
         ("circuits", "lamp", "path", 1)),
        (("  fan: {length: 4 m}\n", ""), ("length: 4 m", "length: 5 m"), ("circuits", "fan")),
        (("title: Bakery van", "title: Mill van"), ("title: Bakery van", "title: [a]"), ("title",)),
        # Another route in the place of one that the other changed: no change of it.
        (("{from: tray, to: bed, length: 3 m}", "{from: x, to: y, length: 3 m}"),
         ("length: 3 m}   #", "length: 9 m}   #"), ("routes", 0)),
    ],
)  # fmt: skip
def test_what_both_changed_is_asked(
    mine: tuple[str, str], theirs: tuple[str, str], path: tuple[str | int, ...]
) -> None:
    own, other = changed(mine), changed(theirs)
    found = merge_texts(BASE, own, other)
    assert found.text is None
    assert [clash.path for clash in found.clashes] == [path]
    for choice in ("mine", "theirs"):
        chosen = merge_texts(BASE, own, other, {path: choice})
        assert value_of(parse_tree(chosen.text or "").root) == value_of(
            parse_tree(own if choice == "mine" else other).root
        )


def test_a_clash_shows_all_three() -> None:
    found = merge_texts(
        BASE, changed(("5 W", "6 W")), changed(("  lamp: {claims: {power: 5 W}}  # by the door\n", ""))
    )
    (clash,) = found.clashes
    assert (clash.base, clash.mine, clash.theirs) == (
        "{claims: {power: 5 W}}",
        "{claims: {power: 6 W}}",
        None,
    )


def test_a_text_that_is_no_yaml_is_one_clash() -> None:
    found = merge_texts(BASE, BASE + "x: [", changed(("5 W", "6 W")))
    assert [clash.path for clash in found.clashes] == [()]
    assert merge_texts(BASE, BASE + "x: [", BASE) == Merged(text=BASE + "x: [")


def test_line_ends_are_those_of_what_is_there() -> None:
    theirs = changed(("5 W", "6 W")).replace("\n", "\r\n")
    assert merged(changed(("30 W", "40 W")), theirs) == changed(("5 W", "6 W"), ("30 W", "40 W")).replace(
        "\n", "\r\n"
    )


def test_a_long_list_is_compared_at_its_ends_alone() -> None:
    """Changed at both ends and in its length, it is one change: what is in between is not gone through."""
    rows = ["a"] * 600
    base = f"title: x\nday: [{', '.join(rows)}]\n"
    mine = f"title: x\nday: [b, {', '.join(rows)}, c]\n"
    assert merged(mine, base.replace("title: x", "title: y"), base) == mine.replace("title: x", "title: y")
    theirs = f"title: x\nday: [d, {', '.join(rows[2:])}, e]\n"
    assert [clash.path for clash in merge_texts(base, mine, theirs).clashes] == [("day", 0)]


def test_files_are_taken_as_wholes() -> None:
    found = merge_files({"a": "1", "b": "1"}, {"a": "2", "b": "1", "c": "1"}, {"a": "3"})
    assert [(clash.path, clash.base, clash.mine, clash.theirs) for clash in found.clashes] == [
        (("files", "a"), "1", "2", "3")
    ]
    sides = ({"a": "1", "b": "1"}, {"a": "2", "b": "1", "c": "1"}, {"a": "3"})
    for choice, kept in (("mine", {"a": "2", "c": "1"}), ("theirs", {"a": "3", "c": "1"})):
        assert merge_files(*sides, {("files", "a"): choice}) == MergedFiles(files=kept)  # type: ignore[dict-item]
    assert merge_files({"a": "1"}, {"a": "2"}, {}, {("files", "a"): "theirs"}).files == {}


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_line_of_an_example_can_be_changed_beside_every_other(name: str, repository: Path) -> None:
    text = (repository / "examples" / f"{name}.job.yaml").read_text(encoding="utf-8")
    theirs = text.replace("\nloads:\n", "\nloads:\n  # new\n  extra lamp: {claims: {power: 3 W}}  # tail\n")
    theirs = theirs.rstrip() + "\n# last words\n"
    mine = text.replace("title: ", "title: The ", 1) + "waivers: []  # none\n"
    both = theirs.replace("title: ", "title: The ", 1)
    found = merged(mine, theirs, text)
    assert "waivers: []  # none" in found
    assert found.replace("waivers: []  # none\n", "") == both


# Trees of maps, lists and texts, written in either style with a comment at each line, and edits of them.
names = st.sampled_from(["fan", "lamp", "pump", "hoist", "relay", "bed light"])
words = st.sampled_from(["5 W", "12 V", "roof", "a: b", "'quoted'", "# no", "yes", "1.10"])
trees = st.recursive(
    words,
    lambda inner: (
        st.dictionaries(names, inner, min_size=1, max_size=4) | st.lists(inner, min_size=1, max_size=4)
    ),
    max_leaves=12,
)
jobs = st.dictionaries(names, trees, min_size=2, max_size=5)


def scalar(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"


def written(value: Any, column: int, depth: int, *, braced_from: int) -> str:
    """A value as text: in braces from some depth on."""
    if isinstance(value, str):
        return scalar(value)
    if depth >= braced_from:
        if isinstance(value, dict):
            inside = (f"{k}: {written(v, 0, depth + 1, braced_from=braced_from)}" for k, v in value.items())
            return "{" + ", ".join(inside) + "}"
        return "[" + ", ".join(written(v, 0, depth + 1, braced_from=braced_from) for v in value) + "]"
    indent = "\n" + " " * column
    if isinstance(value, dict):
        return indent.join(
            f"# above {k}{indent}{k}:{_placed(v, column, depth, braced_from)}" for k, v in value.items()
        )
    return indent.join(f"-{_placed(v, column, depth, braced_from)}" for v in value)


def _placed(value: Any, column: int, depth: int, braced_from: int) -> str:
    inner = written(value, column + 2, depth + 1, braced_from=braced_from)
    if isinstance(value, str) or depth + 1 >= braced_from or not value:
        return f" {inner}  # beside"
    return "\n" + " " * (column + 2) + inner


def text_of(job: Any, braced_from: int) -> str:
    return written(job, 0, 0, braced_from=max(braced_from, 1)) + "\n"


def leaves(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    if isinstance(value, str):
        return [path]
    pairs = value.items() if isinstance(value, dict) else enumerate(value)
    return [leaf for key, inner in pairs for leaf in leaves(inner, (*path, key))]


def put(value: Any, path: tuple[Any, ...], new: Any) -> Any:
    made = copy.deepcopy(value)
    at = made
    for key in path[:-1]:
        at = at[key]
    at[path[-1]] = new
    return made


@settings(max_examples=30)
@given(jobs, st.data(), st.integers(1, 4))
def test_two_different_values_changed_are_both_changed(job: Any, data: st.DataObject, braced: int) -> None:
    every = leaves(job)
    assume(len(every) >= 2)
    one, two = data.draw(st.lists(st.sampled_from(every), min_size=2, max_size=2, unique=True))
    base = text_of(job, braced)
    mine, theirs = text_of(put(job, one, "of mine"), braced), text_of(put(job, two, "of theirs"), braced)
    both = text_of(put(put(job, one, "of mine"), two, "of theirs"), braced)
    found = merge_texts(base, mine, theirs)
    if found.text is None:
        # A list of two that changed into one another can be read in several ways: that is asked.
        assert any(isinstance(key, int) for key in (*one, *two))
        return
    assert found.text == both


@settings(max_examples=30)
@given(jobs, jobs, jobs, st.integers(1, 4))
def test_nothing_is_lost_unseen(base: Any, mine: Any, theirs: Any, braced: int) -> None:
    """Each text that one of them wrote newly is in the result, or in a clash that shows it."""
    texts = [text_of(each, braced) for each in (base, mine, theirs)]
    found = merge_texts(*texts)
    trees = [value_of(parse_tree(text).root) for text in texts]
    for own, other in ((trees[1], trees[2]), (trees[2], trees[1])):
        if own == trees[0] and found.text is not None:
            assert value_of(parse_tree(found.text).root) == other
    if found.text is None:
        assert found.clashes
        for clash in found.clashes:
            assert clash.mine != clash.theirs


@settings(max_examples=30)
@given(jobs, jobs, st.integers(1, 4))
def test_the_two_sides_may_be_swapped(base: Any, mine: Any, braced: int) -> None:
    theirs = {**base, "new of theirs": "5 W"}
    one = merge_texts(*(text_of(each, braced) for each in (base, mine, theirs)))
    two = merge_texts(*(text_of(each, braced) for each in (base, theirs, mine)))
    assert (one.text is None) == (two.text is None)
    if one.text is not None and two.text is not None:
        assert value_of(parse_tree(one.text).root) == value_of(parse_tree(two.text).root)
