"""One circuit on one page: its path with parts and cables, its fuse, what to read, its cautions."""

from __future__ import annotations

from collections.abc import Iterator

from groundstrap.assess import PathStep
from groundstrap.checks import FindingOutcome, WorkStep
from groundstrap.model import Circuit, Passage, State, Wire
from groundstrap.pack.content import Align, Block, Caution, Column, Facts, Items, Paragraph, Section, Table
from groundstrap.pack.texts.cover import done_sentence
from groundstrap.pack.texts.phrases import FUSES, Telling, listed
from groundstrap.pack.texts.test_sheet import NumberedPoint, numbered_points, point_table
from groundstrap.report.carried import short_run_s
from groundstrap.report.figures import UNKNOWN, Display, amps, percent, volts
from groundstrap.report.plan import Plan
from groundstrap.report.reasons import least_words, most_words
from groundstrap.words import Name, term, words

__all__ = ["circuit_cautions", "circuit_facts", "circuit_section", "circuit_sheet"]

_MOST_FINDINGS = 6
"""More would not go on the page; the rest stands with the findings."""


def circuit_section(
    plan: Plan, shown: Display, meter_name: str = "handheld", telling: Telling | None = None
) -> Section:
    """Return a sheet for each circuit that stays or is built, one to a page."""
    telling = telling or Telling(plan, shown)
    points = numbered_points(telling, meter_name)
    parts = tuple(_sheet(telling, circuit, points) for circuit in telling.circuits)
    columns = (
        Column(words("No."), share=0.5),
        Column(words("circuit"), share=1.5),
        Column(words("from"), share=1.6),
        Column(words("to"), share=1.6),
        Column(words("fuse"), share=1.7),
        Column(words("cable"), share=1.0),
        Column(words("carries"), Align.RIGHT, share=0.8),
        Column(words("drop"), Align.RIGHT, share=0.7),
    )
    rows = tuple(_overview(telling, circuit) for circuit in telling.circuits)
    blocks: tuple[Block, ...] = (
        Paragraph(words("Every circuit at a glance; a sheet for each follows.")),
        Table(columns, rows, small=True),
    )
    return Section(key="circuits", title=words("Circuit sheets"), blocks=blocks, parts=parts)


def _overview(telling: Telling, circuit: Circuit) -> tuple[str, ...]:
    """One circuit in one line."""
    found = telling.plan.assessment.circuits.get(circuit.name)
    fuses = [part for part in circuit.parts if part.kind in FUSES]
    rated = (words("{fuse} {rating}", fuse=telling.refs.of(p.name), rating=amps(p.rating_a)) for p in fuses)
    thinnest = min(
        (wire for wire in circuit.wires if wire.area_mm2 is not None),
        key=lambda wire: wire.area_mm2 or 0.0,
        default=None,
    )
    unsized = any(wire.size is None for wire in circuit.wires)
    size = words("not known") if unsized else "" if thinnest is None else telling.size(thinnest)
    return (
        Name(circuit.label or ""),
        circuit.name,
        telling.point(circuit.start),
        telling.point(circuit.end),
        listed(rated) or telling.no_fuse(circuit),
        size,
        UNKNOWN if found is None else amps(found.continuous_a),
        UNKNOWN if found is None else percent(found.drop.drop_pct),
    )


def circuit_sheet(
    plan: Plan, name: str, shown: Display, meter_name: str = "handheld", telling: Telling | None = None
) -> Section:
    """Return the sheet of one circuit by its name, to be printed alone."""
    telling = telling or Telling(plan, shown)
    return _sheet(telling, plan.installation.circuits[name], numbered_points(telling, meter_name))


def _sheet(telling: Telling, circuit: Circuit, points: tuple[NumberedPoint, ...]) -> Section:
    mine = [each for each in points if each.point.circuit == circuit.name]
    blocks: list[Block] = [
        Paragraph(done_sentence(telling, circuit)),
        *(Caution(text) for text in circuit_cautions(telling, circuit)),
        Facts(tuple(circuit_facts(telling, circuit))),
        Table(_COLUMNS, tuple(_path(telling, circuit)), small=True),
        *_against(telling, circuit),
    ]
    if mine:
        reading = Paragraph(words("To read (the numbers are those of the test sheet)"))
        blocks += [reading, point_table(telling, mine, when=True)]
    title = circuit.name
    if circuit.label and circuit.label != circuit.name:
        title = words("{number} {circuit}", number=Name(circuit.label), circuit=Name(circuit.name))
    return Section(key=f"circuit-{circuit.name}", title=title, blocks=tuple(blocks))


