"""Labels of cables: the same at both ends, sized to the cable, on sheets of labels and on tape.

A thin cable has a flag: the label goes round it and its two ends are stuck together, with the text on both
sides. On a thick one the label lies along the cable.
"""

from __future__ import annotations

import math
from typing import Final

from groundstrap.draw.canvas import Canvas, Drawn, wide, wrap
from groundstrap.draw.references import References, references
from groundstrap.pack.content import Align, Block, Column, Paragraph, Picture, Section, Table
from groundstrap.pack.lists.cuts import Cut, cuts_of
from groundstrap.pack.lists.spots import Spot
from groundstrap.records import dataclass
from groundstrap.report.figures import number
from groundstrap.report.language import ENGLISH, Language
from groundstrap.report.plan import Plan
from groundstrap.report.stamp import stamp_words
from groundstrap.words import Name, words

__all__ = ["SHEETS", "Label", "LabelSheet", "label_pages", "label_section", "labels_of"]

_PT: Final = 72.0 / 25.4
"""Points of print in a millimetre."""
_FLAG_MM: Final = 11.0
"""Least flag that a number and a name can be read on; own judgement. [mm]"""
_TAPE_FLAG_MM: Final = 20.0
"""Flag of tape, whose length is free; own judgement. [mm]"""
_TAPE_AROUND_MM: Final = 40.0
"""Once round a cable up to which tape goes round it, some 13 mm thick; own judgement. [mm]"""
_ALONG_MM: Final = 40.0
"""Length of a label of tape that lies along a cable; own judgement. [mm]"""
_RIM_MM: Final = 1.5
"""Of a label where nothing is printed, for a printer that is not quite true; own judgement. [mm]"""
_SIZES_PT: Final = (9.0, 8.0, 7.0, 6.0, 5.0)
_LARGE: Final = 1.4
"""The number over the other texts. [1]"""
_LARGEST_PT: Final = 15.0
_LINE: Final = 1.12
_STAMP_PT: Final = 9.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSheet:
    """A sheet of labels as they are sold, in millimetres from its upper left corner; from memory."""

    paper: str
    width_mm: float
    height_mm: float
    columns: int
    rows: int
    label_width_mm: float
    label_height_mm: float
    left_mm: float
    top_mm: float
    across_mm: float
    """From one label's left edge to the next one's. [mm]"""
    down_mm: float

    @property
    def count(self) -> int:
        """Labels on one sheet."""
        return self.columns * self.rows


SHEETS: Final = {
    "a4": LabelSheet(
        paper="a4", width_mm=210.0, height_mm=297.0, columns=5, rows=13, label_width_mm=38.1,
        label_height_mm=21.2, left_mm=4.67, top_mm=10.7, across_mm=40.64, down_mm=21.2,
    ),
    "letter": LabelSheet(
        paper="letter", width_mm=215.9, height_mm=279.4, columns=4, rows=20, label_width_mm=44.45,
        label_height_mm=12.7, left_mm=7.62, top_mm=12.7, across_mm=52.07, down_mm=12.7,
    ),
}  # fmt: skip
"""Sheet for each paper: usual ones, centred on the page."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """One label, at one end of one cable."""

    number: str
    circuit: str
    start: str
    """Where the cable comes from, short."""
    end: str
    at: str
    """The end that it is stuck on: `from` or `to`."""
    outer_mm: float | None
    """Of the cable. [mm]"""

    @property
    def around_mm(self) -> float | None:
        """Once round the cable. [mm]"""
        return None if self.outer_mm is None else math.pi * self.outer_mm

    @property
    def lines(self) -> tuple[str, str, str]:
        """What stands on it: number, circuit, from where to where."""
        return self.number, self.circuit, f"{self.start} → {self.end}"

    def flag_mm(self, width_mm: float) -> float | None:
        """Return how long each side of a flag is on a label of a width; None where it lies along."""
        if self.around_mm is None:
            return None
        side_mm = (width_mm - self.around_mm) / 2
        return side_mm if side_mm >= _FLAG_MM else None

    @property
    def tape_mm(self) -> float:
        """Length of tape for it: round the cable and two flags, or along it. [mm]

        Tape is as long as one likes, so no sheet of labels decides: round a cable goes what a hand can stick
        round it, along a thicker one lies a strip.
        """
        if self.around_mm is None:
            return _ALONG_MM
        flag_mm = float(math.ceil(self.around_mm + 2 * _TAPE_FLAG_MM))
        return flag_mm if self.around_mm <= _TAPE_AROUND_MM else _ALONG_MM


def labels_of(
    plan: Plan, refs: References | None = None, cuts: tuple[Cut, ...] | None = None
) -> tuple[Label, ...]:
    """Return two labels for every cable that is laid, beside each other, by the cables' numbers."""
    refs = references(plan.installation) if refs is None else refs
    cuts = cuts_of(plan, refs) if cuts is None else cuts
    return tuple(_label(cut, at) for cut in cuts for at in ("from", "to"))


