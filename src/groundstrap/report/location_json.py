"""What `locate` says as one JSON object."""

from __future__ import annotations

from groundstrap.checks import rule
from groundstrap.locate import AsWire, CheckedReading, Fit, Location, ProbeKind, Proposal, Suspect
from groundstrap.locate.judged import Judged
from groundstrap.report.location import LocationAnswer
from groundstrap.report.location_words import look_words, proposal_words
from groundstrap.report.plan import Plan
from groundstrap.report.plan_json import finding_object
from groundstrap.report.readings_json import judged_object
from groundstrap.report.values import Json, known, triple

__all__ = ["location_object"]


def location_object(answer: LocationAnswer, held: Plan) -> Json:
    """Return readings, suspects and what to read next for JSON; `held` has the readings against the plan."""
    found = answer.location
    judged = held.judged
    return known({
        "schema": "groundstrap.locate/1",
        "title": answer.installation.title,
        "fingerprint": answer.fingerprint,
        "complaint": _complaint(found),
        "readings": [
            _reading(n, each, found, _residual(each, judged)) for n, each in enumerate(found.readings)
        ],
        "mended": found.mended or None,
        "left_out": list(found.left_out) or None,
        "fits": _fit(found.sound),
        "fits_best": _fit(found.best),
        "nothing_wrong": found.healthy,
        "suspects": [_suspect(each) for each in found.suspects],
        "beside": [_suspect(each) for each in found.second] or None,
        "next": [_proposal(each) for each in found.proposals],
        "proven": None if judged is None else judged_object(judged)["proven"],
        "estimates": None if judged is None else judged_object(judged)["estimates"],
        "findings": [finding_object(f) for f in held.judgement.findings if rule(f.rule).about.of_readings],
    })  # fmt: skip


def _complaint(found: Location) -> Json | None:
    if found.flat:
        return {"flat": True}
    return None if found.load is None else {"load": found.load, "dead": found.dead}


def _wire(found: AsWire) -> Json:
    """What the cable would have to be, in mm2 of copper."""
    return {"planned_mm2": found.planned_mm2, "as_mm2": triple(found.area_mm2), "clad_fits": found.clad}


def _unit(kind: ProbeKind) -> str:
    return "V" if kind is ProbeKind.VOLTS else "A"


def _residual(each: CheckedReading, judged: Judged | None) -> float | None:
    """Normalised residual of a reading; None of one that was read again since."""
    every = () if judged is None else judged.readings
    alike = (
        other.residual
        for other in every
        if (other.red, other.black, other.through) == (each.red, each.black, each.through)
        and other.measured == each.measured
    )
    return next(alike, None)


def _reading(number: int, each: CheckedReading, found: Location, residual: float | None) -> Json:
    return known({
        "reading": each.through or f"{each.red} to {each.black}",
        "text": each.text,
        "unit": _unit(each.kind),
        "expected": triple(each.expected),
        "measured": each.measured,
        "before": each.before,
        "normalised_residual": residual,
        "deviation": each.normalised,
        "agrees": each.agrees,
        "doubted": True if number == found.doubted else None,
    })  # fmt: skip


def _fit(fit: Fit) -> Json:
    return {"chi2": fit.chi2, "degrees": fit.degrees, "p": fit.p}


def _suspect(each: Suspect) -> Json:
    return known({
        "point": each.place,
        "between": list(each.points),
        "what": str(each.ways[0].kind),
        "ways": [{"what": str(way.kind), "share": way.share} for way in each.ways],
        "extra_ohm": triple(each.extra_ohm),
        "extra_a": triple(each.extra_a),
        "times": triple(each.times),
        "probability": each.probability,
        "same_as": list(each.same_as),
        "wire": None if each.wire is None else _wire(each.wire),
        "look": str(look_words(each)),
    })  # fmt: skip


def _proposal(each: Proposal) -> Json:
    return {
        "reading": each.through or f"{each.red} to {each.black}",
        "unit": _unit(each.kind),
        "when": str(each.when),
        "using": list(each.using),
        "expected_information_bits": each.information_bits,
        "effort": each.effort,
        "how": str(proposal_words(each)),
        "sound": triple(each.sound),
        "means": [known({"point": would.place, "shows": triple(would.shows)}) for would in each.means],
    }
