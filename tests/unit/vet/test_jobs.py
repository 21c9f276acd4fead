"""Whole jobs, from their text: the example of the front page, and that every source named is a known one."""

from __future__ import annotations

from pathlib import Path

import pytest

from groundstrap.job import read_job
from groundstrap.sources import all_sources
from groundstrap.vet import BoundKind, EvidenceKind, Verdict, VettedLoad, Vetting, estimates, vet


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


BARGE = """
groundstrap: 1
title: Heater on a barge
system: 12 V
supplies: {{battery: {{kind: battery, chemistry: flooded, capacity: 90 Ah}}, alternator: none}}
loads:
  heater: {{kind: heater, claims: {{power: 48 W, voltage: 12 V, by: manual}}{more}}}
  fan: {{kind: fan, claims: {{power: 24 W, voltage: 12 V, by: manual}}}}
circuits:
  heater: {{path: [battery, fuse: 10 A, heater], return: battery -, wire: 2.5 mm2, length: 5 m}}
  fan: {{path: [battery, fuse: 5 A, fan], return: battery -, wire: 1.5 mm2, length: 5 m}}
readings:
  - {{when: resting, using: [heater], date: 2026-03-01, values: [heater: 2.0 A, heater: 12.0 V]}}
{sets}"""
READ = "  - {{when: resting, using: [heater], date: 2026-{}, values: [heater: {} A, heater: 12.0 V]}}\n"


def barge(*sets: str, more: str = "") -> VettedLoad:
    return vet(read_job(BARGE.format(sets="".join(sets), more=more)).installation).loads["heater"]


@pytest.mark.parametrize(
    ("sets", "watts", "counts"),
    [
        # Ohm: 2.0 A at 12.0 V are 24 W, 4.0 A are 48 W.
        ((), 24.0, [1.0]),
        ((READ.format("11-28", "4.0"),), 48.0, [0.0, 1.0]),
        ((READ.format("11-28", "3.0"), READ.format("11-28", "4.0")), 48.0, [0.0, 0.0, 1.0]),
        # A mend of the load or its circuit leaves the claim alone; another circuit's leaves the reading.
        (("  - {when: resting, mended: heater, date: 2026-11-28}\n",), 48.0, [0.0]),
        (("  - {when: resting, mended: fan, date: 2026-11-28}\n",), 24.0, [1.0]),
    ],
)
def test_of_what_was_read_of_a_load_the_newest_counts_and_the_older_is_told(
    sets: tuple[str, ...], watts: float, counts: list[float]
) -> None:
    found = barge(*sets)
    measured = [each for each in found.evidence if each.kind is EvidenceKind.MEASURED]
    assert [each.weight for each in measured] == counts
    assert all(("an older reading" in each.remark) == (each.weight == 0.0) for each in measured)
    assert found.estimate.power_w is not None
    assert found.estimate.power_w.value == pytest.approx(watts)


@pytest.mark.parametrize(
    ("measured", "meant"),
    [
        ("current: 4000 A, voltage: 12 V", "4000 mA"),
        ("current: 4.1 mA, voltage: 12 V", "4.1 A"),
        # 48 W at 12 V are 3 ohm.
        ("resistance: 3.1 mohm", "3.1 ohm"),
        ("resistance: 2900 ohm", "2900 mohm"),
        ("resistance: 3.3 ohm", None),
    ],
)
def test_what_would_fit_its_claim_in_another_unit_is_asked_about(measured: str, meant: str | None) -> None:
    remark = barge(more=f", measured: [{{{measured}}}]").evidence[1].remark
    assert (f"did you mean {meant}?" in remark) if meant is not None else ("did you mean" not in remark)
