"""What is left at loads while the engine cranks, against numbers by hand."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import numpy as np
import pytest

from groundstrap.assess import Wiring, assess
from groundstrap.checks import FindingOutcome, Level, run_days
from groundstrap.design.answer import chosen
from groundstrap.endure.cranked import with_cranked
from groundstrap.endure.results import Endurance, LoadCourse, SupplyCourse
from groundstrap.job import read_job
from groundstrap.model import Situation
from groundstrap.records import replace
from groundstrap.vet import vet
from tests.support.endured import hand_made_run

JOB = """groundstrap: 1
title: A van with two batteries
system: 12 V
supplies:
  battery: {kind: battery, chemistry: agm, capacity: 80 Ah, cranking: 760 A EN}
  alternator: {kind: alternator, rating: 90 A, setpoint: 14.3 V}
  house: {kind: battery, chemistry: agm, capacity: 90 Ah}
gear:
  split relay: {kind: relay, rating: 100 A, closes: 13.3 V, opens: 12.8 V}
  engine relay: {kind: relay, rating: 30 A, when: engine}
loads:
  starter: {kind: starter, claims: {current: 250 A, temperature: 20 degC}}
  fridge: {kind: heater, claims: {power: 48 W, voltage: 12 V}, works: 9.3..15 V}
  alarm: {kind: electronics, claims: {current: 0.1 A}, asleep: 20 mA, works: 9.6..15 V, critical: yes}
  camera: {kind: electronics, claims: {current: 0.2 A}, works: 10..15 V, critical: yes}
  logger: {kind: electronics, claims: {current: 0.2 A}, asleep: 10 mA, works: 10..15 V}
  radio: {kind: electronics, claims: {current: 1 A}, works: 10..15 V}
circuits:
  starter: {path: [battery, starter], wire: 50 mm2, length: 1 m}
  link: {path: [battery, fuse, split relay, fuse, house], wire: 16 mm2, length: 2 m}
  fridge: {path: [battery, fuse, fridge], wire: 2.5 mm2, length: 4 m, return: [battery -]}
  alarm: {path: [battery, fuse, alarm], wire: 1.5 mm2, length: 2 m}
  camera: {path: [battery, fuse, engine relay, camera], wire: 1.5 mm2, length: 2 m}
  logger: {path: [house, fuse, logger], wire: 1.5 mm2, length: 2 m}
  radio: {path: [battery, fuse, radio], wire: 1.5 mm2, length: 2 m}
"""


def _run(*, known: bool = True) -> Endurance:
    """Days with a fridge on all the time and a radio only while driving; the house battery at 12.5 V."""
    run = hand_made_run()
    spans = [
        replace(span, using=("fridge", "radio") if span.situation is Situation.DRIVING else ("fridge",))
        for span in run.spans
    ]
    house = SupplyCourse(volts_v=np.full(len(run.course.times_s), 12.5), amps_a=np.zeros(0), state_pct=None)
    on = np.ones(len(run.course.times_s), dtype=bool)
    names = ("starter", "fridge", "alarm", "camera", "logger", "radio")
    course = replace(
        run.course,
        supplies={**run.course.supplies, "house": house},
        loads={name: LoadCourse(on=on, volts_v=run.course.loads["fridge"].volts_v) for name in names},
    )
    # Two starts that go, at 9.8 V and 9.4 V of the posts, and one that does not, which drags them to 7.5 V.
    starts = [
        replace(each, volts_v=v, asks_known=known)
        for each, v in zip(run.starts, (9.8, 9.4, 7.5), strict=True)
    ]
    supplies = {
        **run.supplies,
        "house": replace(run.supplies["battery"], name="house", start=None, starts=()),
    }
    return replace(run, spans=tuple(spans), course=course, starts=tuple(starts), supplies=supplies)


@cache
def _wired() -> Wiring:
    installation = read_job(JOB).installation
    estimates = {name: load.estimate for name, load in vet(installation).loads.items()}
    return chosen(installation, estimates).wiring


def _judged(days: Endurance) -> Mapping[str, tuple[FindingOutcome, Level]]:
    wiring = _wired()
    installation, estimates = wiring.installation, wiring.estimates
    found = run_days(installation, vet(installation), assess(installation, estimates), days, "")
    return {each.where: (each.outcome, each.level) for each in found.of("END010")}


def test_what_is_left_by_hand_and_who_is_asked() -> None:
    """The fridge is 12 V / 4 A = 3 ohm behind 8 m of 2.5 mm2 copper.

    IEC 60228 class 5, 7.98 mohm/m: 64 mohm cold, up to a fifth more at 70 degC; fuse, holder and joints 5 to
    15 mohm, common practice. So of 9.4 V at the posts it has 9.4 * 3/3.092 = 9.12 V to 9.4 * 3/3.069 = 9.19.

    The alarm takes next to nothing, but shares the way back through the body with the starter: 0.1 V of loss
    while cranking is usual, common practice. The logger hangs on the house battery, which the relay that
    senses parts from the starter. The camera is parted by its relay; the radio is off before a start.
    """
    days = with_cranked(_wired(), _run())
    left = {each.load: each.volts_v or 0.0 for each in days.cranked}
    assert set(left) == {"fridge", "alarm", "logger"}
    assert 9.12 < left["fridge"] < 9.19
    assert 9.3 < left["alarm"] < 9.4
    assert left["logger"] == pytest.approx(12.5, abs=0.01)
    assert _judged(days) == {
        "fridge": (FindingOutcome.FAIL, Level.NOTE),
        "alarm": (FindingOutcome.FAIL, Level.CAUTION),
    }


def test_a_start_that_is_a_guess_takes_the_profile_of_the_standard() -> None:
    """ISO 16750-2, profile II, from memory: 6.5 V are held at 12 V.

    The fridge has 6.5 * 3/3.092 = 6.31 V to 6.5 * 3/3.069 = 6.35 V of it.
    """
    days = with_cranked(_wired(), _run(known=False))
    left = {each.load: each.volts_v or 0.0 for each in days.cranked}
    assert 6.30 < left["fridge"] < 6.36
    assert left["logger"] == pytest.approx(12.5, abs=0.01)
    assert _judged(days) == {
        "fridge": (FindingOutcome.UNKNOWN, Level.NOTE),
        "alarm": (FindingOutcome.UNKNOWN, Level.CAUTION),
    }


def test_without_a_start_that_goes_nothing_is_asked() -> None:
    """That no start goes is for another rule to tell."""
    run = _run()
    run = replace(run, starts=tuple(replace(each, can=False) for each in run.starts))
    assert with_cranked(_wired(), run).cranked == ()
