"""The smallest changes of a job that cure what fails in its days: each run again, judged by every rule."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import field
from enum import Enum
from typing import Final

from groundstrap.assess import Wiring
from groundstrap.endure.changes import Change, Ladder, ladders_of
from groundstrap.endure.results import Brought, Changed, Cure, Cures, Edit, Endurance
from groundstrap.endure.run import StartFailsError, endure
from groundstrap.errors import CannotDoError, GroundstrapError
from groundstrap.records import dataclass
from groundstrap.words import words

__all__ = ["cures_of"]

Again = Callable[[tuple[Edit, ...]], Changed | None]

_EACH: Final = frozenset({"battery", "charging", "feed"})
"""Kinds of which each thing that was tried is told; of the others the last holds what came before."""


def cures_of(wiring: Wiring, run: Endurance, again: Again) -> Cures:
    """Return the least change of each kind that cures the run, and what was tried in vain.

    Source: own-judgement for the steps that are tried; each is run again.

    Parameters
    ----------
    wiring : Wiring
        The installation that was run.
    run : Endurance
        Its run.
    again : callable
        Returns the job with values written into it, or None where they don't go.
    """
    goal = _Goal.of(run)
    if goal is None:
        return Cures()
    looked = _Looked(goal, run, again)
    for ladder in ladders_of(wiring, run, goal.battery, starts=goal.starts):
        # Of each kind one is enough.
        if ladder.changes and ladder.changes[0].kind not in {cure.kind for cure in looked.sound}:
            looked.look(ladder)
    return looked.told()


@dataclass(frozen=True, slots=True)
class _Goal:
    """What is to be cured: starts before cut-offs."""

    starts: bool
    battery: str

    @classmethod
    def of(cls, run: Endurance) -> _Goal | None:
        failed = [start for start in run.starts if not start.can]
        if failed:
            return cls(starts=True, battery=failed[0].battery)
        if not run.cut_offs:
            return None
        return cls(
            starts=False, battery=min(run.supplies.values(), key=lambda one: one.lowest_state_pct).name
        )

    def met(self, run: Endurance) -> bool:
        """Whether a run no longer fails so."""
        return run.starts_all if self.starts else run.starts_all and not run.cut_offs

    def gain(self, before: Endurance, after: Endurance) -> str:
        """What it brings, in words."""
        if self.starts:
            return words(
                "the worst start has {after} A to spare instead of {before} A",
                after=f"{min(start.margin_a for start in after.starts):.0f}",
                before=f"{min(start.margin_a for start in before.starts):.0f}",
            )
        lowest = after.supplies[self.battery].lowest_state_pct
        return words("nothing is cut off; the battery stays above {state} %", state=f"{lowest:.0f}")


class _Fate(Enum):
    """What a run of a changed job comes to."""

    CURES = "cures"
    FAILS = "fails"
    UNSOLVED = "unsolved"
    """Its days have no answer, so that nobody knows."""
    REFUSED = "refused"
    """The job cannot be planned so."""


@dataclass(slots=True)
class _Looked:
    """What was looked at so far."""

    goal: _Goal
    run: Endurance
    again: Again
    sound: list[Cure] = field(default_factory=list)
    poor: list[Cure] = field(default_factory=list)
    """Those that leave hardly any use of what they change."""
    flawed: list[Cure] = field(default_factory=list)
    """Those that bring a new stop."""
    failed: list[Change] = field(default_factory=list)
    unsolved: list[Change] = field(default_factory=list)

    def look(self, ladder: Ladder) -> None:
        """Keep the least of some changes that cures it, or what became of the largest."""
        tried = [_Tried(self, change) for change in ladder.changes]
        flaw = None
        for one in _candidates(tried, monotone=ladder.monotone):
            cure = None if one.stopped else one.cure()
            if cure is not None and cure.holds:
                (self.poor if one.change.hardly else self.sound).append(cure)
                return
            flaw = flaw or cure
        # None is without a stop: the least is told with it, for what it needs may be worth while.
        cured = (one.cure() for one in tried if flaw is None and one.known is _Fate.CURES)
        flaw = flaw or next((cure for cure in cured if cure is not None), None)
        if flaw is not None:
            self.flawed.append(flaw)
            return
        self.failed += [one.change for one in tried if one.known is _Fate.FAILS][-1:]
        self.unsolved += [one.change for one in tried if one.known is _Fate.UNSOLVED][-1:]

    def told(self) -> Cures:
        """Everything that is told, what cures it without more first."""
        told = {cure.kind for cure in self.sound}
        # The first one is of the dearest load alone, which changes least.
        last = [each for each in self.poor if each.kind not in told][:1]
        told.update(cure.kind for cure in last)
        for each in self.flawed:
            if each.kind not in told:
                last.append(each)
                told.add(each.kind)
        return Cures(
            cures=(*self.sound, *last),
            in_vain=_most(self.failed, told),
            not_run=_most(self.unsolved, told),
        )


def _candidates(tried: list[_Tried], *, monotone: bool) -> list[_Tried]:
    """What may cure it, the least first: by size halved between what does and what does not."""
    if not monotone:
        return [one for one in tried if one.fate() is _Fate.CURES]
    high = len(tried) - 1
    # What can't be solved or planned tells nothing of what is smaller.
    while high > 0 and tried[high].fate() in {_Fate.UNSOLVED, _Fate.REFUSED}:
        high -= 1
    if tried[high].fate() is not _Fate.CURES:
        return []
    low, top = -1, high
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if tried[middle].fate() is _Fate.CURES else (middle, high)
    return tried[high : top + 1]


def _most(changes: list[Change], cured: set[str]) -> tuple[str, ...]:
    """The most that was tried of each kind that does not cure it; of loads what changes all of them."""
    told: dict[str, str] = {}
    for each in changes:
        if each.kind not in cured:
            told[each.text if each.kind in _EACH else each.kind] = each.text
    return tuple(told.values())


class _Tried:
    """One change: planned once, run quickly to see what becomes of it, and in full before it is told."""

    def __init__(self, looked: _Looked, change: Change) -> None:
        """Nothing known yet."""
        self.change = change
        self.known: _Fate | None = None
        """What its run comes to, where it was made."""
        self._looked = looked
        self._changed: Changed | None = None
        self._planned = False

    def fate(self) -> _Fate:
        """Return what its quick run comes to."""
        if self.known is None:
            self.known = self._fate()
        return self.known

    def _fate(self) -> _Fate:
        try:
            after = self._run(quick=True)
        except StartFailsError:
            return _Fate.FAILS
        except CannotDoError:
            return _Fate.UNSOLVED
        if after is None:
            return _Fate.REFUSED
        return _Fate.CURES if self._looked.goal.met(after) else _Fate.FAILS

    @property
    def stopped(self) -> bool:
        """Whether a rule of the wiring newly stops the changed job."""
        changed = self._plan()
        return changed is not None and any(each.stops for each in changed.brings(None))

    def cure(self) -> Cure | None:
        """Return it as a cure, by a run as every run is; None where that does not cure it after all."""
        goal, before = self._looked.goal, self._looked.run
        try:
            after = self._run(quick=False)
        except CannotDoError:
            # What a quick run still solves, a finer one may not: then it is no cure, and the others stand.
            self.known = _Fate.UNSOLVED
            return None
        changed = self._plan()
        if after is None or changed is None or not goal.met(after):
            self.known = _Fate.FAILS
            return None
        brings = _worst_first(changed.brings(after))
        return Cure(
            kind=self.change.kind,
            edits=self.change.edits,
            text=self.change.text,
            gain=goal.gain(before, after),
            holds=not any(each.stops for each in brings),
            brings=brings,
        )

    def _plan(self) -> Changed | None:
        if not self._planned:
            self._planned, self._changed = True, self._looked.again(self.change.edits)
        return self._changed

    def _run(self, *, quick: bool) -> Endurance | None:
        run = self._looked.run
        try:
            changed = self._plan()
            if changed is None:
                return None
            return endure(changed.wiring, days=run.days, temperature_c=run.temperature_c, quick=quick)
        except CannotDoError:
            raise
        except GroundstrapError:
            return None


def _worst_first(brings: tuple[Brought, ...]) -> tuple[Brought, ...]:
    order = ("stop", "undecided", "caution")
    return tuple(sorted(brings, key=lambda each: (not each.counts, order.index(each.level))))
