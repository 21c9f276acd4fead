"""ISO 16750-2, 2010 and 2012 editions, from memory: supply volts while an engine is started."""

import pytest

from groundstrap.tables import starting_profile


@pytest.mark.parametrize(
    ("system_v", "profile", "lowest_v", "held_v", "held_s", "back_ms"),
    [
        (12, "I", 8, 9.5, 1, 40),
        (12, "II", 4.5, 6.5, 10, 100),
        (12, "III", 3, 5, 1, 100),
        (12, "IV", 6, 6.5, 10, 100),
        (24, "I", 10, 20, 1, 40),
        (24, "II", 8, 15, 10, 100),
        (24, "III", 6, 10, 1, 40),
    ],
)
def test_profiles(
    system_v: float, profile: str, lowest_v: float, held_v: float, held_s: float, back_ms: float
) -> None:
    found = starting_profile(system_v, profile)
    assert (found.lowest_v, found.held_v, found.held_s) == (lowest_v, held_v, held_s)
    assert found.back_s == pytest.approx(back_ms / 1000)
    assert found.known == "from memory"


def test_the_older_pulse_lies_within() -> None:
    """ISO 7637-2 pulse 4, secondary page: 12 V falls by 4 to 7 V, then is 2.5 to 6 V low for 0.5 to 20 s."""
    first = starting_profile(12, "I")
    assert 12 - 7 <= first.lowest_v <= 12 - 4
    assert 12 - 6 <= first.held_v <= 12 - 2.5
    assert 0.5 <= first.held_s <= 20
    assert first.lowest_s <= 0.040


def test_profile_three_is_the_severe_one() -> None:
    """A component primer: below or about 3 V for 15 to 50 ms, then some 6 V."""
    severe = starting_profile(12, "III")
    assert severe.lowest_v <= 3
    assert 0.015 <= severe.lowest_s <= 0.050
