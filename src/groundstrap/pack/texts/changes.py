"""What changed since an older revision of the same job, in the words of the trade."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import TypeVar

from groundstrap.checks import Finding, FindingOutcome, rule
from groundstrap.model import Circuit, Gear, Load, Part, PartKind, State, Supply, SupplyKind, Wire
from groundstrap.pack.content import Align, Block, Column, Facts, Items, Paragraph, Section, Table
from groundstrap.pack.texts.cover import revision_of
from groundstrap.pack.texts.phrases import FUSES, Telling, listed
from groundstrap.records import dataclass
from groundstrap.report.figures import Display, amps, band, number, percent
from groundstrap.report.plan import Plan
from groundstrap.words import Words, term, words

__all__ = ["Change", "changes", "changes_between"]

_T = TypeVar("_T")
_Row = tuple[str, str, str, str]
"""What it is about, what changed, before, now."""


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that reads differently in two jobs."""

    about: str
    what: str
    before: str
    now: str


def changes(old: Plan, new: Plan, shown: Display | None = None) -> Section:
    """Return what was added, taken out and altered between two revisions of a job."""
    display = shown if shown is not None else Display.of(new.installation)
    before, now = Telling(old, display), Telling(new, display)
    rows = [(each.about, each.what, each.before, each.now) for each in changes_between(before, now)]
    blocks: list[Block] = [Facts(tuple(_revisions(old, new)))]
    if rows:
        columns = (
            Column(words("about"), share=1.6),
            Column(words("what"), share=1.2),
            Column(words("before"), Align.RIGHT, share=1.6),
            Column(words("now"), Align.RIGHT, share=1.6),
        )
        blocks.append(Table(columns, tuple(rows), small=True))
    gained, lost = _findings(old, new)
    if gained:
        blocks += [Paragraph(words("Stands against it now"), strong=True), _listed(now, gained)]
    if lost:
        blocks += [Paragraph(words("Stands against it no longer"), strong=True), _listed(before, lost)]
    if len(blocks) == 1:
        same = words("Nothing that is built or bought changed, and nothing that stands against it.")
        blocks.append(Paragraph(same))
    return Section(key="changes", title=words("What changed"), blocks=tuple(blocks))


def changes_between(before: Telling, now: Telling) -> tuple[Change, ...]:
    """Return what was added, taken out and altered between two jobs, in the order of the later one."""
    rows = (*_circuits(before, now), *_loads(before, now), *_supplies(before, now), *_gear(before, now))
    return tuple(Change(*row) for row in rows)


def _revisions(old: Plan, new: Plan) -> Iterator[tuple[str, str]]:
    if old.installation.title != new.installation.title:
        yield words("Title before"), old.installation.title
    for name, plan in ((words("Before"), old), (words("Now"), new)):
        revision, print_ = revision_of(plan), plan.fingerprint
        yield (
            name,
            words("{revision}, {fingerprint}", revision=revision, fingerprint=print_) if revision else print_,
        )


def _both(before: Mapping[str, _T], now: Mapping[str, _T]) -> Iterator[tuple[str, _T | None, _T | None]]:
    """Things of both revisions by name: those of now in their order, then those that are gone."""
    for name in (*now, *(name for name in before if name not in now)):
        yield name, before.get(name), now.get(name)


def _circuits(before: Telling, now: Telling) -> Iterator[_Row]:
    olds = {circuit.name: circuit for circuit in before.circuits}
    news = {circuit.name: circuit for circuit in now.circuits}
    for name, old, new in _both(olds, news):
        if old is None and new is not None:
            yield name, words("new circuit"), "", _way(now, new)
        elif new is None and old is not None:
            yield name, words("circuit taken out"), _way(before, old), ""
        elif old is not None and new is not None:
            yield from _circuit(before, now, old, new)


