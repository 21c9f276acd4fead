"""Choices written back into the text of a job: each at its own step, everything else left as it stands.

A pin patches the text at the position of its step, so that comments, order and quotes stay and a difference
shows the choice alone. Whatever comes out is read again and compared before anybody gets it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import field

from groundstrap.errors import CallError, CannotDoError, UnknownNameError
from groundstrap.job.patches import Patches, empty_value, end_of, is_braced, plain
from groundstrap.job.reader import Job, read_job
from groundstrap.job.tree import MapNode, Node, ScalarNode, SequenceNode, parse_tree
from groundstrap.model import FUSES, Circuit, Installation, Part, PartKind, State, Wire
from groundstrap.records import dataclass
from groundstrap.units import ConductorSize, format_quantity

__all__ = ["pin"]

Ratings = Mapping[str, tuple[float, str]]


def pin(job: Job, sizes: Mapping[str, ConductorSize], ratings: Ratings) -> str:
    """Return the job's text with choices written into its steps.

    What is written already, or is existing, stays as it is. The text that comes back reads to the same
    installation, its choices being written. A return that nobody drew takes after the wire to its load, so it
    has that size where none is given for it.

    Parameters
    ----------
    job : Job
        The job as it was read.
    sizes : Mapping
        Size chosen for each wire, by the wire's name.
    ratings : Mapping
        Rating in amperes and family chosen for each fuse or breaker, by the part's name; where the rating is
        written, the family alone is new. [A]

    Examples
    --------
    >>> from groundstrap.units import parse_size
    >>> text = '''groundstrap: 1
    ... title: Bed light
    ... system: 12 V
    ... loads: {light: {claims: {power: 5 W}}}
    ... circuits:
    ...   light: {path: [battery, fuse, light], length: 3 m}  # by the bed
    ... '''
    >>> job = read_job(text)
    >>> sizes = dict.fromkeys(("light wire 1", "light return 1"), parse_size("1 mm2"))
    >>> pinned = pin(job, sizes, {"light fuse": (3.0, "mini blade")})
    >>> print(pinned.splitlines()[-1].strip())
    light: {path: [battery, {fuse: 3 A, family: mini blade}, wire: 1 mm2, light], length: 3 m}  # by the bed
    """
    installation = job.installation
    _check_names(installation, sizes, ratings)
    root = parse_tree(job.text).root
    assert isinstance(root, MapNode)
    pins = _Pins(Patches(job.text), root, sizes, ratings)
    for circuit in installation.circuits.values():
        pins.circuit(circuit)
    text = pins.patches.applied()
    _verify(job, text, pins)
    return text


def _check_names(installation: Installation, sizes: Mapping[str, ConductorSize], ratings: Ratings) -> None:
    wires = [wire.name for circuit in installation.circuits.values() for wire in circuit.wires]
    parts = [part.name for circuit in installation.circuits.values() for part in circuit.parts]
    for kind, given, known in (("wire", sizes, wires), ("part", ratings, parts)):
        for name in given:
            if name not in known:
                raise UnknownNameError(kind, name, known)


@dataclass(slots=True)
class _Pins:
    """Collects the patches of all circuits, and remembers what they pin."""

    patches: Patches
    root: MapNode
    sizes: Mapping[str, ConductorSize]
    ratings: Ratings
    pinned_sizes: dict[str, ConductorSize] = field(default_factory=dict)
    pinned_ratings: dict[str, tuple[float, str]] = field(default_factory=dict)

    def circuit(self, circuit: Circuit) -> None:
        """Pin what is free on one circuit."""
        wires = [wire for wire in circuit.wires if wire.name in self.sizes and _is_free_wire(wire)]
        parts = [part for part in circuit.parts if _is_free_part(part, self.ratings.get(part.name))]
        if not wires and not parts:
            return
        for wire in wires:
            self.pinned_sizes[wire.name] = self.sizes[wire.name]
        if not circuit.key:
            self.implied_negative(circuit, wires[0])
            return
        for part in parts:
            self.pinned_ratings[part.name] = self.ratings[part.name]
        steps = [wire for wire in wires if not _is_implied(wire)]
        node = self.node(circuit.key)
        if isinstance(node, MapNode) and not any(entry.key.text == "path" for entry in node.entries):
            self.usual_path(circuit, node)
            parts = [part for part in parts if part.gear is not None]
        else:
            for wire in steps:
                self.wire(wire)
        for part in parts:
            if part.rating_a is None:
                self.part(part)
            else:
                self.family(part)
        if isinstance(node, MapNode):
            self.implied_return(circuit, node, [wire for wire in wires if _is_implied(wire)])

    def node(self, key: str) -> Node:
        """Return the node of a key of the model (`circuits/warmer/path/3`)."""
        node: Node = self.root
        names = key.split("/")
        while names:
            if isinstance(node, SequenceNode):
                node = node.items[int(names.pop(0))]
                continue
            assert isinstance(node, MapNode)
            # A name may hold a slash itself: the longest one that is there is meant.
            for number in range(len(names), 0, -1):
                name = "/".join(names[:number])
                found = next((e.value for e in node.entries if " ".join(e.key.text.split()) == name), None)
                if found is not None:
                    node, names = found, names[number:]
                    break
            else:
                raise CannotDoError(f"{key} is no longer in the file", next_step="read the job again")
        return node

    def size_text(self, wire: Wire) -> str:
        return self.sizes[wire.name].text

    def fuse_text(self, part: Part, word: str) -> str:
        rating_a, family = self.ratings[part.name]
        rating = format_quantity(rating_a, "A")
        return (
            f"{{{word}: {rating}, family: {family}}}" if _takes_family(part, family) else f"{word}: {rating}"
        )

    def usual_path(self, circuit: Circuit, node: MapNode) -> None:
        """Write the path out that nobody wrote, with what was chosen on it."""
        steps: list[str] = []
        for element in circuit.path:
            if isinstance(element, Wire):
                if element.name in self.pinned_sizes:
                    steps.append(f"wire: {self.size_text(element)}")
            elif isinstance(element, Part):
                fuse = element.name in self.pinned_ratings
                steps.append(self.fuse_text(element, str(element.kind)) if fuse else str(element.kind))
            else:
                steps.append(plain(element.name))
        self.patches.first_entry(node, f"path: [{', '.join(steps)}]")

    def wire(self, wire: Wire) -> None:
        """Pin the size of a wire at its step, or as a new step where none stands there."""
        text = f"wire: {self.size_text(wire)}"
        if wire.key.endswith("+"):
            where, _, number = wire.key[:-1].rpartition("/")
            sequence = self.node(where)
            assert isinstance(sequence, SequenceNode)
            self.patches.item_after(sequence, int(number), text)
            return
        node = self.node(wire.key)
        assert isinstance(node, MapNode)
        self.patches.entry_in_step(node, text)

    def part(self, part: Part) -> None:
        """Pin the rating of a fuse or breaker at its step, or on the gear that it is."""
        node = self.node(part.key)
        rating_a, family = self.ratings[part.name]
        rating = format_quantity(rating_a, "A")
        if part.gear is not None:
            gear = self.node(f"gear/{part.gear}")
            assert isinstance(gear, MapNode)
            entries = [f"rating: {rating}"]
            if _takes_family(part, family):
                entries.append(f"family: {family}")
            self.patches.entries_after(gear, "kind", entries)
        elif isinstance(node, ScalarNode):
            self.patches.replace(node.start, node.end, self.fuse_text(part, node.text))
        else:
            assert isinstance(node, MapNode)
            extra = f"family: {family}" if _takes_family(part, family) else None
            self._empty_part(node, str(part.kind), rating, extra)

    def family(self, part: Part) -> None:
        """Pin the type of a fuse whose rating stands there: beside it, or on the gear that it is."""
        node = self.node(part.key if part.gear is None else f"gear/{part.gear}")
        entry = f"family: {self.ratings[part.name][1]}"
        if isinstance(node, ScalarNode):
            self.patches.replace(node.start, node.end, self.fuse_text(part, node.text))
            return
        assert isinstance(node, MapNode)
        if part.gear is not None or is_braced(self.patches.text, node) or len(node.entries) > 1:
            self.patches.last_entry(node, entry)
        else:
            end = end_of(self.patches.text, node)
            self.patches.replace(node.start, end, f"{{{self.patches.text[node.start : end]}, {entry}}}")

    def _empty_part(self, node: MapNode, word: str, rating: str, extra: str | None) -> None:
        """Fill in `{fuse, holder: tap}`, a part whose rating was left open."""
        entry = next(entry for entry in node.entries if entry.key.text == word)
        place = empty_value(self.patches.text, entry.key)
        text = f" {rating}" if place.has_colon else f": {rating}"
        if extra is not None and is_braced(self.patches.text, node):
            text += f", {extra}"
        self.patches.insert(place.at, text)
        if extra is not None and not is_braced(self.patches.text, node):
            self.patches.last_entry(node, extra)

    def implied_negative(self, circuit: Circuit, wire: Wire) -> None:
        """Draw a negative that nobody drew, in its size, as the last circuit of the file."""
        section = self.node("circuits")
        assert isinstance(section, MapNode)
        steps = f"[{plain(circuit.start)}, wire: {self.size_text(wire)}, {plain(circuit.end)}]"
        length = format_quantity(wire.length_m, "m")
        self.patches.last_entry(section, f"{plain(circuit.name)}: {{path: {steps}, length: {length}}}")

    def implied_return(self, circuit: Circuit, node: MapNode, wires: list[Wire]) -> None:
        """Pin a return that nobody drew: it takes after the last wire out, else after the circuit's own."""
        out = [element for element in circuit.path if isinstance(element, Wire)]
        pinned = self.pinned_sizes.get(out[-1].name) if out else None
        if not wires:
            # Nothing was chosen for it: it takes after the wire that was.
            own = [wire for wire in circuit.wires if _is_implied(wire) and _is_free_wire(wire)]
            self.pinned_sizes.update({wire.name: pinned for wire in own} if pinned is not None else {})
            return
        wanted = {self.size_text(wire) for wire in wires}
        if len(wanted) > 1:
            raise CallError(
                f"the return of {circuit.name} was chosen in several sizes, and it is not drawn",
                wanted="a return that is drawn step by step",
            )
        size = wanted.pop()
        follows = pinned or (out[-1].size if out else None)
        if follows is None or follows.text != size or circuit.state is not State.NEW:
            self.patches.last_entry(node, f"wire: {size}")


