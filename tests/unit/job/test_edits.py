"""Edits of a job's text: what they put where, and what they refuse, in the words of the key's own form."""

from __future__ import annotations

import pytest

from groundstrap.errors import CallError, JobError
from groundstrap.job import Edit, EditKind, edited, read_job
from tests.support.edited import EXAMPLES, at, comments_of, held

SKIFF = (EXAMPLES / "oyster-skiff.job.yaml").read_text(encoding="utf-8")
LINES = """\
groundstrap: 1
title: 'Van #2'          # hers
system: 12 V

# what uses current
loads:
  # by the bed
  lamp:                  # the old one
    kind: led
    claims:
      power: 5 W         # on the box
    note: "red, by the door"
  fan: {kind: fan, claims: {current: 1 A}}   # roof
circuits:
  lamp:
    path:
      - battery
      - fuse             # in a holder
      - lamp
    length: 3 m
"""


def put(text: str, path: tuple[str | int, ...], value: object) -> str:
    return edited(text, [Edit(path=path, value=value, do=EditKind.SET)])  # type: ignore[arg-type]


def changed(before: str, after: str) -> list[str]:
    """Lines of a text that the one before has not got."""
    old = before.splitlines()
    return [line for line in after.splitlines() if line not in old]


@pytest.mark.parametrize(
    ("path", "value", "lines"),
    [
        (("loads", "lamp", "claims", "power"), "6 W", ["      power: 6 W         # on the box"]),
        (("loads", "lamp", "note"), 'green "LED"', ['    note: "green \\"LED\\""']),
        (("title",), "Baker's van", ["title: 'Baker''s van'          # hers"]),
        (("loads", "lamp", "at"), "roof", ["    at: roof"]),
        (("loads", "fan", "claims", "by"), "label", [
            "  fan: {kind: fan, claims: {current: 1 A, by: label}}   # roof"
        ]),
        (("circuits", "lamp", "path", 1, "holder"), "tap", [
            "      - {fuse, holder: tap}             # in a holder"
        ]),
        (("circuits", "lamp", "path", 1), {"fuse": "3 A"}, ["      - fuse: 3 A             # in a holder"]),
        (("units",), "us", ["units: us"]),
        (("loads", "lamp", "stall", "survives"), "no", ["    stall: {survives: no}"]),
    ],
)  # fmt: skip
def test_a_value_goes_where_it_belongs(path: tuple[str | int, ...], value: object, lines: list[str]) -> None:
    after = put(LINES, path, value)
    assert changed(LINES, after) == lines
    assert comments_of(after) == comments_of(LINES)


def test_a_new_section_stands_in_its_place_and_in_lines() -> None:
    after = edited(LINES, [Edit(path=("gear", "switch board"), value={"kind": "block"})])
    assert list(held(after)) == ["groundstrap", "title", "system", "gear", "loads", "circuits"]
    assert "gear:\n  switch board: {kind: block}\n" in after


def test_a_part_of_a_value_that_stood_alone_takes_it_along() -> None:
    text = put(LINES, ("loads", "fan", "stall"), "3 A")
    assert at(held(put(text, ("loads", "fan", "stall", "survives"), "no")), ("loads", "fan", "stall")) == {
        "current": "3 A",
        "survives": "no",
    }


def test_a_second_claim_makes_a_list() -> None:
    path = ("loads", "fan", "claims")
    after = edited(LINES, [Edit(path=path, value={"power": "20 W", "by": "seller"}, do=EditKind.ADD)])
    assert at(held(after), path) == [{"current": "1 A"}, {"power": "20 W", "by": "seller"}]


def test_an_item_of_a_list_in_lines_is_put_before_another() -> None:
    path = ("circuits", "lamp", "path")
    after = edited(LINES, [Edit(path=path, value={"wire": "1 mm2"}, do=EditKind.ADD, before=2)])
    assert changed(LINES, after) == ["      - wire: 1 mm2"]
    assert at(held(after), path) == ["battery", "fuse", {"wire": "1 mm2"}, "lamp"]


