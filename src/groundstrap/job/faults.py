"""Collects everything that is wrong with a job file, so that all of it is told in one go."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import field
from typing import Final

from groundstrap.errors import Fault, JobError, QuantityError, nearest_name
from groundstrap.job.tree import Entry, MapNode, Node, ScalarNode, SequenceNode
from groundstrap.records import dataclass, replace
from groundstrap.units import Kind, parse

_MOST_HINTS: Final = 300
"""Looking for near names takes long; nobody reads that many."""

__all__ = ["Faults", "Spot", "said"]


@dataclass(slots=True)
class Faults:
    """The faults of one file, in the order they were found."""

    file: str
    text: str = ""
    found: list[Fault] = field(default_factory=list)
    _told: set[Fault] = field(default_factory=set)

    def add(self, fault: Fault) -> None:
        """Keep a fault; the same one is told once only, however often its place is read."""
        if fault not in self._told:
            self._told.add(fault)
            self.found.append(fault)

    def check(self) -> None:
        """Raise them all, in the order of the text, where there are any."""
        if self.found:
            raise JobError(sorted(self.found, key=lambda fault: (fault.line or 1 << 30, fault.column)))


def said(node: Node, text: str) -> str:
    """Return what a fault quotes of a node: its text, or the beginning of a list or map."""
    if isinstance(node, ScalarNode):
        return node.text
    lines = text[node.start : max(node.end, node.start)].split("\n")
    return lines[0].strip()


@dataclass(frozen=True, slots=True)
class Spot:
    """A place in the file that is being read: the node, the path of keys to it, and where faults go."""

    node: Node
    key: tuple[str, ...]
    faults: Faults

    def fault(
        self, wanted: str, *, found: str | None = None, reason: str = "", nearest: str | None = None
    ) -> None:
        """Tell what is wrong here."""
        text = said(self.node, self.faults.text) if found is None else found
        self.faults.add(
            Fault(
                file=self.faults.file,
                line=self.node.line,
                column=self.node.column,
                key=".".join(self.key),
                found=text,
                wanted=wanted,
                nearest=nearest,
                reason=reason,
            )
        )

    def near(self, text: str, known: Iterable[str]) -> str | None:
        """Return the nearest of the known names; a file that is all wrong gets no more hints."""
        return nearest_name(text, known) if len(self.faults.found) < _MOST_HINTS else None

    def unknown_name(self, kind: str, known: tuple[str, ...], *, wanted: str | None = None) -> None:
        """Tell that a name is not one of those known, with the nearest of them."""
        text = self.node.text if isinstance(self.node, ScalarNode) else None
        nearest = self.near(text, known) if text else None
        self.fault(wanted or one_of(kind, known), nearest=nearest, reason=f"no {kind} of that name")

    def quantity_fault(self, error: QuantityError) -> None:
        """Tell what is wrong with a quantity, in the words of the unit reader."""
        self.fault(error.wanted, found=error.given, reason=error.reason, nearest=error.nearest)

    def word(self, wanted: str) -> str | None:
        """Return the text that stands here; a list, a map or nothing at all is a fault."""
        node = self.node
        if not isinstance(node, ScalarNode):
            self.fault(wanted, reason="a list or map stands where one text is wanted")
            return None
        text = " ".join(node.text.split())
        if not text:
            self.fault(wanted, found="")
            return None
        return text

    def items(self, wanted: str) -> list[Spot]:
        """Return the members of a list; anything else is a fault."""
        node = self.node
        if not isinstance(node, SequenceNode):
            self.fault(wanted, reason="one text or a map stands where a list is wanted")
            return []
        spots = [Spot(item, (*self.key, str(number)), self.faults) for number, item in enumerate(node.items)]
        return _without_cut_numbers(spots)

    def entries(self, wanted: str) -> list[tuple[ScalarNode, Spot]]:
        """Return the entries of a map; anything else is a fault, and so are YAML's own traps."""
        node = self.node
        if not isinstance(node, MapNode):
            self.fault(wanted, reason="it is no map of keys and values")
            return []
        kept: list[tuple[ScalarNode, Spot]] = []
        for number, entry in enumerate(node.entries):
            spot = Spot(entry.value, (*self.key, entry.key.text), self.faults)
            before = node.entries[number - 1] if number else None
            if node.flow and _trapped(entry, before, spot):
                if kept and before is not None and _is_cut(entry):
                    kept.pop()
                continue
            kept.append((entry.key, spot))
        return kept

    def at(self, node: Node) -> Spot:
        """Return the same path of keys at another node, for a fault that belongs to a key's own text."""
        return replace(self, node=node)


def one_of(kind: str, known: tuple[str, ...]) -> str:
    """Say which names would do."""
    if not known:
        return f"a {kind} of the job; there is none"
    shown = ", ".join(known[:12])
    return f"one of {shown}" + (f" and {len(known) - 12} more" if len(known) > 12 else "")


def _starts_with_digit(text: str) -> bool:
    return text[:1].isdigit()


def _is_cut(entry: Entry) -> bool:
    value = entry.value
    return isinstance(value, ScalarNode) and value.empty and _starts_with_digit(entry.key.text)


def _trapped(entry: Entry, before: Entry | None, spot: Spot) -> bool:
    """Tell YAML's traps inside braces: a comma in a number, and a colon without its space."""
    value = entry.value
    if not (isinstance(value, ScalarNode) and value.empty):
        return False
    key = entry.key.text
    if _is_cut(entry) and before is not None and isinstance(before.value, ScalarNode):
        head = before.value
        if head.plain and head.text[-1:].isdigit():
            at = Spot(head, (*spot.key[:-1], before.key.text), spot.faults)
            _comma_fault(at, f"{head.text},{key}")
            return True
    name, colon, rest = key.partition(":")
    if colon and name and rest and not name.startswith("/"):
        spot.at(entry.key).fault(
            f"a space after the colon, {name}: {rest.strip()}",
            found=key,
            reason="without a space behind it the colon belongs to the word",
            nearest=f"{name}: {rest.strip()}",
        )
        return True
    return False


def _comma_fault(spot: Spot, found: str) -> None:
    """Tell that a comma cut a number in two; which number was meant is known to the unit reader."""
    reason, nearest = "a comma ends the entry here", None
    try:
        parse(found, tuple(Kind))
    except QuantityError as error:
        reason, nearest = f"{reason}; {error.reason}", error.nearest
    spot.fault("a decimal point, and no comma in a number", found=found, nearest=nearest, reason=reason)


def _without_cut_numbers(spots: list[Spot]) -> list[Spot]:
    """Leave out list members that a decimal comma cut in two, and tell so."""
    kept: list[Spot] = []
    for spot in spots:
        head = _last_scalar(kept[-1].node) if kept else None
        node = spot.node
        cut = isinstance(node, ScalarNode) and node.plain and _looks_like_quantity(node.text)
        if cut and head is not None and head.plain and head.text.isdigit() and isinstance(node, ScalarNode):
            _comma_fault(kept[-1].at(head), f"{head.text},{node.text}")
            kept.pop()
            continue
        kept.append(spot)
    return kept


def _last_scalar(node: Node) -> ScalarNode | None:
    if isinstance(node, ScalarNode):
        return node
    if isinstance(node, MapNode) and node.entries:
        return _last_scalar(node.entries[-1].value)
    return None


def _looks_like_quantity(text: str) -> bool:
    number = text.partition(" ")[0]
    return number[:1].isdigit() and text != number and number.replace(".", "").isdigit()
