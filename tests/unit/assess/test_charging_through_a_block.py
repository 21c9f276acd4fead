"""What charges a battery over a block loses the volts of its full current, as straight to the battery."""

from __future__ import annotations

import pytest

from tests.rules.judged import assessed, judged

JOB = """
supplies:
  house: {kind: battery, capacity: 100 Ah}
  MACHINE
gear: {bus: {kind: block, rating: 160 A}}
loads: {fridge: {kind: compressor, claims: {power: 60 W}}}
circuits:
  charge: {path: [SOURCE, length: 4.9 m, fuse: 125 A, bus], length: 5 m, wire: 25 mm2}
  house: {path: [house, fuse: 125 A, bus], length: 1 m, wire: 35 mm2}
  fridge: {path: [bus, fuse: 10 A, fridge], length: 3 m, wire: 2.5 mm2, return: house -}
"""
MACHINES = {
    "alternator": "alternator: {kind: alternator, rating: 100 A}",
    "charger": "charger: {kind: mains charger, current: 100 A, setpoint: 14.4 V}\n  alternator: none",
}


@pytest.mark.parametrize("machine", list(MACHINES))
def test_the_drop_is_that_of_the_full_current(machine: str) -> None:
    job = JOB.replace("MACHINE", MACHINES[machine]).replace("SOURCE", machine)
    drop = assessed(job).circuits["charge"].drop
    # By hand: 5 m of 25 mm2 and copper of 80 degC lose 100 * 5 / (58 * 25) * 1.24 = 0.43 V at 100 A; a fuse
    # of 125 A with its holder and the rings, 0.5 to 2 mohm together, 0.05 to 0.2 V.
    assert drop.drop_v is not None
    assert 0.43 + 0.05 < drop.drop_v < 0.43 + 0.2
    # Charging is allowed 3 %, common practice: 0.36 V.
    assert drop.limit_v == pytest.approx(0.36)
    assert drop.decided is False
    (found,) = [f for f in judged(job).of("VDP001") if f.where == "charge"]
    assert found.outcome.value == "fail"


def test_a_converter_that_feeds_a_block_alone_is_no_charger() -> None:
    job = JOB.replace("MACHINE", "converter: {kind: dc-dc, current: 20 A, setpoint: 12 V, when: always}")
    job = job.replace("SOURCE", "converter").replace("house: {path: [house,", "feed: {path: [house,")
    job = job.replace("fuse: 125 A, bus], length: 1 m", "fuse: 30 A, converter], length: 1 m")
    drop = assessed(job).circuits["charge"].drop
    # By hand: 5 A of the fridge on 5 m of 25 mm2 lose 0.02 V and the fuse as much.
    assert drop.drop_v is not None
    assert drop.drop_v < 0.06
