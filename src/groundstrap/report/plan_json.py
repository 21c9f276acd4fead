"""A plan as one JSON object, key by key as the contract of results has it."""

from __future__ import annotations

import math
from typing import Any

from groundstrap.assess import CircuitAssessment, LoadAssessment
from groundstrap.checks import Finding, Judgement
from groundstrap.design import Binding
from groundstrap.model import Circuit, State
from groundstrap.report.choice_words import binding_name, eased_words, unsolved_words
from groundstrap.report.figures import Display
from groundstrap.report.measuring import expected_readings
from groundstrap.report.parts import parts_list
from groundstrap.report.plan import Plan
from groundstrap.report.steps_json import steps
from groundstrap.report.values import Json, known, triple
from groundstrap.report.working import work_steps
from groundstrap.vet import ClaimVerdict

__all__ = ["claim_object", "finding_object", "plan_object"]


def plan_object(plan: Plan, endurance: Json | None = None, readings: Json | None = None) -> Json:
    """Return the whole plan for JSON, with what its days and its readings come to where it has some."""
    installation, assessment = plan.installation, plan.assessment
    values = {
        "schema": "groundstrap.plan/1",
        "title": installation.title,
        "about": dict(installation.about) or None,
        "basis": str(installation.basis),
        "system_v": installation.system_v,
        "fingerprint": plan.fingerprint,
        "loads": {name: _load(plan, found) for name, found in assessment.loads.items()},
        "circuits": {name: _circuit(plan, installation.circuits[name]) for name in assessment.circuits},
        "supplies": {name: _supply(plan, name) for name in assessment.supplies},
        "gear": {name: _gear(plan, name) for name in assessment.gear},
        "situations": {str(when): _situation(plan, when) for when in assessment.situations},
        "endurance": endurance,
        "findings": [finding_object(finding) for finding in plan.judgement.findings],
        "unused_waivers": _unused_waivers(plan.judgement) or None,
        "checked": _checked(plan.judgement),
        "steps": work_steps(plan),
        "tests": expected_readings(plan),
        "readings": readings,
        "parts": parts_list(plan),
        "assumptions": [{"where": a.where, "value": a.value, "why": a.why} for a in plan.assumptions],
        "cost": None if plan.design is None else plan.design.price,
        "sources": list(plan.used_sources),
    }
    if plan.design is not None:
        values["unsolved"] = [
            known(
                {
                    "circuit": each.circuit,
                    "what": str(each.kind),
                    "where": each.where or None,
                    "why": unsolved_words(each, Display()),
                }
            )
            for each in plan.design.unsolved
        ] or None
    return known(values)


def _unused_waivers(judgement: Judgement) -> list[Json]:
    return [{"rule": waiver.rule, "where": waiver.where} for waiver in judgement.unused_waivers]


def _load(plan: Plan, found: LoadAssessment) -> Json:
    vetted = plan.vetting.loads.get(found.name)
    values = {
        "power_w": triple(found.power_w),
        "current_a": triple(found.current_a),
        "working_v": found.working_v,
        "working_in": None if found.working_in is None else str(found.working_in),
        "lowest_v": found.lowest_v,
        "highest_v": found.highest_v,
        "continuous_a": found.continuous_a,
        "claims": None if vetted is None else [claim_object(claim) for claim in vetted.claims],
    }
    return known(values, [key for key in found.unknown if key in values])


def claim_object(claim: ClaimVerdict) -> Json:
    """Return one claim with its verdict."""
    return known({
        "by": claim.by,
        "power_w": claim.power_w,
        "current_a": claim.current_a,
        "at_v": claim.at_v,
        "verdict": str(claim.verdict),
        "probability": claim.probability,
        "why": claim.why,
    })  # fmt: skip


