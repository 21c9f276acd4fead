"""The body has its way back to the battery, drawn or assumed."""

from __future__ import annotations

from groundstrap.job import read_job

LAMP_ON_THE_BODY = """groundstrap: 1
title: Bus negative drawn, one lamp on the body
system: 12 V
return: negative bus
supplies: {battery: {kind: battery, at: engine bay}}
gear: {negative bus: {kind: block, at: boot}}
loads: {lamp: {kind: led, at: boot, claims: {power: 20 W}}}
circuits:
  bus negative: {path: [negative bus, battery -], length: 4 m}
  lamp: {path: [battery, fuse, lamp], length: 4 m, return: chassis}
"""


def test_a_body_that_no_cable_reaches_is_assumed_on_the_first_battery() -> None:
    installation = read_job(LAMP_ON_THE_BODY).installation
    ties = {(tie.start, tie.end) for tie in installation.ties if tie.kind == "battery negative"}
    assert ties == {("battery -", "chassis at engine bay")}
    assert any(a.where == "battery -" and "body" in a.why for a in installation.assumptions)


def test_an_earth_that_is_drawn_is_not_doubled() -> None:
    earth = "  earth: {path: [negative bus, chassis at boot], length: 30 cm}\n"
    installation = read_job(LAMP_ON_THE_BODY + earth).installation
    assert not [tie for tie in installation.ties if tie.kind == "battery negative"]
