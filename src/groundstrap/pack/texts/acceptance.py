"""Readings that were taken, each beside what sound work shows: the sheet that the work is accepted by."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from groundstrap.checks import rule
from groundstrap.locate import Growth
from groundstrap.locate.figures import FITS
from groundstrap.locate.judged import Agreement, Band, Judged, JudgedReading
from groundstrap.locate.probes import ProbeKind
from groundstrap.locate.results import Fit
from groundstrap.pack.content import (
    Align,
    Block,
    Caution,
    Column,
    Facts,
    Fill,
    Items,
    Paragraph,
    Section,
    Table,
)
from groundstrap.pack.texts.phrases import Telling
from groundstrap.pack.texts.standing import finding_texts
from groundstrap.records import dataclass
from groundstrap.report.figures import number
from groundstrap.report.growth_words import (
    GROWTH_CAUTION,
    growth_mark,
    growth_words,
    limit_words,
    rest_words,
    trend_words,
)
from groundstrap.report.location_words import quantity_words
from groundstrap.report.visited import Visited
from groundstrap.words import joined, listed, plural, sentence, term, words

__all__ = ["acceptance_section"]

_SAID: Final = {
    Agreement.AGREES: words("agrees"),
    Agreement.LOOK: words("look again"),
    Agreement.FAILS: words("FAILS"),
}
_LEAST_P: Final = 1e-4
"""Below it a chance is told as less than that. [1]"""


@dataclass(frozen=True, slots=True)
class _Numbered:
    """A reading with its number on this sheet."""

    number: int
    taken: JudgedReading


def acceptance_section(telling: Telling, visited: Visited | None = None) -> Section | None:
    """Return the readings of a job with what they come to, to be signed; None where it has none.

    Earlier visits that were accepted stand behind them; where nothing was read since, by themselves.
    """
    judged = telling.plan.judged
    earlier = [] if visited is None or not visited.lines else list(_earlier(visited))
    title = words("Readings and acceptance")
    if judged is None or not judged.readings:
        return Section(key="readings", title=title, blocks=tuple(earlier)) if earlier else None
    every = tuple(_Numbered(n, each) for n, each in enumerate(judged.readings, 1))
    blocks: list[Block] = [Paragraph(_verdict(judged), strong=True), Facts(tuple(_sums(judged)))]
    proven = tuple(finding_texts(telling, [f for f in telling.plan.judgement.findings if _is_mine(f.rule)]))
    if proven:
        blocks += [Paragraph(words("What stands against it by these readings:")), Items(proven)]
    for mine in _visits(every):
        blocks += [Paragraph(_head(telling, mine[0].taken)), _table(telling, mine)]
    again = [each for each in every if each.taken.before is not None]
    if again:
        blocks += [
            Paragraph(words("Mended, or read again: what it was and what it is")),
            _again(telling, again),
        ]
    blocks += earlier
    blocks += [
        Fill((words("read by"), words("date"), words("signature")), height_mm=16.0),
        Fill((words("accepted by"), words("date"), words("signature")), height_mm=16.0),
    ]
    return Section(key="readings", title=title, blocks=tuple(blocks))


def _earlier(visited: Visited) -> Iterator[Block]:
    """Visits that were accepted, and what has changed over them; what is as it was is counted."""
    yield Paragraph(words("Visits that were accepted: the first is how the vehicle was built"))
    columns = (
        Column(words("visit"), share=0.9),
        Column(words("places read"), Align.RIGHT, share=0.8),
        Column(words("by"), share=1.2),
        Column(words("note"), share=3.0),
    )
    rows = [
        (each.day, number(each.places), each.who, each.note or ("" if n else words("as built")))
        for n, each in enumerate(visited.lines)
    ]
    yield Table(columns, tuple(rows), small=True)
    changed = [each for each in visited.grown if each.grown or each.fallen or each.over]
    if changed:
        yield Paragraph(words("What has changed:"))
        yield Items(tuple(_changed(each) for each in changed))
    left = len(visited.grown) - len(changed)
    if left:
        yield Paragraph(rest_words(left, len(visited.lines)))
    if any(each.grown or each.over for each in changed):
        yield Caution(GROWTH_CAUTION)


def _changed(each: Growth) -> str:
    """One place: by how much, how fast, and how far it may go."""
    told = words("{place}: {mark}", place=each.name, mark=growth_mark(each))
    parts = (growth_words(each), trend_words(each), limit_words(each))
    return joined("; ", [told, *(part for part in parts if part is not None)])


def _is_mine(name: str) -> bool:
    return rule(name).about.of_readings


def _verdict(judged: Judged) -> str:
    failing = sum(each.agreement is Agreement.FAILS for each in judged.readings)
    if failing:
        return plural(
            "By these readings the work is not as planned: {count} of them fails.",
            "By these readings the work is not as planned: {count} of them fail.",
            failing,
        )
    if judged.sheet.p < FITS:
        return words("No reading fails by itself, but together they do not fit work as planned.")
    return words("By these readings the work is as planned.")


def _sums(judged: Judged) -> Iterator[tuple[str, str]]:
    agree, look, fail = (sum(each.agreement is kind for each in judged.readings) for kind in Agreement)
    counted = words(
        "{count}: {agree} agree, {look} to look at again, {fail} fail",
        count=number(len(judged.readings)),
        agree=number(agree),
        look=number(look),
        fail=number(fail),
    )
    yield words("readings"), counted
    sheet = words(
        "chi-square {chi2} of {degrees}: {share} of sound sheets fit less; below 0.1 % it fails",
        **_fit(judged.sheet),
    )
    yield words("all together"), sheet
    if judged.proven:
        free = words("chi-square {chi2} of {degrees}: {share}", **_fit(judged.explained))
        yield words("with what they prove"), free
    if judged.left_out:
        yield (
            words("not held"),
            words("of nothing that the plan knows: {texts}", texts=listed(judged.left_out)),
        )
    bands = words(
        "look again: outside what 95 % of sound work reads with that meter; fails: outside 99.9 %. One "
        "sound reading in twenty asks for a second look."
    )
    yield words("bands"), bands


def _fit(fit: Fit) -> dict[str, str]:
    return {"chi2": number(fit.chi2), "degrees": number(fit.degrees), "share": _share(fit.p)}


def _share(p: float) -> str:
    return words("under {share}", share="0.01 %") if p < _LEAST_P else f"{number(100.0 * p)} %"


def _visits(every: Sequence[_Numbered]) -> tuple[tuple[_Numbered, ...], ...]:
    """Readings that have situation, loads, meter, day and reader in common, in the order of the job."""
    found: dict[tuple[object, ...], list[_Numbered]] = {}
    for each in every:
        taken = each.taken
        key = (taken.when, taken.using, taken.meter, taken.date, taken.by)
        found.setdefault(key, []).append(each)
    return tuple(map(tuple, found.values()))


def _head(telling: Telling, taken: JudgedReading) -> str:
    on = (
        words("on: {loads}", loads=listed(map(telling.tag, taken.using))) if taken.using else words("all off")
    )
    meter = words("meter {name}", name=term(taken.meter)) if taken.meter else words("no meter is written")
    parts = [term(taken.when.value), on, meter, taken.date, taken.by]
    return sentence(joined("; ", [part for part in parts if part]))


def _table(telling: Telling, readings: Sequence[_Numbered]) -> Table:
    columns = (
        Column(words("No."), Align.RIGHT, share=0.5),
        Column(words("red lead, or amps through"), share=2.0),
        Column(words("black lead"), share=1.7),
        Column(words("expected"), Align.RIGHT, share=1.0),
        Column(words("look again unless"), Align.RIGHT, share=1.6),
        Column(words("fails unless"), Align.RIGHT, share=1.6),
        Column(words("read"), Align.RIGHT, share=1.0),
        Column("", share=1.0),
    )
    return Table(columns, tuple(_row(telling, each) for each in readings), small=True)


def _row(telling: Telling, each: _Numbered) -> tuple[str, ...]:
    taken = each.taken
    return (
        str(each.number),
        _red(telling, taken),
        telling.point(taken.black) if taken.black else "",
        quantity_words(taken.sound.expected, taken.kind),
        _within(taken.sound.look, taken.kind),
        "" if taken.sound.fails is None else _within(taken.sound.fails, taken.kind),
        quantity_words(taken.measured, taken.kind),
        _SAID[taken.agreement],
    )


def _red(telling: Telling, taken: JudgedReading) -> str:
    if taken.through:
        return words("amps through {thing}", thing=telling.tag(taken.through))
    return telling.point(taken.red)


def _within(band: Band, kind: ProbeKind) -> str:
    low, high = quantity_words(band.low, kind), quantity_words(band.high, kind)
    return words("{low} to {high}", low=low, high=high)


def _again(telling: Telling, readings: Sequence[_Numbered]) -> Table:
    columns = (
        Column(words("No."), Align.RIGHT, share=0.5),
        Column(words("red lead, or amps through"), share=2.0),
        Column(words("black lead"), share=1.7),
        Column(words("it was"), Align.RIGHT),
        Column(words("it is"), Align.RIGHT),
        Column("", share=1.0),
    )
    rows = tuple(_again_row(telling, each) for each in readings)
    return Table(columns, rows, small=True)


def _again_row(telling: Telling, each: _Numbered) -> tuple[str, ...]:
    taken = each.taken
    assert taken.before is not None
    was = taken.sound.agreement(taken.before)
    return (
        str(each.number),
        _red(telling, taken),
        telling.point(taken.black) if taken.black else "",
        joined(" ", [quantity_words(taken.before, taken.kind), words("({what})", what=_SAID[was])]),
        quantity_words(taken.measured, taken.kind),
        _SAID[taken.agreement],
    )
