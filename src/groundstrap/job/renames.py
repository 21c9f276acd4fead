"""A name of a job file changed wherever the file speaks of it: paths, points, routes, readings, waivers."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from groundstrap.errors import CallError, nearest_name
from groundstrap.job.data import Data, plain_data, tidied
from groundstrap.job.equipment import RESERVED
from groundstrap.job.schema import PART_WORDS
from groundstrap.job.splices import Splices, scalar_text
from groundstrap.job.tree import MapNode, Node, ScalarNode, SequenceNode
from groundstrap.job.values import forbidden_in_name
from groundstrap.records import dataclass

__all__ = ["Renamed", "Retold", "renamed"]

_THINGS: Final = ("supplies", "gear", "loads")
_SECTIONS: Final = (*_THINGS, "circuits", "places", "zones")
_OWN_PARTS: Final = frozenset({*PART_WORDS, "unknown", "wire", "return"})
"""Words that make a part or cable of a circuit from its name: `horn fuse 2 out`."""


@dataclass(frozen=True, slots=True)
class _Text:
    """A text that may be a name: where it stands, and whether it is a key."""

    node: ScalarNode
    path: tuple[str, ...]
    braced: bool
    is_key: bool


class Renamed:
    """What a rename makes of the texts of one file."""

    def __init__(self, root: MapNode, path: tuple[str, ...], new: str) -> None:
        """Find out what else is renamed with it; a name that can't be had is refused."""
        self.sections = {s: _names_in(root, s) for s in _SECTIONS}
        self.root, self.section, self.old = root, path[0], path[1]
        self.way = path[3] if len(path) == 4 else None
        self.new = new
        self.things = {name for section in _THINGS for name in self.sections[section]}
        self.both = self._goes_together()
        self._check()
        self.places = self._place_names()

    def _entry(self, section: str, name: str) -> Node | None:
        node = _value(self.root, section)
        return None if node is None else _value(node, name)

    def _goes_together(self) -> bool:
        """Whether a circuit and a thing share the name and go by the new one together."""
        if self.section in _THINGS:
            return self.old in self.sections["circuits"]
        circuit = self._entry("circuits", self.old)
        implied = circuit is not None and _value(circuit, "path") is None
        return self.section == "circuits" and self.old in self.sections["loads"] and implied

    def _check(self) -> None:
        known = self.sections.get(self.section)
        if known is None:
            wanted = f"one of {', '.join(_SECTIONS)}"
            raise CallError("only entries have a name", wanted=wanted, given=self.section)
        there = self.old in known or (self.section == "places" and self.old in _used_places(self.root))
        if not there:
            wanted = f"one of {', '.join(known[:12])}" if known else "an entry that is there"
            nearest = nearest_name(self.old, known)
            raise CallError(f"{self.section} has no {self.old}", wanted=wanted, nearest=nearest)
        if isinstance(self._entry(self.section, self.old), ScalarNode) and self.section == "supplies":
            raise CallError(f"{self.old} is no thing with a name here", wanted="a supply that is there")
        mark = forbidden_in_name(self.new)
        if mark is not None:
            wanted = "a name without , : # [ ] { } and ' to '"
            raise CallError(f"a name never holds '{mark}'", wanted=wanted, given=self.new)
        if self.section in _THINGS and self.new in RESERVED:
            raise CallError(f"{self.new} means something of its own in paths", wanted="another name")
        if self.way is None and self.new in self._taken() and self.new != self.old:
            raise CallError(f"the name {self.new} is taken", wanted="a name that nothing else has")

    def _taken(self) -> set[str]:
        if self.section in _THINGS:
            return self.things | set(self.sections["circuits"] if self.both else ())
        if self.section == "circuits":
            # It may share the name of a load or supply at its end; the reader says where it does not.
            return {*self.sections["circuits"], *self.sections["gear"]}
        return set(self.sections["places"]) | set(self.sections["zones"]) | self.things

    def _place_names(self) -> bool:
        """Whether the name is that of a place too: a listed one, a zone, or a thing without `at`."""
        if self.section in {"places", "zones"}:
            return True
        if self.section not in _THINGS or self.old in self.sections["places"]:
            return False
        entry = self._entry(self.section, self.old)
        return entry is not None and _value(entry, "at") is None

    # --- texts ----------------------------------------------------------------------------------------------

    def text(self, found: _Text) -> str | None:
        """Return what becomes of a text; None where it stays."""
        told, path = tidied(found.node.text), found.path
        section = path[0] if path else ""
        if found.is_key and len(path) == 1:
            return None if self.way is not None else self._own_key(section, told)
        if self.way is not None and path[:2] == (self.section, self.old) and path[2:3] == ("ways",):
            return self.new if told == self.way else None
        role = _role(path, is_key=found.is_key)
        if role is None:
            return None
        return {"place": self._place, "zone": self._zone, "load": self._load, "point": self._points}[role](
            told
        )

    def _own_key(self, section: str, told: str) -> str | None:
        if told != self.old:
            return None
        together = self.both and (section == "circuits" or section in _THINGS)
        return self.new if section == self.section or together else None

    def _place(self, told: str) -> str | None:
        return self.new if self.places and self.way is None and told == self.old else None

    def _zone(self, told: str) -> str | None:
        return self.new if self.section == "zones" and told == self.old else None

    def _load(self, told: str) -> str | None:
        """A load, or a circuit that stands for the loads on it."""
        if told != self.old or self.way is not None:
            return None
        if self.section == "loads":
            return self.new
        circuit = self.section == "circuits" and (self.both or told not in self.sections["loads"])
        return self.new if circuit else None

    def _points(self, told: str) -> str | None:
        ends = [end.strip() for end in told.split(" to ")]
        new = [self._point(end) or end for end in ends]
        return " to ".join(new) if new != ends else None

    def _point(self, told: str) -> str | None:
        if told.startswith("chassis at "):
            place = self._place(told.removeprefix("chassis at "))
            return None if place is None else f"chassis at {place}"
        owner, rest = self._owner(told)
        if owner != self.old:
            return None
        of_circuit = rest.split(" ")[0] in _OWN_PARTS if rest else self.old not in self.things
        if self.way is not None:
            return f"{owner} {self.new}{rest[len(self.way) :]}" if _begins(rest, self.way) else None
        mine = self.both or (of_circuit if self.section == "circuits" else not of_circuit)
        thing = self.section in {*_THINGS, "circuits"}
        return f"{self.new} {rest}".rstrip() if thing and mine else None

    def _owner(self, told: str) -> tuple[str, str]:
        """Return the longest name that a text begins with, and what stands behind it."""
        words = told.split(" ")
        for number in range(len(words), 0, -1):
            name = " ".join(words[:number])
            if name in self.things or name in self.sections["circuits"]:
                return name, " ".join(words[number:])
        return "", told