def test_a_map_that_is_set_is_changed_entry_by_entry() -> None:
    after = put(
        LINES, ("loads", "lamp"), {"kind": "lamp", "claims": {"power": "5 W"}, "note": "red, by the door"}
    )
    assert changed(LINES, after) == ["    kind: lamp"]
    assert comments_of(after) == comments_of(LINES)


@pytest.mark.parametrize(("text", "head"), [("", ""), ("# a job\n", "# a job\n"), ("# a job", "# a job\n")])
def test_an_empty_text_is_begun(text: str, head: str) -> None:
    after = edited(text, [Edit(path=("groundstrap",), value="1"), Edit(path=("title",), value="Horn")])
    assert after == f"{head}groundstrap: 1\ntitle: Horn\n"


def test_the_last_key_of_a_small_map_takes_the_map_along() -> None:
    after = edited(LINES, [Edit(path=("loads", "lamp", "claims", "power"))])
    assert at(held(after), ("loads", "lamp")) == {"kind": "led", "note": "red, by the door"}


def test_a_load_that_loses_everything_stays() -> None:
    text = "loads:\n  lamp:\n    kind: led\n  fan: {}\n"
    assert edited(text, [Edit(path=("loads", "lamp", "kind"))]) == "loads:\n  lamp: {}\n  fan: {}\n"


def test_comments_right_above_an_entry_move_with_it() -> None:
    after = edited(LINES, [Edit(path=("loads", "lamp"), do=EditKind.MOVE)])
    assert list(held(after)["loads"]) == ["fan", "lamp"]
    assert after.index("# roof") < after.index("# by the bed") < after.index("  lamp:")


def test_a_load_is_renamed_with_its_circuit_and_every_point() -> None:
    text = (
        LINES
        + "readings:\n  - {when: idling, using: [lamp], values: [lamp: 0.4 A, lamp + to battery -: 12 V]}\n"
    )
    after = edited(text, [Edit(path=("loads", "lamp"), value="bed light", do=EditKind.RENAME)])
    assert "lamp" not in "".join(line.split("#")[0] for line in after.splitlines())
    assert held(after)["readings"][0]["values"] == [
        {"bed light": "0.4 A"},
        {"bed light + to battery -": "12 V"},
    ]
    read_job(after)


def test_a_block_is_renamed_with_its_ways() -> None:
    after = edited(SKIFF, [Edit(path=("gear", "panel"), value="fuse board", do=EditKind.RENAME)])
    assert "fuse board 5" in after
    assert "panel 5" not in after
    assert "panel feed" in after
    assert read_job(after).installation.circuits.keys() == read_job(SKIFF).installation.circuits.keys()


def test_a_place_is_renamed_wherever_something_is() -> None:
    after = edited(SKIFF, [Edit(path=("places", "console"), value="helm", do=EditKind.RENAME)])
    assert "at: console" not in after
    assert "to: console" not in after
    assert "console negative: {kind: block, at: helm" in after
    read_job(after)


def test_a_circuit_alone_takes_its_own_parts_along() -> None:
    text = SKIFF + "readings:\n  - {when: idling, values: [horn fuse: 0.1 V, horn: 4.8 A, horn +: 1 A]}\n"
    after = edited(text, [Edit(path=("circuits", "horn"), value="horn feed", do=EditKind.RENAME)])
    assert [*at(held(after), ("readings", "0", "values", "0"))] == ["horn feed fuse"]
    assert [*at(held(after), ("readings", "0", "values", "1"))] == ["horn"]
    assert "horn" in held(after)["loads"]


def test_a_way_is_renamed_with_every_point() -> None:
    text = "gear: {box: {kind: block, ways: [F21, F22]}}\ncircuits: {a: {path: [box F22, fuse, lamp]}}\n"
    after = edited(text, [Edit(path=("gear", "box", "ways", "F22"), value="F30", do=EditKind.RENAME)])
    assert after == text.replace("F22", "F30")


