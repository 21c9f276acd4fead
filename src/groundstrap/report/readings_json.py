"""Readings of a job held against its plan as JSON: each, all together, and what they prove."""

from __future__ import annotations

from groundstrap.locate.judged import Band, Estimated, Judged, JudgedReading, Proven, ProvenKind
from groundstrap.locate.results import Fit
from groundstrap.report.values import Json, known, triple

__all__ = ["judged_object"]


def judged_object(judged: Judged) -> Json:
    """Return readings beside what sound vehicles show, how well they fit, and what they prove."""
    return known({
        "readings": [_reading(each) for each in judged.readings],
        "left_out": list(judged.left_out) or None,
        "fits": _fit(judged.sheet),
        "fits_proven": _fit(judged.explained) if judged.proven else None,
        "proven": [_proven(each) for each in judged.proven],
        "estimates": [_estimate(each) for each in judged.estimated],
    })  # fmt: skip


def _reading(each: JudgedReading) -> Json:
    return known({
        "reading": each.where,
        "text": each.text,
        "unit": "V" if each.kind.value == "voltage" else "A",
        "when": str(each.when),
        "using": list(each.using),
        "meter": each.meter or None,
        "date": each.date or None,
        "by": each.by or None,
        "expected": each.sound.expected,
        "look_again": _band(each.sound.look),
        "fails": _band(each.sound.fails),
        "measured": each.measured,
        "before": each.before,
        "normalised_residual": each.residual,
        "deviation": each.deviation,
        "agreement": str(each.agreement),
    })  # fmt: skip


def _band(band: Band | None) -> Json | None:
    return None if band is None else {"low": band.low, "high": band.high}


def _fit(fit: Fit) -> Json:
    return {"chi2": fit.chi2, "degrees": fit.degrees, "p": fit.p}


def _proven(each: Proven) -> Json:
    ohmic = each.kind is ProvenKind.RESISTANCE
    return known({
        "what": str(each.kind),
        "point": each.place,
        "between": list(each.points) or None,
        "circuit": each.circuit,
        "extra_ohm": triple(each.size) if ohmic else None,
        "usual_ohm": each.usual_ohm if ohmic else None,
        "allowed_ohm": each.allowed_ohm if ohmic else None,
        "current_a": each.current_a if ohmic else None,
        "lost_v": each.lost_v if ohmic else None,
        "heat_w": each.heat_w if ohmic else None,
        **({_SIZES[each.kind]: triple(each.size)} if each.kind in _SIZES else {}),
        "same_as": list(each.same_as),
        "one_reading": each.or_reading or None,
    })  # fmt: skip


_SIZES = {
    ProvenKind.LOAD: "times",
    ProvenKind.BATTERY_OHM: "times",
    ProvenKind.METER: "times",
    ProvenKind.BATTERY_VOLTS: "off_v",
    ProvenKind.SOURCE: "off_v",
    ProvenKind.DRAW: "draws_a",
    ProvenKind.READING: "off",
}


def _estimate(each: Estimated) -> Json:
    key = "times" if each.is_load else "ohm"
    return {"point": each.name, key: triple(each.value), f"usual_{key}": triple(each.usual)}