@dataclass(frozen=True, slots=True)
class Retold:
    """A text with a name changed, and what it holds then."""

    text: str
    held: Data


def renamed(text: str, root: Node, path: tuple[str, ...], new: str) -> Retold:
    """Return a text with an entry renamed wherever it is spoken of, and what it holds then."""
    assert isinstance(root, MapNode)
    a_way = len(path) == 4 and path[0] == "gear" and path[2] == "ways"
    if len(path) != 2 and not a_way:
        raise CallError("only an entry of a section has a name", wanted="a section and the name of its entry")
    ways = _ways(root, path) if a_way else ()
    if a_way and path[3] not in ways:
        raise CallError(
            f"{path[1]} has no way {path[3]}", wanted=f"one of {', '.join(ways)}" if ways else "named ways"
        )
    change = Renamed(root, path, new)
    splices = Splices(text)
    told: dict[int, str] = {}
    for found in _texts(root, (), braced=False):
        answer = change.text(found)
        if answer is None or answer == tidied(found.node.text):
            continue
        told[id(found.node)] = answer
        quote = "" if found.node.plain else text[found.node.start : found.node.start + 1]
        written = scalar_text(answer, braced=found.braced or found.is_key, quote=quote)
        splices.replace(found.node.start, found.node.end, written)
    return Retold(splices.applied(), _retold(root, told))


def _retold(node: Node, told: dict[int, str]) -> Data:
    if isinstance(node, ScalarNode):
        return told.get(id(node), node.text)
    if isinstance(node, SequenceNode):
        return [_retold(item, told) for item in node.items]
    return {told.get(id(e.key), e.key.text): _retold(e.value, told) for e in node.entries}


def _texts(node: Node, path: tuple[str, ...], *, braced: bool) -> Iterator[_Text]:
    """Yield every text of a file, each with the keys above it."""
    if isinstance(node, ScalarNode):
        yield _Text(node, path, braced, is_key=False)
    elif isinstance(node, SequenceNode):
        for number, item in enumerate(node.items):
            yield from _texts(item, (*path, str(number)), braced=braced or node.flow)
    else:
        for entry in node.entries:
            yield _Text(entry.key, path, braced or node.flow, is_key=True)
            yield from _texts(entry.value, (*path, tidied(entry.key.text)), braced=braced or node.flow)


def _role(path: tuple[str, ...], *, is_key: bool) -> str | None:
    """Return what a text at a path names: a place, a zone, a load, a point; None where it names nothing."""
    section, last = path[0] if path else "", path[-1] if path else ""
    if section == "places":
        return "zone" if len(path) == 2 and not is_key else None
    if section == "routes":
        return "place" if last in {"from", "to"} and not is_key else None
    if last == "at" and section in _THINGS and len(path) == 3 and not is_key:
        return "place"
    if section == "loads":
        return "load" if path[2:3] == ("never_with",) and not is_key else None
    if section in {"day", "readings"} and path[2:3] and path[2] in {"using", "except"}:
        return "load"
    if section == "readings":
        return "point" if is_key and path[2:3] == ("values",) and len(path) == 4 else None
    if section == "circuits":
        step = path[2:3] and path[2] in {"path", "return"} and len(path) <= 4
        return "point" if step and not is_key else None
    if section == "return" or (section == "waivers" and last == "where"):
        return None if is_key else "point"
    return None


def _begins(rest: str, way: str) -> bool:
    return rest == way or rest.startswith(f"{way} ")


def _value(node: Node, key: str) -> Node | None:
    if not isinstance(node, MapNode):
        return None
    return next((e.value for e in node.entries if tidied(e.key.text) == key), None)


def _names_in(root: MapNode, section: str) -> tuple[str, ...]:
    node = _value(root, section)
    return tuple(tidied(e.key.text) for e in node.entries) if isinstance(node, MapNode) else ()


def _ways(root: MapNode, path: tuple[str, ...]) -> tuple[str, ...]:
    entry = _value(_value(root, "gear") or root, path[1])
    ways = None if entry is None else _value(entry, "ways")
    return tuple(str(way) for way in plain_data(ways)) if isinstance(ways, SequenceNode) else ()


def _used_places(root: MapNode) -> set[str]:
    return {
        tidied(t.node.text)
        for t in _texts(root, (), braced=False)
        if _role(t.path, is_key=t.is_key) == "place"
    }
