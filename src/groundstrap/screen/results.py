"""What a screen shows of an answer: rounded texts that can be translated, pictures as SVG; all frozen.

Every text is made by `groundstrap.words` or is a name that the user gave. A share is no text: a front end may
draw a bar by it.
"""

from __future__ import annotations

from groundstrap.pack.content import CalculationLine
from groundstrap.pack.texts.records import AssumedRow, SourceRow
from groundstrap.records import dataclass

__all__ = [
    "Against",
    "Alternative",
    "CircuitRow",
    "CircuitSheet",
    "ClaimRow",
    "Comparison",
    "ComparisonRow",
    "Figure",
    "LoadRow",
    "LoadSheet",
    "Open",
    "PathRow",
    "Sheet",
    "SituationRow",
    "Working",
]


@dataclass(frozen=True, slots=True)
class Figure:
    """A number as it is shown, and which working opens behind it; empty where there is none."""

    text: str
    working: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Working:
    """How a number was found: what it rests on line by line, and its sources."""

    key: str
    title: str
    lines: tuple[CalculationLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Against:
    """One cause of what stands against the job, with what follows from it and what mends it."""

    level: str
    """`stop`, `caution`, `note` or `waived`; a front end chooses a sign by it."""
    mark: str
    """The same as a word to print."""
    rule: str
    slug: str
    text: str
    circuits: tuple[str, ...]
    """Names of the circuits that it is about; none where it is about the whole."""
    where: tuple[str, ...]
    follows: tuple[str, ...]
    details: tuple[str, ...]
    """Remedy, cautions at the remedy, source."""
    count: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Open:
    """One thing to find out, and the rules that wait for it."""

    level: str
    mark: str
    text: str
    rules: tuple[str, ...]
    circuits: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitRow:
    """One circuit at a glance."""

    name: str
    number: str
    state: str
    """`new` or `existing`."""
    level: str
    """Worst of what stands against it: `stop`, `caution`, `note`, `open` or `clear`."""
    start: str
    end: str
    out: Figure
    """Sizes of the cables out, thickest first."""
    back: Figure
    fuse: Figure
    ratings: Figure
    """Of its fuses, without their types, where there is no room for more."""
    window: Figure
    """Lowest and highest rating that would do."""
    carries: Figure
    drop: Figure
    """In percent, of the source's voltage."""
    drop_v: str
    limit: str
    used: float | None
    """Share of the allowed drop that is used; None where there is no limit or no drop. [1]"""
    load_v: str
    """What is left at the load."""
    decided: str
    """What set its size, or why there is none."""
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimRow:
    """A claim and what becomes of it."""

    claimed: str
    by: str
    verdict: str
    """`met`, `short`, `impossible`, `conflicting` or `unproven`; a front end chooses a sign by it."""
    verdict_words: str
    share: str
    """How much of it the load really draws, where that is too little; else empty."""
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadRow:
    """One load: what it really draws beside what is claimed for it."""

    name: str
    place: str
    power: Figure
    current: Figure
    at: str
    claims: tuple[ClaimRow, ...]
    known: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadSheet:
    """One load: its evidence against its claims."""

    row: LoadRow
    picture: str
    """Evidence, bounds and claims as intervals over one scale of watts, as SVG; empty where there is none."""
    picture_words: str
    evidence: tuple[tuple[str, str], ...]
    """What was written, and what it is worth."""
    remark: str
    workings: tuple[Working, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PathRow:
    """One piece of a circuit's way out and back."""

    name: str
    what: str
    where: str
    size: str
    length: str
    may_carry: str
    carries: str
    left: str
    lost: Figure
    kind: str
    """`cable`, `part`, `point` or `load`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitSheet:
    """One circuit in full."""

    row: CircuitRow
    sentence: str
    facts: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    path: tuple[PathRow, ...]
    volts: str
    """Where the volts go, as SVG; empty where nothing flows that is known."""
    volts_words: str
    curves: str
    """Fuse and wire over time, as SVG; empty where there is no fuse."""
    curves_words: str
    against: tuple[Against, ...]
    open: tuple[Open, ...]
    workings: tuple[Working, ...]
    loads: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SituationRow:
    """A situation solved: what is on, what each supply gives."""

    situation: str
    outcome: str
    works: bool
    supplies: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A whole answer for a screen."""

    title: str
    frame: str
    verdict: str
    """`clear`, `stop` or `undecided`; a front end chooses a sign by it."""
    verdict_words: str
    summary: str
    days_open: bool
    """Whether the job has a day that is not in the verdict."""
    days_not_run: str
    """Why its days could not be run; empty where they were, or where nobody asked."""
    warning: str
    """What stands at the head of a job that must not be built; empty for any other."""
    circuits: tuple[CircuitRow, ...]
    loads: tuple[LoadRow, ...]
    situations: tuple[SituationRow, ...]
    against: tuple[Against, ...]
    open: tuple[Open, ...]
    stock: str
    """What the list of the stock restricts; empty where all was chosen from what shops usually have."""
    assumed: tuple[AssumedRow, ...]
    sources: tuple[SourceRow, ...]
    not_checked: str
    fingerprint: str


@dataclass(frozen=True, slots=True)
class Alternative:
    """One of two jobs that are compared: its title, verdict and what it costs."""

    title: str
    verdict: str
    verdict_words: str
    copper: str
    """Mass of the new conductors."""
    cable: str
    """Length of the new cable."""
    price: str
    """By the stock's prices; empty where a price is missing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparisonRow:
    """One thing that differs between two jobs."""

    about: str
    what: str
    left: str
    right: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Two answers side by side: what changes and what it costs."""

    left: Alternative
    right: Alternative
    rows: tuple[ComparisonRow, ...]
    gained: tuple[Against, ...]
    """What stands against the right one alone."""
    lost: tuple[Against, ...]
    """What stands against the left one alone."""
    worse: tuple[str, ...]
    """Circuits that lose more, get warmer or come nearer to a limit in the right one, each as a sentence."""
