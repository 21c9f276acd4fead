"""Pulse trains in a fuse beside SciPy, which integrates the same law step by step."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from groundstrap.errors import OutOfRangeError
from groundstrap.physics.pulses import (
    Pulse,
    element_time_constant_s,
    highest_share,
    pulse_train,
    share_after,
)

LAMP = Pulse(peak_a=120, steady_a=8, decay_s=0.03, run_s=1.5)
MOTOR = Pulse(peak_a=60, steady_a=12, decay_s=0.25, run_s=4.0)
BLOCK = Pulse(peak_a=35, steady_a=35, decay_s=1.0, run_s=0.4)
TRAINS = {
    "lamp": (LAMP, 6.0, 0.0),
    "motor": (MOTOR, 9.0, 3.0),
    "block": (BLOCK, 0.9, 2.0),
    "without a pause": (BLOCK, 0.4, 0.0),
}
# own judgement: a blade of 20 A, melting integral 520 A2s (maker-fuse-data), melts in the end at 25 A
MELTING_A2S, TAU_S = 520.0, 520.0 / 25**2


def stretch(pulse: Pulse, share: float, time_s: float) -> tuple[float, float]:
    """Highest and last share of one stretch, from its start."""

    def rate(since_s: float, now: float) -> float:
        current_a = pulse.steady_a + (pulse.peak_a - pulse.steady_a) * math.exp(-since_s / pulse.decay_s)
        return current_a**2 / MELTING_A2S - now / TAU_S

    run = solve_ivp(
        rate,
        (0, time_s),
        [share],
        method="DOP853",
        rtol=1e-9,
        atol=1e-12,
        t_eval=np.linspace(0, time_s, 4001),
    )
    return float(run.y[0].max()), float(run.y[0][-1])


def integrated(name: str, cycles: int) -> tuple[float, float]:
    """Highest share in the last of so many cycles, and the share at its end."""
    pulse, every_s, rest_a = TRAINS[name]
    rest = Pulse(peak_a=rest_a, steady_a=rest_a, decay_s=1, run_s=every_s)
    highest, share = 0.0, 0.0
    for _ in range(cycles):
        highest, share = stretch(pulse, share, pulse.run_s)
        if every_s > pulse.run_s:
            _, share = stretch(rest, share, every_s - pulse.run_s)
    return highest, share


@pytest.mark.parametrize("name", TRAINS)
def test_a_train_peaks_where_the_integral_does(name: str) -> None:
    """Asked for: 1 %. Found: a thousandth of that; what is left is SciPy's spacing about the peak."""
    pulse, every_s, rest_a = TRAINS[name]
    ours = pulse_train(pulse, every_s=every_s, rest_a=rest_a, melting_a2s=MELTING_A2S, time_constant_s=TAU_S)
    highest, last = integrated(name, 25)
    assert ours.peak_share == pytest.approx(highest, rel=1e-4)
    assert ours.start_share == pytest.approx(last, rel=1e-5, abs=1e-9)


@pytest.mark.parametrize("peak_a", [24.0, 26.0, 30.0, 34.0, 60.0])
def test_it_melts_in_the_pulse_in_which_the_integral_does(peak_a: float) -> None:
    pulse = Pulse(peak_a=peak_a, steady_a=peak_a, decay_s=1.0, run_s=0.5)
    tau_s, melting_a2s, every_s = 4.0, 1200.0, 0.9
    ours = pulse_train(pulse, every_s=every_s, rest_a=0, melting_a2s=melting_a2s, time_constant_s=tau_s)
    share, melts_in = 0.0, math.inf
    for number in range(1, 200):
        run = solve_ivp(
            lambda _, u: peak_a**2 / melting_a2s - u / tau_s, (0, 0.5), [share], rtol=1e-10, atol=1e-12
        )
        if run.y[0][-1] >= 1:
            melts_in = number
            break
        share = float(run.y[0][-1]) * math.exp(-(every_s - 0.5) / tau_s)
    assert ours.pulses_to_melt == melts_in
    assert (ours.peak_share >= 1) == (melts_in < math.inf)


def test_a_short_pulse_adds_its_heat_integral() -> None:
    """maker-fuse-data, wave shapes: half of the rectangle over one time constant."""
    pulse = Pulse(peak_a=100, steady_a=0, decay_s=0.02, run_s=0.5)
    found = highest_share(0.1, pulse=pulse, melting_a2s=520, time_constant_s=1e6)
    assert found == pytest.approx(0.1 + 100**2 * 0.02 / 2 / 520, rel=1e-5)


def test_for_ever_it_settles_at_the_square_of_the_current() -> None:
    pulse = Pulse(peak_a=20, steady_a=20, decay_s=1, run_s=1e4)
    tau_s = element_time_constant_s(520, melts_at_a=25)
    assert share_after(0, 1e4, pulse=pulse, melting_a2s=520, time_constant_s=tau_s) == pytest.approx(0.64)


def test_decay_as_fast_as_the_element_has_its_own_branch() -> None:
    even = Pulse(peak_a=30, steady_a=10, decay_s=0.8, run_s=3)
    beside = Pulse(peak_a=30, steady_a=10, decay_s=0.8 * (1 + 1e-7), run_s=3)
    for pulse in (even, beside):
        run = solve_ivp(
            lambda t, u, p=pulse: (10 + 20 * math.exp(-t / p.decay_s)) ** 2 / 520 - u / 0.8,
            (0, 1.3),
            [0.2],
            rtol=1e-10,
            atol=1e-12,
        )
        ours = share_after(0.2, 1.3, pulse=pulse, melting_a2s=520, time_constant_s=0.8)
        assert ours == pytest.approx(run.y[0][-1], rel=1e-6)


def test_what_flows_between_the_pulses_may_melt_it_alone() -> None:
    train = pulse_train(BLOCK, every_s=1, rest_a=30, melting_a2s=MELTING_A2S, time_constant_s=TAU_S)
    assert train.pulses_to_melt == 0
    assert train.peak_share > 1


@pytest.mark.parametrize(
    ("pulse", "every_s"),
    [
        (Pulse(peak_a=1, steady_a=2, decay_s=1, run_s=1), 2),
        (Pulse(peak_a=2, steady_a=1, decay_s=0, run_s=1), 2),
        (Pulse(peak_a=math.nan, steady_a=1, decay_s=1, run_s=1), 2),
        (Pulse(peak_a=2, steady_a=1, decay_s=1, run_s=3), 2),
    ],
)
def test_what_is_no_pulse_is_refused(pulse: Pulse, every_s: float) -> None:
    with pytest.raises(OutOfRangeError):
        pulse_train(pulse, every_s=every_s, rest_a=0, melting_a2s=100, time_constant_s=1)
