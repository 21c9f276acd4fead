"""A circuit that is taken from behind a written fuse gets no larger one than that."""

from __future__ import annotations

from groundstrap.design import choose
from groundstrap.job import read_job
from groundstrap.vet import estimates

JOB = """
groundstrap: 1
title: a cool box behind a socket
system: 12 V
places: {bay: cabin}
supplies:
  battery: {kind: battery, resistance: 0.5 mohm, rested: 12.7 V, at: bay}
  alternator: none
gear: {socket: {kind: connector, at: bay, rating: 15 A}}
loads:
  phone: {kind: electronics, claims: {power: 20 W}, at: bay}
  cool box: {kind: compressor, claims: {power: 45 W}, at: bay}
circuits:
  socket feed: {path: [battery, {fuse: 15 A}, socket, phone], length: 1 m, wire: 2.5 mm2, state: existing}
  cool box: {path: [socket feed fuse out, fuse, cool box], length: 1 m}
"""


def test_no_larger_fuse_than_the_one_before_it() -> None:
    """Own judgement: 30 A behind 15 A never opens first; more than 2 kA there are for the rules to tell."""
    installation = read_job(JOB).installation
    choice = choose(installation, estimates(installation)).fuses["cool box fuse"]
    assert choice.rating_a <= 15.0
