"""One load for a screen: what is said of it against what it can take, and the working behind its power."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from groundstrap.pack.content import CalculationLine
from groundstrap.pack.texts.phrases import Telling
from groundstrap.report.figures import Display, amps, band, number, volts, watts
from groundstrap.report.plan import Plan
from groundstrap.report.reasons import source_words
from groundstrap.report.verdict import claim_verdict_words
from groundstrap.report.vet_text import said_words
from groundstrap.screen.evidence_picture import Row, Scene, evidence_picture
from groundstrap.screen.results import LoadSheet, Working
from groundstrap.screen.sheet import load_row
from groundstrap.screen.volts_picture import Say
from groundstrap.vet import AtVoltage, Bound, ClaimVerdict, Evidence, EvidenceKind, Verdict, VettedLoad
from groundstrap.words import joined, term, words

__all__ = ["load_sheet"]

_COVERAGE: Final = 1.96
"""Standard uncertainties to each side that hold 95 % of the time, as the estimate's own interval does."""


def load_sheet(
    plan: Plan, name: str, shown: Display, say: Say = str, telling: Telling | None = None
) -> LoadSheet:
    """Return one load by its name, with a picture whose texts `say` puts in the language that is wanted."""
    telling = telling or Telling(plan, shown)
    vetted = plan.vetting.loads.get(name)
    row = load_row(telling, plan.assessment.loads[name])
    scene = None if vetted is None else _scene(vetted)
    return LoadSheet(
        row=row,
        picture="" if scene is None else evidence_picture(scene, say),
        picture_words="" if scene is None else scene.words,
        evidence=() if vetted is None else tuple(_evidence(vetted)),
        remark="" if vetted is None else term(vetted.remark),
        workings=() if vetted is None else (_working(vetted),),
    )


def _scene(vetted: VettedLoad) -> Scene | None:
    """All that says something in watts, at the volts of the estimate; None where nothing does."""
    rows = [row for claim in vetted.claims if (row := _claim(vetted, claim)) is not None]
    rows += [row for each in vetted.evidence if (row := _reading(each)) is not None]
    rows += [row for each in vetted.bounds if (row := _bound(vetted, each)) is not None]
    power = vetted.estimate.power_w
    if power is not None:
        told = band(power, "W")
        rows.insert(0, Row(name=words("what it really takes"), told=told, kind="estimate",
                           low_w=power.low, high_w=power.high))  # fmt: skip
    if not rows:
        return None
    title = words(
        "{load}: said and measured, at {volts}", load=vetted.name, volts=volts(vetted.estimate.at_v)
    )
    told = joined("; ", [words("{name}: {told}", name=row.name, told=row.told) for row in rows])
    low_w, high_w = (None, None) if power is None else (power.low, power.high)
    return Scene(title=title, words=told, rows=tuple(rows), low_w=low_w, high_w=high_w)


def _claim(vetted: VettedLoad, claim: ClaimVerdict) -> Row | None:
    """A claim in watts: those it names, or its amps at the volts that it was made for."""
    each_w = claim.power_w
    if each_w is None:
        at_v = claim.at_v or vetted.estimate.at_v
        each_w = None if claim.current_a is None else claim.current_a * at_v
    if each_w is None:
        return None
    by = words("claimed") if claim.by is None else words("claimed by {by}", by=term(claim.by))
    verdict = claim_verdict_words(claim.verdict, draws_more=claim.draws_more)
    name = words("{claim}, {verdict}", claim=by, verdict=verdict)
    wrong = claim.verdict in {Verdict.IMPOSSIBLE, Verdict.SHORT, Verdict.CONFLICTING}
    power_w = each_w * vetted.count
    return Row(name=name, told=watts(power_w), kind="claim", low_w=power_w, high_w=power_w, wrong=wrong)


def _reading(found: Evidence) -> Row | None:
    if found.kind is not EvidenceKind.MEASURED or found.power_w is None:
        return None
    spread_w = _COVERAGE * (found.standard_uncertainty_w or 0.0)
    name = words("measured: {said}", said=said_words(found))
    low_w, high_w = max(0.0, found.power_w - spread_w), found.power_w + spread_w
    told = words("{power} ± {spread}", power=watts(found.power_w), spread=watts(spread_w))
    return Row(name=name, told=told if spread_w else watts(found.power_w), kind="reading",
               low_w=low_w, high_w=high_w)  # fmt: skip


def _bound(vetted: VettedLoad, bound: Bound) -> Row | None:
    """A fitted part: no more than this, at the volts of the estimate."""
    if bound.most_a is None:
        return None
    power_w = bound.most_a * vetted.estimate.at_v
    name = words("{part} lets through at most {current}", part=bound.name, current=amps(bound.most_a))
    return Row(name=name, told=watts(power_w), kind="bound", low_w=None, high_w=power_w)


def _evidence(vetted: VettedLoad) -> Iterator[tuple[str, str]]:
    """What was written, and what it is worth."""
    for each in vetted.evidence:
        if each.kind is EvidenceKind.FITTED:
            continue
        what = words("{kind}: {said}", kind=term(each.kind.value), said=said_words(each))
        worth = words(
            "trust {trust}, weight {weight}",
            trust=term(each.trust.value),
            weight=f"{100 * each.weight:.0f} %",
        )
        yield what, words("{worth}. {remark}", worth=worth, remark=each.remark) if each.remark else worth
    for bound in vetted.bounds:
        most = words("an unknown current") if bound.most_a is None else amps(bound.most_a)
        told = words("lets {current} through at the most", current=most)
        yield bound.name, words("{told}; {remark}", told=told, remark=bound.remark) if bound.remark else told


def _working(vetted: VettedLoad) -> Working:
    """How its power was found: the readings with their weights, then the same at other volts."""
    estimate = vetted.estimate
    counted = [
        words("{weight} × {power}", weight=f"{100 * each.weight:.0f} %", power=watts(each.power_w))
        for each in vetted.evidence
        if each.power_w is not None and each.weight > 0.0
    ]
    first = CalculationLine(
        what=words("What it takes"),
        formula=words("mean of what is known, each weighted by 1 / u² of its watts"),
        numbers=joined(" + ", counted) if counted else "",
        result=words("{power} at {volts}", power=band(estimate.power_w, "W"), volts=volts(estimate.at_v)),
        source=estimate.why or source_words("jcgm-100"),
    )
    lines = (first, *(_at(vetted, each) for each in vetted.at))
    return Working(key="power", title=words("What it really draws"), lines=lines)


def _at(vetted: VettedLoad, found: AtVoltage) -> CalculationLine:
    """The same at other volts, by the law of its kind of load."""
    estimate = vetted.estimate
    law = number(estimate.exponent + 1.0)
    power, current = band(found.power_w, "W"), band(found.current_a, "A")
    return CalculationLine(
        what=words("{what}, {volts}", what=term(found.what), volts=volts(found.at_v)),
        formula=words("P(U) = P × (U / {volts})^{law}", volts=volts(estimate.at_v), law=law),
        numbers="",
        result=words("{power}, {current}", power=power, current=current),
    )
