"""The crossing of a function is found to its tolerance."""

import math

import pytest

from groundstrap.physics._root import crossing

FUNCTIONS = {
    "parabola": (lambda x: x * x - 2, 0.0, 2.0, math.sqrt(2)),
    "cosine": (lambda x: math.cos(x) - x, 0.0, 1.0, 0.7390851332151607),
    "flat and steep": (lambda x: x**21 - 1e-6, 0.0, 2.0, 1e-6 ** (1 / 21)),
    "straight": (lambda x: 3 * x - 1, -5.0, 5.0, 1 / 3),
    "step": (lambda x: -1.0 if x < 0.25 else 1.0, 0.0, 1.0, 0.25),
}


@pytest.mark.parametrize("name", FUNCTIONS)
def test_finds_it(name: str) -> None:
    function, low, high, answer = FUNCTIONS[name]
    assert crossing(function, low, high, tolerance=1e-12) == pytest.approx(answer, abs=1e-11)


def test_an_end_may_be_the_answer() -> None:
    assert crossing(lambda x: x, 0.0, 1.0, tolerance=1e-12) == 0.0
    assert crossing(lambda x: x - 1, 0.0, 1.0, tolerance=1e-12) == 1.0


def test_same_signs_at_both_ends_are_an_error() -> None:
    with pytest.raises(ArithmeticError, match="same sign"):
        crossing(lambda x: x * x + 1, -1.0, 1.0, tolerance=1e-9)
