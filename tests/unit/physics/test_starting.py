"""Starts against a fuse's fastest curve and pulses in its element, against SciPy and by hand."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from groundstrap.errors import OutOfRangeError
from groundstrap.physics.starting import Surge, holding_share, starting_current_a, surge_swing

GATES = {
    "gate_multiples": (1.0, 1.35, 1.6, 2.0, 3.5, 6.0),
    "gate_least_s": (360_000, 0.75, 0.25, 0.15, 0.08, 0.03),
}
"""Type C of ISO 8820-3, 4 to 30 A: the least times of its gates."""

surges = st.builds(
    lambda running, times, time_s, ramp: Surge(
        peak_a=running * times, running_a=running, time_s=time_s, ramp=ramp
    ),
    st.floats(0.5, 40.0),
    st.floats(1.0, 20.0),
    st.floats(1e-3, 3.0),
    st.booleans(),
)


def _current_a(surge: Surge, time_s: float) -> float:
    """Written out again: what falls in a straight line, and what decays."""
    spans = time_s / surge.time_s
    left = max(0.0, 1.0 - spans) if surge.ramp else math.exp(-spans)
    return surge.running_a + (surge.peak_a - surge.running_a) * left


def _fastest_s(multiple: float) -> float:
    """Written out again: no sooner than at the next gate above, beyond the last one by its heat."""
    for gate, least_s in zip(GATES["gate_multiples"], GATES["gate_least_s"], strict=True):
        if multiple <= gate:
            return float(least_s)
    return 0.03 * (6.0 / multiple) ** 2


def _summed(parts: list[Surge], rating_a: float, rest_a: float) -> float:
    """The integral by a fine grid with ends on every jump's near side; the running share taken off."""
    end_s = max(part.time_s * (1.0 if part.ramp else 7.0) for part in parts)
    times_s = np.concatenate(([0.0], np.geomspace(1e-7, end_s, 60_001)))
    total = 0.0
    for left_s, right_s in pairwise(times_s.tolist()):
        middle = rest_a + sum(_current_a(part, 0.5 * (left_s + right_s)) for part in parts)
        total += (right_s - left_s) / _fastest_s(middle / rating_a)
    running = rest_a + sum(part.running_a for part in parts)
    if running > rating_a:
        total -= end_s / _fastest_s(running / rating_a)
    return total


@pytest.mark.parametrize(
    ("parts", "rating_a", "rest_a"),
    [
        ([Surge(peak_a=39, running_a=8, time_s=0.1)], 10.0, 0.0),
        ([Surge(peak_a=200, running_a=4, time_s=0.0005)], 5.0, 1.0),
        ([Surge(peak_a=30, running_a=12, time_s=5, ramp=True)], 15.0, 2.0),
        ([Surge(peak_a=60, running_a=5, time_s=0.02), Surge(peak_a=20, running_a=4, time_s=0.3)], 10.0, 0.5),
        ([Surge(peak_a=90, running_a=9, time_s=2e-3), Surge(peak_a=25, running_a=9, time_s=0.5)], 20.0, 0.0),
    ],
    ids=["fan", "capacitor", "ceramic heater", "lamp and motor", "capacitor and motor"],
)  # fmt: skip
def test_share_of_the_holding_time_against_a_fine_sum(
    parts: list[Surge], rating_a: float, rest_a: float
) -> None:
    """1 %: the grid of 60,000 steps passes each jump of the staircase within a ten-thousandth."""
    found = holding_share(parts, rating_a=rating_a, rest_a=rest_a, **GATES)
    assert found == pytest.approx(_summed(parts, rating_a, rest_a), rel=0.01, abs=1e-4)


@given(surge=surges, rating_a=st.floats(2.0, 60.0), rest_a=st.floats(0.0, 10.0))
def test_a_larger_fuse_holds_no_worse_and_a_harder_start_no_better(
    surge: Surge, rating_a: float, rest_a: float
) -> None:
    quiet = surge.running_a + rest_a <= rating_a
    share = holding_share([surge], rating_a=rating_a, rest_a=rest_a, **GATES)
    assert share >= -1e-9
    if quiet:
        assert holding_share([surge], rating_a=1.3 * rating_a, rest_a=rest_a, **GATES) <= share * (1 + 1e-9)
        longer = Surge(
            peak_a=surge.peak_a, running_a=surge.running_a, time_s=2.0 * surge.time_s, ramp=surge.ramp
        )
        assert holding_share([longer], rating_a=rating_a, rest_a=rest_a, **GATES) >= share * (1 - 1e-9)


@given(first=surges, second=surges)
def test_loads_that_start_together_take_the_sum(first: Surge, second: Surge) -> None:
    for time_s in (0.0, 0.01, 0.3, 2.0):
        both = starting_current_a(time_s, surges=[first, second], rest_a=1.5)
        assert both == pytest.approx(1.5 + _current_a(first, time_s) + _current_a(second, time_s))


@pytest.mark.parametrize(
    ("part", "melting_a2s", "tau_s"),
    [
        (Surge(peak_a=60, running_a=6, time_s=0.02), 308.0, 1.2),
        (Surge(peak_a=90, running_a=20, time_s=0.15), 1510.0, 1.1),
        (Surge(peak_a=240, running_a=75, time_s=0.25), 11_664.0, 1.0),
        (Surge(peak_a=30, running_a=12, time_s=4, ramp=True), 340.0, 1.0),
    ],
)
def test_swing_of_the_element_against_integration(part: Surge, melting_a2s: float, tau_s: float) -> None:
    """du/dt = i^2/A - u/tau with the start and without it, by SciPy; 1 %."""

    def heated(time_s: float, state: list[float], *, start: bool) -> list[float]:
        amps = _current_a(part, time_s) if start else part.running_a
        return [amps**2 / melting_a2s - state[0] / tau_s]

    end_s = part.time_s * (1.0 if part.ramp else 7.0)
    at_s = np.linspace(0.0, end_s, 4001)
    options = {"t_eval": at_s, "rtol": 1e-9, "atol": 1e-12, "max_step": end_s / 400}
    with_start, without = (
        solve_ivp(lambda t, u, s=start: heated(t, u, start=s), (0.0, end_s), [0.0], **options).y[0]
        for start in (True, False)
    )
    most = float((with_start - without).max())
    assert surge_swing([part], melting_a2s=melting_a2s, time_constant_s=tau_s) == pytest.approx(
        most, rel=0.01
    )


def test_no_start_takes_nothing() -> None:
    assert holding_share([], rating_a=10.0, rest_a=30.0, **GATES) == 0.0
    assert surge_swing([], melting_a2s=100.0, time_constant_s=1.0) == 0.0


@pytest.mark.parametrize("bad", [{"time_s": 0.0}, {"peak_a": 3.0}, {"running_a": -1.0}])
def test_what_is_no_start_is_refused(bad: dict[str, float]) -> None:
    values: dict[str, float] = {"peak_a": 20.0, "running_a": 4.0, "time_s": 0.1, **bad}
    surge = Surge(peak_a=values["peak_a"], running_a=values["running_a"], time_s=values["time_s"])
    with pytest.raises(OutOfRangeError):
        holding_share([surge], rating_a=10.0, rest_a=0.0, **GATES)
