"""What the days on the battery come to as one JSON object."""

from __future__ import annotations

from typing import TYPE_CHECKING

from groundstrap.report.endurance import DaysNotRun, EnduranceAnswer
from groundstrap.report.plan_json import finding_object
from groundstrap.report.values import Json, known

# A plan runs no days, and loads nothing for it.
if TYPE_CHECKING:
    from groundstrap.endure.results import (
        Answers,
        Chances,
        CutOff,
        Share,
        SpanRun,
        Start,
        Straight,
        SupplyRun,
    )

__all__ = ["days_object", "endurance_object"]

_PLACES = 4
"""Decimals of the timeline: a tenth of a millivolt, and finer than any event is located."""


def endurance_object(answer: EnduranceAnswer) -> Json:
    """Return days, answers, timeline and findings for JSON."""
    run = answer.run
    return known(
        {
            "schema": "groundstrap.endure/1",
            "title": answer.installation.title,
            "days": run.days,
            "temperature_c": run.temperature_c,
            **_summary(answer),
            "spans": [_span(each) for each in run.spans],
            "timeline": _timeline(answer),
            "energy_wh": {
                "from": dict(run.energy.given_wh),
                "to": dict(run.energy.taken_wh),
                "stored": dict(run.energy.stored_wh),
                "lost": dict(run.energy.lost_wh),
            },
            "reckoned": {
                "solves": run.solves,
                "steps": run.steps,
                "events": run.events,
                "energy_error": run.energy.error,
            },
            "findings": [finding_object(finding) for finding in answer.judgement.findings],
            "assumptions": [{"where": a.where, "value": a.value, "why": a.why} for a in answer.assumptions],
            "unknown_loads": list(run.unknown) or None,
            "fingerprint": answer.fingerprint,
        }
    )


def _summary(answer: EnduranceAnswer) -> Json:
    """What the days come to, without the timeline."""
    run, chances = answer.run, answer.chances
    return known(
        {
            "supplies": {name: _supply(each, answer) for name, each in run.supplies.items()},
            "starts": [_start(each) for each in run.starts],
            "cut_offs": [_cut_off(each) for each in run.cut_offs],
            "unserved_wh": sum(run.unserved_wh.values()),
            "runs_for_s": run.first_cut_off_s,
            "answers": _answers(answer.answers),
            "chances": None if chances is None else _chances(chances),
            "cures": [
                {
                    "change": [{"path": list(edit.path), "value": edit.value} for edit in each.edits],
                    "kind": each.kind,
                    "text": each.text,
                    "gain": each.gain,
                    "holds": each.holds,
                    "brings": [
                        {
                            "rule": new.rule,
                            "level": new.level,
                            "where": list(new.where),
                            "text": new.text,
                            "remedy": new.remedy,
                            "counts": new.counts,
                        }
                        for new in each.brings
                    ],
                }
                for each in answer.answers.cures
            ],
            "cures_in_vain": list(answer.answers.in_vain) or None,
            "cures_not_run": list(answer.answers.not_run) or None,
        }
    )


def days_object(days: EnduranceAnswer | DaysNotRun | None) -> Json | None:
    """Return what a plan says of its days: what they come to, or why they were not run.

    Cures are left out: each is a run of its own, for which a plan has no time.
    """
    if days is None:
        return None
    if isinstance(days, DaysNotRun):
        return {"not_run": days.why}
    summary = {key: value for key, value in _summary(days).items() if not key.startswith("cures")}
    return {"days": days.run.days, **summary}


def _supply(found: SupplyRun, answer: EnduranceAnswer) -> Json:
    start, chances = found.start, answer.chances
    starts = None
    if start is not None:
        share = None if chances is None or chances.no_start is None else _share(chances.no_start)
        starts = known(
            {
                "can": start.can,
                "margin_a": start.margin_a,
                "at_c": start.temp_c,
                # Of a start: what is left of all days.
                "probability": None
                if share is None
                else {
                    "value": 1.0 - share["value"],
                    "low": 1.0 - share["high"],
                    "high": 1.0 - share["low"],
                },
            }
        )
    return known(
        {
            "chemistry": found.chemistry,
            "capacity_ah": found.capacity_ah,
            "lowest_v": found.lowest_v,
            "lowest_at_s": found.lowest_at_s,
            "lowest_soc_pct": found.lowest_state_pct,
            "begin_soc_pct": found.begin_state_pct,
            "end_soc_pct": found.end_state_pct,
            "balance_ah": found.balance_ah_per_day,
            "freezes_below_c": found.freezes_below_c,
            "starts": starts,
        }
    )


