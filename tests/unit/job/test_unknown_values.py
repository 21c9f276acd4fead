"""Values of a load or supply that are there and nobody knows, and values that carry a tolerance."""

from __future__ import annotations

import pytest

from groundstrap.errors import JobError
from groundstrap.model import Load, Span, Stall
from tests.support.jobs import job

FAN = "{kind: fan,"


def fan(more: str) -> Load:
    return job((FAN, f"{{kind: fan, {more},")).installation.loads["fan"]


@pytest.mark.parametrize(
    "written", ["{run: unknown, every: 4 min}", "{run: 40 s, every: unknown}", "unknown"]
)
def test_a_duty_that_nobody_knows_counts_as_continuous(written: str) -> None:
    assert fan(f"duty: {written}").duty.continuous


def test_a_motor_may_survive_a_current_that_nobody_knows() -> None:
    assert fan("stall: {current: unknown, survives: no}").stall == Stall(current_a=None, survives=False)
    assert fan("stall: {current: unknown}").stall is None


def test_how_long_a_surge_lasts_need_not_be_known() -> None:
    surge = fan("inrush: {current: 90 A, time: unknown}").inrush
    assert surge is not None
    assert (surge.current_a, surge.time_s) == (90.0, None)


@pytest.mark.parametrize("written", ["14.0..14.4 V", "14.2 V +- 0.2 V"])
def test_a_setpoint_has_the_ends_of_its_range_or_tolerance(written: str) -> None:
    found = job(
        ("alternator: none", f"alternator: {{kind: alternator, at: engine bay, setpoint: {written}}}")
    )
    setpoint = found.installation.supplies["alternator"].setpoint
    assert setpoint == Span(pytest.approx(14.0), pytest.approx(14.4))


def test_volts_that_nobody_read_are_written_as_such_and_never_left_out() -> None:
    (reading,) = fan("measured: {current: 4 A, voltage: unknown}").measured
    assert (reading.current_a, reading.voltage_v) == (4.0, None)
    with pytest.raises(JobError, match="voltage is missing"):
        fan("measured: {current: 4 A}")


def test_tolerance_of_a_reading_and_of_its_volts_is_kept() -> None:
    (reading,) = fan("measured: {current: 4 A +- 0.1 A, voltage: 12.5 V +- 0.2 V}").measured
    assert (reading.half_width, reading.voltage_half_width) == (0.1, 0.2)
    readings = """\
readings:
  - {when: driving, using: [fan], values: [fan: 4.0 A +- 0.3 A]}
"""
    (group,) = job(more=readings).installation.readings
    assert group.values[0].half_width == 0.3