@pytest.mark.parametrize(
    ("path", "value", "told"),
    [
        (("loads", "fan", "claims", "current"), "1,500 A", "decimal or a thousands comma"),
        (("loads", "fan", "claims", "current"), "5", "no unit"),
        (("loads", "fan", "kind"), "fann", "Did you mean 'fan'"),
        (("loads", "fan", "clams"), "5 W", "Did you mean 'claims'"),
        (("loads", "fan", "chemistry"), "agm", "wanted one of kind"),
        (("circuits", "lamp", "wire"), "6 mm", "outside diameter"),
        (("circuits", "lamp", "path", 1), {"fuse": "15 W"}, "fuse"),
        (("circuits", "lamp", "path", 1, "chemistry"), "agm", "no key"),
        (("system",), "13 V", "12 V, 24 V, 48 V"),
        (("basis",), "rail", "road, boat"),
        (("loads", "a: b"), {"kind": "fan"}, "never holds"),
        (("loads", "fuse"), {"kind": "fan"}, "another name"),
        (("gear", "board"), {"at": "cabin"}, "kind is missing"),
        (("colour",), "red", "no key"),
    ],
)
def test_a_value_that_would_not_do_is_refused_with_what_would(
    path: tuple[str | int, ...], value: object, told: str
) -> None:
    with pytest.raises(JobError, match=told) as refused:
        put(LINES, path, value)
    assert refused.value.faults[0].line > 0
    assert refused.value.faults[0].key.startswith(str(path[0]))


@pytest.mark.parametrize(
    ("edit", "told"),
    [
        (Edit(path=("loads", "lmap", "kind")), "Did you mean 'lamp'"),
        (Edit(path=("circuits", "lamp", "path", 7)), "0 to 2"),
        (Edit(path=("circuits", "lamp", "path", 9), value="fuse"), "0 to 2"),
        (Edit(path=("loads", "fan"), value={"kind": "fan"}, do=EditKind.ADD), "is there already"),
        (Edit(path=("loads", "fan"), value="lamp", do=EditKind.RENAME), "taken"),
        (Edit(path=("loads", "fan"), value="in", do=EditKind.RENAME), "of its own"),
        (Edit(path=("loads", "fan"), value="a to b", do=EditKind.RENAME), "never holds"),
        (Edit(path=("title",), value="x", do=EditKind.RENAME), "entry of a section"),
        (Edit(path=("loads", "fan"), do=EditKind.MOVE, before="lmap"), "Did you mean 'lamp'"),
        (Edit(path=(), value="x"), "needs a path"),
        (Edit(path=("title",), do=EditKind.SET), "nothing was given"),
        (Edit(path=("title", "x"), value="y"), "is one text"),
    ],
)
def test_an_edit_of_what_is_not_there_says_what_is(edit: Edit, told: str) -> None:
    with pytest.raises(CallError, match=told):
        edited(LINES, [edit])


def test_a_job_with_faults_elsewhere_is_edited() -> None:
    text = LINES.replace("length: 3 m", "lenght: 3,5 m").replace("kind: led", "kind: lead")
    assert put(text, ("loads", "fan", "kind"), "motor") == text.replace("kind: fan", "kind: motor")


def test_a_text_that_is_no_yaml_is_refused_with_its_line() -> None:
    with pytest.raises(JobError) as refused:
        put(LINES + "day: [a\n", ("title",), "Van")
    assert refused.value.faults[0].line >= 21
    with pytest.raises(JobError, match="colon"):
        put("title: Van: mine\nsystem: 12 V\n", ("system",), "24 V")


def test_edits_are_made_one_after_the_other_or_not_at_all() -> None:
    edits = [Edit(path=("loads", "radio"), value={"claims": {"power": "20 W"}}, do=EditKind.ADD),
             Edit(path=("loads", "radio", "kind"), value="electronics"),
             Edit(path=("circuits", "radio"), value={"length": "2 m"})]  # fmt: skip
    read_job(edited(LINES, edits))
    with pytest.raises(JobError):
        edited(LINES, [*edits, Edit(path=("circuits", "radio", "length"), value="2")])
