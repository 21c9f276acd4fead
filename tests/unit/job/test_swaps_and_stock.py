"""A size or rating swapped and taken back, and the stock file edited."""

from __future__ import annotations

import pytest

from groundstrap.errors import CallError, JobError
from groundstrap.job import (
    Edit,
    StockEdit,
    edited,
    read_job,
    stock_cells,
    stock_edited,
    stock_rows,
    swapped,
    with_usual_sizes,
)
from tests.support.edited import EXAMPLES, at, comments_of, held

SKIFF = (EXAMPLES / "oyster-skiff.job.yaml").read_text(encoding="utf-8")
STOCK = "kind,size,rating,family,colour\nwire,6 mm2,,,red\n\nfuse,,15 A,regular blade,\n"


@pytest.mark.parametrize(
    ("what", "with_", "path", "value"),
    [
        ("horn wire", "4 AWG", ("circuits", "horn", "wire"), "4 AWG"),
        ("circuit horn wire", "6 mm2", ("circuits", "horn", "wire"), "6 mm2"),
        ("battery negative wire", "2 AWG", ("circuits", "battery negative", "path", "1", "wire"), "2 AWG"),
        ("horn fuse", "5 A", ("circuits", "horn", "path", "1", "fuse"), "5 A"),
        ("horn fuse", "5 A mini blade", ("circuits", "horn", "path", "1", "family"), "mini blade"),
        ("bilge pump float fuse", "7.5 A", ("circuits", "bilge pump float", "path", "2", "fuse"), "7.5 A"),
    ],
)
def test_what_is_swapped_is_there_and_comes_back(
    what: str, with_: str, path: tuple[str, ...], value: str
) -> None:
    swap = swapped(SKIFF, what, with_)
    assert at(held(swap.text), path) == value
    assert comments_of(swap.text) == comments_of(SKIFF)
    assert held(edited(swap.text, swap.back)) == held(SKIFF)
    read_job(swap.text)


def test_a_circuit_is_found_by_the_number_on_its_wires() -> None:
    circuits = read_job(SKIFF).installation.circuits
    number = circuits["horn"].label
    assert swapped(SKIFF, f"circuit {number} wire", "4 AWG").circuit == "horn"


@pytest.mark.parametrize(
    ("what", "with_", "told"),
    [
        ("horn", "4 AWG", "it is not said what is swapped"),
        ("hron wire", "4 AWG", "horn"),
        ("horn wire", "4 mm", "outside diameter"),
        ("horn fuse 2", "5 A", "has 1 of them"),
        ("horn fuse", "5", "no unit"),
        ("outboard wire", "4 AWG", "existing"),
        ("panel negative fuse", "5 A", "has 0 of them"),
    ],
)
def test_what_can_not_be_swapped_says_what_would_do(what: str, with_: str, told: str) -> None:
    with pytest.raises(CallError, match=told):
        swapped(SKIFF, what, with_)


@pytest.mark.parametrize(
    ("typed", "cells"),
    [
        ("4 AWG red 10 m", {"kind": "wire", "size": "4 AWG", "colour": "red", "reel": "10 m"}),
        (
            "add 4 AWG red 10 m to the stock",
            {"kind": "wire", "size": "4 AWG", "colour": "red", "reel": "10 m"},
        ),
        ("25 m of 2,5 mm2 black", {"kind": "wire", "size": "2.5 mm2", "colour": "black", "reel": "25 m"}),
        ("6mm2 tinned copper", {"kind": "wire", "size": "6 mm2", "material": "tinned copper"}),
        ("15 A mini blade", {"kind": "fuse", "rating": "15 A", "family": "mini blade"}),
        (
            "10 x 15A mini blade fuses",
            {"kind": "fuse", "rating": "15 A", "family": "mini blade", "pack": "10"},
        ),
        ("5 amp fuse", {"kind": "fuse", "rating": "5 A"}),
        ("30 A breaker", {"kind": "other", "item": "30 A breaker"}),
        ("30 A hand-reset breaker", {"kind": "fuse", "rating": "30 A", "family": "hand-reset breaker"}),
        ("heat shrink", {"kind": "other", "item": "heat shrink"}),
    ],
)
def test_what_is_typed_of_the_stock_is_understood(typed: str, cells: dict[str, str]) -> None:
    found = stock_cells(typed)
    assert {key: value.replace("6mm2", "6 mm2") for key, value in found.items()} == cells
    stock_edited("", [StockEdit(cells=found)])


