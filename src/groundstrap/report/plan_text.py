"""A whole plan for a terminal: the answer at a glance, the reasons, the work, and what it rests on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from groundstrap.assess import Outcome, SituationAssessment
from groundstrap.model import Assumption
from groundstrap.report.circuit_text import circuit_lines
from groundstrap.report.figures import amps, number, seconds, volts, watts
from groundstrap.report.findings_text import finding_lines, waiver_lines
from groundstrap.report.glance import circuit_table, load_lines, title_lines
from groundstrap.report.layout import Style, heading, paragraph, table
from groundstrap.report.measuring import expectations, expected_readings
from groundstrap.report.parts import Group, Item, items
from groundstrap.report.plan import Plan
from groundstrap.report.reasons import source_in_full
from groundstrap.report.stamp import stamp_words
from groundstrap.report.unknown_text import unknown_lines
from groundstrap.report.values import Json
from groundstrap.report.working import work_steps
from groundstrap.sources import all_sources
from groundstrap.words import joined, words

__all__ = ["assumption_lines", "plan_lines", "source_lines"]


def plan_lines(plan: Plan, style: Style) -> list[str]:
    """Return the plan line by line."""
    lines = title_lines(plan, style)
    lines += circuit_table(plan, style)
    lines += load_lines(plan, style)
    lines += _situations(plan, style)
    findings = plan.judgement.findings
    lines += finding_lines(findings, style)
    lines += waiver_lines(plan.judgement.unused_waivers, style)
    unsolved = plan.design.unsolved if plan.design is not None else ()
    unfit = tuple(dict.fromkeys(each.circuit for each in unsolved))
    lines += unknown_lines(findings, style, unfit=unfit)
    lines += circuit_lines(plan, style)
    if plan.design is not None:
        lines += _parts(plan, style)
        lines += _work(plan, style)
        lines += _readings(plan, style)
    lines += assumption_lines(plan.assumptions, style)
    lines += source_lines(plan.used_sources, style)
    return lines + _foot(plan, style)


def _situations(plan: Plan, style: Style) -> list[str]:
    lines = heading("SITUATIONS: everything on that may run together", style)
    for when, found in plan.assessment.situations.items():
        lines += paragraph(_situation(found), style, first=f"  {when:<9}", rest=" " * 11)
    if len(lines) <= 2:
        return []
    rests_on = {name for found in plan.assessment.situations.values() for name in found.rests_on}
    own = {wire.name: wire.circuit for wire in plan.installation.wires()}
    circuits = ", ".join(dict.fromkeys(own[name] for name in own if name in rests_on))
    others = ", ".join(sorted(rests_on - own.keys()))
    stand_ins = ", ".join(word for word in (circuits, others) if word)
    if stand_ins:
        words = f"Sizes stand in where nobody knows or chose the cable: {stand_ins}."
        lines += paragraph(words, style, first="  ", rest="  ")
    return lines


def _situation(found: SituationAssessment) -> str:
    amps_of = [f"{name} {amps(value)}" for name, value in found.supplies_a.items()]
    text = str(found.outcome)
    if found.without:
        text += f" {', '.join(found.without)}"
    if found.culprit is not None:
        text += f": {found.culprit} is too much"
        if found.culprit_power_w is not None:
            text += f", cut to {watts(found.culprit_power_w)}"
        if found.culprit_v is not None:
            text += f" it would hold {volts(found.culprit_v)}"
    if found.outcome is not Outcome.UNSOLVED and amps_of:
        charging = any(value <= -0.05 for value in found.supplies_a.values())
        text += f"; {', '.join(amps_of)}" + (" (minus: it is charged)" if charging else "")
    return text


def _parts(plan: Plan, style: Style) -> list[str]:
    rows = []
    for item in _merged(items(plan)):
        pieces = f"{number(item.quantity)} pc"
        quantity = style.shown.length(item.quantity) if item.unit == "m" else pieces
        price = "" if item.price is None else f"{item.price:.2f}"
        rows.append([style.shown.text(item.item), quantity, price])
    if not rows:
        return []
    lines = heading("PARTS, as laid: add slack to cable, and one spare of each fuse", style)
    lines += [f"  {line}" for line in table(rows, right=frozenset({1, 2}), most=style.width - 2)]
    design = plan.design
    if design is not None and design.price is not None:
        lines.append(f"  Cable chosen comes to {design.price:.2f} by the stock's prices.")
    return lines


def _merged(every: tuple[Item, ...]) -> Iterator[Item]:
    """The list with terminals by size alone: which of them take which stud stands in the pack and in JSON."""
    sizes: dict[str, Item] = {}
    for item in every:
        if item.group is not Group.TERMINAL:
            yield item
            continue
        size = item.item.rpartition(", ")[2]
        new = Item(words("terminals, {size}", size=size), "piece", measure=item.measure, price=0.0)
        merged = sizes.setdefault(size, new)
        merged.quantity += item.quantity
        # One that has no price leaves the line without.
        known = merged.price is not None and item.price is not None
        merged.price = (merged.price or 0.0) + (item.price or 0.0) if known else None
    yield from sorted(sizes.values(), key=lambda item: item.measure)


def _work(plan: Plan, style: Style) -> list[str]:
    steps = work_steps(plan, style.shown)
    if not steps:
        return []
    lines = heading("ORDER OF WORK; local codes and licensed practice come first", style)
    stopped = stamp_words(plan)
    if stopped:
        lines += [style.paint(x, "stop") for x in paragraph(stopped, style, first="  ", rest="  ")]
    told: set[str] = set()
    for step in steps:
        lines += paragraph(step["text"], style, first=f"  {step['step']:>3}. ", rest=" " * 7)
        for caution in step["cautions"]:
            if caution["text"] not in told:
                told.add(caution["text"])
                words = f"! {caution['hazard']}: {caution['text']}"
                lines += [style.paint(x, "caution") for x in paragraph(words, style, first=" " * 7)]
    return lines


def _readings(plan: Plan, style: Style) -> list[str]:
    found = expected_readings(plan)
    if not found:
        return []
    title = "READINGS TO TAKE when it is done, all on that may run together"
    lines = heading(title, style)
    rows = [["", "reading", "when", "expected", "fails above", "measured"]]
    rows += [_reading(each) for each in found]
    columns = [[row[1], *row[2:]] for row in rows]
    lines += [f"  {line}" for line in table(columns, right=frozenset({3}), most=style.width - 2)]
    return lines + _standing(plan, style)


def _standing(plan: Plan, style: Style) -> list[str]:
    """Which currents fail at what carries them, though sound work might read more."""
    found = [(each.load, each.stands) for each in expectations(plan) if each.stands is not None]
    if not found:
        return []
    told = [
        words("{load}: {name} stands {most} for hours", load=load, name=by.name, most=amps(by.most_a))
        if by.run_s is None
        else words(
            "{load}: {name} stands {most}, for {time} at a time",
            load=load, name=by.name, most=amps(by.most_a), time=seconds(by.run_s),
        )
        for load, by in found
    ]  # fmt: skip
    text = words(
        "Fails above what its fuse or cable stands: {told}. A load that takes more wants a larger fuse and "
        "cable.",
        told=joined("; ", told),
    )
    return paragraph(text, style, first="  ", rest="  ")


def _reading(each: Json) -> list[str]:
    expected, unit = each["expected"], each["unit"]
    low, high, most = (
        _figure(value, unit) for value in (expected["low"], expected["high"], each.get("limit"))
    )
    text = f"{low} {unit}" if low == high else f"{low} to {high} {unit}"
    limit = f"{most} {unit}" if most else ""
    read = f"{_figure(each['measured'], unit)} {unit}" if "measured" in each else "_______"
    return [str(each["step"]), each["reading"], each["when"], text, limit, read]


def _figure(value: float | None, unit: str) -> str:
    """A volt reading to the hundredth, as a meter shows it; amps to three figures."""
    if value is None:
        return ""
    return f"{value:.2f}" if unit == "V" else number(value)


def assumption_lines(assumptions: Iterable[Assumption], style: Style) -> list[str]:
    """Return what nobody wrote, the same reason told once."""
    groups: dict[str, dict[str, list[str]]] = {}
    for each in assumptions:
        groups.setdefault(each.why, {}).setdefault(each.value, []).append(each.where)
    if not groups:
        return []
    lines = heading("ASSUMED, for nobody wrote it", style)
    for why, values in groups.items():
        told = ", ".join(f"{', '.join(places)}: {value}" for value, places in values.items())
        lines += paragraph(f"{told}; {why}", style, first="  - ", rest="    ")
    return lines


def source_lines(ids: Iterable[str], style: Style) -> list[str]:
    """Return the sources that the answer really used, each with its weight and how it was read."""
    known = all_sources()
    lines = heading("SOURCES USED", style)
    for id_ in ids:
        if id_ not in known:
            continue
        lines += paragraph(source_in_full(id_), style, first="  - ", rest="    ")
    return lines if len(lines) > 2 else []


def _foot(plan: Plan, style: Style) -> list[str]:
    counts = plan.judgement.counts
    checked = (
        f"Checked: {counts.passed} rule applications passed, {counts.failed} failed, {counts.unknown} "
        f"undecided, {counts.not_applicable} did not apply."
    )
    left = "Not checked: the law of your country, airbag and brake circuits, the parts themselves."
    return ["", *paragraph(f"{checked} {left} Fingerprint {plan.fingerprint}.", style)]
