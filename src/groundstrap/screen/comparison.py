"""Two answers side by side: what differs, what it costs, what gets better and what worse."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from groundstrap.checks import Finding, FindingOutcome
from groundstrap.pack.texts.changes import changes_between
from groundstrap.pack.texts.phrases import Telling
from groundstrap.report.figures import Display, number, percent
from groundstrap.report.plan import Plan
from groundstrap.report.verdict import verdict_words
from groundstrap.screen.against import against
from groundstrap.screen.results import Alternative, Comparison, ComparisonRow
from groundstrap.words import words

__all__ = ["comparison"]

_COPPER_KG_PER_CM3 = 8.89e-3
"""IEC 60028: annealed copper at 20 degC, 8.89 g/cm3."""


def comparison(left: Plan, right: Plan, shown: Display) -> Comparison:
    """Return what differs between two answers, in the order of the right one."""
    before, now = Telling(left, shown), Telling(right, shown)
    gained, lost = _only(right, left), _only(left, right)
    rows = tuple(
        ComparisonRow(about=each.about, what=each.what, left=each.before, right=each.now)
        for each in changes_between(before, now)
    )
    return Comparison(
        left=_alternative(before),
        right=_alternative(now),
        rows=rows,
        gained=against(now, gained),
        lost=against(before, lost),
        worse=tuple(_worse(before, now)),
    )


def _alternative(telling: Telling) -> Alternative:
    plan = telling.plan
    wires = [wire for circuit in telling.new for wire in circuit.wires]
    length_m = sum(wire.length_m * wire.parallel for wire in wires)
    cm3 = sum((wire.area_mm2 or 0.0) * wire.parallel * wire.length_m for wire in wires)
    price = None if plan.design is None else plan.design.price
    return Alternative(
        title=plan.installation.title,
        verdict=plan.worst.value,
        verdict_words=verdict_words(plan),
        copper=f"{number(cm3 * _COPPER_KG_PER_CM3, 3)} kg",
        cable=telling.shown.length(length_m),
        price="" if price is None else f"{price:.2f}",
    )


def _only(plan: Plan, other: Plan) -> Sequence[Finding]:
    """Failures of one plan that the other has not, by rule and place."""
    known = {(f.rule, f.where, f.circuit) for f in _failures(other)}
    return [f for f in _failures(plan) if (f.rule, f.where, f.circuit) not in known]


def _failures(plan: Plan) -> list[Finding]:
    return [f for f in plan.judgement.findings if f.outcome is FindingOutcome.FAIL and f.waiver is None]


def _worse(before: Telling, now: Telling) -> Iterator[str]:
    """Circuits that come nearer to what they are allowed to lose, as it is printed."""
    olds = before.plan.assessment.circuits
    for name, found in now.plan.assessment.circuits.items():
        old = olds.get(name)
        if old is None or found.drop.drop_pct is None or old.drop.drop_pct is None:
            continue
        was, is_ = percent(old.drop.drop_pct), percent(found.drop.drop_pct)
        if found.drop.drop_pct > old.drop.drop_pct and was != is_:
            allowed = words("no limit") if found.drop.limit_pct is None else percent(found.drop.limit_pct)
            yield words(
                "{circuit} loses {now} in place of {before}; {allowed} allowed",
                circuit=name,
                now=is_,
                before=was,
                allowed=allowed,
            )
