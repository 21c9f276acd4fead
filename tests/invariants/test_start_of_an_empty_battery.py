"""What an emptying battery still turns: less and less, and nothing once it is empty."""

from __future__ import annotations

import numpy as np
import pytest

from groundstrap.endure import endure
from groundstrap.endure.battery import batteries_of
from groundstrap.endure.starts import cranking_of, need_of
from groundstrap.report.endurance_words import start_words
from groundstrap.report.figures import Display
from tests.invariants.test_endure import HEAD, wired

STATES_PCT = (-5.0, 0.0, 2.4, 10.0, 19.9, 20.1, 50.0, 100.0)


def _job(chemistry: str, works: str = "") -> str:
    return (
        HEAD
        + f"""
supplies:
  battery: {{kind: battery, chemistry: {chemistry}, capacity: 200 Ah}}
  alternator: {{kind: alternator, rating: 60 A}}
loads:
  fridge: {{kind: electronics, claims: {{current: 5 A}}{works}}}
circuits:
  fridge: {{path: [battery, fuse, fridge], length: 4 m}}
"""
    )


@pytest.mark.parametrize("chemistry", ["flooded", "agm", "gel", "lfp"])
def test_cranking_falls_with_the_charge_and_an_empty_battery_turns_nothing(chemistry: str) -> None:
    # Common practice: cranking ability falls with the state of charge, an empty battery has none.
    wiring = wired(_job(chemistry))
    batteries, need = batteries_of(wiring.topology).batteries, need_of(wiring)
    assert need is not None
    left = np.array(STATES_PCT) / 100.0
    charge = batteries.total_ah - (1.0 - left) * batteries.rated_ah
    wells = np.stack([batteries.share * charge, (1.0 - batteries.share) * charge])
    found = cranking_of(batteries, wells, batteries.air(20.0), need)
    assert (found.holds_a[:2] == 0.0).all()
    assert not found.can[:2].any()
    assert (np.diff(found.holds_a[1:]) >= 0.0).all()
    assert found.can[-1]
    if chemistry != "lfp":
        # Where the straight line to nothing begins there is no step (own judgement).
        assert found.holds_a[4] == pytest.approx(found.holds_a[5], rel=0.03)
        assert not found.can[2]


def test_a_battery_run_flat_each_night_is_said_to_start_nothing() -> None:
    run = endure(wired(_job("agm")), days=3)
    last = run.starts[-1]
    assert (last.can, last.certain, last.holds_a) == (False, True, 0.0)
    assert str(start_words(last, Display())).startswith("no: battery is empty")
