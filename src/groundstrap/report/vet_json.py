"""What `vet` says as one JSON object."""

from __future__ import annotations

from groundstrap.report.plan import VetAnswer
from groundstrap.report.plan_json import claim_object, finding_object
from groundstrap.report.values import Json, known, triple
from groundstrap.vet import AtVoltage, Bound, Evidence, VettedLoad

__all__ = ["vet_object"]


def vet_object(answer: VetAnswer) -> Json:
    """Return the evidence and the verdicts for JSON."""
    vetting = answer.vetting
    return {
        "schema": "groundstrap.vet/1",
        "title": answer.installation.title,
        "loads": {name: _load(vetted) for name, vetted in vetting.loads.items()},
        "findings": [finding_object(finding) for finding in answer.findings],
        "assumptions": [{"where": a.where, "value": a.value, "why": a.why} for a in vetting.assumptions],
        "sources": list(vetting.used_sources),
    }


def _load(vetted: VettedLoad) -> Json:
    consistent = vetted.consistent
    return known({
        "count": vetted.count,
        "estimate": _estimate(vetted),
        "at": [_at(item) for item in vetted.at],
        "evidence": [_evidence(item) for item in vetted.evidence],
        "bounds": [_bound(item) for item in vetted.bounds],
        "consistent": {
            "consistent": consistent.flag,
            "chi2": consistent.chi2,
            "degrees": consistent.degrees,
            "p": consistent.p,
        },
        "claims": [claim_object(claim) for claim in vetted.claims],
        "overloads": [
            known({
                "kind": str(item.bound),
                "name": item.name,
                "current_a": triple(item.current_a),
                "limit_a": item.limit_a,
                "rating_a": item.rating_a,
                "probability": item.probability,
            })
            for item in vetted.overloads
        ]
        or None,
        "remark": vetted.remark or None,
    })  # fmt: skip


def _estimate(vetted: VettedLoad) -> Json:
    estimate = vetted.estimate
    values = {
        "power_w": triple(estimate.power_w),
        "current_a": triple(vetted.current_a),
        "resistance_ohm": triple(vetted.resistance_ohm),
        "at_v": estimate.at_v,
        "law": str(estimate.law),
        "why": estimate.why or None,
    }
    return known(values, [] if estimate.known else ["power_w", "current_a"])


def _at(item: AtVoltage) -> Json:
    return {
        "what": item.what,
        "at_v": item.at_v,
        "power_w": triple(item.power_w),
        "current_a": triple(item.current_a),
    }


def _evidence(item: Evidence) -> Json:
    return known({
        "kind": str(item.kind),
        "says": dict(item.says),
        "by": item.by,
        "power_w": item.power_w,
        "standard_uncertainty": item.standard_uncertainty,
        "standard_uncertainty_w": item.standard_uncertainty_w,
        "weight": item.weight,
        "trust": str(item.trust),
        "remark": item.remark,
    })  # fmt: skip


def _bound(item: Bound) -> Json:
    values = {
        "kind": str(item.kind),
        "name": item.name,
        "rating_a": item.rating_a,
        "most_a": item.most_a,
        "hours_a": item.hours_a,
        "remark": item.remark,
        "source": item.source or None,
    }
    return known(values, ["most_a"] if item.most_a is None else [])
