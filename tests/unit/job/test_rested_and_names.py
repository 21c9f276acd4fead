"""Rested volts that no battery has, and names where a rating is wanted; all jobs are invented."""

from __future__ import annotations

import pytest

from groundstrap.errors import Fault, JobError
from groundstrap.job import read_job

JOB = """\
groundstrap: 1
title: Two in series
system: {system} V
supplies: {{battery: {{kind: battery, chemistry: {chemistry}, {bank}capacity: 90 Ah, rested: {rested}}}}}
loads: {{lamp: {{kind: led, claims: {{power: 20 W}}}}}}
circuits: {{lamp: {{path: [battery, fuse, {step}lamp], length: 3 m}}}}
"""
SERIES, PARALLEL = "bank: 2 in series, ", "bank: 2 in parallel, "


def _job(
    rested: str = "12.6 V", bank: str = "", system: int = 12, chemistry: str = "agm", step: str = ""
) -> str:
    return JOB.format(rested=rested, bank=bank, system=system, chemistry=chemistry, step=step)


def _fault(text: str) -> Fault:
    with pytest.raises(JobError) as refused:
        read_job(text)
    [fault] = refused.value.faults
    return fault


@pytest.mark.parametrize(
    ("rested", "bank", "system", "chemistry"),
    [
        ("12.65 V", "", 12, "flooded"),  # full; handbook-battery
        ("11.6 V", "", 12, "flooded"),  # flat; handbook-battery
        ("13.2 V", SERIES, 24, "agm"),  # full, highest printed; handbook-battery
        ("14.3 V", PARALLEL, 12, "lfp"),  # brim-full cells; paper-lfp-piecewise
        ("25.2 V", "", 24, "agm"),
        ("6.3 V", "bank: 2 in series, ", 12, "agm"),
    ],
)
def test_what_a_battery_may_rest_at_is_read(rested: str, bank: str, system: int, chemistry: str) -> None:
    supply = read_job(_job(rested, bank, system, chemistry)).installation.supplies["battery"]
    assert supply.rested_v == float(rested.removesuffix(" V"))


def test_volts_across_a_bank_are_not_those_of_one_battery() -> None:
    fault = _fault(_job("25.2 V", SERIES, 24))
    assert fault.nearest == "12.6 V"
    assert "one battery of 12 V" in fault.reason
    assert "the whole bank" in fault.reason


@pytest.mark.parametrize(
    ("rested", "bank", "system"), [("12.6 V", "", 24), ("25.2 V", PARALLEL, 12), ("126 V", "", 12)]
)
def test_volts_of_another_system_are_refused(rested: str, bank: str, system: int) -> None:
    fault = _fault(_job(rested, bank, system))
    assert fault.key == "supplies.battery.rested"
    assert fault.nearest is None


@pytest.mark.parametrize(
    ("step", "says"),
    [
        ("{connector: 13 pin}", "goes under plug"),
        ("{connector: 7-pin}", "goes under plug"),
        ("{connector: lighter socket}", "goes under plug"),
        ("{switch: thermostat}", "stands in gear"),
        ("{relay: horn relay}", "stands in gear"),
        ("{fuse: slow blow}", "goes under family"),
    ],
)
def test_a_name_where_a_rating_is_wanted_is_told_where_it_belongs(step: str, says: str) -> None:
    fault = _fault(_job(step=f"{step}, "))
    assert says in fault.wanted
    assert "a current" in fault.wanted
    assert "in gear" in fault.wanted


@pytest.mark.parametrize(("step", "nearest"), [("{switch: 20 Amps}", "20 A"), ("{connector: 13}", None)])
def test_a_current_that_is_spelt_wrong_stays_a_current(step: str, nearest: str | None) -> None:
    assert _fault(_job(step=f"{step}, ")).nearest == nearest