def _circuit(plan: Plan, circuit: Circuit) -> Json:
    found = plan.assessment.circuits[circuit.name]
    fault = known({"least": found.fault_least_a, "most": found.fault_most_a})
    binding = None if plan.design is None else plan.design.bindings.get(circuit.name)
    values = {
        "continuous_a": found.continuous_a,
        "peak_a": found.peak_a,
        "length_m": circuit.metres,
        "drop_v": found.drop.drop_v,
        "drop_pct": found.drop.drop_pct,
        "drop_limit_v": found.drop.limit_v,
        "drop_limit_pct": found.drop.limit_pct,
        "load_v": found.drop.load_v,
        "ampacity_a": found.ampacity_a,
        "weakest": found.weakest,
        "conductor_c": found.conductor_c,
        "fault_a": fault or None,
        # A fault that may never open the fuse is cleared at no time: a finding says so.
        "clearing_s": None if found.clearing_s == math.inf else found.clearing_s,
        "unprotected": [
            known({"point": piece.point, "length_m": piece.metres}, ["length_m"])
            for piece in found.unprotected
        ],
        "spare_a": found.spare_a,
        "binding": None if binding is None else binding_name(binding),
        "thinner": None if binding is None else _thinner(binding),
        "source": found.source,
        "feeders": list(found.feeders) or None,
        "label": circuit.label,
        "state": None if circuit.state is State.NEW else str(circuit.state),
        "path": steps(plan.installation, plan.assessment, circuit, back=False),
        "return": steps(plan.installation, plan.assessment, circuit, back=True) or None,
    }
    unmeasured = ["length_m"] if circuit.metres is None else []
    return known(values, [*_unknown(found, values), *unmeasured])


def _unknown(found: CircuitAssessment, values: dict[str, Any]) -> list[str]:
    """Keys that apply and could not be reckoned; a fault whose one end is missing says so too."""
    return [key for key in found.unknown if key in values]


def _thinner(binding: Binding) -> Json | None:
    """What would let the cable be far thinner, and how thin."""
    if binding.eased is None or binding.eased.gives is None:
        return None
    return {"area_mm2": binding.eased.gives.area_mm2, "why": eased_words(binding, Display())}


def _supply(plan: Plan, name: str) -> Json:
    found = plan.assessment.supplies[name]
    values = {
        "nominal_v": found.nominal_v,
        "emf_v": found.emf_v,
        "resistance_ohm": found.resistance_ohm,
        "continuous_a": found.continuous_a,
        "capability_a": found.capability_a,
        "fault_a": found.fault_a,
        "taps_v": list(found.taps_v) or None,
    }
    return known(values, [key for key in found.unknown if key in values])


def _gear(plan: Plan, name: str) -> Json:
    found = plan.assessment.gear[name]
    values = {
        "rating_a": found.rating_a,
        "continuous_a": found.continuous_a,
        "spare_a": found.spare_a,
        "circuits": list(found.circuits),
    }
    return known(values, [key for key in found.unknown if key in values])


def _situation(plan: Plan, when: Any) -> Json:
    found = plan.assessment.situations[when]
    return known({
        "outcome": str(found.outcome),
        "without": list(found.without) or None,
        "volts_v": dict(found.volts_v),
        "circuits_a": dict(found.circuits_a),
        "loads_a": dict(found.loads_a),
        "loads_v": dict(found.loads_v),
        "supplies_a": dict(found.supplies_a),
        "running": sorted(found.running),
        "culprit": found.culprit,
        "culprit_power_w": found.culprit_power_w,
        "culprit_v": found.culprit_v,
        "rests_on": list(found.rests_on) or None,
    })  # fmt: skip


def finding_object(finding: Finding) -> Json:
    """Return one finding."""
    waiver, because = finding.waiver, finding.because
    return known({
        "rule": finding.rule,
        "slug": finding.slug,
        "outcome": str(finding.outcome),
        "level": str(finding.level),
        "where": finding.where,
        "circuit": finding.circuit,
        "text": finding.text,
        "remedy": finding.remedy or None,
        "value": finding.value,
        "limit": finding.limit,
        "unit": finding.unit or None,
        "margin_pct": finding.margin_pct,
        "source": finding.source,
        "weight": finding.weight,
        "status": str(finding.status),
        "settles_by": [ask.what for ask in finding.asks] or None,
        "because": None if because is None else {"rule": because.rule, "where": because.where},
        "waived": None if waiver is None else {"reason": waiver.reason, "by": waiver.by},
    })  # fmt: skip


def _checked(judgement: Judgement) -> Json:
    counts = judgement.counts
    return {
        "passed": counts.passed,
        "failed": counts.failed,
        "unknown": counts.unknown,
        "not_applicable": counts.not_applicable,
    }