def _label(cut: Cut, at: str) -> Label:
    return Label(
        number=cut.number,
        circuit=cut.circuit,
        start=_short(cut.start.spot),
        end=_short(cut.end.spot),
        at=at,
        outer_mm=cut.outer_mm,
    )


def _short(spot: Spot) -> str:
    return spot.short or spot.thing


def label_pages(
    plan: Plan, *, paper: str = "a4", language: Language = ENGLISH, labels: tuple[Label, ...] | None = None
) -> tuple[Drawn, ...]:
    """Return the sheets of labels, true to size, without margins of their own."""
    sheet = SHEETS[paper]
    labels = labels_of(plan) if labels is None else labels
    pages = range(0, len(labels), sheet.count)
    stamp = language.in_print.text(stamp_words(plan))
    return tuple(
        _page(sheet, page, labels[first : first + sheet.count], language, stamp)
        for page, first in enumerate(pages, 1)
    )


def _page(sheet: LabelSheet, page: int, labels: tuple[Label, ...], language: Language, stamp: str) -> Drawn:
    canvas = Canvas(f"labels-{page}", sheet.width_mm * _PT)
    if stamp:
        # In the rim above the first row, which no label reaches.
        canvas.text(stamp, sheet.left_mm * _PT, sheet.top_mm * _PT - _STAMP_PT, _STAMP_PT, bold=True)
    for place, label in enumerate(labels):
        row, column = divmod(place, sheet.columns)
        left = (sheet.left_mm + column * sheet.across_mm) * _PT
        top = (sheet.top_mm + row * sheet.down_mm) * _PT
        with canvas.group("label", f"{label.number} {label.at}"):
            _draw(canvas, sheet, label, left, top)
    title = language.text(words("Labels, sheet {page}", page=page))
    said = language.text(words("Two labels for each cable, to print true to size on a sheet of labels."))
    return canvas.drawn(title, said, sheet.height_mm * _PT)


def _draw(canvas: Canvas, sheet: LabelSheet, label: Label, left: float, top: float) -> None:
    width, height = sheet.label_width_mm * _PT, sheet.label_height_mm * _PT
    rim = _RIM_MM * _PT
    flag_mm = label.flag_mm(sheet.label_width_mm)
    if flag_mm is None:
        room = height - 2 * rim
        if label.around_mm is not None:
            room = min(room, label.around_mm * _PT)
        _write(canvas, label, left + rim, top + rim, width - 2 * rim, room)
        return
    side = flag_mm * _PT
    for begin in (left, left + width - side):
        _write(canvas, label, begin + rim, top + rim, side - 2 * rim, height - 2 * rim)
    for fold in (left + side, left + width - side):
        canvas.line([(fold, top + rim), (fold, top + rim + 2 * _PT)], 0.4)
        canvas.line([(fold, top + height - rim), (fold, top + height - rim - 2 * _PT)], 0.4)


def _write(canvas: Canvas, label: Label, left: float, top: float, width: float, room: float) -> None:
    """The texts of a label in a room, as large as they go; the number stays when all else does not fit."""
    y = top
    for text, size, bold in _fitted(label, width, room):
        y += size * 0.9
        canvas.text(text, left, y, size, bold=bold)
        y += size * (_LINE - 0.9)


_Line = tuple[str, float, bool]