def test_a_row_is_added_changed_and_taken_out() -> None:
    more = stock_edited(STOCK, [StockEdit(cells={"kind": "wire", "size": "4 AWG", "reel": "10 m"})])
    assert more == STOCK.replace("colour\n", "colour,reel\n") + "wire,4 AWG,,,,10 m\n"
    assert [row.cells.get("size") for row in stock_rows(more)] == ["6 mm2", "", "4 AWG"]
    changed = stock_edited(STOCK, [StockEdit(row=0, cells={"colour": "black"})])
    assert changed == STOCK.replace("red", "black")
    assert stock_edited(STOCK, [StockEdit(row=1)]) == STOCK.replace("fuse,,15 A,regular blade,\n", "")


def test_lines_end_as_they_did() -> None:
    dos = STOCK.replace("\n", "\r\n")
    assert stock_edited(dos, [StockEdit(row=0, cells={"colour": "black"})]) == dos.replace("red", "black")


def test_a_stock_is_begun_with_a_header() -> None:
    begun = stock_edited("", [StockEdit(cells={"kind": "fuse", "rating": "5 A"})])
    assert begun.splitlines()[0].startswith("kind,size,rating")
    assert stock_rows(begun)[0].cells["rating"] == "5 A"


def test_what_the_stock_does_not_take_says_what_would_do() -> None:
    with pytest.raises(JobError, match="size"):
        stock_edited(STOCK, [StockEdit(cells={"kind": "wire", "size": "6 mm"})])
    with pytest.raises(CallError, match="no such column"):
        stock_edited(STOCK, [StockEdit(cells={"kind": "wire", "thickness": "6 mm2"})])
    with pytest.raises(CallError, match="0 to 1"):
        stock_edited(STOCK, [StockEdit(row=7)])


def test_faults_stand_at_their_rows() -> None:
    rows = stock_rows("kind,size\nwire,6 mm2\nwire,6 mm\n")
    assert [len(row.faults) for row in rows] == [0, 1]


def test_a_part_of_a_swap_needs_no_more_than_an_edit() -> None:
    swap = swapped(SKIFF, "horn wire", "4 AWG")
    assert edited(SKIFF, swap.done) == swap.text
    assert swap.done == (Edit(path=("circuits", "horn", "wire"), value="4 AWG"),)


@pytest.mark.parametrize(
    ("what", "index"),
    [("bilge pump by hand wire 1", 0), ("navigation lights wire 2", 1), ("panel feed wire 2", 1)],
)
def test_one_piece_of_a_circuit_is_swapped_alone(what: str, index: int) -> None:
    name = what.rpartition(" wire")[0]
    swap = swapped(SKIFF, what, "2 AWG")
    before, after = (read_job(text).installation.circuits[name].wires for text in (SKIFF, swap.text))
    assert [wire.length_m for wire in after] == pytest.approx([wire.length_m for wire in before])
    # A return that nobody drew is as thick as the last piece out.
    sizes = [wire.size and wire.size.text for wire in after if not wire.returning]
    was = [wire.size and wire.size.text for wire in before if not wire.returning]
    assert sizes == [*was[:index], "2 AWG", *was[index + 1 :]]
    assert held(edited(swap.text, swap.back)) == held(SKIFF)


@pytest.mark.parametrize(
    ("what", "told"), [("panel feed wire 9", "number from 1 to"), ("outboard wire 1", "existing")]
)
def test_a_piece_that_cannot_be_swapped_is_said(what: str, told: str) -> None:
    with pytest.raises(CallError, match=told):
        swapped(SKIFF, what, "2 AWG")


@pytest.mark.parametrize(
    "typed", ["some red cable", "a length of wire", "ein rotes Kabel", "blade fuses", "Sicherung"]
)
def test_what_has_no_size_or_rating_is_asked_back(typed: str) -> None:
    with pytest.raises(CallError, match="as printed on the"):
        stock_cells(typed)
    assert stock_cells("heat-shrink tube")["kind"] == "other"


@pytest.mark.parametrize(
    "typed", ["cable lugs 16 mm2", "10 A fuse holder", "Kabelschuhe 16 mm2", "heat shrink 10 mm2"]
)
def test_what_is_made_for_a_wire_or_a_fuse_is_none(typed: str) -> None:
    """Else the plan would choose a wire that nobody has."""
    assert stock_cells(typed) == {"kind": "other", "item": typed}
    assert stock_cells("35 mm2 battery cable with lugs")["kind"] == "wire"


def test_a_list_may_hold_what_shops_have_as_well() -> None:
    """IEC 60228 names the metric sizes; 6 mm2 stands on the list already."""
    told = with_usual_sizes(STOCK)
    sizes = [row.cells["size"] for row in stock_rows(told) if row.cells["kind"] == "wire"]
    assert sizes.count("6 mm2") == 1
    assert {"1.5 mm2", "2.5 mm2", "4 mm2", "10 mm2", "16 mm2", "25 mm2", "35 mm2", "50 mm2"} <= set(sizes)
    assert with_usual_sizes(told) == told
    assert told.startswith(STOCK)
