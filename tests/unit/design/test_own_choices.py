"""What is chosen does not fail the rules that sizes and ratings are chosen by."""

from __future__ import annotations

from pathlib import Path

from groundstrap import api
from groundstrap.checks import FindingOutcome

_BY_CHOICE = {"PRT001", "PRT003", "PRT004", "PRT014", "THM001", "VDP001", "STA001", "STA002"}
"""Rules that a size or a rating alone decides. What a fuse breaks, a block's slots decide too."""

CAMPER = """
groundstrap: 1
title: a camper with a lithium house battery
system: 12 V
supplies:
  starter battery: {kind: battery, at: engine bay, chemistry: flooded, capacity: 95 Ah, cranking: 800 A EN}
  alternator: {kind: alternator, at: engine bay, rating: 120 A}
  house battery: {kind: battery, at: bench, chemistry: lfp, capacity: 200 Ah, limit: 200 A}
  booster: {kind: dc-dc, at: bench, current: 40 A, setpoint: 14.4 V, efficiency: 90 %, when: engine}
places: {bench: cabin, kitchen: cabin}
routes:
  - {from: engine bay, to: bench, length: 4 m, laid: conduit}
  - {from: bench, to: kitchen, length: 2.5 m, laid: loom}
gear:
  main plus: {kind: block, at: bench, rating: 300 A, stud: M8}
  main minus: {kind: block, at: bench, rating: 300 A, stud: M8}
  fuse box: {kind: block, at: bench, rating: 100 A, ways: 12}
return: main minus
loads:
  inverter: {kind: inverter, at: bench, claims: {power: 2000 W}}
  fridge: {kind: compressor, at: kitchen, claims: {power: 60 W}, duty: 40 %}
  heater fan: {kind: fan, at: bench, claims: {current: 4 A}, inrush: {current: 12 A, time: 60 s}}
  usb sockets: {kind: electronics, at: kitchen, count: 3, claims: {power: 36 W}}
circuits:
  booster in: {path: [starter battery, length: 20 cm, fuse, booster]}
  booster out: {path: [booster, fuse, length: 20 cm, main plus]}
  house main: {path: [house battery, length: 20 cm, {fuse: 250 A, family: class T}, main plus], length: 50 cm}
  house minus: {path: [main minus, house battery -], length: 50 cm}
  chassis bond: {path: [main minus, chassis], length: 50 cm}
  inverter: {path: [main plus, fuse, inverter], length: 1 m}
  box feed: {path: [main plus, fuse, fuse box], length: 50 cm}
  fridge: {path: [fuse box, fuse, fridge]}
  heater fan: {path: [fuse box, fuse, heater fan]}
  usb sockets: {path: [fuse box, fuse, usb sockets]}
"""


def test_no_own_choice_fails_in_a_camper() -> None:
    plan = api.plan(api.read_job(CAMPER))
    assert not plan.design.unsolved
    failed = {
        (found.rule, found.where)
        for found in plan.judgement.findings
        if found.outcome is FindingOutcome.FAIL and found.rule in _BY_CHOICE
    }
    assert failed == set()
    returns = [wire for wire in plan.installation.circuits["booster in"].wires if wire.returning]
    assert [wire.length_m for wire in returns] == [0.2]


SMALL_LOADS = """
groundstrap: 1
title: two small loads at a strong battery, where only a large fuse breaks the fault
system: 12 V
return: negative bus
supplies: {battery: {kind: battery, at: locker, chemistry: agm, capacity: 100 Ah}, alternator: none}
places: {galley: cabin}
routes: [{from: locker, to: galley, length: 2 m}]
gear: {negative bus: {kind: block, at: locker, rating: 100 A}}
loads:
  fridge: {kind: heater, at: galley, claims: {power: 120 W}}
  lights: {kind: led, at: galley, claims: {power: 20 W}}
circuits:
  lights: {path: [battery, length: 20 cm, fuse, lights]}
  fridge: {path: [battery, length: 20 cm, fuse, fridge]}
  bus: {path: [negative bus, battery -], length: 30 cm}
"""


def test_a_shared_return_suits_the_larger_fuses_that_break_the_fault() -> None:
    plan = api.plan(api.read_job(SMALL_LOADS))
    assert {fuse.family for fuse in plan.design.fuses.values()} == {"marine terminal-mounted"}
    failed = {found.rule for found in plan.judgement.findings if found.outcome is FindingOutcome.FAIL}
    assert not failed & {"RET001", "RET002"}


def test_a_slot_gets_the_wire_for_the_blade_that_it_takes() -> None:
    """The example's warmer at 20 A: by its slot a blade of 35 A, however much less a bolted type would need.

    By hand: 35 A is what carries 20 A for hours at 45 degC (maker-fuse-data), and 10 mm2 allows 33 A.
    """
    text = (Path(__file__).parents[3] / "examples/hive-pickup.job.yaml").read_text(encoding="utf-8")
    read = "{current: 20 A, voltage: 13.4 V, meter: handheld}"
    plan = api.plan(api.read_job(text.replace("{resistance: 1.15 ohm, leads: 0.25 ohm, meter: basic}", read)))
    fuse = plan.design.fuses["honey warmer fuse"]
    assert (fuse.rating_a, fuse.family) == (35.0, "regular blade")
    found = [f for f in plan.judgement.findings if f.where == "honey warmer fuse"]
    assert not {f.rule for f in found if f.outcome is FindingOutcome.FAIL} & _BY_CHOICE
