"""Whose fuses bound what comes back through a cable."""

from __future__ import annotations

from groundstrap.assess import wire_up
from groundstrap.assess.comeback import circuits_back
from groundstrap.job import read_job
from groundstrap.vet import estimates

JOB = """
groundstrap: 1
title: a winch with its own way back beside lamps on the body
system: 12 V
supplies:
  battery: {kind: battery, at: engine bay, capacity: 90 Ah}
  alternator: {kind: alternator, at: engine bay, rating: 80 A}
loads:
  winch: {kind: motor, at: outside, claims: {current: 150 A}}
  lamp: {kind: led, at: outside, claims: {power: 30 W}}
circuits:
  earth: {path: [chassis at engine bay, battery -], wire: 35 mm2, length: 50 cm}
  charge: {path: [alternator, fuse: 100 A, length: 15 cm, battery], length: 1 m}
  alternator earth: {path: [alternator -, chassis at engine bay], wire: 35 mm2, length: 50 cm}
  winch: {path: [battery, length: 15 cm, fuse, winch], return: [battery -], length: 3 m}
  lamp: {path: [battery, length: 15 cm, fuse, lamp], return: [chassis at outside], length: 3 m}
"""


def test_what_the_alternator_feeds_is_bounded_by_the_alternator() -> None:
    """With the engine on, the winch's current comes by the earth too, no more than the alternator gives."""
    installation = read_job(JOB).installation
    wiring = wire_up(installation, estimates(installation))
    earth = next(wire.name for wire in installation.circuits["earth"].wires)
    assert "winch" in wiring.currents.pieces[earth].loads
    assert circuits_back(wiring, earth) == ("lamp",)
