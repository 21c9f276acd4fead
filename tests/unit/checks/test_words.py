"""Numbers in messages: figures enough to tell a value from its limit, and no idle ones."""

from __future__ import annotations

import pytest

from groundstrap.checks.words import length, number, one_of, pair, quantity


@pytest.mark.parametrize(
    ("value", "limit", "expected"),
    [
        (30.0, 22.5, ("30 A", "22.5 A")),
        (20.04, 20.0, ("20.04 A", "20 A")),
        (1000.2, 1000.0, ("1000.2 A", "1000 A")),
        (20.0, 20.0, ("20 A", "20 A")),
        (20.0, 20.0 - 1e-12, ("20 A", "20 A")),
    ],
)
def test_a_value_and_its_limit_look_different_where_they_are(
    value: float, limit: float, expected: tuple[str, str]
) -> None:
    told = pair(value, limit, "A")
    assert (told.value, told.limit) == expected


@pytest.mark.parametrize(
    ("value", "text"), [(0.0, "0"), (-0.0001, "0"), (0.25, "0.25"), (3.0, "3"), (1667.4, "1667")]
)
def test_numbers_have_no_idle_figures(value: float, text: str) -> None:
    assert number(value) == text


def test_short_lengths_are_in_centimetres() -> None:
    assert length(0.1778) == "18 cm"
    assert length(1.0) == "1 m"


def test_a_unit_follows_its_number() -> None:
    assert quantity(70.0, "degC") == "70 degC"


def test_long_lists_are_cut_with_the_number_left_out() -> None:
    assert one_of(("a", "b")) == "a, b"
    assert one_of("abcdef") == "a, b, c and 3 more"
