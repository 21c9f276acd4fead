"""What stands at each thing of a rung: its symbol, its reference, its values and its place, line by line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import field
from typing import Final

from groundstrap.draw.canvas import wide, wrap
from groundstrap.draw.nets import Input, Inside, Item, Nets, Node, Role, Rung
from groundstrap.draw.points import PointNumbers
from groundstrap.draw.references import References
from groundstrap.draw.symbols import Symbol, several, symbol
from groundstrap.model import FUSES, Gear, Installation, Load, Part, PartKind, State, Supply, Tie, Wire
from groundstrap.records import dataclass
from groundstrap.report.figures import Display, amps, number
from groundstrap.report.language import Language
from groundstrap.report.plan import Plan
from groundstrap.tables import colour_code
from groundstrap.words import Name, term, words

__all__ = ["PLACE", "SIZE", "Cell", "Line", "Sayer", "alone", "cut"]

SIZE: Final = 7.5
"""Of every text beside a symbol, in points of print; nothing on a drawing is smaller."""
PLACE: Final = "\ue000\ue000"
"""Where a place on the drawing goes that is known when everything has its page: wider than `88.W`."""

_SUPPLY: Final = 240.0
"""How wide the texts of a supply may be: it has a rung to itself."""

_LINES: Final = 5
"""Lines that one text beside a symbol may take."""

Place = tuple[str, str]
"""What is looked for: `node`, `load`, `part`, `supply`, `input` or `strip`, and its name."""

DASHES: Final[Mapping[State, str]] = {State.NEW: "", State.EXISTING: "7 2.5", State.REMOVE: "1.5 2.5"}
ASSUMED: Final = "6 2 1.2 2"
"""How the line of a connection is broken that nobody drew."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of text, with the places that its gaps stand for."""

    text: str
    bold: bool = False
    places: tuple[Place, ...] = ()

    def width(self, size: float = SIZE) -> float:
        """How wide it is at most."""
        return wide(self.text, size, bold=self.bold)

    def resolved(self, at: Mapping[Place, str]) -> str:
        """Its text with each place as it stands on the drawing; `?` where that is not on it."""
        text = self.text
        for place in self.places:
            text = text.replace(PLACE, at.get(place, "?"), 1)
        return text.replace(PLACE, "?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One thing on a rung."""

    kind: str
    """`wire`, `part`, `load`, `supply`, `input`, `tie`, `node`, `slot` or `joined`."""
    name: str
    above: tuple[Line, ...] = ()
    below: tuple[Line, ...] = ()
    left: str = ""
    """At its left pin: a terminal's number, plus or minus."""
    right: str = ""
    left_test: str = ""
    """Test point at its left pin."""
    right_test: str = ""
    symbol: Symbol | None = None
    dashes: str = ""
    """How the line is broken that runs through it, where it has no symbol."""
    right_dashes: str | None = None
    """Of the line behind its symbol, where it is another."""
    thick: float = 1.0
    removed: bool = False

    @property
    def after(self) -> str:
        """How the line behind it is broken."""
        return self.dashes if self.right_dashes is None else self.right_dashes

    @property
    def wire(self) -> bool:
        """Whether it is a piece of line that may be longer than it must."""
        return self.symbol is None and self.kind != "slot"


@dataclass(slots=True)
class Sayer:
    """Makes the texts of one drawing, in the units and the language that it is shown in."""

    plan: Plan
    nets: Nets
    references: References
    tests: PointNumbers
    shown: Display
    language: Language
    most: float = 66.0
    """How wide a text beside a symbol may be."""
    each_drawn: bool = True
    """Whether things alike are drawn side by side; a column for a phone has no room for that."""
    _relays: Mapping[str, str] = field(default_factory=dict)

    @property
    def installation(self) -> Installation:
        """What is drawn."""
        return self.plan.installation

    def say(self, text: str) -> str:
        """A text in the language of the drawing."""
        return self.language.text(text)

    def lines(self, text: str, *places: Place, bold: bool = False, most: float | None = None) -> list[Line]:
        """A text in lines, each with the places that are in it."""
        left = list(places)
        made = []
        # A place stays on the line with what leads to it.
        said = self.say(text).replace(f" {PLACE}", f"\N{NO-BREAK SPACE}{PLACE}")
        width = most or self.most
        wrapped = wrap(said, SIZE, width, bold=bold)
        if len(wrapped) > _LINES and not places:
            # A name that long stands whole in the lists.
            wrapped = [*wrapped[: _LINES - 1], cut(wrapped[_LINES - 1] + "…", width, bold=bold)]
        for line in wrapped:
            count = line.count(PLACE)
            made.append(Line(line, bold, tuple(left[:count])))
            left = left[count:]
        return made

    def cell(self, item: Item, state: State) -> Cell:
        """What stands at one thing of a rung; `state` is that of its circuit."""
        if isinstance(item, Wire):
            return self._wire(item, state)
        if isinstance(item, Part):
            return self._part(item, state)
        if isinstance(item, Load):
            return self._load(item, state)
        if isinstance(item, Supply):
            return self._supply(item)
        if isinstance(item, Input):
            return self._input(item.supply)
        if isinstance(item, Tie):
            return self._tie(item)
        return self._inside(item)

    def _wire(self, wire: Wire, state: State) -> Cell:
        size = self.say(words("size ?") if wire.size is None else self.shown.short(wire.size))
        if wire.parallel > 1:
            size = self.say(words("{count} x {size}", count=str(wire.parallel), size=size))
        colour = wire.colour and (colour_code(wire.colour) or wire.colour)
        below = self.lines(f"{size} {colour}" if colour else size)
        if wire.material != "copper":
            below += self.lines(term(wire.material))
        length = self.shown.length(wire.length_m) if wire.length_known else words("length ?")
        below += self.lines(length)
        state = state if wire.state is State.NEW else wire.state
        return Cell(
            kind="wire",
            name=wire.name,
            above=(Line(self.references.cable(wire.name), bold=True),),
            below=tuple(below),
            dashes=DASHES[state],
            thick=_thickness(wire.area_mm2),
            removed=state is State.REMOVE,
        )

    def _part(self, part: Part, state: State) -> Cell:
        gear = self.installation.gear.get(part.gear or "")
        below = [line for text in self._about_part(part, gear) for line in self.lines(text)]
        if part.kind is PartKind.RELAY and (coil := self._coil_of(part)) is not None:
            below += self.lines(words("coil at {place}", place=PLACE), ("load", coil.name))
        below += self._tapped(part)
        found = self.plan.assessment.parts.get(part.name)
        ends = dict(found.terminals) if found is not None else {}
        return Cell(
            kind="part",
            name=part.name,
            above=tuple(self._headed(part.name, self._rating(part))),
            below=tuple(below),
            left=ends.get(part.start, ""),
            right=ends.get(part.end, ""),
            symbol=symbol(part.kind.value),
            dashes=DASHES[state],
        )

    def _headed(self, name: str, value: str = "") -> list[Line]:
        """Its reference, with the one value that matters most behind it or under it."""
        reference = self.references.of(name)
        head = f"{reference} {value}" if value else reference
        if not value or wide(head, SIZE, bold=True) <= self.most:
            return [Line(head, bold=True)]
        return [Line(reference, bold=True), *self.lines(value, bold=True)]

    def _rating(self, part: Part) -> str:
        fuse = part.kind in FUSES
        if part.rating_a is None and not fuse:
            return ""
        return self.say(amps(part.rating_a))

    def _about_part(self, part: Part, gear: Gear | None) -> Iterator[str]:
        if gear is not None:
            yield Name(gear.name if part.way is None else f"{gear.name} {part.way}")
        elif part.kind is PartKind.UNKNOWN:
            yield words("not known")
        family = part.family or self._family(part)
        if family:
            yield term(family)
        if part.holder:
            yield words("{holder} holder", holder=term(part.holder))
        if (
            part.kind in {PartKind.JOINT, PartKind.CONNECTOR, PartKind.SENSOR, PartKind.DIODE}
            and gear is None
        ):
            yield term(part.kind.value)
        if part.when and part.kind in {PartKind.SWITCH, PartKind.RELAY}:
            yield words("closes by {signal}", signal=term(part.when))
        if part.suppressor:
            yield words("coil with {part}", part=term(part.suppressor))
        yield Name(part.place)

    def _family(self, part: Part) -> str | None:
        found = self.plan.assessment.circuits.get(part.circuit)
        fuse = None if found is None else found.fuses.get(part.name)
        return None if fuse is None else fuse.family

    def _coil_of(self, part: Part) -> Load | None:
        owner = part.gear or part.name
        coils = [load for load in self.installation.loads.values() if load.relay == owner]
        return coils[0] if coils else None

    def _contact_of(self, load: Load) -> Part | None:
        parts = (part for circuit in self.installation.circuits.values() for part in circuit.parts)
        return next((part for part in parts if load.relay in {part.gear, part.name}), None)

    def _tapped(self, part: Part) -> Iterator[Line]:
        """Where something begins at one of its points."""
        for point in (part.start, part.end):
            node = self.nets.nodes.get(self.nets.points.get(point, point))
            if node is not None and node.role is Role.INSIDE and node.root == point:
                yield from self.lines(words("more at {place}", place=PLACE), ("node", point))

    def _load(self, load: Load, state: State) -> Cell:
        coil = load.relay is not None
        below = [*self.lines(Name(load.relay or load.name), bold=True, most=self.most + 10.0)]
        if coil:
            contact = self._contact_of(load)
            if contact is not None:
                below += self.lines(words("contact at {place}", place=PLACE), ("part", contact.name))
            below += self.lines(Name(load.place))
        else:
            drawn = self.say(self._draws(load))
            below += self.lines(Name(f"{drawn}, {load.place}"), most=self.most + 10.0)
        name = load.name
        return Cell(
            kind="load",
            name=name,
            above=(Line(self.references.of(name), bold=True),),
            below=tuple(below),
            left=self._terminal(load, load.plus, "+"),
            right=self._terminal(load, load.minus, "\N{MINUS SIGN}"),
            left_test=self.tests.of(load.plus),
            right_test=self.tests.of(load.minus),
            symbol=symbol("coil") if coil else self._of_load(load),
            dashes=DASHES[state],
        )

    def _of_load(self, load: Load) -> Symbol:
        """The symbol of a load; of several alike each of them, with the joints that they hang on."""
        one = symbol(load.kind.value)
        return several(one, load.count) if load.count > 1 and self.each_drawn else one

    def _draws(self, load: Load) -> str:
        """What a load takes while it works, and how many alike it is."""
        found = self.plan.assessment.loads.get(load.name)
        value: str = words("draws ?")
        if found is not None and found.current_a is not None:
            value = amps(found.current_a.value)
        elif found is not None and found.continuous_a is not None:
            value = words("at most {amps}", amps=amps(found.continuous_a))
        if load.count > 1:
            return words("{count} x, {value}", count=str(load.count), value=value)
        return value

    def _terminal(self, load: Load, point: str, sign: str) -> str:
        contact = None if load.relay is None else self._contact_of(load)
        found = None if contact is None else self.plan.assessment.parts.get(contact.name)
        ends = dict(found.terminals) if found is not None else {}
        return ends.get(point, sign)

    def _supply(self, supply: Supply) -> Cell:
        below: list[Line] = []
        for text in self._about_supply(supply):
            below += self.lines(text, most=_SUPPLY)
        if supply.in_plus is not None:
            below += self.lines(words("input at {place}", place=PLACE), ("input", supply.name), most=_SUPPLY)
        for tap in supply.taps:
            if tap in self.nets.nodes:
                text = words("{point} at {place}", point=Name(tap), place=PLACE)
                below += self.lines(text, ("node", tap), most=_SUPPLY)
        head = Name(f"{self.references.of(supply.name)} {supply.name}")
        assumed = self._assumed(supply)
        return Cell(
            kind="supply",
            name=supply.name,
            above=tuple(self.lines(head, bold=True, most=_SUPPLY)),
            below=tuple(below),
            left="+",
            right="\N{MINUS SIGN}",
            left_test=self.tests.of(supply.plus),
            right_test=self.tests.of(supply.minus),
            symbol=symbol(supply.kind.value),
            dashes=ASSUMED if supply.plus in assumed else "",
            right_dashes=ASSUMED if supply.minus in assumed else "",
        )

    def _assumed(self, supply: Supply) -> set[str]:
        """Those of its poles that nobody drew a connection of."""
        ties = (tie for tie in self.installation.ties if tie.kind == "alternator")
        return {tie.start for tie in ties} & {supply.plus, supply.minus}

    def _about_supply(self, supply: Supply) -> Iterator[str]:
        facts = [f"{number(supply.nominal_v)} V"]
        if supply.kind.value == "battery":
            facts += [term(supply.chemistry) if supply.chemistry else words("chemistry not known")]
            if supply.capacity_ah is not None:
                facts += [f"{number(supply.capacity_ah)} Ah"]
        elif supply.rating_a or supply.current_a:
            facts += [amps(supply.rating_a or supply.current_a)]
        elif supply.power_w is not None:
            facts += [f"{number(supply.power_w)} W"]
        if supply.series > 1:
            facts += [words("{count} in series", count=str(supply.series))]
        if supply.parallel > 1:
            facts += [words("{count} in parallel", count=str(supply.parallel))]
        yield Name(", ".join([*(self.say(fact) for fact in facts), supply.place]))
        if supply.assumed:
            yield words("assumed: nobody listed it")
        elif self._assumed(supply) == {supply.minus}:
            yield words("nobody drew its negative")
        elif self._assumed(supply):
            yield words("nobody drew its cables")

    def _input(self, supply: Supply) -> Cell:
        below = [*self.lines(Name(supply.name), bold=True, most=self.most + 10.0)]
        below += self.lines(words("input; output at {place}", place=PLACE), ("supply", supply.name))
        below += self.lines(Name(supply.place))
        return Cell(
            kind="input",
            name=supply.name,
            above=(Line(self.references.of(supply.name), bold=True),),
            below=tuple(below),
            left="+",
            right="\N{MINUS SIGN}",
            left_test=self.tests.of(supply.in_plus),
            right_test=self.tests.of(supply.in_minus),
            symbol=symbol(supply.kind.value),
        )

    def _tie(self, tie: Tie) -> Cell:
        inside = tie.kind == "converter negative"
        text = words("inside, not isolated") if inside else words("assumed: nobody drew it")
        return Cell(
            kind="tie", name=tie.name, below=tuple(self.lines(text, most=140.0)), dashes=ASSUMED, thick=0.8
        )

    def _inside(self, item: Inside) -> Cell:
        node = self.nets.nodes[item.root]
        below = [*self.lines(self.title(node), bold=True)]
        if item.way:
            below += self.lines(words("slot {way}", way=Name(item.way)))
        below += self.lines(words("see {place}", place=PLACE), ("node", item.root))
        return Cell(
            kind="node",
            name=node.owner,
            above=(Line(self.references.of(node.owner), bold=True),),
            below=tuple(below),
            symbol=symbol("joint"),
        )

    def title(self, node: Node) -> str:
        """What a node is called: the point that the job names."""
        if node.role in {Role.POLE, Role.TERMINAL}:
            base = node.root.removesuffix(" +").removesuffix(" -")
            sign = "+" if node.root.endswith(" +") else "\N{MINUS SIGN}"
            return Name(node.root if base == node.root else f"{base}\N{NO-BREAK SPACE}{sign}")
        return Name(node.root)

    def bar(self, node: Node, *, most: float, home: bool, places: tuple[Place, ...]) -> list[Line]:
        """What stands in the bar of a node: all where it is at home, elsewhere what leads there."""
        reference = self.references.of(node.owner)
        loose = node.role is Role.LOOSE
        lines = [] if loose else [Line(reference, bold=True)]
        title = words("end not found") if loose else self.title(node)
        lines += self.lines(title, bold=loose, most=most)
        if home:
            for text in self._about_node(node):
                lines += self.lines(text, most=most)
        for place in (*places, *(self._whose(node) if home else ())):
            lines += self.lines(words("see {place}", place=PLACE), place, most=most)
        return lines

    def _whose(self, node: Node) -> Iterator[Place]:
        """Where the thing is drawn that a node is an inner or a far point of."""
        supply = self.installation.supplies.get(node.owner)
        if node.role is Role.POLE and supply is not None and node.root in supply.taps:
            yield ("supply", supply.name)
        elif node.role is Role.TERMINAL:
            yield ("load", node.owner) if supply is None else ("input", supply.name)
        elif node.role is Role.INSIDE:
            yield ("part", node.owner)

    def _about_node(self, node: Node) -> Iterator[str]:
        gear = self.installation.gear.get(node.owner)
        if gear is not None and node.role is Role.BLOCK:
            yield Name(gear.place)
            if gear.rating_a is not None:
                yield amps(gear.rating_a)
            if gear.state is not State.NEW:
                yield words("existing") if gear.state is State.EXISTING else words("remove")
        for other in node.others:
            yield words("and {name}", name=Name(f"{self.references.of(other)} {other}"))

    def heading(self, rung: Rung) -> str:
        """What stands over a rung: the number and name of its circuit."""
        circuit = rung.circuit
        if circuit is None:
            return ""
        name = f"{circuit.label or ''} {circuit.name}".strip()
        if rung.back:
            return self.say(words("{name}, way back", name=Name(name)))
        if circuit.state is State.EXISTING:
            return self.say(words("{name}, existing", name=Name(name)))
        if circuit.state is State.REMOVE:
            return self.say(words("{name}, take out", name=Name(name)))
        if not circuit.return_known:
            return self.say(words("{name}, way back not known", name=Name(name)))
        return name


def cut(text: str, most: float, *, size: float = SIZE, bold: bool = False) -> str:
    """Return a text with its end left out where it is wider than that.

    >>> cut("bed isolator", 30), cut("bed", 30)
    ('bed i…', 'bed')
    """
    if wide(text, size, bold=bold) <= most:
        return text
    while text and wide(text + "…", size, bold=bold) > most:
        text = text[:-1]
    return text + "…"


def _thickness(area_mm2: float | None) -> float:
    """How thick the line of a cable is: thick cable is told at a glance."""
    if area_mm2 is None:
        return 1.0
    return 2.4 if area_mm2 >= 25.0 else 1.7 if area_mm2 >= 8.0 else 1.1


def alone(gear: Gear, sayer: Sayer) -> str:
    """What is said of gear that nothing is connected to."""
    said = sayer.say(
        words("{kind} at {place}: nothing is connected", kind=term(gear.kind.value), place=Name(gear.place))
    )
    return f"{sayer.references.of(gear.name)} {gear.name}, {said}"
