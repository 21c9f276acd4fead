"""What a test asks of a drawing: nothing over a text, nothing outside the page."""

from __future__ import annotations

from itertools import combinations, pairwise

from groundstrap.draw.canvas import Drawn
from groundstrap.report.drawing import Box

_TOUCH = 0.05
"""Texts and lines may touch; what is rounded in the file moves by no more. [pt]"""
LEAST_PT = 7.0
"""Smallest text that is legible in print: common practice of drawing offices (2.5 mm capitals are 7 pt high)."""


def faults_of(drawn: Drawn) -> list[str]:
    """Return everything that is wrong with a drawing."""
    return [*_over(drawn), *_crossed(drawn), *_outside(drawn), *_small(drawn)]


def _over(drawn: Drawn) -> list[str]:
    found = []
    ordered = sorted(drawn.texts, key=lambda text: text.box.top)
    for number, text in enumerate(ordered):
        for other in ordered[number + 1 :]:
            if other.box.top >= text.box.bottom:
                break
            if text.box.grown(-_TOUCH).meets(other.box):
                found.append(f"{text.text!r} over {other.text!r}")
    return found


def _crossed(drawn: Drawn) -> list[str]:
    found = []
    pieces = [
        (a, b, stroke.width / 2) for stroke in drawn.strokes for a, b in pairwise(stroke.points)
    ]
    for text in drawn.texts:
        box = text.box
        for a, b, half in pieces:
            if max(a[1], b[1]) + half <= box.top or min(a[1], b[1]) - half >= box.bottom:
                continue
            if max(a[0], b[0]) + half <= box.left or min(a[0], b[0]) - half >= box.right:
                continue
            if box.grown(half - _TOUCH).crossed_by(a, b):
                found.append(f"line {a} to {b} through {text.text!r}")
    return found


def _outside(drawn: Drawn) -> list[str]:
    page = Box(-_TOUCH, -_TOUCH, drawn.width_pt + _TOUCH, drawn.height_pt + _TOUCH)
    found = [f"{text.text!r} outside" for text in drawn.texts if not _within(text.box, page)]
    points = {point for stroke in drawn.strokes for point in stroke.points}
    return found + [f"{p} outside" for p in sorted(points) if not _within(Box(*p, *p), page)]


def _within(box: Box, page: Box) -> bool:
    across = page.left <= box.left and box.right <= page.right
    return across and page.top <= box.top and box.bottom <= page.bottom


def _small(drawn: Drawn) -> list[str]:
    return [f"{text.text!r} is {text.size} pt" for text in drawn.texts if text.size < LEAST_PT]