def _fitted(label: Label, width: float, room: float) -> list[_Line]:
    """Number, circuit and way as large as they go; first the circuit and then the way is left out."""
    route = (label.start, f"→ {label.end}")
    for circuit, way in ((label.circuit, route), ("", route), ("", ())):
        for size in _SIZES_PT:
            large = min(size * _LARGE, _widest(label.number, width))
            lines = [*_wrapped(circuit, size, width), *_on_one(way, size, width)]
            fits = all(wide(line, size) <= width for line in lines)
            left = room / _LINE - size * len(lines)
            if fits and large <= left:
                # What room there is more is the number's, which is read from further away.
                large = min(left, _widest(label.number, width), _LARGEST_PT)
                return [(label.number, large, True), *((line, size, False) for line in lines)]
    return [(label.number, min(room / _LINE, _widest(label.number, width)), True)]


def _wrapped(text: str, size: float, width: float) -> list[str]:
    """A text in lines whose words are whole; one line that is too wide where a word is."""
    whole = all(wide(word, size) <= width for word in text.split())
    return wrap(text, size, width) if whole or size == _SIZES_PT[-1] else [text]


def _on_one(way: tuple[str, ...], size: float, width: float) -> list[str]:
    """From and to on one line where it takes them."""
    line = " ".join(way)
    return [line] if line and wide(line, size) <= width else list(way)


def _widest(text: str, width: float) -> float:
    """The size at which a bold text is just as wide as its room."""
    return width / wide(text, 1.0, bold=True)


def label_section(
    plan: Plan,
    *,
    paper: str = "a4",
    language: Language = ENGLISH,
    labels: tuple[Label, ...] | None = None,
) -> Section:
    """Return the list of labels and the sheets to print."""
    labels = labels_of(plan) if labels is None else labels
    sheet = SHEETS[paper]
    if not labels:
        nothing = Paragraph(words("No cable is to be laid."))
        return Section(key="labels", title=words("Labels"), blocks=(nothing,))
    columns = (
        Column(words("No."), share=0.7),
        Column(words("Circuit"), share=2.0),
        Column(words("From → to"), share=2.4),
        Column(words("Cable is"), Align.RIGHT, share=0.9),
        Column(words("On the sheet"), share=1.4),
        Column(words("Tape"), Align.RIGHT, share=0.8),
    )
    rows = tuple(_row(label, sheet) for label in labels[::2])
    table = Table(columns, rows, caption=words("Two of each, one for each end"), small=True)
    pages = label_pages(plan, paper=paper, language=language, labels=labels)
    sheets = tuple(Section(key=page.key, title=page.title, blocks=(_picture(page),)) for page in pages)
    blocks: tuple[Block, ...] = (Paragraph(_about(sheet)), table)
    return Section(key="labels", title=words("Labels"), blocks=blocks, parts=sheets)


def _picture(page: Drawn) -> Picture:
    return Picture(svg=page.svg, words=page.words, true_size=True)


def _row(label: Label, sheet: LabelSheet) -> tuple[str, ...]:
    outer = words("not known") if label.outer_mm is None else f"{number(label.outer_mm, 2)} mm"
    flag_mm = label.flag_mm(sheet.label_width_mm)
    style = words("along the cable")
    if flag_mm is not None:
        style = words("flag, {side} mm a side", side=number(flag_mm, 2))
    number_, circuit, route = label.lines
    return Name(number_), Name(circuit), Name(route), outer, style, f"{number(label.tape_mm)} mm"


def _about(sheet: LabelSheet) -> str:
    return words(
        "Sheets of {columns} x {rows} labels of {width} x {height} mm, the first {left} mm from the left and "
        "{top} mm from the top (usual, from memory: lay a trial print on yours). Print at 100 %, not fitted "
        "to the page. A flag: the middle goes round the cable, its two ends are stuck together. Clear tape "
        "or tube over it keeps oil off.",
        columns=sheet.columns,
        rows=sheet.rows,
        width=number(sheet.label_width_mm),
        height=number(sheet.label_height_mm),
        left=number(sheet.left_mm),
        top=number(sheet.top_mm),
    )