def _way(telling: Telling, circuit: Circuit) -> str:
    text = words("{start} to {end}", start=telling.point(circuit.start), end=telling.point(circuit.end))
    if circuit.back_end is None:
        return text
    return words("{way}, back to {minus}", way=text, minus=telling.point(circuit.back_end))


def _circuit(before: Telling, now: Telling, old: Circuit, new: Circuit) -> Iterator[_Row]:
    name = new.name
    if (old.start, old.end, old.back_end) != (new.start, new.end, new.back_end):
        yield name, words("where it leads"), _way(before, old), _way(now, new)
    for way, olds, news in (
        (words("out"), _wires(old, back=False), _wires(new, back=False)),
        (words("back"), _wires(old, back=True), _wires(new, back=True)),
    ):
        yield from _cable(before, now, (name, way), olds, news)
    yield from _parts(before, now, old, new)
    yield from _figures(before, now, name)


def _wires(circuit: Circuit, *, back: bool) -> list[Wire]:
    return [wire for wire in circuit.wires if wire.returning is back]


def _cable(
    before: Telling, now: Telling, about: tuple[str, str], olds: Sequence[Wire], news: Sequence[Wire]
) -> Iterator[_Row]:
    """Size, length, insulation and colour of the cable of one way."""
    name, way = about
    what: tuple[tuple[str, Callable[[Telling, Sequence[Wire]], str]], ...] = (
        (words("cable {way}", way=way), _sizes),
        (words("length {way}", way=way), _length),
        (words("insulation {way}", way=way), _insulation),
        (words("colour {way}", way=way), lambda _, wires: listed(wire.colour or "" for wire in wires)),
    )
    for topic, of in what:
        old, new = of(before, olds), of(now, news)
        if old != new:
            yield name, topic, old or words("none"), new or words("none")


def _sizes(telling: Telling, wires: Sequence[Wire]) -> str:
    return listed(telling.size(wire) for wire in wires)


def _length(telling: Telling, wires: Sequence[Wire]) -> str:
    if not wires:
        return ""
    known = all(wire.length_known for wire in wires)
    return telling.shown.length(sum(wire.length_m for wire in wires) if known else None)


def _insulation(telling: Telling, wires: Sequence[Wire]) -> str:
    classes = []
    for wire in wires:
        found = telling.plan.assessment.circuits.get(wire.circuit)
        rated = None if found is None else found.wires.get(wire.name)
        if rated is not None and rated.class_c is not None:
            classes.append(telling.shown.insulation(rated.class_c))
    return listed(classes)


def _parts(before: Telling, now: Telling, old: Circuit, new: Circuit) -> Iterator[_Row]:
    olds = {part.name: part for part in old.parts}
    news = {part.name: part for part in new.parts}
    for name, was, is_ in _both(olds, news):
        told_was = "" if was is None else _part(before, was)
        told_is = "" if is_ is None else _part(now, is_)
        if told_was != told_is:
            thing = is_ or was
            assert thing is not None
            named = thing.gear or name
            kind = words("fuse") if thing.kind is PartKind.FUSE else term(thing.kind.value)
            yield named, kind, told_was or words("none"), told_is or words("none")


def _part(telling: Telling, part: Part) -> str:
    """A part as it is bought and where it sits."""
    what = telling.fuse(part) if part.kind in FUSES else telling.rating(part)
    if not what:
        return words("at {place}", place=part.place)
    return words("{what}, at {place}", what=what, place=part.place)


def _figures(before: Telling, now: Telling, name: str) -> Iterator[_Row]:
    """What it carries and loses, where that reads differently."""
    old, new = before.plan.assessment.circuits.get(name), now.plan.assessment.circuits.get(name)
    if old is None or new is None:
        return
    # What is printed alike did not change for whoever reads it.
    figures = (
        (words("carries"), amps(old.continuous_a), amps(new.continuous_a)),
        (words("drop"), percent(old.drop.drop_pct), percent(new.drop.drop_pct)),
    )
    for what, was, is_ in figures:
        if was != is_:
            yield name, what, was, is_


