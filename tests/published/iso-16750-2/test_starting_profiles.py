"""ISO 16750-2, 2010 and 2012 editions, from memory: supply volts while an engine is started."""

import pytest

from groundstrap.physics.storage import along, seconds_below
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


def test_profile_as_a_course_of_volts() -> None:
    """By hand, 12 V profile I: 5 ms down to 8 V, 15 there, 50 up to 9.5, 1 s there, 40 ms back to 12.

    A device that needs 9 V (code C of the standard) is without it 5 * 1/4 + 15 + 50 * 2/3 = 49.6 ms; one that
    needs 10.5 V (code D) 5 * 2.5/4 + 15 + 50 + 1000 + 40 * 0.4 = 1084.1 ms; one of code A (6 V) never.
    """
    found = starting_profile(12, "I")
    course = {"times_s": found.times_s, "volts_v": found.volts_v}
    assert along(0.0125, keys=found.times_s, values=found.volts_v) == 8
    assert along(0.5, keys=found.times_s, values=found.volts_v) == 9.5
    assert found.times_s[-1] == pytest.approx(1.110)
    # Down 3 of 4 V to 9 V: a quarter of the fall lies below, and two thirds of the rise.
    assert seconds_below(9.0, **course) == pytest.approx(0.005 / 4 + 0.015 + 0.050 * 2 / 3)
    assert seconds_below(10.5, **course) == pytest.approx(0.005 * 2.5 / 4 + 0.065 + 1.0 + 0.040 * 0.4)
    assert seconds_below(6.0, **course) == 0.0
    assert (
        seconds_below(
            6.0, times_s=starting_profile(12, "II").times_s, volts_v=starting_profile(12, "II").volts_v
        )
        > 0.015
    )
