"""Choices are judged by what they are: fuses of the types that are fitted, and each case by itself."""

from __future__ import annotations

from pathlib import Path

from groundstrap import api
from groundstrap.report.plan import Plan

# 28 A through the main fuse: 0.3 mohm between two types of 50 A (maker-fuse-data) are 8 mV of 360 mV.
BOAT = """groundstrap: 1
title: Lights at the end of their limit
system: 12 V
basis: boat
units: us
return: main negative
supplies:
  battery: {kind: battery, at: lazarette, chemistry: flooded, capacity: 105 Ah, cranking: 800 A SAE}
  outboard: {kind: alternator, at: transom, rating: 40 A, setpoint: 14.4 V}
places: {lazarette: battery box, transom: outside, helm: outside, foredeck: outside, sump: bilge}
routes:
  - {from: lazarette, to: helm, length: 9 ft, laid: conduit}
  - {from: helm, to: foredeck, length: 12 ft, laid: loom}
  - {from: lazarette, to: sump, length: 5 ft}
  - {from: lazarette, to: transom, length: 4 ft}
gear:
  battery switch: {kind: isolator, at: helm, rating: 300 A}
  panel: {kind: block, at: helm, ways: 6, rating: 100 A}
  main negative: {kind: block, at: lazarette, rating: 250 A}
  helm negative: {kind: block, at: helm, rating: 100 A}
  windlass relay: {kind: relay, at: helm, rating: 200 A, rated_for: motor, coil: 1 A, suppressor: diode}
  windlass button: {kind: switch, at: foredeck, rating: 10 A}
loads:
  windlass:
    kind: motor
    at: foredeck
    claims: {current: 141 A, voltage: 12 V}
    duty: {run: 2 min, every: 30 min}
    stall: {current: 440 A, survives: no}
  bilge pump: {kind: pump, at: sump, claims: {current: 11 A, voltage: 12 V}, critical: yes}
  running lights: {kind: led, at: foredeck, claims: {power: 22 W}, critical: yes}
  plotter: {kind: electronics, at: helm, claims: {current: 8.25 A}, works: 10..16 V}
  livewell: {kind: pump, at: helm, claims: {current: 16.5 A, voltage: 12 V}}
circuits:
  outboard: {path: [outboard, fuse: 60 A, length: 7 in, battery], length: 4 ft}
  negative: {path: [main negative, battery -], length: 2 ft}
  panel feed: {path: [battery, length: 6 in, fuse, battery switch, panel]}
  panel negative: {path: [helm negative, main negative]}
  bilge pump: {path: [battery, length: 6 in, fuse, switch, bilge pump]}
  windlass: {path: [battery, length: 6 in, fuse, windlass relay, windlass], return: [main negative]}
  windlass control: {path: [panel 1, fuse: 3 A, windlass button, windlass relay coil], return: helm negative}
  running lights: {path: [panel 2, fuse, switch, running lights], return: helm negative}
  plotter: {path: [panel 3, fuse, plotter], return: helm negative}
  livewell: {path: [panel 4, fuse, switch, livewell], return: helm negative, length: 8 ft}
"""


def _over(plan: Plan) -> list[str]:
    found = plan.assessment.circuits
    drops = {name: each.drop for name, each in found.items() if each.drop.drop_v is not None}
    return [name for name, drop in drops.items() if drop.limit_v is not None and drop.drop_v > drop.limit_v]


def test_what_the_chosen_fuses_lose_is_within_the_limit_too() -> None:
    plan = api.plan(api.read_job(BOAT))
    assert plan.design is not None
    assert not plan.design.unsolved
    assert _over(plan) == []


def test_a_starter_that_its_cable_cannot_feed_does_not_thin_the_lights() -> None:
    """Existing 4 AWG for a starter of 358 A: cranking has no answer; the lights are for the other times."""
    text = (Path(__file__).parents[3] / "examples/oyster-skiff.job.yaml").read_text(encoding="utf-8")
    plan = api.plan(api.read_job(text.replace("claims: {current: 130 A,", "claims: {current: 358 A,")))
    assert "navigation lights" not in _over(plan)
    assert "bilge pump by hand" not in _over(plan)
