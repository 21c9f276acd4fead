"""Labels: every one twice, on the sheet where the labels are, nothing over anything."""

from __future__ import annotations

import math
from itertools import combinations
from pathlib import Path

import pytest

from groundstrap import api
from groundstrap.draw.canvas import Drawn
from groundstrap.pack.content import Table
from groundstrap.pack.lists.cuts import cuts_of
from groundstrap.pack.lists.labels import SHEETS, Label, LabelSheet, label_pages, label_section, labels_of

EXAMPLES = sorted((Path(__file__).resolve().parents[3] / "examples").glob("*.job.yaml"))
PT = 72 / 25.4

examples = pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)


@examples
def test_every_cable_has_two_labels_that_are_alike(path: Path) -> None:
    plan = api.plan(api.read_job_file(path))
    labels = labels_of(plan)
    assert [label.number for label in labels[::2]] == [cut.number for cut in cuts_of(plan)]
    for one, other in zip(labels[::2], labels[1::2], strict=True):
        assert one.lines == other.lines
        assert (one.at, other.at) == ("from", "to")


def inside(sheet: LabelSheet, page: Drawn) -> None:
    """Each text and line lies within one label of the sheet, and no text lies over another or a line."""
    cells = [
        (
            (sheet.left_mm + column * sheet.across_mm) * PT,
            (sheet.top_mm + row * sheet.down_mm) * PT,
            (sheet.left_mm + column * sheet.across_mm + sheet.label_width_mm) * PT,
            (sheet.top_mm + row * sheet.down_mm + sheet.label_height_mm) * PT,
        )
        for row in range(sheet.rows)
        for column in range(sheet.columns)
    ]
    for text in page.texts:
        box = text.box
        assert any(
            left <= box.left and top <= box.top and box.right <= right + 0.01 and box.bottom <= bottom
            for left, top, right, bottom in cells
        ), text.text
    for one, other in combinations(page.texts, 2):
        assert not one.box.grown(-0.05).meets(other.box.grown(-0.05)), (one.text, other.text)
    for stroke in page.strokes:
        assert not any(text.box.crossed_by(*stroke.points) for text in page.texts)


@examples
@pytest.mark.parametrize("paper", sorted(SHEETS))
def test_texts_stay_on_their_labels(path: Path, paper: str) -> None:
    plan = api.plan(api.read_job_file(path))
    pages = label_pages(plan, paper=paper)
    for page in pages:
        inside(SHEETS[paper], page)
    numbers = [text.text for page in pages for text in page.texts]
    assert {label.number for label in labels_of(plan)} <= set(numbers)


@pytest.mark.parametrize("paper", sorted(SHEETS))
def test_long_names_and_thick_cable_stay_on_their_labels(paper: str) -> None:
    names = (
        "a",
        "a circuit with a name of many words in it",
        "Scheibenwischerintervallrelaissteuerung",
        "ΩΩΩ",
    )
    plan = api.plan(api.read_job_file(EXAMPLES[0]))
    labels = tuple(
        Label(number=number, circuit=name, start=name[:12], end="-X10-F120", at="from", outer_mm=outer_mm)
        for number in ("1", "12.34b", "deck-lights-17.2")
        for name in names
        for outer_mm in (None, 1.4, 4.0, 6.6, 25.0)
    )
    for page in label_pages(plan, paper=paper, labels=labels):
        inside(SHEETS[paper], page)


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=lambda sheet: sheet.paper)
def test_a_sheet_of_labels_lies_in_the_middle_of_its_paper(sheet: LabelSheet) -> None:
    right = sheet.left_mm + (sheet.columns - 1) * sheet.across_mm + sheet.label_width_mm
    bottom = sheet.top_mm + (sheet.rows - 1) * sheet.down_mm + sheet.label_height_mm
    assert sheet.width_mm - right == pytest.approx(sheet.left_mm, abs=0.1)
    assert sheet.height_mm - bottom == pytest.approx(sheet.top_mm, abs=0.1)


def test_a_flag_goes_round_the_cable() -> None:
    thin = Label(number="1", circuit="a", start="b", end="c", at="to", outer_mm=3.0)
    # 3 mm thick is 9.4 mm round; 38.1 mm leave 14.3 mm on each side.
    assert thin.flag_mm(38.1) == pytest.approx((38.1 - math.pi * 3) / 2)
    assert thin.tape_mm == 50.0
    thick = Label(number="1", circuit="a", start="b", end="c", at="to", outer_mm=9.0)
    assert thick.flag_mm(38.1) is None


def test_the_section_lists_each_cable_and_shows_the_sheets() -> None:
    plan = api.plan(api.read_job_file(EXAMPLES[1]))
    section = label_section(plan)
    table = next(block for block in section.blocks if isinstance(block, Table))
    assert [row[0] for row in table.rows] == [cut.number for cut in cuts_of(plan)]
    assert len(section.parts) == len(label_pages(plan))
