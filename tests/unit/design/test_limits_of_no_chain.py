"""A limit that no chain of pieces has: nothing on the way can be blamed, and nothing breaks."""

from __future__ import annotations

from groundstrap.assess import wire_up
from groundstrap.design.bound import chain_of
from groundstrap.job import read_job
from groundstrap.vet import estimates

JOB = """
groundstrap: 1
title: one lamp
system: 12 V
loads: {lamp: {kind: led, claims: {power: 20 W}}}
circuits: {lamp: {length: 3 m}}
"""


def test_a_limit_of_no_chain_counts_no_piece() -> None:
    installation = read_job(JOB).installation
    wiring = wire_up(installation, estimates(installation))
    assert not chain_of(wiring, "nothing of that name").any()
    assert len(chain_of(wiring, "nothing of that name")) == len(wiring.topology.pieces)
