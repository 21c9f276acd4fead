"""The drawing by place and route: places as boxes, what lies between them as lines with their cables.

It is drawn as a tree from the place of the first battery. A run that closes a ring ends at a box that points
to where its place stands already; what is too deep for the sheet goes on from the same place further down.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import field
from typing import Final

from groundstrap.assess import BundleAssessment
from groundstrap.draw.canvas import ASCENT, Canvas, Drawn, wrap
from groundstrap.draw.cells import SIZE, cut
from groundstrap.draw.geography import Geography, Run, geography
from groundstrap.draw.references import References, natural, references
from groundstrap.draw.rows import LEADING
from groundstrap.draw.wiring import PAPERS, draw_title, title_height, title_lines
from groundstrap.model import Installation, SupplyKind
from groundstrap.records import dataclass
from groundstrap.report.drawing import Box
from groundstrap.report.figures import Display
from groundstrap.report.language import ENGLISH, Language
from groundstrap.report.plan import Plan
from groundstrap.words import Name, joined, plural, words

__all__ = ["Branch", "Forest", "Teller", "route_pages", "route_words"]

_DEPTH: Final = 3
"""Runs one behind the other that fit across the sheet."""
_BOX: Final = 0.122
"""Width of a place's box as a share of the sheet's."""
_PAD: Final = 4.0
_GAP: Final = 8.0
_MOST_LINES: Final = 14
"""Texts longer than that go to the list below."""


@dataclass(slots=True)
class Branch:
    """A place as it stands in a tree, with the run that leads to it."""

    place: str
    run: Run | None
    over: list[str] = field(default_factory=list)
    """Over the line of its run."""
    under: list[str] = field(default_factory=list)
    inside: list[str] = field(default_factory=list)
    """In its box, under its name."""
    name: list[str] = field(default_factory=list)
    again: bool = False
    """Whether the place stands somewhere else already."""
    children: list[Branch] = field(default_factory=list)

    @property
    def own(self) -> float:
        """Height of its box, or of the texts at its run."""
        box = LEADING * (len(self.name) + len(self.inside)) + 2 * _PAD
        texts = 2 * max(LEADING * len(self.over) + 6.0, LEADING * len(self.under) + 6.0)
        return max(box, texts) + _GAP

    @property
    def height(self) -> float:
        """Height with all that hangs on it."""
        return max(self.own, sum(child.height for child in self.children))


@dataclass(slots=True)
class Teller:
    """Makes the texts."""

    plan: Plan
    shown: Display
    language: Language
    names: References
    width: float
    """Of a box, and of the texts at a run."""
    texts: float
    longer: list[str] = field(default_factory=list)
    """What did not fit beside its run or in its box."""

    def say(self, text: str) -> str:
        """A text in its language."""
        return self.language.text(text)

    def over(self, run: Run) -> list[str]:
        """Length and way of laying."""
        if not run.measured:
            return wrap(self.say(words("no route measured")), SIZE, self.texts)
        laid = {None: words("laid free"), "free": words("laid free")}.get(run.laid)
        laid = laid or (words("in conduit") if run.laid == "conduit" else words("in a loom"))
        text = joined(", ", [self.shown.length(run.length_m), laid])
        return wrap(self.say(text), SIZE, self.texts)

    def under(self, run: Run, number: int) -> list[str]:
        """Its cables, and what they lie in."""
        cables = self.cables(run.wires)
        lines = wrap(self.say(words("cables {cables}", cables=Name(cables))), SIZE, self.texts)
        more = [line for text in self._about(run) for line in wrap(self.say(text), SIZE, self.texts)]
        if len(lines) + len(more) <= _MOST_LINES:
            return [*lines, *more]
        self.longer.append(
            self.say(words("Run {number}: cables {cables}", number=Name(number), cables=Name(cables)))
        )
        short = wrap(self.say(words("cables: see run {number} below", number=Name(number))), SIZE, self.texts)
        return [*short, *more]

    def cables(self, wires: Sequence[str]) -> str:
        """Numbers of cables as people count."""
        return ", ".join(sorted((n for wire in wires for n in self.names.cables(wire)), key=natural))

    def _about(self, run: Run) -> Iterator[str]:
        for bundle in run.bundles:
            yield from self._of_bundle(bundle)
        if run.others:
            yield plural(
                "beside {count} conductor of the vehicle",
                "beside {count} conductors of the vehicle",
                run.others,
            )

    def _of_bundle(self, bundle: BundleAssessment) -> Iterator[str]:
        if bundle.bundle_mm is None:
            yield words("bundle: a size is not known")
            return
        yield words("bundle {width} thick", width=self.shown.width(bundle.bundle_mm))
        if bundle.bore_mm is not None:
            # A conduit up to the next whole millimetre, as on the list of parts and in the instructions.
            if bundle.laid == "conduit":
                bore = self.shown.width(math.ceil(bundle.bore_mm), 3)
                yield words("conduit bore {width} or more", width=bore)
            else:
                yield words("loom {width} or more", width=self.shown.width(bundle.bore_mm, 3))
        if bundle.grommet_mm is not None:
            yield words("grommet for a hole of {hole}", hole=self.shown.width(bundle.grommet_mm, 3))

    def key(self, found: Geography) -> Iterator[str]:
        """What the references at each place stand for."""
        for place, things in found.places.items():
            ordered = sorted(things, key=lambda name: natural(self.names.of(name)))
            named = ", ".join(f"{self.names.of(name)} {name}" for name in ordered)
            if named:
                yield self.say(words("At {place}: {things}", place=Name(place or "-"), things=Name(named)))
        if lost := self.cables(found.inside.get("", ())):
            yield self.say(words("Nobody knows where these cables are: {cables}", cables=Name(lost)))

    def inside(self, place: str, found: Geography) -> list[str]:
        """What is at a place, and cables that stay there."""
        most = self.width - 2 * _PAD
        things = {self.names.of(name): None for name in found.places.get(place, ())}
        lines = wrap(" ".join(sorted(things, key=natural)), SIZE, most)
        cables = self.cables(found.inside.get(place, ()))
        if cables:
            text = words("cables inside {cables}", cables=Name(cables))
            lines += wrap(self.say(text), SIZE, most)
        if len(lines) <= _MOST_LINES:
            return lines
        if cables:
            text = words("Cables inside {place}: {cables}", place=Name(place), cables=Name(cables))
            self.longer.append(self.say(text))
        return wrap(self.say(words("see the list below")), SIZE, most)


def route_pages(
    plan: Plan, *, paper: str = "a4", shown: Display | None = None, language: Language = ENGLISH
) -> tuple[Drawn, ...]:
    """Return the drawing by place and route, sheet by sheet.

    Source: common-practice (bundles, looms and grommets as they were reckoned for the plan).
    """
    width, height = PAPERS[paper]
    found = geography(plan)
    box = width * _BOX
    between = (width - 4 * box) / _DEPTH
    teller = Teller(
        plan,
        shown or Display.of(plan.installation),
        language.in_print,
        references(plan.installation),
        box,
        between - 16.0,
    )
    title = title_lines(plan, language, width)
    room = height - title_height(title)
    trees = Forest(found, teller, room).trees(plan.installation)
    teller.longer += teller.key(found)
    sheets = _packed(trees, teller, room, width)
    return tuple(
        _sheet(teller, sheet, number, len(sheets), title, (width, height))
        for number, sheet in enumerate(sheets, 1)
    )


@dataclass(slots=True)
class Forest:
    """Cuts the places and runs into trees that fit on a sheet."""

    found: Geography
    teller: Teller
    room: float
    depth: int = _DEPTH
    """Runs one behind the other that a tree may have."""
    drawn: set[str] = field(default_factory=set)
    _numbers: dict[str, int] = field(default_factory=dict)

    def trees(self, installation: Installation) -> list[Branch]:
        """Every tree, that of the first battery first; what is cut off goes on as a tree of its own."""
        self._numbers = {run.name: number for number, run in enumerate(self.found.runs, 1)}
        left = list(self.found.runs)
        starts = [s.place for s in installation.supplies.values() if s.kind is SupplyKind.BATTERY]
        queue = [
            place for place in dict.fromkeys([*starts, *self.found.places]) if place in self.found.places
        ]
        made = []
        while queue:
            place = queue.pop(0)
            again = place in self.drawn
            touching = [run for run in left if place in {run.start, run.end}]
            if again and not touching:
                continue
            tree = self._branch(place, None)
            queue = [*self._grow(tree, left, 0, self.room), *queue]
            if tree.children or not again:
                made.append(tree)
            if any(place in {run.start, run.end} for run in left):
                queue.insert(0, place)
        return made

    def _branch(self, place: str, run: Run | None) -> Branch:
        again = place in self.drawn
        self.drawn.add(place)
        most = self.teller.width - 2 * _PAD
        name = wrap(place or "-", SIZE, most, bold=True)
        if len(name) > 4:
            name = [*name[:3], cut(name[3] + "…", most, bold=True)]
        if again:
            inside = wrap(self.teller.say(words("drawn before")), SIZE, most)
        else:
            inside = self.teller.inside(place, self.found)
        if run is None:
            return Branch(place, None, inside=inside, name=name, again=again)
        number = self._numbers[run.name]
        over, under = self.teller.over(run), self.teller.under(run, number)
        return Branch(place, run, over, under, inside, name, again)

    def _grow(self, branch: Branch, left: list[Run], depth: int, room: float) -> list[str]:
        """Hang on a place all runs that fit; the places whose runs have to go on elsewhere."""
        if depth == self.depth:
            return [branch.place]
        cut: list[str] = []
        touching = [run for run in left if branch.place in {run.start, run.end}]
        fresh = [run for run in touching if self._other(run, branch.place) not in self.drawn]
        for run in [*fresh, *(run for run in touching if run not in fresh)]:
            if run not in left:
                continue
            used = sum(child.height for child in branch.children)
            child = self._branch_of(run, branch.place)
            if branch.children and used + child.own > room:
                self._undo(child)
                return [*cut, branch.place]
            left.remove(run)
            branch.children.append(child)
            if not child.again:
                cut += self._grow(child, left, depth + 1, room - used)
        return cut

    def _branch_of(self, run: Run, place: str) -> Branch:
        return self._branch(self._other(run, place), run)

    def _undo(self, branch: Branch) -> None:
        if not branch.again:
            self.drawn.discard(branch.place)

    def _other(self, run: Run, place: str) -> str:
        return run.end if place == run.start else run.start


@dataclass(slots=True)
class _Sheet:
    """Trees and lines of text under each other."""

    trees: list[Branch] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)
    height: float = 0.0


def _packed(trees: Sequence[Branch], teller: Teller, room: float, width: float) -> list[_Sheet]:
    sheets = [_Sheet()]
    for tree in trees:
        if sheets[-1].trees and sheets[-1].height + tree.height > room:
            sheets.append(_Sheet())
        sheets[-1].trees.append(tree)
        sheets[-1].height += tree.height
    for text in dict.fromkeys(teller.longer):
        for line in wrap(text, SIZE, width - 2.0):
            if sheets[-1].height + LEADING > room:
                sheets.append(_Sheet())
            sheets[-1].lines.append(line)
            sheets[-1].height += LEADING
    return sheets


def _sheet(
    teller: Teller, sheet: _Sheet, number: int, count: int, title: list[str], size: tuple[float, float]
) -> Drawn:
    canvas = Canvas(f"routes-{number}", size[0])
    name = words("Places and runs, sheet {number} of {count}", number=Name(number), count=Name(count))
    y = draw_title(canvas, title, teller.say(name))
    drawer = _Drawer(canvas, teller, size[0] * _BOX, (size[0] * (1 - 4 * _BOX)) / _DEPTH)
    for tree in sheet.trees:
        drawer.tree(tree, 0.0, y)
        y += tree.height
    for line in sheet.lines:
        canvas.text(line, 1.0, y + ASCENT * SIZE, SIZE)
        y += LEADING
    whole = f"{teller.plan.installation.title}. {teller.say(name)}"
    return canvas.drawn(whole, route_words(sheet.trees, sheet.lines, teller), size[1])


def route_words(trees: Sequence[Branch], lines: Sequence[str], teller: Teller) -> str:
    """Return what drawn trees show, run by run, for whoever does not see them."""
    said = []
    branches = [*trees]
    while branches:
        branch = branches.pop(0)
        branches = [*branch.children, *branches]
        for child in branch.children:
            about = ", ".join([*child.over, *child.under])
            text = words(
                "{start} to {end}: {about}",
                start=Name(branch.place),
                end=Name(child.place),
                about=Name(about),
            )
            said.append(teller.say(text))
    return "; ".join([*said, " ".join(lines)])


@dataclass(slots=True)
class _Drawer:
    """Draws trees from left to right."""

    canvas: Canvas
    teller: Teller
    box: float
    between: float

    def tree(self, branch: Branch, x: float, top: float) -> float:
        """Draw a place with all that hangs on it; the height of its middle."""
        right, trunk = x + self.box, x + self.box + 6.0
        y = top + max(0.0, branch.height - sum(child.height for child in branch.children)) / 2
        middles = []
        for child in branch.children:
            middle = self.tree(child, x + self.box + self.between, y)
            self._run(child, trunk, x + self.box + self.between, middle)
            middles.append(middle)
            y += child.height
        middle = (middles[0] + middles[-1]) / 2 if middles else top + branch.height / 2
        half = (branch.own - _GAP) / 2
        middle = min(max(middle, top + _GAP / 2 + half), top + branch.height - _GAP / 2 - half)
        if middles:
            ends = (min(middle, *middles), max(middle, *middles))
            self.canvas.line([(right, middle), (trunk, middle)], 1.6)
            self.canvas.line([(trunk, ends[0]), (trunk, ends[1])], 1.6)
        self._place(branch, x, middle)
        return middle

    def _place(self, branch: Branch, x: float, middle: float) -> None:
        lines = [*branch.name, *branch.inside]
        half = (LEADING * len(lines) + 2 * _PAD) / 2
        with self.canvas.group("place", branch.place):
            box = Box(x + 0.5, middle - half, x + self.box - 0.5, middle + half)
            self.canvas.rectangle(box, width=1.0, dashes="3 2" if branch.again else "")
            for number, line in enumerate(lines):
                y = middle - half + _PAD + number * LEADING + ASCENT * SIZE - 0.5
                self.canvas.text(line, x + _PAD, y, SIZE, bold=number < len(branch.name))

    def _run(self, branch: Branch, left: float, right: float, y: float) -> None:
        assert branch.run is not None
        dashes = "" if branch.run.measured else "6 3"
        with self.canvas.group("route", branch.run.name):
            self.canvas.line([(left, y), (right, y)], 1.6, dashes)
            for number, line in enumerate(reversed(branch.over)):
                at = y - 4.5 - number * LEADING
                self.canvas.text(line, left + 4.0, at, SIZE)
            for number, line in enumerate(branch.under):
                self.canvas.text(line, left + 4.0, y + 4.0 + number * LEADING + ASCENT * SIZE, SIZE)