def _loads(before: Telling, now: Telling) -> Iterator[_Row]:
    for name, old, new in _both(before.plan.installation.loads, now.plan.installation.loads):
        if (old or new) is not None and (old or new).relay is not None:  # type: ignore[union-attr]
            continue
        was, is_ = _draws(before, old), _draws(now, new)
        if old is None:
            yield name, words("new load"), "", is_
        elif new is None:
            yield name, words("load taken out"), was, ""
        else:
            if was != is_:
                yield name, words("draws"), was, is_
            if old.place != new.place:
                yield name, words("place"), old.place, new.place


def _draws(telling: Telling, load: Load | None) -> str:
    if load is None:
        return ""
    vetted = telling.plan.vetting.loads.get(load.name)
    power = None if vetted is None else vetted.estimate.power_w
    return band(power, "W")


def _supplies(before: Telling, now: Telling) -> Iterator[_Row]:
    for name, old, new in _both(before.plan.installation.supplies, now.plan.installation.supplies):
        was, is_ = _supply(old), _supply(new)
        if was != is_:
            what = words("new supply") if old is None else words("supply")
            yield name, what, was or words("none"), is_ or words("none")


def _supply(supply: Supply | None) -> str:
    """A supply in short: what it is, how much, and where."""
    if supply is None or supply.state is State.REMOVE:
        return ""
    text: str = words("{kind}, {place}", kind=term(supply.kind.value), place=supply.place)
    more = [
        "" if supply.capacity_ah is None else words("{capacity} Ah", capacity=number(supply.capacity_ah)),
        "" if supply.kind is not SupplyKind.BATTERY else _chemistry(supply),
        *(amps(each) for each in (supply.rating_a, supply.current_a) if each is not None),
    ]
    for one in filter(None, more):
        text = words("{before}, {more}", before=text, more=one)
    return text


def _chemistry(supply: Supply) -> Words:
    return words("chemistry not known") if supply.chemistry is None else term(supply.chemistry)


def _gear(before: Telling, now: Telling) -> Iterator[_Row]:
    """Blocks and parts with a name, where rating or place moved."""
    for name, old, new in _both(before.plan.installation.gear, now.plan.installation.gear):
        was, is_ = _thing(old), _thing(new)
        if was != is_:
            what = words("new part") if old is None else words("part")
            yield name, what, was or words("none"), is_ or words("none")


def _thing(gear: Gear | None) -> str:
    if gear is None or gear.state is State.REMOVE:
        return ""
    kind, place = term(gear.kind.value), gear.place
    if gear.rating_a is None:
        return words("{kind}, {place}", kind=kind, place=place)
    return words("{kind} {rating}, {place}", kind=kind, rating=amps(gear.rating_a), place=place)


def _findings(old: Plan, new: Plan) -> tuple[list[Finding], list[Finding]]:
    """Failures that came and that went, by rule and place."""
    olds = {(f.rule, f.where, f.circuit): f for f in _failures(old)}
    news = {(f.rule, f.where, f.circuit): f for f in _failures(new)}
    gained = [finding for key, finding in news.items() if key not in olds]
    lost = [finding for key, finding in olds.items() if key not in news]
    return gained, lost


def _failures(plan: Plan) -> list[Finding]:
    """Of the wiring alone: the days of the earlier revision are not run for it."""
    failed = (f for f in plan.judgement.findings if f.outcome is FindingOutcome.FAIL and f.waiver is None)
    return [finding for finding in failed if not rule(finding.rule).about.of_days]


def _listed(telling: Telling, found: Sequence[Finding]) -> Items:
    return Items(
        tuple(
            words(
                "{level}: {text} [{rule}]",
                level=term(finding.level.value),
                text=telling.told([finding]),
                rule=finding.rule,
            )
            for finding in found
        )
    )
