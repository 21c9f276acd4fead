"""Every law, standard, book and practice that a value rests on, by id.

The facts about each stand in ``sources.toml`` beside this module; nothing is read before it is asked for.
A table, a rule and a formula name their source by id; a report lists the sources that a run really used.
"""

from __future__ import annotations

import tomllib
from enum import StrEnum
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from groundstrap.errors import TableError, UnknownNameError
from groundstrap.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

__all__ = ["Seen", "Source", "SourceKind", "all_sources", "source", "weightiest"]

_FILE = Path(__file__).with_name("sources.toml")


class SourceKind(StrEnum):
    """What kind of authority a source has, the weightiest first."""

    LAW = "law"
    STANDARD = "standard"
    HANDBOOK = "handbook"
    PAPER = "paper"
    MAKER = "maker"
    OWN_TEST = "own-test"
    COMMON_PRACTICE = "common-practice"
    OWN_JUDGEMENT = "own-judgement"


class Seen(StrEnum):
    """How much of the document was read by whoever put its values in here."""

    FULL_TEXT = "full text"
    EXCERPT = "excerpt"
    SECOND_HAND = "second-hand"
    FROM_MEMORY = "from memory"
    NOT_APPLICABLE = "not applicable"


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One document or practice: what it is, which edition, and how much of it was read.

    >>> source("cfr-33-183-425").kind.value
    'law'
    """

    id: str
    kind: SourceKind
    title: str
    edition: str
    seen: Seen
    note: str = ""

    @property
    def may_carry_a_stable_rule(self) -> bool:
        """Whether a rule resting on this alone may decide a verdict: second-hand and remembered may not."""
        return self.seen not in {Seen.SECOND_HAND, Seen.FROM_MEMORY}


def _read(id_: str, entry: Mapping[str, Any]) -> Source:
    try:
        return Source(
            id=id_,
            kind=SourceKind(entry["kind"]),
            title=entry["title"],
            edition=entry["edition"],
            seen=Seen(entry["seen"]),
            note=entry.get("note", ""),
        )
    except (KeyError, ValueError) as fault:
        raise TableError("sources", f"{id_}: {fault}", wanted="kind, title, edition and seen") from fault


@cache
def all_sources() -> Mapping[str, Source]:
    """Return every source by its id, in the file's order.

    >>> all_sources()["iec-60228"].title
    'Conductors of insulated cables'
    """
    with _FILE.open("rb") as file:
        entries = tomllib.load(file)
    return MappingProxyType({id_: _read(id_, entry) for id_, entry in entries.items()})


@cache
def source(id_: str) -> Source:
    """Return the source with this id.

    >>> source("own-judgement").kind.value
    'own-judgement'
    """
    told = _told().get(id_)
    if told is None:
        raise UnknownNameError("source", id_, all_sources())
    return _read(id_, tomllib.loads(told))


@cache
def _told() -> Mapping[str, str]:
    """What the file says of each source, by its id: a plan looks up a few of them."""
    sections = _FILE.read_text(encoding="utf-8").split("\n[")
    return {id_: text for id_, _, text in (section.partition("]") for section in sections)}


def weightiest(ids: Iterable[str]) -> Source:
    """Return the source of most authority among these: law before standard before book before practice.

    >>> weightiest(("own-judgement", "iec-60228", "common-practice")).id
    'iec-60228'
    """
    order = list(SourceKind)
    return min((source(id_) for id_ in ids), key=lambda found: order.index(found.kind))
