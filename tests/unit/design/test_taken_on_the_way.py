"""A circuit that is taken from the middle of a heavy one: what comes behind that is not on its way."""

from __future__ import annotations

from groundstrap import api

JOB = """groundstrap: 1
title: Lights behind the main switch of a tail lift
system: 12 V
supplies:
  battery: {kind: battery, at: box, chemistry: agm, capacity: 100 Ah, cranking: 800 A EN}
  alternator: none
places: {box: outside, tail: outside}
routes: [{from: box, to: tail, length: 4.5 m}]
gear: {main switch: {kind: isolator, at: box, rating: 300 A}}
loads:
  lift: {kind: motor, at: tail, claims: {power: 2000 W}, duty: {run: 30 s, every: 5 min}}
  lights: {kind: led, at: tail, claims: {power: 60 W}}
circuits:
  lift: {path: [battery, length: 15 cm, fuse, main switch, lift]}
  lights: {path: [main switch out, fuse, switch, lights]}
"""


def test_what_lies_behind_the_tap_is_no_part_of_its_drop() -> None:
    """By hand, Ohm: 185 A lose 0.29 V in 9 m of 120 mm2, the thickest there is, and a switch takes 0.1 V.

    The lights pass 15 cm of that alone, and nothing back: of their 5 % of 12 V (common practice) enough is
    left.
    """
    answer = api.plan(api.read_job(JOB))
    assert answer.design is not None
    assert not answer.design.unsolved
    found = answer.assessment.circuits["lights"].drop
    assert found is not None
    assert found.drop_v < found.limit_v


def test_what_is_pinned_is_judged_as_it_was_planned() -> None:
    job = api.read_job(JOB)
    pinned = api.pin(job, api.plan(job))
    assert not pinned.left_open
    checked, planned = api.check(api.read_job(pinned.text)), api.plan(job)
    assert checked.assessment.circuits["lights"].drop == planned.assessment.circuits["lights"].drop