def _is_free_wire(wire: Wire) -> bool:
    return wire.size is None and not wire.unknown and wire.state is State.NEW


def _is_free_part(part: Part, chosen: tuple[float, str] | None) -> bool:
    """Whether its rating, or the type for the rating that is written, was left out and is chosen."""
    if chosen is None or part.kind not in FUSES or part.unknown_rating or part.state is not State.NEW:
        return False
    return part.rating_a is None or (part.rating_a == chosen[0] and _takes_family(part, chosen[1]))


def _is_implied(wire: Wire) -> bool:
    return wire.returning and (not wire.key or wire.key.endswith("/return"))


def _takes_family(part: Part, family: str) -> bool:
    return part.kind is PartKind.FUSE and part.family is None and bool(family)


def _verify(job: Job, text: str, pins: _Pins) -> None:
    """Read the new text and compare; a pin that changes anything else is not given out."""
    again = read_job(text, job.file, folder=job.folder).installation
    expected = job.installation.with_choices(pins.pinned_sizes, pins.pinned_ratings)
    if list(_compared(again)) != list(_compared(expected)):
        raise CannotDoError(
            "the choices can't be written into this file without changing something else",
            next_step="write the sizes into the steps by hand",
        )


def _compared(installation: Installation) -> Iterator[object]:
    for circuit in installation.circuits.values():
        yield circuit.name, circuit.start, circuit.end, circuit.back_end, circuit.loads
        for wire in circuit.wires:
            size = None if wire.size is None else wire.size.area_mm2
            yield (
                wire.name,
                wire.start,
                wire.end,
                size,
                wire.length_m,
                wire.parallel,
                wire.material,
                wire.insulation,
            )
        for part in circuit.parts:
            yield part.name, part.start, part.end, part.rating_a, part.place
            if part.kind is PartKind.FUSE:
                yield part.family
