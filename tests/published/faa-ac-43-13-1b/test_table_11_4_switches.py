"""FAA AC 43.13-1B: switch factors of table 11-4 (page 11-17), terminals on a stud (paragraph 11-174)."""

from __future__ import annotations

import pytest

from groundstrap.tables import NotTabled, SwitchFactor, lugs_on_stud, switch_factor

# page 11-17: by system voltage (28 V is what a 24 V system runs at) lamp, inductive, resistive, motor
PRINTED = {24.0: (8, 4, 2, 3), 12.0: (5, 2, 1, 2)}
KINDS = ("lamp", "coil", "heater", "motor")


@pytest.mark.parametrize("system_v", PRINTED)
def test_factors_are_those_of_table_11_4(system_v: float) -> None:
    for kind, printed in zip(KINDS, PRINTED[system_v], strict=True):
        found = switch_factor(kind, system_v)
        assert isinstance(found, SwitchFactor)
        assert found.factor == printed, kind


def test_what_the_table_does_not_print_is_not_made_up() -> None:
    for kind, system_v in (("lamp", 48.0), ("motor", 36.0), ("inverter", 12.0), ("other", 12.0)):
        assert isinstance(switch_factor(kind, system_v), NotTabled)


def test_a_lamp_of_5_a_at_24_v_needs_a_switch_of_40_a() -> None:
    """Note 1 of the table: the rating is the steady current times the factor."""
    found = switch_factor("lamp", 24)
    assert isinstance(found, SwitchFactor)
    assert 5 * found.factor == 40


def test_four_terminals_on_a_stud() -> None:
    """11-174 b: above four, a bar across studs."""
    assert lugs_on_stud("aircraft").most == 4
