"""Behind a converter a fuse is judged at the converter's voltage and not at the vehicle's."""

from __future__ import annotations

import pytest

from groundstrap.checks import About
from groundstrap.checks.needs import NEEDS
from tests.rules.judged import judged, looked_at

JOB = """
supplies:
  battery: {kind: battery, cranking: 640 A EN}
  converter: {kind: dc-dc, current: 10 A, setpoint: VOLTS, when: always}
loads: {radio: {kind: electronics, claims: {power: 48 W}}}
circuits:
  feed:
    {path: [battery, {fuse: 20 A, family: regular blade}, converter], length: 1 m, wire: 4 mm2}
  radio: {path: [converter, {fuse: 5 A, family: bolt-down strip 51 mm}, switch, radio],
    length: 1 m, wire: 1 mm2}
"""


@pytest.mark.parametrize(("volts", "there_v"), [("48 V", 48.0), ("24 V", 24.0), ("13.6 V", 12.0)])
def test_each_fuse_has_the_voltage_of_what_feeds_it(volts: str, there_v: float) -> None:
    facts = looked_at(JOB.replace("VOLTS", volts))
    found = {s.where: NEEDS[About.FUSE]["system_v"](s) for s in facts.subjects(About.FUSE)}
    assert found == {"feed fuse": 12.0, "radio fuse": there_v}


def test_a_strip_for_32_v_does_not_stand_behind_a_converter_to_48_v() -> None:
    # ISO 8820-5 prints 32 V for bolt-in strips; the arc of 48 V does not go out in one.
    found = [f for f in judged(JOB.replace("VOLTS", "48 V")).of("PRT015") if f.outcome.value == "fail"]
    assert [f.where for f in found] == ["radio fuse"]
    assert not judged(JOB.replace("VOLTS", "24 V")).of("PRT015")


def test_a_switch_behind_a_converter_to_48_v_is_asked_for_its_voltage() -> None:
    asked = judged(JOB.replace("VOLTS", "48 V")).of("GER003")
    assert [f.where for f in asked] == ["radio switch"]
    assert not judged(JOB.replace("VOLTS", "24 V")).of("GER003")
