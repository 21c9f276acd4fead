"""The path of a circuit at a glance: each piece from the source to the load and back, a line for each."""

from __future__ import annotations

from collections.abc import Iterator

from groundstrap.assess import Assessment, PathStep
from groundstrap.model import Circuit, Installation, Part, PartKind, Passage, Wire
from groundstrap.report.figures import UNKNOWN, Display, amps, number
from groundstrap.report.layout import Style, paragraph, table
from groundstrap.report.plan import Plan
from groundstrap.report.reasons import source_words
from groundstrap.report.steps_json import UNRATED

__all__ = ["path_lines", "path_words"]

_LABEL = "path, A"
_HEAD = ("may carry", "hours", "start", "fault", "left", "lost")
_INDENT = "    "


def path_words(style: Style) -> list[str]:
    """Return once what the figures of every path are, and on whose word those that nobody wrote."""
    sources = " or ".join(dict.fromkeys(source_words(each) for each in ("common-practice", "own-judgement")))
    text = (
        "Each path, source to load and back, in amps: what a piece may carry for hours where it sits; what "
        "passes for hours, at a start (~: usual for its kind, nobody wrote it), in the worst fault; what is "
        "left of the first; volts lost. A part whose ohms nobody wrote loses what such parts usually do, by "
        f"{sources}."
    )
    return paragraph(text, style, first="  ", rest="  ")


def path_lines(plan: Plan, circuit: Circuit, style: Style) -> list[str]:
    """Return the path of one circuit as a table."""
    rows = [(_LABEL, *_HEAD), *_rows(plan, circuit, style.shown)]
    if len(rows) == 1:
        return []
    placed = table(rows, right=frozenset(range(1, len(_HEAD) + 1)), most=style.width - len(_INDENT) - 2)
    # The heading stands where those of the facts above do, its pieces two to the right.
    head = f"{_INDENT}{_LABEL}  {placed[0][len(_LABEL) :]}"
    return [head, *(f"{_INDENT}  {line}" for line in placed[1:])]


def _rows(plan: Plan, circuit: Circuit, shown: Display) -> Iterator[tuple[str, ...]]:
    for element in circuit.path:
        if element is not circuit.path[0] or _listed_here(plan.installation, circuit, element):
            yield from _row(plan, element, shown)
    for element in circuit.back:
        if not isinstance(element, Passage):
            yield from _row(plan, element, shown)


def _listed_here(installation: Installation, circuit: Circuit, first: Wire | Part | Passage) -> bool:
    """Whether what a path begins with has no line elsewhere: a block is told where its feeder ends."""
    if not isinstance(first, Passage):
        return True
    others = installation.circuits.values()
    if any(_touches(each.path[-1:], first) for each in others):
        return False
    return next(each for each in others if _touches(each.path[:1], first)) is circuit


def _touches(end: tuple[Wire | Part | Passage, ...], passage: Passage) -> bool:
    """Whether an end of a path is the same thing, whichever way of it is used."""
    return any(isinstance(each, Passage) and each.point == passage.point for each in end)


def _row(plan: Plan, element: Wire | Part | Passage, shown: Display) -> Iterator[tuple[str, ...]]:
    if isinstance(element, Passage):
        yield from _passage(plan.assessment, element)
        return
    step = plan.assessment.path.get(element.name)
    if step is None:
        return
    if isinstance(element, Wire):
        yield (_wire(element, shown), *_figures(step, rated=True))
    else:
        yield (_part(element, plan.installation), *_figures(step, rated=element.kind not in UNRATED))


def _wire(wire: Wire, shown: Display) -> str:
    times = f"{wire.parallel} x " if wire.parallel > 1 else ""
    length = shown.length(wire.length_m if wire.length_known else None)
    return f"{'return' if wire.returning else 'wire'} {times}{shown.short(wire.size)}, {length}"


def _part(part: Part, installation: Installation) -> str:
    gear = installation.gear.get(part.gear or "")
    rating_a = part.rating_a if part.rating_a is not None else (None if gear is None else gear.rating_a)
    kind = "part" if part.kind is PartKind.UNKNOWN else str(part.kind)
    name = kind if part.gear is None else part.gear
    return name if rating_a is None else f"{name} {amps(rating_a)}"


def _figures(step: PathStep, *, rated: bool) -> tuple[str, ...]:
    start = UNKNOWN if step.start_a is None else number(step.start_a)
    return (
        _amps(step.limit_a) if rated or step.limit_a is not None else "",
        _amps(step.through_a),
        f"~{start}" if step.start_assumed else start,
        _amps(step.fault_most_a),
        _left(step.margin_pct) if rated or step.margin_pct is not None else "",
        UNKNOWN if step.drop_v is None else f"{number(1000.0 * abs(step.drop_v), 2)} mV",
    )


def _amps(value_a: float | None) -> str:
    return UNKNOWN if value_a is None else number(value_a)


def _left(margin_pct: float | None) -> str:
    return UNKNOWN if margin_pct is None else f"{margin_pct:.0f} %"


def _passage(assessment: Assessment, passage: Passage) -> Iterator[tuple[str, ...]]:
    """A load, where the way turns, or a block with its rating."""
    load = assessment.loads.get(passage.name)
    if load is not None:
        yield (f"= {passage.name}", "", _amps(load.continuous_a), "", "", "", "")
    gear = assessment.gear.get(passage.name)
    if gear is not None and gear.rating_a is not None:
        left = None if gear.continuous_a is None else 100.0 * (1.0 - gear.continuous_a / gear.rating_a)
        name = f"{passage.name} {amps(gear.rating_a)}"
        yield (name, _amps(gear.rating_a), _amps(gear.continuous_a), "", "", _left(left), "")
