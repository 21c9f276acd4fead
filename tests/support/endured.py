"""Runs of days written by hand, so that what is shown of a run is tested without running one."""

from __future__ import annotations

import numpy as np

from groundstrap.checks import Counts, Judgement
from groundstrap.endure.results import (
    Answers,
    Chances,
    Course,
    Cure,
    CutOff,
    Dearest,
    Edit,
    Endurance,
    EnergySum,
    LoadCourse,
    Share,
    SpanRun,
    Start,
    SupplyCourse,
    SupplyRun,
)
from groundstrap.model import Assumption, Situation
from groundstrap.report.endurance import EnduranceAnswer
from tests.support.drawn import unjudged

HOUR_S = 3600.0

JOB = """groundstrap: 1
title: Van that sleeps outside
system: 12 V
supplies:
  battery: {kind: battery, chemistry: agm, capacity: 80 Ah, cranking: 760 A EN}
loads:
  fridge: {kind: compressor, claims: {power: 45 W}, works: 10.5..15 V}
circuits:
  fridge: {length: 4 m}
day:
  - {driving: 45 min, using: [fridge]}
  - {resting: 1395 min, using: [fridge], temperature: -10 degC}
"""


def hand_made_run(days: int = 3) -> Endurance:
    """Days of 45 min of driving and a cold rest; the fridge cuts off in the last night, the engine not."""
    spans, times, states, volts, amps, on = [], [], [], [], [], []
    for day in range(1, days + 1):
        begin = (day - 1) * 24 * HOUR_S
        drive, rest, end = begin, begin + 0.75 * HOUR_S, begin + 24 * HOUR_S
        top, low = 100.0 - 8.0 * (day - 1), 70.0 - 15.0 * (day - 1)
        spans.append(_span(1, day, Situation.DRIVING, drive, rest, 20.0, 6.0))
        spans.append(_span(2, day, Situation.RESTING, rest, end, -10.0, -18.0))
        fine = np.linspace(rest, end, 40)
        times += [drive, rest, *fine]
        states += [top - 6.0, top, *np.linspace(top, low, 40)]
        volts += [14.3, 14.3, *np.linspace(12.6, 11.2 - 0.2 * day, 40)]
        amps += [-20.0, -2.0, *[0.8] * 40]
        on += [True, True, *[each < 60 * HOUR_S for each in fine]]
    course = Course(
        times_s=np.array(times),
        supplies={
            "battery": SupplyCourse(
                volts_v=np.array(volts), amps_a=np.array(amps), state_pct=np.array(states)
            )
        },
        loads={"fridge": LoadCourse(on=np.array(on), volts_v=np.array(volts) - 0.3)},
    )
    starts = tuple(
        Start(
            at_s=24 * HOUR_S * day,
            day=day + (day == days),
            battery="battery",
            can=day < days,
            asks_a=310.0,
            holds_a=412.0 - 60.0 * day,
            temp_c=-10.0,
            state_pct=70.0 - 15.0 * (day - 1),
            volts_v=9.4,
            morning_after=day == days,
        )
        for day in range(1, days + 1)
    )
    cut = CutOff(
        load="fridge", at_s=60 * HOUR_S, volts_v=10.5, limit_v=10.5, back_at_s=None, span=2, day=days
    )
    return Endurance(
        days=days,
        temperature_c=None,
        spans=tuple(spans),
        course=course,
        supplies={
            "battery": SupplyRun(
                name="battery",
                chemistry="agm",
                capacity_ah=80.0,
                lowest_v=10.6,
                lowest_at_s=72 * HOUR_S,
                lowest_state_pct=40.0,
                end_state_pct=40.0,
                begin_state_pct=94.0,
                start=starts[-1],
                starts=starts,
                freezes_below_c=-24.0,
                balance_ah_per_day=-12.0,
            )
        },
        starts=starts,
        cut_offs=(cut,) if days > 2 else (),
        unserved_wh={"fridge": 130.0} if days > 2 else {},
        first_cut_off_s=60 * HOUR_S if days > 2 else None,
        taken_ah={"fridge": 47.0},
        energy=EnergySum(
            given_wh={"alternator": 700.0},
            taken_wh={"fridge": 900.0},
            stored_wh={"battery": -320.0},
            lost_wh={"wires": 20.0, "battery": 100.0},
            error=1e-9,
        ),
        solves=412,
        steps=230,
        events=7,
        assumptions=(Assumption("battery", "72 Ah", "nobody wrote its age: as one of three years"),),
    )


def _span(
    number: int, day: int, when: Situation, begin: float, end: float, temp_c: float, ah: float
) -> SpanRun:
    return SpanRun(
        number=number,
        day=day,
        situation=when,
        begins_s=begin,
        ends_s=end,
        temperature_c=temp_c,
        using=("fridge",),
        sun_s=0.0,
        change_ah={"battery": ah},
    )


def hand_made_answers(run: Endurance) -> Answers:
    """Answers to that run, with one cure."""
    return Answers(
        until_cut_off_h=31.4,
        leaves_start_h=22.0,
        parked_days=None,
        recharge_h=4.2,
        balance_ah_per_day={"battery": -12.0},
        weakest=run.spans[1],
        dearest=Dearest(load="fridge", taken_ah=47.0, share=0.83, until_s=60 * HOUR_S),
        cures=(
            Cure(
                kind="battery",
                edits=(Edit(("supplies", "battery", "capacity"), "110 Ah"),),
                text="a larger battery, 110 Ah",
                gain="starts on morning 3 with 61 A to spare",
                holds=True,
            ),
        ),
        beyond={"parked_days": 60.0},
    )


def hand_made_chances() -> Chances:
    """A tenth of the days go wrong."""
    share = Share(value=0.1, low=0.094, high=0.106)
    return Chances(
        days=10_000,
        seed=1,
        no_start=share,
        cut_off={"fridge": share},
        unsolved=0,
        ranges=(Assumption("battery", "age 1 to 0.6", "own judgement"),),
    )


def hand_made_answer(days: int = 3) -> EnduranceAnswer:
    """The whole answer, judged by no rule."""
    run = hand_made_run(days)
    return EnduranceAnswer(
        plan=unjudged(JOB),
        run=run,
        answers=hand_made_answers(run),
        chances=hand_made_chances(),
        judgement=Judgement(findings=(), counts=Counts()),
        assumptions=run.assumptions,
    )
