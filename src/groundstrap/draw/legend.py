"""What the signs of a drawing mean, in one strip at its foot."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from groundstrap.draw.canvas import Canvas, wide, wrap
from groundstrap.draw.cells import ASSUMED, DASHES, SIZE, Sayer
from groundstrap.draw.rows import LEADING
from groundstrap.model import State, Tie
from groundstrap.records import dataclass
from groundstrap.tables import colour_code
from groundstrap.words import Name, term, words

__all__ = ["Legend", "legend_of"]

_SAMPLE: Final = 26.0
"""Length of a piece of line as a sample."""


@dataclass(frozen=True, slots=True)
class Legend:
    """Samples of lines with what they mean, and texts under them."""

    samples: tuple[tuple[str, float, str], ...]
    """Dashes, thickness and meaning of each line."""
    lines: tuple[str, ...]
    rows: tuple[tuple[int, ...], ...]
    """Samples by row."""

    @property
    def height(self) -> float:
        """Room that it takes."""
        return 8.0 + LEADING * (len(self.rows) + len(self.lines)) + 3.0

    def draw(self, canvas: Canvas, left: float, top: float) -> None:
        """Draw it under a thin line."""
        canvas.line([(0.0, top + 3.0), (canvas.width, top + 3.0)], 0.6)
        y = top + 8.0
        for row in self.rows:
            x = left
            for number in row:
                dashes, thick, text = self.samples[number]
                canvas.line([(x, y + LEADING / 2 - 1.0), (x + _SAMPLE, y + LEADING / 2 - 1.0)], thick, dashes)
                canvas.text(text, x + _SAMPLE + 4.0, y + 0.8 * SIZE, SIZE)
                x += _SAMPLE + 4.0 + wide(text, SIZE) + 14.0
            y += LEADING
        for line in self.lines:
            canvas.text(line, left, y + 0.8 * SIZE, SIZE)
            y += LEADING


def legend_of(sayer: Sayer, more: Sequence[str], width: float) -> Legend:
    """What has to be explained on the drawings of a job: only what is on them; and `more` lines."""
    samples = tuple((dashes, thick, sayer.say(text)) for dashes, thick, text in _samples(sayer))
    colours = _colours(sayer)
    fingerprint = sayer.plan.fingerprint.rpartition(":")[2][:16]
    texts = [
        words("On each cable its number; under it size, colour and length."),
        *([words("{colours}.", colours=Name(colours))] if colours else []),
        words("TP and a number: point to hold the meter at, named in the test sheet. 2.C: sheet 2, row C."),
        words("Fingerprint {fingerprint}.", fingerprint=Name(fingerprint)),
    ]
    lines = wrap(" ".join(sayer.say(text).strip() for text in texts), SIZE, width)
    return Legend(samples, (*lines, *more), _in_rows(samples, width))


def _samples(sayer: Sayer) -> list[tuple[str, float, str]]:
    wires = [(wire, circuit) for circuit in sayer.installation.circuits.values() for wire in circuit.wires]
    states = {circuit.state if wire.state is State.NEW else wire.state for wire, circuit in wires}
    areas = [wire.area_mm2 or 0.0 for wire, _ in wires]
    found: list[tuple[str, float, str]] = []
    if State.NEW in states:
        found.append((DASHES[State.NEW], 1.1, words("new")))
    if max(areas, default=0.0) >= 8.0:
        found.append((DASHES[State.NEW], 2.4, words("thick cable")))
    if State.EXISTING in states:
        found.append((DASHES[State.EXISTING], 1.1, words("in the vehicle already")))
    if State.REMOVE in states:
        found.append((DASHES[State.REMOVE], 1.1, words("take out")))
    items = [item for _, rungs in sayer.nets.groups for rung in rungs for item in rung.all_items]
    assumed = any(isinstance(item, Tie) for item in items)
    if assumed or any(tie.kind == "alternator" for tie in sayer.installation.ties):
        found.append((ASSUMED, 0.8, words("nobody drew it: taken to be there")))
    return found


def _colours(sayer: Sayer) -> str:
    """Letters of the colours that are used, with their words."""
    colours = sorted({w.colour for c in sayer.installation.circuits.values() for w in c.wires if w.colour})
    known = [(colour_code(colour), colour) for colour in colours]
    return ", ".join(f"{code} {sayer.say(term(colour))}" for code, colour in known if code and code != colour)


def _in_rows(samples: Sequence[tuple[str, float, str]], width: float) -> tuple[tuple[int, ...], ...]:
    rows: list[list[int]] = [[]]
    x = 0.0
    for number, (_, _, text) in enumerate(samples):
        needed = _SAMPLE + 4.0 + wide(text, SIZE) + 14.0
        if rows[-1] and x + needed > width:
            rows.append([])
            x = 0.0
        rows[-1].append(number)
        x += needed
    return tuple(tuple(row) for row in rows if row)
