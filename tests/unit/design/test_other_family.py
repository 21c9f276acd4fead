"""A fuse whose usual family can't break its fault: the one that is fitted decides what wires must allow."""

from __future__ import annotations

from groundstrap.design import choose
from groundstrap.job import read_job
from groundstrap.tables import BreakingCapacity, breaking_capacity, continuous_share, fuse_ratings
from groundstrap.tables.fuses import ContinuousShare
from groundstrap.vet import estimates

JOB = """
groundstrap: 1
title: a winch motor beside a large battery
system: 12 V
supplies: {battery: {kind: battery, at: tray, chemistry: agm, capacity: 95 Ah}}
places: {tray: cabin, rear: cabin}
loads:
  winch:
    kind: motor
    at: rear
    claims: {power: 900 W}
    duty: {run: 40 s, every: 6 min}
    inrush: {current: 240 A, time: 200 ms}
circuits: {winch: {path: [battery, length: 20 cm, fuse, winch], return: [battery -], length: 5 m}}
"""


def test_a_fuse_of_the_family_that_breaks_the_fault_is_no_larger_than_its_load_asks_for() -> None:
    """By hand: 900 W at 12 V are 75 A; high-current blades come in 80 and 100 A, others in 90 A."""
    installation = read_job(JOB).installation
    design = choose(installation, estimates(installation))
    fuse = design.fuses["winch fuse"]
    breaks = breaking_capacity(fuse.family, 12.0)
    share = continuous_share(fuse.family, installation.zones["cabin"].high_c)
    usual = continuous_share("high-current blade", installation.zones["cabin"].high_c)
    assert isinstance(breaks, BreakingCapacity)
    assert isinstance(share, ContinuousShare)
    assert isinstance(usual, ContinuousShare)
    assert breaks.interrupt_a >= 2000.0
    assert fuse.rating_a == 90.0
    # Short runs count by temperature alone.
    assert 80.0 * usual.re_rating < 75.0 <= 90.0 * share.re_rating
    assert 90.0 not in fuse_ratings("high-current blade")
