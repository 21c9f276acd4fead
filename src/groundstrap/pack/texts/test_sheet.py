"""The test sheet: what to expect at each point with the meter that is named, and room to write."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from groundstrap.model import LoadKind, Situation, State, SupplyKind
from groundstrap.pack.content import Align, Block, Column, Facts, Fill, Items, Paragraph, Section, Table
from groundstrap.pack.texts.first_power import loaded_words
from groundstrap.pack.texts.phrases import Telling, listed
from groundstrap.records import dataclass
from groundstrap.report.dead_points import dead_points, unread_returns
from groundstrap.report.figures import Display, amps, number, ohms, seconds, volts
from groundstrap.report.plan import Plan
from groundstrap.report.test_points import Band, Method, TestPoint, live_points
from groundstrap.tables import MeterFunction, meter
from groundstrap.words import Name, plural, term, words

__all__ = ["NumberedPoint", "numbered_points", "point_table", "sheet_section"]

_FIGURES = {"V": volts, "A": amps, "ohm": ohms}
_WHEN = {
    Situation.RESTING: words("Resting: engine and chargers off"),
    Situation.IDLING: words("Idling: engine at idle"),
    Situation.DRIVING: words("Driving: engine at working speed"),
    Situation.CRANKING: words("Cranking: while the starter turns"),
    Situation.MAINS: words("Mains: plugged in"),
}
"""Each begins with what the situation is called everywhere else."""
_NO_ENGINE = {
    Situation.RESTING: words("Resting: chargers off"),
    Situation.IDLING: words("Idling: no engine in this job"),
    Situation.DRIVING: words("Driving: no engine in this job"),
}


@dataclass(frozen=True, slots=True)
class NumberedPoint:
    """A reading with its number on the sheet."""

    number: int
    point: TestPoint


def numbered_points(telling: Telling, meter_name: str) -> tuple[NumberedPoint, ...]:
    """Return all readings in the order that they are taken in: dead, parked, then with power."""
    return telling.once(("points", meter_name), lambda: _numbered(telling, meter_name))


def _numbered(telling: Telling, meter_name: str) -> tuple[NumberedPoint, ...]:
    dead = dead_points(telling.plan, telling.workings, meter_name)
    every = (*dead, *live_points(telling.plan, meter_name))
    order = [None, *_WHEN]
    ranked = sorted(every, key=lambda point: order.index(point.when))
    return tuple(NumberedPoint(number, point) for number, point in enumerate(ranked, 1))


def sheet_section(
    plan: Plan, shown: Display, meter_name: str = "handheld", telling: Telling | None = None
) -> Section:
    """Return the sheet for one meter of the tables: basic, handheld or bench."""
    telling = telling or Telling(plan, shown)
    points = numbered_points(telling, meter_name)
    parts = [_dead(telling, [each for each in points if each.point.when is None], meter_name)]
    for when in _WHEN:
        mine = [each for each in points if each.point.when is when]
        parts += [_live(telling, when, mine)] if mine else []
    blocks: tuple[Block, ...] = (
        Fill((words("tested by"), words("date"), words("meter, clamp"), words("air, battery volts"))),
        Facts(tuple(_meters(meter_name, points))),
        Items(tuple(_rules(points))),
    )
    title = words("Test sheet")
    return Section(key="tests", title=title, blocks=blocks, parts=tuple(parts))


def _meters(meter_name: str, points: Iterable[NumberedPoint]) -> Iterator[tuple[str, str]]:
    """The accuracies that the bands were made with."""
    own = meter(meter_name)
    yield (
        words("meter"),
        words(
            "{name}: volts {volts}, amps {amps}, ohms {ohms}",
            name=term(meter_name),
            volts=_accuracy(own.voltage),
            amps=_accuracy(own.current),
            ohms=_accuracy(own.resistance),
        ),
    )
    if any(each.point.method is Method.CLAMP for each in points):
        clamp = words("direct-current clamp, {accuracy}", accuracy=_accuracy(meter("clamp").current))
        yield words("clamp"), clamp


def _accuracy(function: MeterFunction) -> str:
    return words(
        "{share} % + {digits} digits of {digit}",
        share=number(function.reading_pct),
        digits=number(function.digits),
        digit=number(function.resolution),
    )


def _rules(points: tuple[NumberedPoint, ...]) -> Iterator[str]:
    yield words("Never ohms on a circuit that is live, never amps across a battery.")
    if any(each.point.method is Method.CLAMP for each in points):
        yield words("Clamp: more than a meter in series can carry. Zero it beside the cable first.")
    banded = sum(each.point.look != Band() for each in points)
    chance = round(0.05 * banded)
    yield words("Look again: sound work reads outside its band one time in twenty.")
    if chance:
        yield plural(
            "Of this sheet {count} such reading is chance; look for a pattern before you repair.",
            "Of this sheet {count} such readings are chance; look for a pattern before you repair.",
            chance,
        )
    yield words("Fails: sound work does not read that; find the cause.")
    yield words("Volts lost: both leads at the points named, the load running; a long lead does no harm.")


def _dead(telling: Telling, points: list[NumberedPoint], meter_name: str) -> Section:
    what = Paragraph(words("Leads off the batteries; nothing else is ever measured in ohms."))
    blocks: list[Block] = [what] if points else [Paragraph(words("No new circuit to test."))]
    groups: dict[str, list[NumberedPoint]] = {}
    for each in points:
        groups.setdefault(each.point.how, []).append(each)
    for how, mine in groups.items():
        blocks += [Paragraph(how), point_table(telling, mine)]
    heavy = unread_returns(telling.plan, telling.workings, meter_name)
    if heavy:
        text = words(
            "Ways back of {circuits}: less than the last digit of this meter, {digit}. Now hear that they "
            "conduct; how well they do, the volts lost behind the load say, under load.",
            circuits=listed(heavy),
            digit=ohms(meter(meter_name).resistance.resolution),
        )
        blocks.append(Paragraph(text))
    return Section(key="tests-dead", title=words("Dead"), blocks=tuple(blocks), new_page=False)


def _live(telling: Telling, when: Situation, points: list[NumberedPoint]) -> Section:
    """Readings of one situation; which loads run is said once for all that run them."""
    blocks: list[Block] = []
    groups: dict[tuple[str, ...], list[NumberedPoint]] = {}
    for each in points:
        groups.setdefault(each.point.using, []).append(each)
    for using, mine in groups.items():
        on = [_named(telling, name) for name in using if not _is_coil(telling, name)]
        running = words("On: {loads}.", loads=listed(on)) if on else words("All off.")
        blocks += [Paragraph(running), point_table(telling, mine)]
    key = f"tests-{when.value}"
    title = _WHEN[when] if _has_engine(telling) else _NO_ENGINE.get(when, _WHEN[when])
    return Section(key=key, title=title, blocks=tuple(blocks), new_page=False)


def _has_engine(telling: Telling) -> bool:
    """Whether anything of the job is an engine's."""
    things = telling.plan.installation
    machine = any(
        s.kind is SupplyKind.ALTERNATOR and s.state is not State.REMOVE for s in things.supplies.values()
    )
    return machine or any(load.kind is LoadKind.STARTER for load in things.loads.values())


