"""A whole answer for a screen: the verdict, every circuit and load at a glance, what stands against it."""

from __future__ import annotations

from typing import Final

from groundstrap.assess import CircuitAssessment, LoadAssessment, Outcome, ReasonKind, SituationAssessment
from groundstrap.design.shelf import shelf_of
from groundstrap.model import Circuit, LoadKind, State, Uncertain
from groundstrap.pack.texts.cover import checked_words, circuits_words, system_words
from groundstrap.pack.texts.phrases import FUSES, Telling, listed
from groundstrap.pack.texts.records import assumed_rows, source_rows
from groundstrap.report.choice_words import binding_name, binding_words, unsolved_words
from groundstrap.report.figures import UNKNOWN, Display, amps, band, percent, volts, watts
from groundstrap.report.findings_text import summary
from groundstrap.report.plan import Plan
from groundstrap.report.strong_fuse import strong_fuse_words
from groundstrap.report.verdict import claim_verdict_words, not_run_words, verdict_words
from groundstrap.screen.against import against, level_of, open_questions
from groundstrap.screen.results import (
    CircuitRow,
    ClaimRow,
    Figure,
    LoadRow,
    Sheet,
    SituationRow,
)
from groundstrap.vet import ClaimVerdict, Verdict
from groundstrap.words import joined, plural, sentence, term, words

__all__ = ["circuit_row", "load_row", "sheet"]


def sheet(plan: Plan, shown: Display, telling: Telling | None = None) -> Sheet:
    """Return everything that the first screen of an answer shows."""
    telling = telling or Telling(plan, shown)
    assessment, findings = plan.assessment, plan.judgement.findings
    loads = [found for found in assessment.loads.values() if _is_told(plan, found)]
    return Sheet(
        title=plan.installation.title,
        frame=joined("; ", (system_words(plan), circuits_words(telling))),
        verdict=plan.worst.value,
        verdict_words=verdict_words(plan),
        summary=summary(findings),
        days_open=plan.days_open,
        days_not_run=not_run_words(plan),
        warning=telling.warning,
        circuits=tuple(circuit_row(telling, circuit) for circuit in telling.circuits),
        loads=tuple(load_row(telling, found) for found in loads),
        situations=tuple(_situation(found) for found in assessment.situations.values()),
        against=against(telling, findings),
        open=open_questions(telling, findings),
        stock=_stock(plan),
        assumed=tuple(assumed_rows(telling)),
        sources=tuple(source_rows(plan)),
        not_checked=checked_words(plan),
        fingerprint=plan.fingerprint,
    )


def _stock(plan: Plan) -> str:
    """What the list of the stock restricts, and how much was chosen from it."""
    stocked = shelf_of(plan.installation)
    count = 0 if plan.design is None else len(plan.design.sizes)
    if not stocked.from_stock:
        return ""
    sizes = listed(size.text for size in stocked.sizes)
    only = words("only these sizes of wire are on the list of the stock: {sizes}", sizes=sizes)
    chosen = plural("{count} cable was chosen from it", "{count} cables were chosen from it", count)
    return sentence(words("{only}; {chosen}", only=only, chosen=chosen))


def circuit_row(telling: Telling, circuit: Circuit) -> CircuitRow:
    """Return one circuit at a glance."""
    found = telling.plan.assessment.circuits[circuit.name]
    drop = found.drop
    used = None
    if drop.drop_v is not None and drop.limit_v:
        used = drop.drop_v / drop.limit_v
    decided, why = _decided(telling, circuit)
    return CircuitRow(
        name=circuit.name,
        number=circuit.label or "",
        state=circuit.state.value,
        level=level_of(telling.plan, circuit),
        start=telling.point(circuit.start),
        end=telling.point(circuit.end),
        out=Figure(_sizes(telling, circuit, back=False), "ampacity"),
        back=Figure(_sizes(telling, circuit, back=True), "ampacity"),
        fuse=Figure(_fuses(telling, circuit), "window"),
        ratings=Figure(_ratings(circuit), "window"),
        window=Figure(_windows(found), "window"),
        carries=Figure(amps(found.continuous_a), "current"),
        drop=Figure(percent(drop.drop_pct), "drop"),
        drop_v=volts(drop.drop_v),
        limit="" if drop.limit_pct is None else percent(drop.limit_pct),
        used=used,
        load_v="" if drop.load_v is None else volts(drop.load_v),
        decided=decided,
        why=why,
    )


def _sizes(telling: Telling, circuit: Circuit, *, back: bool) -> str:
    """Sizes on one way, thickest first."""
    wires = [wire for wire in circuit.wires if wire.returning is back]
    if any(wire.size is None for wire in wires):
        return UNKNOWN
    ordered = sorted(wires, key=lambda wire: -(wire.area_mm2 or 0.0) * wire.parallel)
    sizes = list(dict.fromkeys(telling.size(wire) for wire in ordered))
    return joined(" / ", sizes) if len(sizes) > 1 else "".join(sizes)


def _fuses(telling: Telling, circuit: Circuit) -> str:
    fuses = [part for part in circuit.parts if part.kind in FUSES]
    if not fuses:
        return UNKNOWN if circuit.fuse_unknown else words("none")
    told = []
    for part in fuses:
        family = telling.family(part) if part.state is State.NEW else part.family
        rating = amps(part.rating_a)
        told.append(
            rating if family is None else words("{rating} {family}", rating=rating, family=term(family))
        )
    return listed(told)


