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
