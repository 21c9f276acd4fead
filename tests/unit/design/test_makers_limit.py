"""A maker's largest fuse that carries the load only without the margin of common practice."""

from __future__ import annotations

import pytest

from groundstrap.assess.regions import guards
from groundstrap.assess.windows import fuse_window
from groundstrap.assess.wiring import wire_up
from groundstrap.design import choose
from groundstrap.job import read_job
from groundstrap.tables import continuous_share
from groundstrap.tables.fuses import ContinuousShare
from groundstrap.vet import estimates

JOB = """
groundstrap: 1
title: a pump whose maker wants 10 A
system: 12 V
supplies: {{battery: {{kind: battery, resistance: 20 mohm}}}}
loads: {{pump: {{kind: pump, claims: {{current: {amps}}}, largest_fuse: 10 A}}}}
circuits: {{pump: {{length: 3 m}}}}
"""


def test_the_makers_fuse_is_taken_where_it_carries_the_load_without_margin() -> None:
    """Common practice: 80 % for hours beside the re-rating by heat (maker-fuse-data); no 15 A here."""
    installation = read_job(JOB.format(amps="5 A")).installation
    design = choose(installation, estimates(installation))
    assert design.fuses["pump fuse"].rating_a == 10.0
    wiring = wire_up(design.installation, estimates(installation))
    carried_a = wiring.currents.pieces["pump fuse"].continuous_a
    share = continuous_share("regular blade", installation.zones["cabin"].high_c)
    assert isinstance(share, ContinuousShare)
    assert carried_a is not None
    assert 10.0 * share.share < carried_a <= 10.0 * share.re_rating
    window = fuse_window(wiring, guards(wiring.topology, wiring.tree)["pump fuse"])
    assert window.ratings == (10.0,)
    assert window.least_reason.limit == pytest.approx(10.0 * share.re_rating)


def test_none_is_taken_where_even_that_does_not_carry_it() -> None:
    installation = read_job(JOB.format(amps="6 A")).installation
    assert "pump fuse" not in choose(installation, estimates(installation)).fuses
