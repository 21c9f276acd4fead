"""Fuse guide: wave shapes and pulse counts; a maker's 1.6 to 1 for fuses in series."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from scipy.integrate import quad

from groundstrap.physics.fuse import pulse_budget_a2s, pulse_let_through_a2s
from groundstrap.physics.inrush import decaying_a2s, ramp_a2s
from groundstrap.tables import pulse_shape, pulse_share, selectivity_ratio

# each shape with a peak of 1 within a duration of 1, to be squared and integrated
SHAPES: dict[str, Callable[[float], float]] = {
    "rectangle": lambda _: 1.0,
    "half sine": lambda t: math.sin(math.pi * t),
    "triangle": lambda t: t,
    "parabola": lambda t: t * t,
}


@pytest.mark.parametrize("shape", SHAPES)
def test_shares_are_the_integrals_of_the_squares(shape: str) -> None:
    whole, _ = quad(lambda t: SHAPES[shape](t) ** 2, 0, 1)
    assert pulse_shape(shape) == pytest.approx(whole)


def test_an_exponential_decay_counts_half_over_its_time_constant() -> None:
    ours = decaying_a2s(1.0, peak_a=90, steady_a=0, time_constant_s=0.04)
    guide = pulse_let_through_a2s(90, 0.04, shape=pulse_shape("exponential decay"))
    assert ours == pytest.approx(guide)
    assert ramp_a2s(0, end_a=90, duration_s=0.04) == pytest.approx(
        pulse_let_through_a2s(90, 0.04, shape=pulse_shape("triangle"))
    )


def test_a_thousand_pulses_leave_117_of_308() -> None:
    """Worked from the guide's 0.38 and a melting integral of 308 A2s on a data sheet."""
    assert pulse_budget_a2s(308, pulses=1000) == pytest.approx(117.0, rel=0.01)
    assert pulse_share(1000) == 0.38


def test_100_a_needs_160_a_above_it() -> None:
    """Application guide: 1.6 to 1 for gG; a textbook asks for 2 to 1."""
    assert 100 * selectivity_ratio("gG", "gG").ratio == 160
    assert selectivity_ratio().ratio == 2
