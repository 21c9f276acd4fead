"""Sparks, coils, contacts and starts, each as a small job of our own.

That nothing sparks beside open cells, that a bare coil harms what has transistors at its input, and that a
contact far above its rating welds is common practice; vehicles, names and figures are invented here.
"""

from __future__ import annotations

import pytest

from groundstrap.checks import Finding, FindingOutcome, Level
from tests.rules.judged import failed, judged
from tests.rules.test_found_in_the_field import Found

BOX = """
supplies:
  battery: {kind: battery, at: engine bay}
  house battery: {kind: battery, at: seat box, chemistry: CHEMISTRY, capacity: 100 Ah}
gear:
  split relay: {kind: relay, at: PLACE, rating: 100 A, closes: 13.3 V, opens: 12.8 V PROTECTED}
loads: {lamp: {kind: led, at: galley, claims: {power: 20 W}}}
circuits:
  split:
    path: [battery, length: 15 cm, {fuse: 80 A, family: bolt-down strip 51 mm}, split relay,
           {fuse: 80 A, family: bolt-down strip 51 mm}, length: 15 cm, house battery]
    length: 4 m
    wire: 25 mm2
  house earth: {path: [chassis at seat box, {wire: 25 mm2, length: 40 cm}, house battery -]}
  lamp:
    path: [house battery, length: 10 cm, {fuse: 3 A, family: regular blade}, lamp]
    length: 2 m
    wire: 1.5 mm2
"""


def box(
    chemistry: str = "flooded", place: str = "seat box", protected: str = ", ignition_protected: no"
) -> str:
    job = BOX.replace("CHEMISTRY", chemistry).replace(" PROTECTED", protected)
    return job.replace("PLACE", place)


CONVERTER = """
supplies:
  battery: {kind: battery, at: engine bay}
  converter: {kind: dc-dc, at: dash, current: 10 A, setpoint: 13.4 V}
gear:
  fan relay: {kind: relay, at: dash, rating: 30 A, coil: 0.15 A, suppressor: SUPPRESSOR}
loads: {fan: {kind: fan, at: dash, claims: {current: 6 A}}}
circuits:
  fan:
    path: [battery, length: 10 cm, {fuse: 15 A, family: regular blade}, fan relay, fan]
    length: 2 m
    wire: 2.5 mm2
  fan control:
    path: [battery, length: 10 cm, {fuse: 3 A, family: regular blade}, switch, fan relay coil]
    length: 2 m
    wire: 1 mm2
  converter feed:
    path: [battery, length: 10 cm, {fuse: 20 A, family: regular blade}, converter]
    length: 2 m
    wire: 4 mm2
"""
WINCH = """
supplies: {battery: {kind: battery, at: engine bay, capacity: 110 Ah}}
gear:
  solenoid: {kind: relay, at: engine bay, rating: RATING, rated_for: motor, coil: 1 A, suppressor: diode}
loads:
  winch: {kind: motor, at: bumper, claims: {current: 300 A}, duty: {run: 20 s, every: 10 min}}
circuits:
  winch:
    path: [battery, length: 15 cm, {fuse: 400 A, family: bolt-down strip 51 mm}, solenoid, winch]
    length: 2 m
    wire: 95 mm2
  winch button:
    path: [battery, length: 10 cm, {fuse: 3 A, family: regular blade}, switch, solenoid coil]
    length: 2 m
    wire: 1 mm2
"""
WRITTEN = WINCH.replace("RATING", "300 A").replace(
    "capacity: 110 Ah}}", "capacity: 110 Ah}, alternator: {kind: alternator, at: engine bay, rating: 90 A}}"
)
BEHIND = """
supplies:
  battery: {kind: battery, at: engine bay, bank: 2 in series}
  converter: {kind: dc-dc, at: dash, current: 20 A, setpoint: 13.4 V}
loads: {blower: {kind: fan, at: dash, claims: {current: 15 A}, inrush: INRUSH}}
circuits:
  feed:
    path: [battery, length: 10 cm, {fuse: 20 A, family: regular blade}, converter]
    length: 2 m
    wire: 6 mm2
  blower: {path: [converter, {fuse: 25 A, family: regular blade}, blower], length: 2 m, wire: 4 mm2}
"""

CASES = (
    Found("a relay in the seat box of a camper, beside open cells", box(), (("BOA003", "split relay"),)),
    Found("beside a battery that does not gas", box("agm"), (), silent=("BOA003",)),
    Found(
        "a zone that is written as closed, whatever it is called",
        box().replace("seat box", "under the seat")
        + "places: {under the seat: well, galley: cabin, engine bay: engine bay}\n"
        + "zones: {well: {ambient: 0..50 degC, closed: yes}}\n",
        (("BOA003", "split relay"),),
    ),
    Found(
        "a box that is open to the air",
        box()
        + "places: {seat box: well, galley: cabin, engine bay: engine bay}\n"
        + "zones: {well: {ambient: 0..50 degC, closed: no}}\n",
        (),
        silent=("BOA003",),
    ),
    Found("in the open", box(place="engine bay"), (), silent=("BOA003",)),
    Found(
        "a bare coil beside a converter", CONVERTER.replace("SUPPRESSOR", "none"), (("SWI004", "fan relay"),)
    ),
    Found("a coil with a diode", CONVERTER.replace("SUPPRESSOR", "diode"), (), silent=("SWI004",)),
    Found("a solenoid of half its winch", WINCH.replace("RATING", "150 A"), (("GER001", "solenoid"),)),
    Found(
        "a blower whose start a converter does not give",
        BEHIND.replace("INRUSH", "{current: 60 A, time: 200 ms}"),
        (("SUP023", "blower"),),
        system="24 V",
    ),
    Found(
        "a blower that starts gently",
        BEHIND.replace("INRUSH", "{current: 18 A, time: 200 ms}"),
        (),
        system="24 V",
        silent=("SUP023",),
    ),
    Found("a winch with pauses does not empty the battery", WRITTEN, (), silent=("SUP002",)),
    Found(
        "a winch of which nobody says that it pauses",
        WRITTEN.replace(", duty: {run: 20 s, every: 10 min}", ""),
        (("SUP002", "driving"),),
    ),
    Found("a solenoid of its winch", WINCH.replace("RATING", "300 A"), (), silent=("GER001",)),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_found(case: Found) -> None:
    found = failed(judged(case.job, system=case.system))
    assert set(case.finds) <= found, found
    assert not {rule for rule, _ in found} & set(case.silent), found


def findings(job: str, rule: str) -> list[Finding]:
    return [finding for finding in judged(job).findings if finding.rule == rule]


def failures(job: str, rule: str) -> list[Finding]:
    return [finding for finding in findings(job, rule) if finding.outcome is FindingOutcome.FAIL]


def test_a_short_run_far_above_a_contact_stops() -> None:
    assert [f.level for f in failures(WINCH.replace("RATING", "150 A"), "GER001")] == [Level.STOP]
    # up to a quarter above, for 20 s in 10 min, it is a caution
    assert [f.level for f in failures(WINCH.replace("RATING", "250 A"), "GER001")] == [Level.CAUTION]


def test_a_relay_beside_open_cells_of_which_nobody_says_is_asked_for() -> None:
    (found,) = findings(box(protected=""), "BOA003")
    assert found.outcome is FindingOutcome.UNKNOWN
    assert found.level is Level.STOP
