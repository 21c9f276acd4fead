"""Steps of a path as they stand in the file: names, parts without a name, cable, and `unknown`."""

from __future__ import annotations

from typing import Final

from groundstrap.job.faults import Spot
from groundstrap.job.forms import UNKNOWN, Fields
from groundstrap.job.schema import CABLE_KEYS, PART_KEYS, PART_WORDS, STEP_KEYS, read_record
from groundstrap.job.tree import MapNode, ScalarNode
from groundstrap.records import dataclass

__all__ = ["CableStep", "NameStep", "PartStep", "Step", "UnknownStep", "read_steps"]


@dataclass(frozen=True, slots=True)
class NameStep:
    """A name or a point."""

    text: str
    spot: Spot


@dataclass(frozen=True, slots=True)
class PartStep:
    """A part without a name of its own; `fields` are those of the model's part."""

    word: str
    fields: Fields
    spot: Spot


@dataclass(frozen=True, slots=True)
class CableStep:
    """A piece of cable: its size, its length, or both; `fields` are those of the model's wire."""

    fields: Fields
    spot: Spot
    unknown: bool = False

    @property
    def length_m(self) -> float | None:
        """Its length where it is written. [m]"""
        length_m: float | None = self.fields.get("length_m")
        return length_m


@dataclass(frozen=True, slots=True)
class UnknownStep:
    """Something that is there and nobody knows what, or an end that nobody found."""

    spot: Spot


Step = NameStep | PartStep | CableStep | UnknownStep

_WANTED: Final = (
    "a name, a point, a part such as fuse, cable such as wire: 6 mm2 or length: 15 cm, or unknown"
)


def read_steps(spots: list[Spot]) -> list[Step] | None:
    """Read the steps of a path; None where one of them can't be read."""
    steps = [_step(spot) for spot in spots]
    found = [step for step in steps if step is not None]
    return found if len(found) == len(steps) else None


def _step(spot: Spot) -> Step | None:
    if isinstance(spot.node, MapNode):
        return _map_step(spot)
    word = spot.word(_WANTED)
    if word is None:
        return None
    if word == UNKNOWN:
        return UnknownStep(spot)
    if word in PART_WORDS:
        return PartStep(word, {}, spot)
    if word in {"wire", "length"}:
        wanted = "wire: 6 mm2, or length: 15 cm; nothing at all where both are to be found out"
        spot.fault(wanted, reason="cable without a size and a length is no step")
        return None
    key, colon, rest = word.partition(":")
    if colon and key in STEP_KEYS:
        spot.fault(
            "a space after the colon",
            nearest=f"{key}: {rest.strip()}",
            reason="without a space behind it the colon belongs to the word",
        )
        return None
    return NameStep(word, spot)


def _map_step(spot: Spot) -> Step | None:
    node = spot.node
    assert isinstance(node, MapNode)
    written = [entry.key.text for entry in node.entries]
    words = [key for key in written if key in PART_WORDS]
    before = len(spot.faults.found)
    if len(words) > 1 or (words and {"wire", "length"} & set(written)):
        spot.fault("one part, or one piece of cable, in a step", reason="two things stand in one step")
        return None
    if words:
        return _part_step(spot, words[0], before)
    if {"wire", "length"} & set(written):
        return _cable_step(spot, before)
    if not written:
        spot.fault(_WANTED, reason="nothing stands in the braces")
        return None
    _no_step(spot, node, written)
    return None


def _no_step(spot: Spot, node: MapNode, written: list[str]) -> None:
    """Say what a map may be that is neither a part nor cable."""
    first = node.entries[0]
    # Braces with a colon that lacks its space, or a number cut by a comma, are told as what they are.
    before = len(spot.faults.found)
    spot.entries(_WANTED)
    if len(spot.faults.found) > before:
        return
    if set(written) <= set(CABLE_KEYS) | set(PART_KEYS):
        spot.fault(
            "wire, length or the part that it is said of", reason="nothing in the step says what it is"
        )
        return
    known = tuple(STEP_KEYS)
    where = Spot(first.key, (*spot.key, first.key.text), spot.faults)
    where.fault(_WANTED, nearest=where.near(first.key.text, known), reason="no kind of step")


def _part_step(spot: Spot, word: str, before: int) -> PartStep | None:
    keys = {word: STEP_KEYS[word], **PART_KEYS, "state": CABLE_KEYS["state"], "note": CABLE_KEYS["note"]}
    record = read_record(spot, keys, word, kind=word)
    if len(spot.faults.found) > before:
        return None
    record.fields.pop("note", None)
    return PartStep(word, record.fields, spot)


def _cable_step(spot: Spot, before: int) -> CableStep | None:
    record = read_record(spot, CABLE_KEYS, "piece of cable")
    if len(spot.faults.found) > before:
        return None
    record.fields.pop("note", None)
    wire = record.spots.get("wire")
    unknown = wire is not None and isinstance(wire.node, ScalarNode) and wire.node.text.strip() == UNKNOWN
    return CableStep(record.fields, spot, unknown)