_COLUMNS = (
    Column(words("what"), share=2.2),
    Column(words("where"), share=1.3),
    Column(words("size or rating"), share=1.5),
    Column(words("length"), Align.RIGHT, share=0.8),
    Column(words("may carry"), Align.RIGHT, share=0.9),
    Column(words("carries"), Align.RIGHT, share=0.9),
    Column(words("worst fault"), Align.RIGHT, share=0.9),
)


def circuit_cautions(telling: Telling, circuit: Circuit) -> tuple[str, ...]:
    """Return the cautions of this circuit alone, at whatever step of the work they are met."""
    steps = (WorkStep.LAY, WorkStep.POWER)
    every = [text for step in steps for text in telling.cautions(step, circuit.name)]
    return tuple(dict.fromkeys(every))


def circuit_facts(telling: Telling, circuit: Circuit) -> Iterator[tuple[str, str]]:
    """Yield names with their values: what it hangs behind, its drop, each fuse with its window."""
    found = telling.plan.assessment.circuits.get(circuit.name)
    if circuit.state is State.EXISTING:
        yield words("State"), words("as found")
    feeders = [] if found is None else [name for name in found.feeders if name != circuit.name]
    if feeders:
        yield words("Behind"), listed(feeders)
    if found is None:
        return
    drop = found.drop
    if drop.drop_v is not None and drop.limit_v is not None:
        yield (
            words("Drop"),
            words(
                "{drop} ({share}) out and back, {limit} allowed",
                drop=volts(drop.drop_v),
                share=percent(drop.drop_pct),
                limit=volts(drop.limit_v),
            ),
        )
    for part in circuit.parts:
        fuse = found.fuses.get(part.name)
        if part.kind in FUSES and fuse is not None:
            window = fuse.window
            yield (
                telling.tag(part.name),
                words(
                    "{fuse}; {least} at least ({why_least}), {most} at most ({why_most})",
                    fuse=telling.fuse(part),
                    least=amps(window.least_a),
                    why_least=telling.text(least_words(window, short_run_s(telling.plan, fuse))),
                    most=amps(window.most_a),
                    why_most=telling.text(most_words(window)),
                ),
            )


def _path(telling: Telling, circuit: Circuit) -> Iterator[tuple[str, ...]]:
    """The path from source to load and back, a row for each cable, part and thing that it touches."""
    for element in (*circuit.path, *circuit.back):
        if isinstance(element, Passage):
            yield (telling.point(element.point), _place(telling, element.point), "", "", "", "", "")
        elif isinstance(element, Wire):
            cable = words("cable {cable}", cable=telling.cable(element.name))
            way = words("{cable}, back", cable=cable) if element.returning else cable
            size, length = _wire(telling, element), telling.length(element)
            yield (way, "", size, length, *_carried(telling, element.name))
        else:
            rating = telling.rating(element)
            yield (telling.tag(element.name), element.place, rating, "", *_carried(telling, element.name))


def _place(telling: Telling, point: str) -> str:
    spot = telling.spots.get(point)
    return "" if spot is None else spot.place


def _wire(telling: Telling, wire: Wire) -> str:
    size = telling.size(wire)
    return words("{size}, {colour}", size=size, colour=wire.colour) if wire.colour else size


def _carried(telling: Telling, name: str) -> tuple[str, str, str]:
    step: PathStep | None = telling.plan.assessment.path.get(name)
    if step is None:
        return "", "", ""
    limit = "" if step.limit_a is None else amps(step.limit_a)
    through = UNKNOWN if step.through_a is None else amps(step.through_a)
    return limit, through, "" if step.fault_most_a is None else amps(step.fault_most_a)


def _against(telling: Telling, circuit: Circuit) -> Iterator[Block]:
    """What stands against this circuit, worst first."""
    own = {circuit.name, *(part.name for part in circuit.parts), *(wire.name for wire in circuit.wires)}
    found = [
        finding
        for finding in telling.plan.judgement.findings
        if finding.outcome is FindingOutcome.FAIL
        if finding.circuit == circuit.name or finding.where in own
    ]
    if not found:
        return
    texts = []
    for finding in found[:_MOST_FINDINGS]:
        text, level = telling.told([finding]), term(finding.level.value)
        texts.append(words("{level}: {text} [{rule}]", level=level, text=text, rule=finding.rule))
    if len(found) > _MOST_FINDINGS:
        texts.append(words("and {count} more, with the findings", count=len(found) - _MOST_FINDINGS))
    yield Items(tuple(texts))