def _start(found: Start) -> Json:
    return {
        "at_s": found.at_s,
        "supply": found.battery,
        "can": found.can,
        "asks_a": found.asks_a,
        "holds_a": found.holds_a,
        "margin_a": found.margin_a,
        "at_c": found.temp_c,
        "soc_pct": found.state_pct,
        "posts_v": found.volts_v,
        "day": found.day,
        "morning_after": found.morning_after,
        "asks_known": found.asks_known,
        "frozen": found.frozen,
    }


def _cut_off(found: CutOff) -> Json:
    return known(
        {
            "load": found.load,
            "at_s": found.at_s,
            "load_v": found.volts_v,
            "limit_v": found.limit_v,
            "back_at_s": found.back_at_s,
            "day": found.day,
            "span": found.span,
            "critical": found.critical,
            "cycles_per_h": found.cycles_per_h,
            "on_pct": None if found.share is None else 100.0 * found.share,
        }
    )


def _span(found: SpanRun) -> Json:
    return known(
        {
            "day": found.day,
            "span": found.number,
            "situation": found.situation.value,
            "begins_s": found.begins_s,
            "ends_s": found.ends_s,
            "temperature_c": found.temperature_c,
            "using": list(found.using),
            "sun_s": found.sun_s or None,
            "change_ah": dict(found.change_ah),
            "charging_short_a": found.charging_short_a,
        }
    )


_KEYS = {
    "until_cut_off_h": "until_cut_off_s",
    "leaves_start_h": "leaves_start_s",
    "parked_days": "parked_s",
    "recharge_h": "recharge_s",
    "balance_ah_per_day": "balance_ah",
}
"""Answer -> its key, which carries the unit."""


def _answers(found: Answers) -> Json:
    weakest, dearest = found.weakest, found.dearest
    values = {
        "until_cut_off_s": _scaled(found.until_cut_off_h, 3600.0),
        "leaves_start_s": _scaled(found.leaves_start_h, 3600.0),
        "parked_s": _scaled(found.parked_days, 86_400.0),
        "recharge_s": _scaled(found.recharge_h, 3600.0),
        "balance_ah": dict(found.balance_ah_per_day),
        "weakest": None if weakest is None else _span(weakest),
        "dearest": None
        if dearest is None
        else {
            "load": dearest.load,
            "taken_ah": dearest.taken_ah,
            "share_pct": 100.0 * dearest.share,
            "until_s": dearest.until_s,
        },
        "more_than": {
            _KEYS.get(name, name): each * (86_400.0 if name == "parked_days" else 3600.0)
            for name, each in found.beyond.items()
        }
        or None,
        "straight": [_straight(each) for each in found.straight] or None,
    }
    return known(values, (_KEYS.get(name, name) for name in found.unknown))


def _straight(found: Straight) -> Json:
    return {
        "supply": found.battery,
        "alternator": found.alternator,
        "low_a": found.low_a,
        "typical_a": found.typical_a,
        "high_a": found.high_a,
        "hot_a": found.hot_a,
        "situation": "idling" if found.idling else "driving",
    }


def _scaled(value: float | None, by: float) -> float | None:
    return None if value is None else value * by


def _chances(found: Chances) -> Json:
    return known(
        {
            "days": found.days,
            "seed": found.seed,
            "no_start": None if found.no_start is None else _share(found.no_start),
            "cut_off": {name: _share(each) for name, each in found.cut_off.items()},
            "unsolved": found.unsolved,
            "ranges": [{"where": a.where, "value": a.value, "why": a.why} for a in found.ranges],
        }
    )


def _share(found: Share) -> Json:
    return {"value": found.value, "low": found.low, "high": found.high}


def _timeline(answer: EnduranceAnswer) -> Json:
    course = answer.run.course
    supplies = {
        name: known(
            {
                "v": each.volts_v.round(_PLACES).tolist(),
                "a": each.amps_a.round(_PLACES).tolist(),
                "soc_pct": None if each.state_pct is None else each.state_pct.round(_PLACES).tolist(),
            }
        )
        for name, each in course.supplies.items()
    }
    loads = {
        name: {"on": each.on.tolist(), "v": each.volts_v.round(_PLACES).tolist()}
        for name, each in course.loads.items()
    }
    return {"t_s": course.times_s.round(_PLACES).tolist(), "supplies": supplies, "loads": loads}
