"""What hangs behind a converter, beside a pulse or on a charger counts although it is seen nowhere else."""

from __future__ import annotations

import math

import pytest

from tests.rules.judged import assessed

CONVERTER = """
supplies:
  battery: {kind: battery, capacity: 100 Ah}
  converter: {kind: dc-dc, current: 30 A, setpoint: 12 V, when: always, efficiency: 90 %}
loads:
  lamp: {kind: heater, claims: {power: 60 W, voltage: 12 V}}
  radio: {kind: electronics, claims: unknown}
circuits:
  feed: {path: [battery, fuse: 10 A, converter], length: 3 m, wire: 2.5 mm2, return: battery -}
  lamp: {path: [converter, fuse: 10 A, lamp], length: 1 m, wire: 1 mm2}
  radio: {path: [converter, fuse: 10 A, radio], length: 1 m, wire: 1 mm2}
"""


def test_what_nobody_knows_behind_a_converter_is_not_known_before_it() -> None:
    found = assessed(CONVERTER, system="24 V").circuits["feed"]
    assert found.continuous_a is None
    # By hand: 60 W and 90 % are 66.7 W, at the battery's low end of 24 V less 5 % of it.
    assert found.known_a == pytest.approx(60.0 / 0.9 / (24.0 * 0.95))
    known = assessed(CONVERTER.replace("claims: unknown", "claims: {power: 12 W}"), system="24 V")
    assert known.circuits["feed"].continuous_a is not None


CHARGER = """
supplies:
  battery: {kind: battery, capacity: 100 Ah}
  other: {kind: battery, capacity: 100 Ah}
  alternator: none
  charger: {kind: mains charger, current: 20 A, setpoint: 14.2..16 V}
loads:
  lamp: {kind: led, claims: {power: 1.2 W}}
  torch: {kind: led, claims: {power: 1.2 W}}
circuits:
  charger: {path: [charger, fuse: 30 A, battery], length: 1 m, wire: 6 mm2}
  lamp: {path: [battery, fuse: 3 A, lamp], length: 1 m, wire: 1 mm2, return: battery -}
  torch: {path: [other, fuse: 3 A, torch], length: 1 m, wire: 1 mm2, return: other -}
"""


def test_a_charger_lifts_the_battery_that_it_charges_and_no_other() -> None:
    loads = assessed(CHARGER).loads
    # Equalising at 16 V is common practice; 0.1 A loses next to nothing of it.
    assert loads["lamp"].highest_v == pytest.approx(16.0, abs=0.02)
    assert loads["torch"].highest_v == pytest.approx(14.8, abs=0.02)


def test_a_charger_of_a_bank_lifts_each_of_its_batteries_by_its_share() -> None:
    bank = CHARGER.replace("battery: {kind: battery,", "battery: {kind: battery, bank: 2 in series,", 1)
    bank = bank.replace("14.2..16 V", "28.4..32 V").replace(
        "other: {kind: battery,", "other: {kind: battery,"
    )
    assert assessed(bank, system="24 V").loads["lamp"].highest_v == pytest.approx(32.0, abs=0.02)


def test_a_battery_to_be_taken_out_takes_no_draw_of_the_vehicle_with_it() -> None:
    body = (
        "loads: {lamp: {kind: led, claims: {power: 12 W}}}\ncircuits: {lamp: {path: [new, fuse: 3 A, lamp], "
    )
    body += (
        "return: new -, length: 1 m, wire: 1 mm2}}\nsupplies: {%s new: {kind: battery, capacity: 80 Ah}}\n"
    )
    changed = assessed(body % "old: {kind: battery, capacity: 80 Ah, state: remove},")
    alone = assessed(body % "")
    for situation, found in alone.situations.items():
        assert changed.situations[situation].supplies_a == pytest.approx(found.supplies_a)


PULSE = """
supplies: {battery: {kind: battery, capacity: 100 Ah}, alternator: {kind: alternator, rating: 150 A}}
gear: {block: {kind: block}}
return: chassis
loads:
  winch:
    {kind: heater, claims: {power: 600 W, voltage: 12 V}, duty: {run: 20 s, every: 20 min}, runs: [resting]}
  heat: {kind: heater, claims: {power: 480 W, voltage: 12 V}, runs: [driving]}
circuits:
  feed: {path: [battery, fuse: 80 A, block], length: 1 m, wire: 16 mm2}
  winch: {path: [block, winch], length: 1 m, wire: 16 mm2}
  heat: {path: [block, heat], length: 1 m, wire: 16 mm2}
"""


def test_pauses_of_one_load_do_not_cool_what_another_heats_at_another_time() -> None:
    circuits = assessed(PULSE).circuits
    # By hand: a resistance takes 14.8 / 12 of its current at the high end.
    winch_a, heat_a = 50.0 * 14.8 / 12.0, 40.0 * 14.8 / 12.0
    (own,) = (wire for wire in circuits["winch"].wires.values() if not wire.returning)
    assert own.continuous_a == pytest.approx(winch_a)
    assert own.thermal_a is not None
    assert own.thermal_a < heat_a
    for wire in circuits["feed"].wires.values():
        assert wire.thermal_a is not None
        assert wire.thermal_a >= heat_a


def test_pauses_of_a_load_do_not_cool_what_else_its_circuit_carries() -> None:
    body = PULSE.replace(
        "length: 1 m, wire: 16 mm2}\n  heat: {path",
        "length: 1 m, wire: 16 mm2, carries: 30 A}\n  heat: {path",
    )
    for wire in assessed(body).circuits["winch"].wires.values():
        assert wire.continuous_a == pytest.approx(30.0 + 50.0 * 14.8 / 12.0)
        assert wire.thermal_a is not None
        assert math.isclose(wire.thermal_a, wire.continuous_a)
