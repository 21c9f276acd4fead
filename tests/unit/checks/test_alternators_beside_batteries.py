"""What an alternator can't give the battery does: that is said once, by the rule on discharging."""

from __future__ import annotations

from groundstrap.checks import About
from groundstrap.checks.needs import NEEDS
from tests.rules.judged import judged, looked_at

JOB = """
supplies:
  battery: {kind: battery, cranking: 640 A EN}
  alternator: {kind: alternator, rating: 50 A}
loads: {heater: {kind: heater, claims: {power: 1200 W, voltage: 12 V}}}
circuits: {heater: {path: [battery, fuse: 150 A, heater], length: 1 m, wire: 70 mm2, return: battery -}}
"""


def test_an_alternator_that_a_battery_helps_is_not_passed_as_strong_enough() -> None:
    facts = looked_at(JOB)
    limits = {s.where: NEEDS[About.SUPPLY]["limits_itself"](s) for s in facts.subjects(About.SUPPLY)}
    assert limits == {"battery": False, "alternator": False}
    # By hand: 100 A and more of load on 50 A of alternator leave 50 A and more to the battery.
    (driving,) = [f for f in judged(JOB).of("SUP002") if f.where == "driving"]
    assert driving.outcome.value == "fail"
    assert driving.value is not None
    assert driving.value > 50.0
