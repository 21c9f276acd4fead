"""Asking rules about each thing: what they need of it, fetched once, and what they say."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from enum import Enum
from functools import lru_cache
from typing import Any, Final

from groundstrap.checks.asks import asks_of
from groundstrap.checks.catalogue import Entry
from groundstrap.checks.facts import Facts, Subject
from groundstrap.checks.findings import Ask, Finding, FindingOutcome
from groundstrap.checks.needs import NEEDS, Value
from groundstrap.checks.rule import About, Outcome, Rule, Verdict
from groundstrap.checks.unmeasured import Unmeasured
from groundstrap.model import Basis
from groundstrap.records import dataclass
from groundstrap.sources import weightiest
from groundstrap.words import Words, joined, term

__all__ = ["Columns", "Said", "Told", "ask", "source_id"]

_FOR_BOATS = ("cfr-33-", "abyc-", "iso-10133", "iso-13297")
"""How the ids of sources begin that bind boats: elsewhere they have no authority."""


class _None(Enum):
    """Stands in a column in place of a value."""

    NOT_ASKED = "not asked"
    HANGS = "hangs on what is hidden"


_NOT_ASKED, _HANGS = _None.NOT_ASKED, _None.HANGS

_OUTCOMES: Final = len(Outcome)


@dataclass(frozen=True, slots=True)
class Said:
    """A finding, with its rule and the number of the thing that it was found at."""

    rule: Rule
    number: int
    finding: Finding


@dataclass(frozen=True, slots=True)
class Told:
    """What some rules say of a job: how many of each outcome, and what fails or is not known."""

    outcomes: tuple[int, ...]
    said: tuple[Said, ...]


@dataclass(frozen=True, slots=True)
class _ToldOfBare:
    """What rules say that get along without what is hidden, and those that do not."""

    told: Told
    rest: tuple[Entry, ...]
    columns: Mapping[About, _BareColumns]


def ask(asked: Iterable[Entry], facts: Facts, bare: Unmeasured | None = None) -> Told:
    """Ask rules about everything that they judge, in the order of the rules.

    Parameters
    ----------
    asked : Iterable[Entry]
        The rules, by their ids.
    facts : Facts
        What they judge.
    bare : Unmeasured | None
        The same without lengths, which the same rules were asked about before: what they can say of that is
        not asked again.
    """
    if bare is None:
        columns: dict[About, Columns] = {}
        return _sum(_told(entry, _of(columns, entry, facts)) for entry in asked)
    known = bare.once(lambda: _told_of_bare(asked, bare.facts))
    lent: dict[About, Columns] = {}
    return _sum([known.told, *(_told(entry, _of(lent, entry, facts, known.columns)) for entry in known.rest)])


def _sum(parts: Iterable[Told]) -> Told:
    every = tuple(parts)
    outcomes = tuple([sum(part.outcomes[each] for part in every) for each in range(_OUTCOMES)])
    said = sorted((one for part in every for one in part.said), key=lambda one: one.rule.id)
    return Told(outcomes, tuple(said))


def _of(
    columns: dict[About, Columns],
    entry: Entry,
    facts: Facts,
    bare: Mapping[About, _BareColumns] | None = None,
) -> Columns:
    about = entry.rule.about
    if about not in columns:
        subjects = facts.subjects(about)
        columns[about] = (
            Columns(about, subjects) if bare is None else _LentColumns(about, subjects, bare[about])
        )
    return columns[about]


def _told_of_bare(asked: Iterable[Entry], facts: Facts) -> _ToldOfBare:
    columns = {about: _BareColumns(about, facts.subjects(about)) for about in {e.rule.about for e in asked}}
    told, rest = [], []
    for entry in asked:
        try:
            told.append(_told(entry, columns[entry.rule.about]))
        except AttributeError:
            rest.append(entry)
    return _ToldOfBare(_sum(told), tuple(rest), columns)


class Columns:
    """What rules need to know of the things of one kind: a column a need, values fetched when asked for."""

    def __init__(self, about: About, subjects: tuple[Subject, ...]) -> None:
        """Start with none of them."""
        self.subjects = subjects
        self._known = NEEDS[about]
        self._columns: dict[str, list[Any]] = {}
        self._composed: set[str] = set()

    def tell_apart(self, needs: tuple[str, ...]) -> bool:
        """Tell whether like values of some needs are one: words with fields may be so in English alone."""
        return self._composed.isdisjoint(needs)

    def where(self, needs: tuple[str, ...]) -> Sequence[int]:
        """Return the numbers of the things of which every one of some needs holds."""
        left: Sequence[int] = range(len(self.subjects))
        for name in needs:
            column = self.cells(name, left)
            left = [number for number in left if column[number]]
        return left

    def rows(self, needs: tuple[str, ...], numbers: Sequence[int]) -> Iterator[tuple[Value, ...]]:
        """Return the values of some needs of some things, in their order, all fetched at once."""
        columns = [self.cells(name, numbers) for name in needs]
        return (tuple([column[number] for column in columns]) for number in numbers)

    def cells(self, name: str, numbers: Sequence[int]) -> list[Any]:
        """Return a column with the values of some things in it; a number that is not one is None there."""
        column = self._columns.get(name)
        if column is None:
            column = self._columns[name] = [_NOT_ASKED] * len(self.subjects)
        missing = [number for number in numbers if column[number] is _NOT_ASKED]
        if missing:
            self._fill(name, column, missing)
        return column

    def _fill(self, name: str, column: list[Any], missing: Sequence[int]) -> None:
        fetch, subjects, isfinite = self._known[name], self.subjects, math.isfinite
        for number in missing:
            value = fetch(subjects[number])
            if isinstance(value, float):
                value = value if isfinite(value) else None
            elif isinstance(value, Words) and value.fields:
                self._composed.add(name)
            column[number] = value


class _BareColumns(Columns):
    """Of a job without what is hidden: what needs a look at that cannot be had."""

    def cells(self, name: str, numbers: Sequence[int]) -> list[Any]:
        """Return a column as ever; to ask for a value that cannot be had is an AttributeError."""
        column = super().cells(name, numbers)
        if _HANGS in column and any(column[number] is _HANGS for number in numbers):
            raise AttributeError(name)
        return column

    def lent(self, name: str, numbers: Sequence[int]) -> list[Any]:
        """Return a column in which what cannot be had is marked."""
        return super().cells(name, numbers)

    def _fill(self, name: str, column: list[Any], missing: Sequence[int]) -> None:
        try:
            super()._fill(name, column, missing)
        except AttributeError:
            for number in missing:
                try:
                    super()._fill(name, column, (number,))
                except AttributeError:
                    column[number] = _HANGS


class _LentColumns(Columns):
    """Of a job of which much is known without a look at what is hidden: only the rest is fetched."""

    def __init__(self, about: About, subjects: tuple[Subject, ...], bare: _BareColumns) -> None:
        """Start with none of them."""
        super().__init__(about, subjects)
        self._bare = bare

    def _fill(self, name: str, column: list[Any], missing: Sequence[int]) -> None:
        lent = self._bare.lent(name, missing)
        for number in missing:
            column[number] = lent[number]
        if not self._bare.tell_apart((name,)):
            self._composed.add(name)
        super()._fill(name, column, [number for number in missing if lent[number] is _HANGS])


def _told(entry: Entry, columns: Columns) -> Told:
    """Ask one rule about each thing, and count each outcome."""
    record, check = entry.rule, entry.check
    outcomes = [0] * _OUTCOMES
    asked = columns.where(record.only_where)
    outcomes[Outcome.NOT_APPLICABLE] = len(columns.subjects) - len(asked)
    if not asked:
        return Told(tuple(outcomes), ())
    rows = columns.rows(record.needs, asked)
    plain = columns.tell_apart(record.needs)
    found = []
    for number, row in zip(asked, rows, strict=True):
        kept = plain or not any(map(_is_composed, row))
        verdict = (_verdict if kept else _verdict.__wrapped__)(check, record.needs, *row)
        outcomes[verdict.outcome] += 1
        if verdict.outcome >= Outcome.UNDETERMINED:
            values = dict(zip(record.needs, row, strict=True))
            found.append(Said(record, number, _finding(record, columns.subjects[number], values, verdict)))
    return Told(tuple(outcomes), tuple(found))


# Typed: a name that somebody wrote and a word of ours may read alike in English, and in no other language.
# Words with fields may do so among themselves: what is asked with such is not kept.
@lru_cache(maxsize=8192, typed=True)
def _verdict(check: Callable[..., Verdict], needs: tuple[str, ...], *row: Value) -> Verdict:
    """What a rule says to some values, which are all that it knows: many are asked again in the next plan."""
    return check(**dict(zip(needs, row, strict=True)))


def _is_composed(value: Value) -> bool:
    """Whether a value is words with fields."""
    return isinstance(value, Words) and bool(value.fields)


def _finding(record: Rule, subject: Subject, values: Mapping[str, Value], verdict: Verdict) -> Finding:
    rests_on = _rests_on(record, verdict, subject.facts.basis)
    failed = verdict.outcome is Outcome.FAIL
    weight = weightiest(source_id(name) for name in rests_on)
    told = record.remedy if verdict.remedy is None else verdict.remedy
    remedy = joined(" ", [part for part in (told, term(record.caution.value)) if part])
    return Finding(
        rule=record.id,
        slug=record.slug,
        status=record.status,
        outcome=FindingOutcome.FAIL if failed else FindingOutcome.UNKNOWN,
        level=verdict.level if verdict.level is not None else record.level,
        where=subject.where,
        text=verdict.text,
        # What is not known yet calls for a look, not for work on the vehicle.
        remedy=remedy if failed else "",
        advice=told if failed else "",
        value=verdict.value,
        limit=verdict.limit,
        unit=verdict.unit,
        margin_pct=verdict.margin_pct if failed else None,
        source=next(name for name in rests_on if source_id(name) == weight.id),
        weight=weight.kind.value,
        circuit=subject.circuit_name,
        asks=() if failed else _asks(record, subject, values, verdict),
    )


def _asks(record: Rule, subject: Subject, values: Mapping[str, Value], verdict: Verdict) -> tuple[Ask, ...]:
    """What would settle an undecided one."""
    needs = verdict.hangs_on or tuple(name for name, value in values.items() if value is None)
    return asks_of(subject, record.about, needs)


def _rests_on(record: Rule, verdict: Verdict, basis: str) -> tuple[str, ...]:
    """Return the source that the verdict names, else those of its rule that count for the basis."""
    if verdict.source is not None:
        named = tuple(name for name in record.sources if source_id(name) == verdict.source)
        return named or (verdict.source,)
    if basis == Basis.BOAT:
        return record.sources
    return tuple(name for name in record.sources if not name.startswith(_FOR_BOATS)) or record.sources


def source_id(named: str) -> str:
    """Return the id of a source that is named with its clause."""
    return named.split(",", maxsplit=1)[0]
