"""No cable is chosen that brings more heat to a part than such parts stand; in hot air the part counts."""

from __future__ import annotations

import pytest

from groundstrap import api
from groundstrap.assess import ReasonKind

JOB = """groundstrap: 1
title: t
system: 12 V
supplies: {{battery: {{kind: battery, at: spot, capacity: 200 Ah}}}}
zones: {{here: {{ambient: -20..{air} degC}}}}
places: {{spot: here}}
loads: {{heater: {{kind: heater, at: spot, claims: {{current: {amps} A, voltage: 12 V}}}}}}
circuits:
  heater:
    path: [battery, length: 10 cm, fuse, heater]
    length: 50 cm
    return: battery -
    insulation: 150 degC
"""


@pytest.mark.parametrize("air", [30, 60, 75])
@pytest.mark.parametrize("amps", [6, 12, 18, 30, 60, 110])
def test_cable_for_high_heat_is_not_used_up_where_it_ends_at_a_part(air: int, amps: int) -> None:
    plan = api.plan(api.read_job(JOB.format(air=air, amps=amps)))
    assert plan.design is not None
    assert plan.design.unsolved == ()
    ends = [end for pair in plan.assessment.ends.values() for end in pair if end.at_part]
    assert ends
    # 80 to 90 degC for a part of unknown limit: own judgement.
    assert max(end.conductor_c or 0.0 for end in ends) <= 90.0
    assert [f.outcome.value for f in plan.judgement.of("TRM006") if f.outcome.value == "fail"] == []


def test_the_size_is_told_that_would_have_been_too_hot() -> None:
    plan = api.plan(api.read_job(JOB.format(air=79, amps=20)))
    assert plan.design is not None
    assert plan.design.bindings["heater"].kind is ReasonKind.CONDUCTOR
    told = " ".join(api.plan_text(plan).split())
    assert "heat at a part:" in told
    assert "which stands 90 degC at best" in told


def test_in_air_that_no_usual_part_stands_the_part_is_asked_for() -> None:
    plan = api.plan(api.read_job(JOB.format(air=100, amps=30)))
    assert plan.design is not None
    assert plan.design.sizes
    asked = plan.judgement.of("TRM006")
    assert {f.outcome.value for f in asked} == {"unknown"}
    assert {f.level.value for f in asked} == {"note"}