def _named(telling: Telling, name: str) -> str:
    """A load that runs, with how long it may."""
    load = telling.plan.installation.loads.get(name)
    run_s = None if load is None else load.duty.run_s
    return name if run_s is None else words("{load} (for {time} at most)", load=name, time=seconds(run_s))


def _is_coil(telling: Telling, name: str) -> bool:
    load = telling.plan.installation.loads.get(name)
    return load is not None and load.kind is LoadKind.COIL


def point_table(telling: Telling, points: Iterable[NumberedPoint], *, when: bool = False) -> Table:
    """Return readings as rows with room to write; `when` puts their situations into a column of its own."""
    situation = (Column(words("when"), share=0.8),) if when else ()
    columns = (
        Column(words("No."), Align.RIGHT, share=0.5),
        *situation,
        Column(words("red lead, or amps through"), share=2.2),
        Column(words("black lead"), share=1.8),
        Column(words("expected"), Align.RIGHT, share=0.9),
        Column(words("look again unless"), Align.RIGHT, share=1.4),
        Column(words("fails unless"), Align.RIGHT, share=1.4),
        Column(words("read"), share=1.4, blank=True),
    )
    return Table(columns, tuple(_row(telling, each, when=when) for each in points), small=True)


def _row(telling: Telling, each: NumberedPoint, *, when: bool) -> tuple[str, ...]:
    point = each.point
    dead = words("dead") if point.when is None else term(point.when.value)
    return (
        str(each.number),
        *((dead,) if when else ()),
        _where(telling, point),
        _lead(telling, point.black) if point.black and not point.part else "",
        _expected(point),
        _within(point.look, point),
        _within(point.fails, point),
        "",
    )


def _expected(point: TestPoint) -> str:
    """One value; an open circuit in ohms, and nothing where nobody can name one."""
    if point.expected is not None:
        return _FIGURES[point.unit](point.expected)
    return words("open") if point.unit == "ohm" else words("in the band")


def _lead(telling: Telling, point: str) -> str:
    """A point with its number on the drawing, where the drawing marks it."""
    number_ = telling.test_points.of(point)
    told = telling.point(point)
    return words("{number} {point}", number=Name(number_), point=told) if number_ else told


def _where(telling: Telling, point: TestPoint) -> str:
    red = telling.tag(point.red) if point.red in telling.refs.by_name else _lead(telling, point.red)
    where = {
        Method.CLAMP: words("clamp on {thing}", thing=red),
        Method.SERIES: words("in series with {thing}", thing=red),
    }.get(point.method, red)
    if point.part:
        where = words("across {part}", part=telling.tag(point.part))
    notes = listed(note for note in (loaded_words(telling, point.red), point.note) if note)
    return words("{where} ({note})", where=where, note=notes) if notes else where


def _within(band: Band, point: TestPoint) -> str:
    """Ends of a band as they are read; empty where there are none."""
    figure = _FIGURES[point.unit]
    low = None if band.low is None else figure(band.low)
    high = None if band.high is None else figure(band.high)
    if low is not None and high is not None:
        return words("{low} to {high}", low=low, high=high)
    if low is not None:
        return words("{low} or more", low=low)
    return "" if high is None else words("{high} or less", high=high)
