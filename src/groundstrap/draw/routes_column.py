"""Places and runs for a phone: one column that scrolls down, each place under the one it hangs on."""

from __future__ import annotations

import math
from typing import Final

from groundstrap.draw.canvas import ASCENT, Canvas, Drawn, wrap
from groundstrap.draw.cells import SIZE
from groundstrap.draw.compact import COMPACT_WIDTH
from groundstrap.draw.geography import geography
from groundstrap.draw.references import references
from groundstrap.draw.routes import Branch, Forest, Teller, route_words
from groundstrap.records import dataclass
from groundstrap.report.drawing import Box
from groundstrap.report.figures import Display
from groundstrap.report.language import ENGLISH, Language
from groundstrap.report.plan import Plan
from groundstrap.words import Name, words

__all__ = ["routes_column"]

_TEXT: Final = 13.0
_TITLE: Final = 17.0
_LEAD: Final = 17.0
_RIM: Final = 10.0
_STEP: Final = 20.0
"""How far to the right of a place those stand that hang on it."""
_DEPTH: Final = 5
_RAIL: Final = 8.0
"""Where the line of a place runs down, behind its left edge."""
_PAD: Final = 7.0
_WHOLE: Final = COMPACT_WIDTH - 2 * _RIM
_SCALE: Final = SIZE / _TEXT
"""Texts are wrapped in the size of the sheets, and drawn in that of a phone."""


def routes_column(plan: Plan, *, shown: Display | None = None, language: Language = ENGLISH) -> Drawn:
    """Return the drawing by place and route as one column for a phone.

    Source: common-practice (bundles, looms and grommets as they were reckoned for the plan).
    """
    found = geography(plan)
    room = _WHOLE - _DEPTH * _STEP - 2 * _PAD
    display = shown or Display.of(plan.installation)
    names = references(plan.installation)
    teller = Teller(plan, display, language.in_print, names, room * _SCALE, room * _SCALE)
    trees = Forest(found, teller, math.inf, _DEPTH).trees(plan.installation)
    lines = list(dict.fromkeys([*teller.longer, *teller.key(found)]))
    canvas = Canvas("routes-column", COMPACT_WIDTH, screen=True)
    column = _Column(canvas, 12.0)
    title = teller.say(words("{title}: places and runs", title=Name(plan.installation.title)))
    for text in wrap(title, _TITLE, _WHOLE, bold=True):
        canvas.text(text, _RIM, column.y + 0.8 * _TITLE, _TITLE, bold=True)
        column.y += 22.0
    for tree in trees:
        column.y += 12.0
        column.tree(tree, _RIM)
    column.y += 12.0
    for text in lines:
        for line in wrap(text, _TEXT, _WHOLE):
            column.text(line, _RIM)
        column.y += 4.0
    return canvas.drawn(title, route_words(trees, lines, teller), column.y + 12.0)


@dataclass(slots=True)
class _Column:
    """Draws from the top down."""

    canvas: Canvas
    y: float

    def text(self, line: str, x: float, *, bold: bool = False) -> None:
        """One line of text."""
        self.canvas.text(line, x, self.y + ASCENT * _TEXT, _TEXT, bold=bold)
        self.y += _LEAD

    def tree(self, branch: Branch, left: float) -> float:
        """Draw a place and all that hangs on it; the height at which its own run reaches it."""
        reached = self._place(branch, left)
        rail, top, last = left + _RAIL, self.y, self.y
        for child in branch.children:
            last = self._run(child, rail, left + _STEP)
        if branch.children:
            self.canvas.line([(rail, top), (rail, last)], 1.6)
        return reached

    def _place(self, branch: Branch, left: float) -> float:
        """The box of a place."""
        top = self.y
        bottom = top + _LEAD * (len(branch.name) + len(branch.inside)) + 2 * _PAD
        with self.canvas.group("place", branch.place):
            box = Box(left, top, COMPACT_WIDTH - _RIM, bottom)
            self.canvas.rectangle(box, width=1.0, dashes="3 2" if branch.again else "")
            self.y += _PAD - 1.0
            for line in branch.name:
                self.text(line, left + _PAD, bold=True)
            for line in branch.inside:
                self.text(line, left + _PAD)
        self.y = bottom
        return top + _PAD + _LEAD / 2

    def _run(self, branch: Branch, rail: float, left: float) -> float:
        """The texts of a run, and the place that it leads to; where its line leaves the rail."""
        assert branch.run is not None
        with self.canvas.group("route", branch.run.name):
            self.y += 6.0
            for line in (*branch.over, *branch.under):
                self.text(line, rail + _PAD)
            self.y += 4.0
            at = self.y + _PAD + _LEAD / 2
            self.canvas.line([(rail, at), (left, at)], 1.6, "" if branch.run.measured else "3 2")
        return self.tree(branch, left)
