"""A vehicle without an alternator still drives: what its key feeds is not taken as drawing nothing."""

from __future__ import annotations

from groundstrap.api import plan, read_job
from groundstrap.model import Situation

CART = """groundstrap: 1
title: Luggage cart
system: 48 V
supplies:
  battery: {kind: battery, capacity: 100 Ah}
  alternator: none
gear:
  key switch: {kind: switch, when: ignition}
loads:
  lamp: {kind: led, claims: {power: 96 W}}
circuits:
  lamp: {path: [battery, fuse, key switch, lamp], length: 2 m}
"""


def test_what_the_key_feeds_draws_its_current_while_driving() -> None:
    # Charged to 57.6 V: blades are made for 58 V, too (iso-8820-3).
    charger = "  alternator: none\n  charger: {kind: mains charger, current: 10 A, setpoint: 57.6 V}"
    answer = plan(read_job(CART.replace("  alternator: none", charger)))
    assert Situation.DRIVING in answer.assessment.situations
    continuous_a = answer.assessment.circuits["lamp"].continuous_a
    # By hand: 96 W at 48 V are 2 A, at a battery's low end a little more.
    assert continuous_a is not None
    assert continuous_a >= 2.0
    fuse = answer.design.fuses["lamp fuse"] if answer.design is not None else None
    assert fuse is not None
    assert fuse.rating_a >= 2.0


def test_without_a_key_and_an_alternator_it_only_rests() -> None:
    answer = plan(read_job(CART.replace(", when: ignition", "")))
    assert set(answer.assessment.situations) == {Situation.RESTING}
