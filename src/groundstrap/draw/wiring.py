"""The wiring drawing on sheets of paper: nodes as bars, circuits between them, sources at the left.

Every circuit is one line from the bar that feeds it, through its parts and its load, to the bar that its way
back really ends at. A bar that stands in several places says where else, by page and row.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import field
from typing import Final

from groundstrap.draw.canvas import Canvas, Drawn, wrap
from groundstrap.draw.cells import PLACE, SIZE, Line, Place, Sayer, alone, cut
from groundstrap.draw.legend import Legend, legend_of
from groundstrap.draw.nets import Input, Inside, Nets, Node, Role, Rung, nets
from groundstrap.draw.points import point_numbers
from groundstrap.draw.references import references
from groundstrap.draw.rows import LEADING, Resolve
from groundstrap.draw.strips import Strip, bar_height, strip_of
from groundstrap.draw.symbols import draw_chassis
from groundstrap.model import Load, Part, Supply
from groundstrap.records import dataclass
from groundstrap.report.drawing import Box
from groundstrap.report.figures import Display
from groundstrap.report.language import ENGLISH, Language
from groundstrap.report.plan import Plan
from groundstrap.report.stamp import stamp_words
from groundstrap.words import Name, words

__all__ = [
    "PAPERS",
    "TITLE",
    "draw_title",
    "sayer_of",
    "things_of",
    "title_height",
    "title_lines",
    "wiring_pages",
]

PAPERS: Final[Mapping[str, tuple[float, float]]] = {"a4": (774.0, 490.0), "letter": (724.0, 505.0)}
"""Room on a sheet that lies on its side, between rims that a printer and a punch need. [pt]"""
_BAR: Final = 76.0
_TEXT: Final = 4.0
"""From the edge of a bar to its texts."""
_LETTERS: Final = 14.0
"""Of the column with the rows' letters."""
TITLE: Final = 11.0
_GAP: Final = 9.0
"""Between two groups."""
_LAST_ROW: Final = 22
_FEW_LINES: Final = 2
"""On gear that nothing is connected to, for which there is room at the foot of every sheet."""
_FEWEST: Final = 6
"""Things on a rung that it is never cut below."""
_MOST_PLACES: Final = 20
"""Places of a node that its bar names."""
_CHASSIS: Final = 11.0
"""Room of the sign of a chassis under the texts of its bar."""


@dataclass(frozen=True, slots=True)
class _Run:
    """Rungs under each other that end at the same node."""

    root: str
    first: int
    last: int
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class _Chunk:
    """Rungs of one node that stand on one page."""

    group: int
    first: int
    heights: tuple[float, ...]
    lines: tuple[Line, ...]
    runs: tuple[_Run, ...]

    @property
    def height(self) -> float:
        return sum(self.heights)