def _ratings(circuit: Circuit) -> str:
    """What its fuses are rated, without their types."""
    told = listed(amps(part.rating_a) for part in circuit.parts if part.kind in FUSES)
    return told or (UNKNOWN if circuit.fuse_unknown else words("none"))


def _windows(found: CircuitAssessment) -> str:
    told = []
    for fuse in found.fuses.values():
        window = fuse.window
        if window.empty:
            told.append(words("no rating fits"))
        else:
            told.append(words("{least} to {most}", least=amps(window.least_a), most=amps(window.most_a)))
    return listed(told)


_NOT_CHOSEN: Final = {ReasonKind.UNFED: words("not fed"), ReasonKind.PARTED: words("no way back")}


def _decided(telling: Telling, circuit: Circuit) -> tuple[str, str]:
    """What set its size in a word, and in a sentence."""
    plan, shown = telling.plan, telling.shown
    if circuit.state is State.EXISTING:
        return words("as found"), ""
    design = plan.design
    lost = next((each for each in (design.unsolved if design else ()) if each.circuit == circuit.name), None)
    if lost is not None:
        return _NOT_CHOSEN.get(lost.kind, words("nothing fits")), unsolved_words(lost, shown)
    binding = None if design is None else design.bindings.get(circuit.name)
    if binding is None:
        written = all(wire.size is not None for wire in circuit.wires)
        return (words("as written") if written else words("not chosen")), ""
    fuse = next(
        (c.fuses[binding.where] for c in plan.assessment.circuits.values() if binding.where in c.fuses), None
    )
    why, strong = binding_words(binding, shown, fuse), strong_fuse_words(plan, circuit, shown)
    return term(binding_name(binding)), why if strong is None else joined(". ", (why, strong))


def _is_told(plan: Plan, found: LoadAssessment) -> bool:
    """Whether a load has a line: coils that the job made do not."""
    load = plan.installation.loads[found.name]
    return load.state is not State.REMOVE and not (load.kind is LoadKind.COIL and found.known)


def load_row(telling: Telling, found: LoadAssessment) -> LoadRow:
    """Return one load: what it really draws beside what is claimed for it."""
    vetted = telling.plan.vetting.loads.get(found.name)
    power, current, at_v = found.power_w, found.current_a, found.working_v
    if (power is None or current is None) and vetted is not None:
        # Where it hangs is not solved: what it takes at the voltage of its evidence still stands.
        power, current, at_v = vetted.estimate.power_w, vetted.current_a, vetted.estimate.at_v
    known = power is not None
    claims = () if vetted is None else vetted.claims
    count = 1 if vetted is None else vetted.count
    return LoadRow(
        name=found.name,
        place=telling.plan.installation.loads[found.name].place,
        power=Figure(band(power, "W") if known else words("unknown"), "power" if known else ""),
        current=Figure(band(current, "A"), "power" if known else ""),
        at=volts(at_v),
        claims=tuple(_claim(claim, count, _share_pct(claim, power, current, count)) for claim in claims),
        known=known,
    )


def _share_pct(
    claim: ClaimVerdict, power: Uncertain | None, current: Uncertain | None, count: int
) -> float | None:
    """How much of a claim that is not met the load draws. [%]"""
    claimed, drawn = (claim.power_w, power) if claim.power_w is not None else (claim.current_a, current)
    if claim.verdict not in {Verdict.SHORT, Verdict.IMPOSSIBLE} or not claimed or drawn is None:
        return None
    return 100.0 * drawn.value / (claimed * count)


def _claim(claim: ClaimVerdict, count: int, share_pct: float | None) -> ClaimRow:
    said = amps(claim.current_a) if claim.power_w is None else watts(claim.power_w)
    if count > 1:
        said = words("{count} x {claim}", count=count, claim=said)
    return ClaimRow(
        claimed=said,
        by="" if claim.by is None else term(claim.by),
        verdict=claim.verdict.value,
        verdict_words=claim_verdict_words(claim.verdict, draws_more=claim.draws_more),
        share="" if share_pct is None else words("draws {share} of it", share=percent(share_pct)),
        why=claim.why,
    )


def _situation(found: SituationAssessment) -> SituationRow:
    outcome: str = term(found.outcome.value)
    if found.without:
        outcome = words("{outcome} {loads}", outcome=outcome, loads=listed(found.without))
    if found.culprit is not None:
        outcome = words("{outcome}: {load} is too much", outcome=outcome, load=found.culprit)
        if found.culprit_power_w is not None and found.culprit_v is not None:
            outcome = words(
                "{before}; cut to {power} it would hold {volts}",
                before=outcome,
                power=watts(found.culprit_power_w),
                volts=volts(found.culprit_v),
            )
    supplies = found.supplies_a if found.outcome is not Outcome.UNSOLVED else {}
    given = tuple((name, amps(value)) for name, value in supplies.items())
    works = found.outcome is Outcome.WORKS
    return SituationRow(situation=term(found.situation.value), outcome=outcome, works=works, supplies=given)
