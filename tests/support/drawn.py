"""What a test asks of a drawing: nothing over a text, nothing outside the page, everything on it."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess import assess
from groundstrap.checks import Counts, Judgement
from groundstrap.draw.canvas import Drawn
from groundstrap.job import read_job
from groundstrap.report.drawing import Box
from groundstrap.report.plan import Plan
from groundstrap.vet import vet

_TOUCH = 0.05
"""Texts and lines may touch; what is rounded in the file moves by no more. [pt]"""
LEAST_PT = 7.0
"""Smallest text that is legible in print, which the trade takes to be 7 pt: common practice."""


def unjudged(text: str) -> Plan:
    """Return a plan of a job as it stands that no rule has judged: drawings do not hang on what rules say."""
    made = read_job(text, "drawn.yaml").installation
    vetting = vet(made)
    assessment = assess(made, {name: found.estimate for name, found in vetting.loads.items()})
    return Plan(
        installation=made,
        vetting=vetting,
        design=None,
        assessment=assessment,
        judgement=Judgement(findings=(), counts=Counts()),
        fingerprint="sha256:0123456789abcdef",
    )


def faults_of(drawn: Drawn) -> list[str]:
    """Return everything that is wrong with a drawing."""
    return [*_over(drawn), *_crossed(drawn), *_outside(drawn), *_small(drawn)]


def _boxes(drawn: Drawn) -> NDArray[np.float64]:
    return np.array([(t.box.left, t.box.top, t.box.right, t.box.bottom) for t in drawn.texts])


def _over(drawn: Drawn) -> list[str]:
    left, top, right, bottom = _boxes(drawn).T
    across = (left[:, None] + _TOUCH < right) & (left + _TOUCH < right[:, None])
    down = (top[:, None] + _TOUCH < bottom) & (top + _TOUCH < bottom[:, None])
    pairs = np.argwhere(np.triu(across & down, 1))
    return [f"{drawn.texts[a].text!r} over {drawn.texts[b].text!r}" for a, b in pairs]


def _crossed(drawn: Drawn) -> list[str]:
    """Lines as wide as they are against the room of each text; what is near is looked at closely."""
    pieces = [(a, b, stroke.width / 2) for stroke in drawn.strokes for a, b in pairwise(stroke.points)]
    ends = np.array(
        [(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])) for a, b, _ in pieces]
    )
    half = np.array([each for _, _, each in pieces]) - _TOUCH
    boxes = _boxes(drawn)
    near = (
        (boxes[:, None, 0] < ends[:, 2] + half)
        & (boxes[:, None, 2] > ends[:, 0] - half)
        & (boxes[:, None, 1] < ends[:, 3] + half)
        & (boxes[:, None, 3] > ends[:, 1] - half)
    )
    found = []
    for text, piece in np.argwhere(near):
        (a, b, wide), box = pieces[piece], drawn.texts[text].box
        if box.grown(wide - _TOUCH).crossed_by(a, b):
            found.append(f"line {a} to {b} through {drawn.texts[text].text!r}")
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