@dataclass(slots=True)
class _Layout:
    """Where everything goes."""

    nets: Nets
    sayer: Sayer
    groups: Sequence[tuple[str, list[Strip]]]
    room: float
    """Height for the groups of a page."""
    unused: Sequence[str]
    """Lines on gear that nothing is connected to, to stand behind everything else."""
    pages: list[list[_Chunk]] = field(default_factory=list)
    texts: dict[int, list[str]] = field(default_factory=dict)
    """What stands under the groups of a page: gear that nothing is connected to."""
    homes: dict[str, tuple[int, int]] = field(default_factory=dict)
    """Root -> group and first strip where its bar says everything; -1 for the bar at the left."""
    _runs: dict[str, list[tuple[int, int]]] = field(default_factory=dict)
    _bars: dict[tuple[str, bool, bool], list[Line]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for number, (root, _) in enumerate(self.groups):
            self.homes[root] = (number, -1)
        for number, (_, strips) in enumerate(self.groups):
            for at, strip in enumerate(strips):
                for root in _terminals(strip.rung, self.nets):
                    self.homes.setdefault(root, (number, at))
        for number, (_, strips) in enumerate(self.groups):
            for at, strip in enumerate(strips):
                root = strip.rung.right
                if at == 0 or strips[at - 1].rung.right != root:
                    self._runs.setdefault(root, []).append((number, at))
                self.homes.setdefault(root, (number, at))
        for number, (_, strips) in enumerate(self.groups):
            for at, strip in enumerate(strips):
                for item in strip.rung.all_items:
                    if isinstance(item, Inside):
                        self._runs.setdefault(item.root, []).append((number, at))
                        self.homes.setdefault(item.root, (number, at))

    def place(self) -> None:
        """Put the groups on pages, as many rungs of each as fit."""
        left = 0.0
        for number, (_, strips) in enumerate(self.groups):
            first = 0
            while first < len(strips):
                rows = sum(len(chunk.heights) for chunk in self.pages[-1]) if self.pages else 0
                chunk = self._most(number, first, left, _LAST_ROW - rows)
                if chunk is None:
                    self.pages.append([])
                    left = self.room
                    chunk = self._most(number, first, left, _LAST_ROW) or self._chunk(number, first, 1)
                self.pages[-1].append(chunk)
                left -= chunk.height + _GAP
                first += len(chunk.heights)
        self._list(left)

    def _list(self, left: float) -> None:
        for line in self.unused:
            if left < LEADING or not self.pages:
                self.pages.append([])
                left = self.room
            self.texts.setdefault(len(self.pages), []).append(line)
            left -= LEADING

    def _most(self, group: int, first: int, room: float, rows: int) -> _Chunk | None:
        """The most rungs of a group from one on that fit; not one alone where more follow."""
        total = len(self.groups[group][1]) - first
        best = None
        for count in range(1, min(total, rows) + 1):
            chunk = self._chunk(group, first, count)
            if chunk.height > room:
                break
            best = chunk
        if best is not None and len(best.heights) == 1 and total > 2 and room < self.room:
            return None
        return best

    def _chunk(self, group: int, first: int, count: int) -> _Chunk:
        root, strips = self.groups[group]
        part = strips[first : first + count]
        heights = [strip.height for strip in part]
        runs = []
        begin = 0
        for at, strip in enumerate(part):
            if at + 1 < len(part) and part[at + 1].rung.right == strip.rung.right:
                continue
            lines = self._right_lines(group, first + begin, first + at, strip.rung.right)
            self._stretch(heights, begin, at, lines, strip.rung.right)
            runs.append(_Run(strip.rung.right, begin, at, tuple(lines)))
            begin = at + 1
        lines = self._left_lines(root, home=first == 0)
        self._stretch(heights, 0, len(part) - 1, lines, root)
        return _Chunk(group, first, tuple(heights), tuple(lines), tuple(runs))

    def _stretch(self, heights: list[float], first: int, last: int, lines: list[Line], root: str) -> None:
        """Make room for the texts of a bar."""
        sign = _CHASSIS if self.nets.nodes[root].role is Role.CHASSIS else 0.0
        missing = bar_height(lines) + sign + 6.0 - sum(heights[first : last + 1])
        heights[last] += max(0.0, missing)

    def _left_lines(self, root: str, *, home: bool) -> list[Line]:
        lines = self._lines(root, home=home)
        others = self._runs.get(root, ())
        if home and others and (root, True, True) not in self._bars:
            places: list[Place] = [("strip", f"{number}:{at}") for number, at in others[:_MOST_PLACES]]
            every = ", ".join([PLACE] * len(places))
            text = words("also at {places}", places=every)
            if more := len(others) - len(places):
                text = words("also at {places} and {count} more", places=every, count=Name(more))
            there = self.sayer.lines(text, *places, most=_BAR - 2 * _TEXT)
            self._bars[root, True, True] = [*lines, *there]
        return self._bars.get((root, True, True), lines) if home else lines

    def _right_lines(self, group: int, first: int, last: int, root: str) -> list[Line]:
        home = self.homes[root]
        return self._lines(root, home=home[0] == group and first <= home[1] <= last)

    def _lines(self, root: str, *, home: bool) -> list[Line]:
        """Texts of a bar, all of them or with what leads to where they all are."""
        key = (root, home, False)
        if key not in self._bars:
            node, most = self.nets.nodes[root], _BAR - 2 * _TEXT
            places: tuple[Place, ...] = () if home else (("node", root),)
            self._bars[key] = self.sayer.bar(node, most=most, home=home, places=places)
        return self._bars[key]

    def positions(self) -> dict[Place, str]:
        """Everything that a text refers to, by page and row."""
        found: dict[Place, str] = {}
        for page, chunks in enumerate(self.pages, 1):
            row = 0
            for chunk in chunks:
                root, strips = self.groups[chunk.group]
                for at in range(len(chunk.heights)):
                    where = f"{page}.{_letter(row)}"
                    row += 1
                    number = chunk.first + at
                    found[("strip", f"{chunk.group}:{number}")] = where
                    if number == 0:
                        found[("node", root)] = where
                    for key in things_of(strips[number].rung):
                        found.setdefault(key, where)
        for root, (group, at) in self.homes.items():
            found.setdefault(("node", root), found[("strip", f"{group}:{max(at, 0)}")])
        return found


def _terminals(rung: Rung, found: Nets) -> list[str]:
    """Nodes that are a terminal of a load on a rung, and nothing else."""
    ends = [end for item in rung.all_items if isinstance(item, Load) for end in (item.plus, item.minus)]
    inputs = [item.supply for item in rung.all_items if isinstance(item, Input)]
    ends += [end for supply in inputs for end in (supply.in_plus, supply.in_minus) if end is not None]
    roots = [found.points.get(end, end) for end in ends]
    return [root for root in roots if root in found.nodes and found.nodes[root].role is Role.TERMINAL]


def _letter(row: int) -> str:
    return chr(ord("A") + row)


def things_of(rung: Rung) -> list[Place]:
    """Return everything on a rung that a text may refer to."""
    found: list[Place] = []
    for item in rung.all_items:
        if isinstance(item, Load):
            found.append(("load", item.name))
        elif isinstance(item, Part):
            found += [("part", item.name), ("node", item.start), ("node", item.end)]
        elif isinstance(item, Supply):
            found.append(("supply", item.name))
        elif isinstance(item, Input):
            found.append(("input", item.supply.name))
    return found


def sayer_of(plan: Plan, shown: Display, language: Language, found: Nets) -> Sayer:
    """What makes the texts of a drawing."""
    return Sayer(plan, found, references(plan.installation), point_numbers(plan), shown, language.in_print)


def wiring_pages(
    plan: Plan, *, paper: str = "a4", shown: Display | None = None, language: Language = ENGLISH
) -> tuple[Drawn, ...]:
    """Return the wiring drawing of a plan, sheet by sheet.

    Source: iec-60617 (symbols), iec-81346-2 (letters), din-72552 (terminals), iec-60757 (colours).
    """
    shown = shown or Display.of(plan.installation)
    width, height = PAPERS[paper]
    between = width - _LETTERS - 2 * _BAR
    title = title_lines(plan, language, width)
    apart, most = frozenset[str](), 40
    while True:
        found = nets(plan.installation, apart, most)
        sayer = sayer_of(plan, shown, language, found)
        unused = [line for gear in found.alone for line in wrap(alone(gear, sayer), SIZE, width - _LETTERS)]
        few = len(unused) <= _FEW_LINES
        legend = legend_of(sayer, unused if few else (), width - _LETTERS)
        room = height - title_height(title) - legend.height
        groups, failed, tall = _strips(found, sayer, between, room if most >= _FEWEST else math.inf)
        if not failed and not tall:
            break
        apart, most = apart | failed, most // 2 if tall else most
    layout = _Layout(found, sayer, groups, room, () if few else unused)
    layout.place()
    return _sheets(layout, legend, title, (width, height))


def title_lines(plan: Plan, language: Language, width: float) -> list[str]:
    """Return the title of a job in the lines that stand over a sheet, and what stands against it."""
    lines = wrap(plan.installation.title, TITLE, width * 0.7, bold=True)
    if len(lines) > 3:
        lines = [*lines[:2], cut(lines[2] + "…", width * 0.7, size=TITLE, bold=True)]
    stamp = language.in_print.text(stamp_words(plan))
    return [*lines, *(wrap(stamp, TITLE, width - 4.0, bold=True) if stamp else ())]


def title_height(title: list[str]) -> float:
    """Return the height that they take, with the line under them."""
    return 1.3 * TITLE * len(title) + 9.0


def draw_title(canvas: Canvas, title: list[str], name: str) -> float:
    """Draw what stands over a sheet; the height at which the drawing begins."""
    y = 0.0
    for line in title:
        y += 1.3 * TITLE
        canvas.text(line, 2.0, y - 0.3 * TITLE, TITLE, bold=True)
    canvas.text(name, canvas.width - 2.0, TITLE, TITLE - 1.0, anchor="end")
    canvas.line([(0.0, y + 2.0), (canvas.width, y + 2.0)], 0.6)
    return title_height(title)


def _strips(
    found: Nets, sayer: Sayer, width: float, room: float
) -> tuple[list[tuple[str, list[Strip]]], frozenset[str], bool]:
    """Every rung laid out; circuits whose loads do not fit beside each other; whether a rung is too high."""
    failed, tall = set(), False
    groups = []
    for root, rungs in found.groups:
        strips = []
        for rung in rungs:
            strip = strip_of(rung, sayer, width)
            if strip is not None and strip.height <= room - _GAP:
                strips.append(strip)
            elif rung.comb is not None and rung.circuit is not None:
                failed.add(rung.circuit.name)
            else:
                tall = True
        groups.append((root, strips))
    return groups, frozenset(failed), tall


def _sheets(
    layout: _Layout, legend: Legend, title: list[str], size: tuple[float, float]
) -> tuple[Drawn, ...]:
    positions = layout.positions()

    def resolve(line: Line) -> str:
        return line.resolved(positions)

    count = len(layout.pages)
    made = []
    for number, chunks in enumerate(layout.pages, 1):
        canvas = Canvas(f"wiring-{number}", size[0])
        name = words("Wiring, sheet {number} of {count}", number=Name(number), count=Name(count))
        said = layout.sayer.say(name)
        y = draw_title(canvas, title, said)
        row = 0
        for chunk in chunks:
            _draw_chunk(canvas, layout, chunk, y, row, resolve)
            row += len(chunk.heights)
            y += chunk.height + _GAP
        for line in layout.texts.get(number, ()):
            canvas.text(line, _LETTERS, y + 0.8 * SIZE, SIZE)
            y += LEADING
        legend.draw(canvas, _LETTERS, size[1] - legend.height)
        whole = f"{layout.sayer.installation.title}. {said}"
        made.append(canvas.drawn(whole, _words(layout, chunks, number), size[1]))
    return tuple(made)


def _words(layout: _Layout, chunks: list[_Chunk], number: int) -> str:
    """What a sheet shows, for whoever does not see it."""
    said = []
    for chunk in chunks:
        root, strips = layout.groups[chunk.group]
        names = [layout.sayer.heading(s.rung) for s in strips[chunk.first : chunk.first + len(chunk.heights)]]
        node = layout.sayer.title(layout.nets.nodes[root])
        text = words(
            "from {node}: {circuits}", node=Name(node), circuits=Name(", ".join(filter(None, names)) or "-")
        )
        said.append(layout.sayer.say(text))
    return "; ".join([*said, *layout.texts.get(number, ())])


def _draw_chunk(
    canvas: Canvas, layout: _Layout, chunk: _Chunk, top: float, row: int, resolve: Resolve
) -> None:
    root, strips = layout.groups[chunk.group]
    part = strips[chunk.first : chunk.first + len(chunk.heights)]
    tops = [top + sum(chunk.heights[:number]) for number in range(len(part) + 1)]
    left = _LETTERS + _BAR
    right = canvas.width - _BAR
    for number, strip in enumerate(part):
        canvas.text(_letter(row + number), 2.0, tops[number] + strip.axis + 0.35 * 9.0, 9.0, bold=True)
        strip.draw(canvas, left, tops[number], resolve)
    box = Box(_LETTERS, top + 1.0, left, tops[-1] - 3.0)
    _draw_bar(canvas, layout.nets.nodes[root], box, chunk.lines, resolve, inner=left)
    for run in chunk.runs:
        box = Box(right, tops[run.first] + 1.0, canvas.width - 0.5, tops[run.last + 1] - 3.0)
        _draw_bar(canvas, layout.nets.nodes[run.root], box, run.lines, resolve, inner=right)


def _draw_bar(
    canvas: Canvas, node: Node, box: Box, lines: Sequence[Line], resolve: Resolve, *, inner: float
) -> None:
    """The box of a node, with a thick edge where the cables are."""
    with canvas.group("node", node.owner):
        canvas.rectangle(box, width=0.6)
        canvas.line([(inner, box.top), (inner, box.bottom)], 3.0)
        y = box.top + 3.0
        for line in lines:
            canvas.text(resolve(line), box.left + _TEXT, y + 0.8 * SIZE, SIZE, bold=line.bold)
            y += LEADING
        if node.role is Role.CHASSIS:
            x = (box.left + box.right) / 2
            canvas.line([(x, y + 1.0), (x, y + 4.0)])
            draw_chassis(canvas, x, y + 4.0)
