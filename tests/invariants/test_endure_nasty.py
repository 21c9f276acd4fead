"""Days that ask for more than is there, again and again: each comes to its end, and its energy adds up."""

from __future__ import annotations

from random import Random

import pytest

from groundstrap.endure import endure
from tests.invariants.test_endure import ENERGY, HEAD, wired

KINDS = {
    "electronics": (5, 200),
    "inverter": (300, 2000),
    "heater": (150, 400),
    "motor": (50, 400),
    "led": (6, 50),
}
WORKS = (
    "",
    ", works: 10.5..15 V",
    ", works: 11.5..15 V, restart: 12.3 V",
    ", works: 11..15 V, restart: 11.0 V",
)
DUTIES = ("", ", duty: 25 %", ", duty: {run: 40 s, every: 4 min}")


def nasty(seed: int) -> str:
    """Write a day with a weak alternator, lithium in the frost, sun, and loads that take too much."""
    draw = Random(seed)
    of = draw.choice
    count = of([3, 6, 14])
    names = [f"load {number}" for number in range(count)]
    loads = "".join(
        f"  {name}: {{kind: {(kind := of(list(KINDS)))}, claims: {{power: {of(KINDS[kind])} W}}"
        f"{of(WORKS)}{of(DUTIES)}}}\n"
        for name in names
    )
    runs = "".join(
        f"  {name}: {{path: [house, fuse, {name}], length: {of([0.5, 2, 6, 12])} m}}\n" for name in names
    )
    spans = "".join(
        f"  - {{{of(['resting', 'driving', 'idling'])}: {of([1, 3, 6])} h, "
        f"using: [{', '.join(draw.sample(names, draw.randint(1, count)))}], "
        f"sun: {of([0.1, 0.8])} h, temperature: {of([-15, 20, 35])} degC}}\n"
        for _ in range(of([2, 3]))
    )
    return (
        HEAD
        + f"""
supplies:
  house: {{kind: battery, chemistry: {of(["lfp", "lfp", "agm"])}, capacity: {of([10, 40, 100])} Ah}}
  battery: {{kind: battery, chemistry: agm, capacity: 60 Ah, cranking: 600 A EN}}
  alternator: {{kind: alternator, rating: {of([20, 60])} A}}
  panel: {{kind: solar, power: {of([50, 300])} W}}
  regulator: {{kind: solar charger, current: 20 A}}
  charger: {{kind: dc-dc, current: {of([10, 60])} A, when: engine}}
loads:
{loads}circuits:
  alternator: {{path: [alternator, battery], length: 1.5 m, wire: 25 mm2}}
  panel: {{path: [panel, isolator, regulator], length: 3 m}}
  regulator: {{path: [regulator, fuse, house], length: 1 m}}
  charger in: {{path: [battery, fuse, charger], length: 3 m}}
  charger out: {{path: [charger, fuse, house], length: 1 m}}
{runs}day:
{spans}"""
    )


@pytest.mark.parametrize("seed", [2, 4, 7])
def test_a_day_that_asks_for_too_much_comes_to_its_end(seed: int) -> None:
    # Conservation of energy, and what a vehicle does: loads drop out and come back, nothing stands still.
    run = endure(wired(nasty(seed)))
    assert run.energy.error <= ENERGY
    assert all(value >= -1e-6 for value in run.energy.lost_wh.values())
    assert run.course.times_s[-1] == run.spans[-1].ends_s
    for supply in run.supplies.values():
        assert -25.0 < supply.lowest_state_pct <= 101.0
