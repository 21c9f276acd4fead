"""What a rule is: its record, the order of outcomes, and the verdict that it gives on plain values."""

from __future__ import annotations

import functools
import math
from collections.abc import Iterable
from enum import IntEnum, StrEnum
from typing import Final

from groundstrap.records import dataclass

__all__ = [
    "About",
    "Caution",
    "Level",
    "Outcome",
    "Rule",
    "Status",
    "Verdict",
    "above",
    "below",
    "failed",
    "not_applicable",
    "overall",
    "passed",
    "surely_above",
    "unknown",
]


class Outcome(IntEnum):
    """How a rule judges one thing, in rising order; the worst of several decides."""

    NOT_APPLICABLE = 0
    PASS = 1
    UNDETERMINED = 2
    FAIL = 3


class Level(StrEnum):
    """How much a finding weighs."""

    STOP = "stop"
    CAUTION = "caution"
    NOTE = "note"

    @property
    def weight(self) -> int:
        """Number that rises with the weight."""
        return (Level.NOTE, Level.CAUTION, Level.STOP).index(self)


class Status(StrEnum):
    """Where a rule stands in its life; a draft runs and decides nothing, a retired one only keeps its id."""

    DRAFT = "draft"
    STABLE = "stable"
    RETIRED = "retired"


class About(StrEnum):
    """What kind of thing a rule judges; the engine asks it once for each of them."""

    CIRCUIT = "circuit"
    LEFTOVER = "leftover"
    WIRE = "wire"
    FUSE = "fuse"
    PART = "part"
    GEAR = "gear"
    LOAD = "load"
    CLAIM = "claim"
    SUPPLY = "supply"
    SITUATION = "situation"
    RECORD = "record"
    BATTERY_RUN = "battery run"
    LOAD_RUN = "load run"
    SPAN_RUN = "span run"
    READING = "reading"
    PROOF = "proof"
    SHEET = "sheet of readings"

    @property
    def of_days(self) -> bool:
        """Whether it is something of a run of days, which only such a run is judged by."""
        return self in {About.BATTERY_RUN, About.LOAD_RUN, About.SPAN_RUN}

    @property
    def of_readings(self) -> bool:
        """Whether it is something of readings held against the plan, which they alone are judged by."""
        return self in {About.READING, About.PROOF, About.SHEET}


class Caution(StrEnum):
    """The usual caution at a remedy that means work on the vehicle."""

    NONE = ""
    DISCONNECT = (
        "Before work: engine and chargers off, the battery's negative lead off first and on last, rings and "
        "watch off."
    )
    LICENSED = (
        "Before work: engine and chargers off, the battery's negative lead off first and on last. Local "
        "codes and the maker's instructions go before this; where they ask for a licensed person, leave it "
        "to one."
    )
    VAPOUR = (
        "Before work: air the space, and no spark and no tool in it until a meter says that no vapour is "
        "left. Local codes go before this; where they ask for a licensed person, leave it to one."
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """Record of one rule. What it says stands in the docstring of its module, its examples in its case file.

    `sources` are ids of sources.toml, each with the clause behind a comma. `never` lists outcomes that cannot
    occur, so that no case is asked for.
    """

    id: str
    slug: str
    status: Status
    since: str
    about: About
    level: Level
    needs: tuple[str, ...]
    sources: tuple[str, ...]
    remedy: str
    caution: Caution = Caution.DISCONNECT
    only_where: tuple[str, ...] = ()
    """Those of its needs without each of which it does not apply, whatever the others are: none of the others
    is looked for then, and it is not asked."""
    never: frozenset[Outcome] = frozenset()
    follows: tuple[str, ...] = ()
    """Ids of rules of which a failure here is merely a consequence where both concern the same thing, the
    likeliest first. Its own id: the same failure at several things behind one feeder is one."""
    topic: str = ""
    """What it judges, in a word or two, for lists of what a reading settles."""
    statement: str = ""
    """First line of the docstring; filled in by the catalogue."""
    why: str = ""
    applies_to: str = ""
    known_limits: str = ""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a rule says about one thing: the outcome, the words, and the values that it compared.

    `level`, `source` and `remedy` replace those of the rule's record where the case decides them. Of an
    unknown one `hangs_on` names the needs that it hangs on; left out, every need that arrived as None.
    """

    outcome: Outcome
    text: str
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    level: Level | None = None
    source: str | None = None
    remedy: str | None = None
    hangs_on: tuple[str, ...] = ()

    @property
    def margin_pct(self) -> float | None:
        """Distance from the limit as a share of it; negative where the rule fails. [%]"""
        if self.value is None or self.limit is None or self.limit == 0.0:
            return None
        distance_pct = 100.0 * abs(self.value - self.limit) / abs(self.limit)
        return -distance_pct if self.outcome is Outcome.FAIL else distance_pct


@functools.lru_cache(maxsize=1024)
def not_applicable(text: str) -> Verdict:
    """Return the verdict of a rule that has nothing to say, and why; most verdicts are of this kind."""
    return Verdict(Outcome.NOT_APPLICABLE, text)


unknown: Final = functools.partial(Verdict, Outcome.UNDETERMINED)
passed: Final = functools.partial(Verdict, Outcome.PASS)
failed: Final = functools.partial(Verdict, Outcome.FAIL)

_SAME: Final = 1e-9
"""Two numbers nearer than this share of the limit are one: rounding of the arithmetic, not of the vehicle."""


def above(value: float, limit: float) -> bool:
    """Tell whether a value lies above a limit; exactly on it, it does not.

    >>> above(30.0, 30.0), above(30.1, 30.0)
    (False, True)
    """
    return value > limit and not math.isclose(value, limit, rel_tol=_SAME)


def surely_above(value: float | None, limit: float | None, best: float | None = None) -> bool:
    """Tell whether a value lies above a limit and above the best that the limit may be, if both are known.

    >>> surely_above(30.0, 20.0), surely_above(30.0, 20.0, 40.0), surely_above(None, 20.0)
    (True, False, False)
    """
    if value is None or limit is None:
        return False
    return above(value, limit if best is None else max(limit, best))


def below(value: float, limit: float) -> bool:
    """Tell whether a value lies below a limit; exactly on it, it does not.

    >>> below(12.0, 12.0), below(11.9, 12.0)
    (False, True)
    """
    return value < limit and not math.isclose(value, limit, rel_tol=_SAME)


def overall(outcomes: Iterable[Outcome]) -> Outcome:
    """Return the worst outcome; of none at all nothing is known.

    >>> overall([Outcome.PASS, Outcome.NOT_APPLICABLE]).name, overall([]).name
    ('PASS', 'UNDETERMINED')
    """
    return max(outcomes, default=Outcome.UNDETERMINED)
