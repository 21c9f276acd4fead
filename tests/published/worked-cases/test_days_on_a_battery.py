"""Ratings and reports run as jobs: a load left on until its terminals reach the end volts."""

import math
from itertools import pairwise

import pytest

from groundstrap.api import plan, read_job
from groundstrap.assess import wire_up
from groundstrap.endure import endure
from groundstrap.endure.day import the_day
from groundstrap.physics.charging import sun_amplitude, sun_hours

JOB = """groundstrap: 1
title: a load left on
system: 12 V
supplies:
  battery: {{kind: battery, at: shelf, chemistry: {chemistry}, capacity: {capacity}, standing: 0 A}}
zones: {{shelf zone: {{ambient: 20..30 degC}}}}
places: {{shelf: shelf zone, table: shelf zone}}
loads:
  lamp: {{kind: motor, at: table, claims: {{current: {current_a:g} A, voltage: 12 V}}, works: 10.5..15 V}}
circuits:
  lamp: {{path: [battery, fuse, lamp]}}
routes:
  - {{from: shelf, to: table, length: 0.2 m}}
day:
  - {{resting: {hours:g} h, using: [lamp], temperature: 25 degC}}
"""

SUN = """  panel: {kind: solar, at: table, power: 100 W}
  regulator: {kind: solar charger, at: shelf, current: 10 A}
zones:"""
SUN_CIRCUITS = """circuits:
  panel: {path: [panel, isolator, regulator]}
  regulator: {path: [regulator, fuse, battery]}"""


def hours_until_cut_off(capacity: str, current_a: float, hours: float, chemistry: str = "flooded") -> float:
    """A motor as a load: it takes the same current at any voltage."""
    text = JOB.format(capacity=capacity, current_a=current_a, hours=hours, chemistry=chemistry)
    found = plan(read_job(text))
    run = endure(wire_up(found.installation, found.estimates))
    assert run.first_cut_off_s is not None
    return run.first_cut_off_s / 3600


@pytest.mark.parametrize(
    ("capacity", "current_a", "hours", "within", "wrong"),
    [
        # Definition of the 20-hour rating, with 14.5 h by the form that two pages print.
        ("100 Ah", 5.0, 20.0, 0.01, 14.5),
        # Reserve capacity: 25 A to 10.5 V; C20 by IEC 60095-1, from memory. 5 % short by the wells and their
        # resistance, 2 % more by the cable and fuse of this job. C20 / I^k, k 1.2, would say 1.54 h.
        ("120 min", 25.0, 2.0, 0.08, 1.54),
        # A site claims 8 to 18 h; 90 h are right, a tenth more at so small a current.
        ("45 Ah", 0.5, 90.0, 0.10, 18.0),
    ],
)
def test_left_on(capacity: str, current_a: float, hours: float, within: float, wrong: float) -> None:
    found = hours_until_cut_off(capacity, current_a, 1.3 * hours)
    assert found == pytest.approx(hours, rel=within)
    assert found > 1.1 * wrong


@pytest.mark.parametrize("full_sun_h", [0.5, 3.0, 8.0, 8.9, 9.5, 13.9])
def test_the_sky_of_a_day(full_sun_h: float) -> None:
    """Own judgement, see `sun_amplitude`: a half sine, held against its integral over every part of the span.

    By hand: up to 2 / pi of the span, 8.9 h of 14, nothing is cut off; above it the day has one mean. All the
    sun that was written is there either way.
    """
    text = JOB.format(capacity="100 Ah", current_a=5.0, hours=14.0, chemistry="agm")
    text = text.replace("using: [lamp]", f"using: [lamp], sun: {full_sun_h:g} h").replace("zones:", SUN)
    text = text.replace("circuits:", SUN_CIRCUITS)
    parts = the_day(plan(read_job(text)).installation).stretches
    given = [part.sun * (part.ends_s - part.begins_s) / 3600 for part in parts]
    assert sum(given) == pytest.approx(full_sun_h, rel=1e-12)
    if full_sun_h > 14 * 2 / math.pi:
        assert len(parts) == 1
        return
    height = sun_amplitude(full_sun_h, span_h=14.0)
    edges = [0.0, *(part.ends_s / 3600 for part in parts)]
    sums = [sun_hours(edge, span_h=14.0, amplitude=height) for edge in edges]
    assert len(parts) == 14
    assert given == pytest.approx([b - a for a, b in pairwise(sums)], rel=1e-9)


@pytest.mark.parametrize(("temperature_c", "said"), [(-29.0, []), (-35.0, [("-29 degC", "-35 degC")])])
def test_a_start_colder_than_the_handbook_s_table_is_told(
    temperature_c: float, said: list[tuple[str, str]]
) -> None:
    """Service handbook: cranking power down to -29 degC; below it nothing is printed."""
    text = JOB.format(capacity="100 Ah", current_a=1.0, hours=1.0, chemistry="flooded")
    found = plan(read_job(text))
    run = endure(wire_up(found.installation, found.estimates), temperature_c=temperature_c)
    told = [(each.value, each.where) for each in run.assumptions if "start at" in each.where]
    assert told == [(value, f"battery: start at {temp}") for value, temp in said]
