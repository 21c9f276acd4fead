"""What stands on the pages of a PDF and where, read by a library that is not the typesetter's own."""

from __future__ import annotations

import ctypes
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import pypdfium2

__all__ = ["Page", "Shape", "Word", "crossed", "overlaps", "pages"]


@dataclass(frozen=True, slots=True)
class Word:
    """A run of letters without a gap; points, y upwards from the foot of the page."""

    text: str
    left: float
    bottom: float
    right: float
    top: float


@dataclass(frozen=True, slots=True)
class Shape:
    """A line or a filled field of the page itself, not of a drawing on it; points, y upwards."""

    left: float
    bottom: float
    right: float
    top: float


@dataclass(frozen=True, slots=True)
class Page:
    """One page: its size, its words, and the lines and fields about them."""

    width: float
    height: float
    words: tuple[Word, ...]
    text: str
    shapes: tuple[Shape, ...] = ()

    @property
    def outside(self) -> tuple[Word, ...]:
        """Words that leave the page."""
        return tuple(
            w for w in self.words if w.left < 0 or w.bottom < 0 or w.right > self.width or w.top > self.height
        )


_BENT = 12.0
"""Both ways, from where a path is no straight line and no edge: own judgement. [pt]"""
_CLOSE = 1.5
"""Letters of one word run into each other by less; by more, one word begins on another: own judgement, above
what pairs of letters are set closer by at the sizes of a pack. [pt]"""


def pages(pdf: bytes) -> tuple[Page, ...]:
    """Return the pages of a PDF."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        return tuple(_page(document[number]) for number in range(len(document)))
    finally:
        document.close()


def _page(page: pypdfium2.PdfPage) -> Page:
    width, height = page.get_size()
    text = page.get_textpage()
    words = tuple(_words(text))
    paths = page.get_objects(filter=(pypdfium2.raw.FPDF_PAGEOBJ_PATH,), max_depth=1)
    shapes = tuple(shape for each in paths for shape in _shapes(each))
    return Page(width, height, words, text.get_text_range(), shapes)


def _shapes(path: pypdfium2.PdfObject) -> Iterator[Shape]:
    """A path as its box; a line with bends, which is not where its box is, as its straight pieces."""
    box = Shape(*path.get_bounds())
    wide = box.right - box.left > _BENT and box.top - box.bottom > _BENT
    corners = _corners(path) if wide else []
    if len(corners) < 3 or corners[0] == corners[-1]:
        yield box
        return
    width = ctypes.c_float()
    pypdfium2.raw.FPDFPageObj_GetStrokeWidth(path.raw, ctypes.byref(width))
    scale, half = abs(path.get_matrix().a), width.value / 2.0
    for (x, y), (to_x, to_y) in pairwise(corners):
        grown = half * scale
        yield Shape(min(x, to_x) - grown, min(y, to_y) - grown, max(x, to_x) + grown, max(y, to_y) + grown)


def _corners(path: pypdfium2.PdfObject) -> list[tuple[float, float]]:
    """Corners of a line in one piece that is drawn and not filled; none of anything else."""
    fill, stroke = ctypes.c_int(), ctypes.c_int()
    raw = pypdfium2.raw
    raw.FPDFPath_GetDrawMode(path.raw, ctypes.byref(fill), ctypes.byref(stroke))
    if fill.value or not stroke.value:
        return []
    matrix, found = path.get_matrix(), []
    for number in range(raw.FPDFPath_CountSegments(path.raw)):
        piece = raw.FPDFPath_GetPathSegment(path.raw, number)
        kind = raw.FPDFPathSegment_GetType(piece)
        begins = kind == raw.FPDF_SEGMENT_MOVETO
        if (
            begins != (number == 0)
            or kind == raw.FPDF_SEGMENT_BEZIERTO
            or raw.FPDFPathSegment_GetClose(piece)
        ):
            return []
        x, y = ctypes.c_float(), ctypes.c_float()
        raw.FPDFPathSegment_GetPoint(piece, ctypes.byref(x), ctypes.byref(y))
        found.append(matrix.on_point(x.value, y.value))
    return found


def _words(text: pypdfium2.PdfTextPage) -> Iterator[Word]:
    """Letters that follow each other without a space and on one line, as one box."""
    letters = text.get_text_range()
    count = text.count_chars()
    if len(letters) != count:
        letters = "".join(text.get_text_range(n, 1) for n in range(count))
    run: list[tuple[str, tuple[float, float, float, float]]] = []
    for letter, box in zip(letters, _boxes(text, count), strict=True):
        space = letter.isspace()
        if space or (run and not _joined(run[-1][1], box)):
            if run:
                yield _word(run)
            run = []
        if not space:
            run.append((letter, box))
    if run:
        yield _word(run)


def _boxes(text: pypdfium2.PdfTextPage, count: int) -> Iterator[tuple[float, float, float, float]]:
    """Left, bottom, right, top of each letter, by the plain call: letters are many."""
    left, right, bottom, top = (ctypes.c_double() for _ in range(4))
    places = tuple(ctypes.byref(each) for each in (left, right, bottom, top))
    for number in range(count):
        if not pypdfium2.raw.FPDFText_GetCharBox(text, number, *places):
            raise ValueError(f"letter {number} has no box")
        yield left.value, bottom.value, right.value, top.value


def _joined(before: tuple[float, float, float, float], after: tuple[float, float, float, float]) -> bool:
    same_line = before[1] < after[3] and after[1] < before[3]
    # Two letters in one sign, as in `ff`, share its box.
    close = before[2] - _CLOSE <= after[0] < before[2] + 6.0
    return same_line and (close or before == after)


def _word(run: list[tuple[str, tuple[float, float, float, float]]]) -> Word:
    boxes = [box for _, box in run]
    return Word(
        "".join(letter for letter, _ in run),
        min(b[0] for b in boxes),
        min(b[1] for b in boxes),
        max(b[2] for b in boxes),
        max(b[3] for b in boxes),
    )


def overlaps(page: Page, slack: float = 0.3) -> list[tuple[Word, Word]]:
    """Return pairs of words of a page that stand on each other."""
    found = []
    ordered = sorted(page.words, key=lambda word: word.left)
    for number, one in enumerate(ordered):
        for other in ordered[number + 1 :]:
            if other.left >= one.right - slack:
                break
            if one.bottom + slack < other.top and other.bottom + slack < one.top:
                found.append((one, other))
    return found


def crossed(page: Page, slack: float = 0.5) -> list[tuple[Word, Shape]]:
    """Return words through which a line or the edge of a field goes: half of them is under it or beside it.

    Boxes of letters alone do not tell: a field covers as far as its edge, its own text stands further in.
    """
    if not page.words or not page.shapes:
        return []
    left, bottom, right, top = np.array([(w.left, w.bottom, w.right, w.top) for w in page.words]).T
    found = []
    for shape in page.shapes:
        meets = (left + slack < shape.right) & (shape.left + slack < right)
        meets &= (bottom + slack < shape.top) & (shape.bottom + slack < top)
        within = (shape.left - slack <= left) & (right <= shape.right + slack)
        within &= (shape.bottom - slack <= bottom) & (top <= shape.top + slack)
        found += [(page.words[number], shape) for number in np.flatnonzero(meets & ~within)]
    return found
