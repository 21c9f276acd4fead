"""What is left on a circuit that is there: told where it was measured, never where lives hang on it."""

from __future__ import annotations

import pytest

from groundstrap import api
from groundstrap.assess import CircuitAssessment

JOB = """groundstrap: 1
title: A radio that is there
system: 12 V
body: fibreglass
supplies: {{battery: {{kind: battery, at: bench, capacity: 70 Ah}}, alternator: none}}
zones: {{bench: {{ambient: 0..30 degC}}}}
loads: {{radio: {{kind: electronics, at: bench, claims: {{power: 48 W}}, state: existing{load}}}}}
circuits:
  {name}:
    path: [battery, {{fuse: 15 A, family: regular blade}}, radio]
    return: battery -
    length: 3 m
    wire: 2.5 mm2
    insulation: 105 degC
    state: existing
{readings}"""
READ = "readings: [{{when: resting, using: [radio], meter: handheld, values: [{value}]}}]"


def _found(name: str = "radio", load: str = "", value: str = "", *, job: str = JOB) -> CircuitAssessment:
    readings = READ.format(value=value) if value else ""
    text = job.format(name=name, load=load, readings=readings)
    return api.check(api.read_job(text)).assessment.circuits[name]


@pytest.mark.parametrize(
    ("load", "value"),
    [
        (", measured: [{current: 4 A, voltage: 12 V, meter: handheld}]", ""),
        ("", "radio: 4 A"),
        ("", "radio fuse: 4 A"),
        # Millivolts over the fuse tell it too, without waking a module.
        ("", "radio fuse: 14.2 mV"),
    ],
)
def test_what_is_left_is_told_once_it_was_measured(load: str, value: str) -> None:
    found = _found("radio", load, value)
    assert found.continuous_a is not None
    # 15 A at 30 degC: 1 of the rating at 20 degC, 0.76 at 65, and 0.8 of that for hours (maker-fuse-data).
    carries_a = 15 * (1 - 0.24 * 10 / 45) * 0.8
    assert found.spare_a == pytest.approx(carries_a - found.continuous_a)


@pytest.mark.parametrize(
    ("name", "load", "value"),
    [
        ("radio", "", ""),
        ("radio", "", "radio fuse: 35 degC"),
        ("radio", ", critical: yes", "radio: 4 A"),
        ("abs feed", "", "radio: 4 A"),
    ],
)
def test_nothing_is_told_by_a_label_alone_nor_of_what_is_for_safety(name: str, load: str, value: str) -> None:
    found = _found(name, load, value)
    assert found.spare_a is None
    assert "spare_a" in found.unknown


def test_nothing_is_told_of_a_new_circuit_nor_where_a_load_is_not_known() -> None:
    read = "radio fuse: 14.2 mV"
    assert _found(value=read, job=JOB.replace("    state: existing\n", "")).spare_a is None
    unknown = _found(value=read, job=JOB.replace("claims: {{power: 48 W}}, ", ""))
    assert unknown.spare_a is None
    assert "spare_a" in unknown.unknown
