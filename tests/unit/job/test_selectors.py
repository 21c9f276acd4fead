"""A switch with several positions closes one of them: what hangs on the others is off and adds nothing."""

from __future__ import annotations

import pytest

from groundstrap.assess import assess
from groundstrap.job import read_job
from groundstrap.vet import vet

HEAD = (
    "groundstrap: 1\ntitle: Selector\nsystem: 12 V\nsupplies: {battery: {kind: battery}, alternator: none}\n"
)
WINDLASS = f"""{HEAD}
gear:
  buttons: {{kind: switch, ways: [up, down], at: cabin}}
  up relay: {{kind: relay, at: cabin, coil: 2 A}}
  down relay: {{kind: relay, at: cabin, coil: 3 A}}
loads:
  windlass: {{kind: motor, claims: {{current: 60 A}}, at: cabin}}
circuits:
  wind: {{path: [battery, fuse: 80 A, up relay, windlass], return: battery -, length: 3 m, wire: 25 mm2}}
  unwind: {{path: [battery, fuse: 80 A, down relay, windlass], length: 3 m, wire: 25 mm2}}
  control: {{path: [battery, fuse: 5 A, buttons], length: 3 m, wire: 1.5 mm2}}
  up: {{path: [buttons up, up relay coil], return: battery -, length: 2 m, wire: 1.5 mm2}}
  down: {{path: [buttons down, down relay coil], return: battery -, length: 2 m, wire: 1.5 mm2}}
"""
FAN = f"""{HEAD}
gear:
  speed: {{kind: switch, ways: [low, high], at: cabin}}
  strip: {{kind: block, at: cabin}}
loads:
  slow fan: {{kind: heater, claims: {{power: 24 W, voltage: 12 V}}, at: cabin}}
  fast fan: {{kind: heater, claims: {{power: 60 W, voltage: 12 V}}, at: cabin}}
  lamp: {{kind: heater, claims: {{power: 12 W, voltage: 12 V}}, at: cabin}}
circuits:
  feed: {{path: [battery, fuse: 15 A, speed], length: 2 m, wire: 2.5 mm2}}
  low: {{path: [speed low, slow fan], return: battery -, length: 1 m, wire: 2.5 mm2}}
  high: {{path: [speed high, strip], length: 1 m, wire: 2.5 mm2}}
  fast: {{path: [strip, fast fan], return: battery -, length: 1 m, wire: 2.5 mm2}}
  lamp: {{path: [strip, lamp], return: battery -, length: 1 m, wire: 2.5 mm2}}
"""


def _carried(job: str, circuit: str) -> float | None:
    installation = read_job(job).installation
    estimates = {name: load.estimate for name, load in vet(installation).loads.items()}
    return assess(installation, estimates).circuits[circuit].continuous_a


def test_of_two_coils_the_larger_counts() -> None:
    # By hand: coils of 2 A and 3 A at 12 V are 6 and 4 ohm; the larger takes 14.8 V / 4 ohm.
    assert _carried(WINDLASS, "control") == pytest.approx(3.0 * 14.8 / 12.0)
    assert _carried(WINDLASS, "up") == pytest.approx(2.0 * 14.8 / 12.0)


def test_what_a_position_feeds_through_a_block_belongs_to_it() -> None:
    loads = read_job(FAN).installation.loads
    assert loads["slow fan"].never_with == {"fast fan", "lamp"}
    assert loads["fast fan"].never_with == {"slow fan"}
    # By hand: 60 W + 12 W of resistance at 12 V take 6 A, at 14.8 V 7.4 A; the 24 W are off then.
    assert _carried(FAN, "feed") == pytest.approx(6.0 * 14.8 / 12.0)


def test_a_load_behind_both_positions_is_kept_apart_from_none() -> None:
    loads = read_job(WINDLASS).installation.loads
    assert not loads["windlass"].never_with
    assert loads["up relay coil"].never_with == {"down relay coil"}


def test_switches_of_their_own_add() -> None:
    job = FAN.replace(
        "speed: {kind: switch, ways: [low, high], at: cabin}", "speed: {kind: block, at: cabin}"
    )
    job = job.replace("speed low, ", "speed, switch, ").replace("speed high, ", "speed, switch, ")
    assert _carried(job, "feed") == pytest.approx(8.0 * 14.8 / 12.0)
