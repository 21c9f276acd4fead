"""Whole jobs, from their text: the example of the front page, and that every source named is a known one."""

from __future__ import annotations

from pathlib import Path

import pytest

from groundstrap.job import read_job
from groundstrap.sources import all_sources
from groundstrap.vet import BoundKind, Verdict, Vetting, estimates, vet


@pytest.fixture(scope="module")
def pickup(repository: Path) -> Vetting:
    file = repository / "examples" / "hive-pickup.job.yaml"
    return vet(read_job(file.read_text(encoding="utf-8"), file.name).installation)


def test_the_honey_warmer_can_not_be_what_it_is_sold_as(pickup: Vetting) -> None:
    warmer = pickup.loads["honey warmer"]
    assert [claim.verdict for claim in warmer.claims] == [Verdict.IMPOSSIBLE]
    # 1.15 ohm less 0.25 ohm of leads is 0.9 ohm: 160 W cold at 12 V, 0 to 3 % less hot.
    assert warmer.estimate.power_w is not None
    assert warmer.estimate.power_w.low < 160 / 1.03 < warmer.estimate.power_w.value < 160
    assert {bound.kind for bound in warmer.bounds} == {BoundKind.PLUG, BoundKind.FUSE, BoundKind.WIRE}


def test_what_plugs_into_the_existing_socket_is_bound_by_the_lower_of_the_fuses_before_it(
    pickup: Vetting,
) -> None:
    """15 A before the socket, 80 A before the fuse box: a 15 A type C is sure to open at 1.35 times that."""
    bounds = pickup.loads["phone charger"].bounds
    assert {(bound.kind, bound.rating_a) for bound in bounds} == {
        (BoundKind.CIRCUIT_FUSE, 15.0),
        (BoundKind.CIRCUIT_FUSE, 80.0),
    }
    decides = min(bounds, key=lambda bound: bound.most_a)
    assert decides.rating_a == 15.0
    assert decides.most_a == pytest.approx(1.35 * 15.0)  # ISO 8820-3, operating times: sure to open at 1.35


def test_every_load_and_coil_has_an_estimate(pickup: Vetting) -> None:
    assert all(load.estimate.known for load in pickup.loads.values())
    assert "hoist solenoid coil" in pickup.loads


def test_all_sources_are_known_ones(pickup: Vetting) -> None:
    assert set(pickup.used_sources) <= set(all_sources())


def test_readings_on_the_job_join_those_at_the_bench() -> None:
    text = """
groundstrap: 1
title: Jam kettle
system: 12 V
loads:
  kettle:
    kind: heater
    claims: {power: 250 W}
    measured: [{resistance: 0.92 ohm +- 0.02 ohm, leads: 0.2 ohm, meter: basic}]
circuits:
  kettle: {path: [battery, fuse, kettle], length: 5 m}
readings:
  - when: driving
    using: [kettle]
    meter: handheld
    values:
      - kettle: 13.35 V
      - {kettle: 18.4 A, meter: 3 % + 5 digits}
"""
    kettle = vet(read_job(text).installation).loads["kettle"]
    assert kettle.consistent.flag
    assert kettle.consistent.degrees == 1
    assert kettle.estimate.at_v == 13.35
    assert kettle.estimate.power_w is not None
    assert kettle.estimate.power_w.value == pytest.approx(245, rel=0.01)


def test_lithium_rests_higher() -> None:
    text = """
groundstrap: 1
title: Light
system: 12 V
supplies: {battery: {kind: battery, chemistry: lfp}}
loads: {light: {kind: led, claims: {power: 12 W}}}
circuits: {light: {length: 2 m}}
"""
    installation = read_job(text).installation
    resting = vet(installation).loads["light"].at[0]
    assert resting.what == "resting"
    assert 13.2 <= resting.at_v <= 13.6  # rested_voltage, lithium iron phosphate
    assert estimates(installation)["light"].power_w is not None
