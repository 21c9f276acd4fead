"""JCGM 100 and 101 applied to the evidence about a load: what `vet` gives against trials made on their own.

Sources: JCGM 100, 4.3.7 (a maker's bound is rectangular), 5.2.2 (what is shared counts fully correlated);
JCGM 101, 7 (trials of the whole model, nothing linearised). The readings are invented.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from groundstrap.model import MeterSpec, Uncertain
from groundstrap.vet import VettedLoad
from tests.unit.vet.evidence import BASIC, HANDHELD, flow, ohms, vetted

TRIALS = 400_000
Trials = NDArray[np.float64]


def _power(load: VettedLoad) -> Uncertain:
    assert load.estimate.power_w is not None
    return load.estimate.power_w


def _bound(random: np.random.Generator, half_width: float) -> Trials:
    return random.uniform(-half_width, half_width, TRIALS)


def test_ohms_less_leads_by_trials() -> None:
    # basic: 0.8 % and 2 digits of 0.01 ohm, one gain for both readings; hot over cold 1.00 to 1.03.
    random = np.random.default_rng(1)
    gain = _bound(random, 0.008)
    reading = 1.15 / (1 + gain) + _bound(random, 0.02)
    leads = 0.25 / (1 + gain) + _bound(random, 0.02)
    power = 144 / ((reading - leads) * random.uniform(1.00, 1.03, TRIALS))
    found = _power(vetted(measured=(ohms(1.15, leads=0.25, meter=BASIC),)))
    assert found.value == pytest.approx(power.mean(), rel=0.003)
    # The maker's '% + digits' is one bound (4.3.7), wider than two parts on their own.
    ours = (found.high - found.low) / 3.92
    assert power.std() <= ours <= 1.35 * power.std()


def test_unnulled_leads_by_trials() -> None:
    random = np.random.default_rng(2)
    reading = 2.0 / (1 + _bound(random, 0.008)) + _bound(random, 0.02)
    power = 144 / ((reading - random.uniform(0.2, 0.5, TRIALS)) * random.uniform(1.00, 1.03, TRIALS))
    found = _power(vetted(measured=(ohms(2.0, leads=None, meter=BASIC),)))
    assert found.value == pytest.approx(power.mean(), rel=0.01)
    assert (found.high - found.low) / 3.92 == pytest.approx(power.std(), rel=0.05)
    low, high = np.quantile(power, (0.025, 0.975))
    assert found.low <= low
    # One-sided in the resistance, so the power leans upwards; the normal interval misses less than 1 % of it.
    assert found.high == pytest.approx(high, rel=0.02)


def _weighted_by_trials(*, one_meter: bool) -> tuple[float, float]:
    """Least-squares mean of two readings of 12.0 A and 12.1 A at 12.5 V: value and spread over trials."""
    random = np.random.default_rng(3)
    gains = [_bound(random, 0.01) for _ in range(2)]
    volt_gains = [_bound(random, 0.005) for _ in range(2)]
    if one_meter:
        gains[1], volt_gains[1] = gains[0], volt_gains[0]
    # Independent parts as wide as the bound taken as a whole: '1 % + 3 digits' is one rectangle.
    powers = []
    for reading, gain, volt_gain in zip((12.0, 12.1), gains, volt_gains, strict=True):
        own = np.sqrt((0.01 * reading + 0.03) ** 2 - (0.01 * reading) ** 2)
        own_v = np.sqrt((0.005 * 12.5 + 0.02) ** 2 - (0.005 * 12.5) ** 2)
        amps = reading * (1 + gain) + _bound(random, own)
        volts = 12.5 * (1 + volt_gain) + _bound(random, own_v)
        powers.append(amps * 12.5 * (12.5 / volts))
    mean = (powers[0] + powers[1]) / 2
    return float(mean.mean()), float(mean.std())


@pytest.mark.parametrize("one_meter", [True, False])
def test_two_readings_by_trials(*, one_meter: bool) -> None:
    second = HANDHELD if one_meter else MeterSpec(text="another", name="handheld")
    found = _power(vetted(measured=(flow(12.0, 12.5), flow(12.1, 12.5, meter=second))))
    mean, spread = _weighted_by_trials(one_meter=one_meter)
    assert found.value == pytest.approx(mean, rel=0.002)
    assert (found.high - found.low) / 3.92 == pytest.approx(spread, rel=0.02)


def test_the_interval_covers_the_truth_as_often_as_it_says() -> None:
    # 2,000 heaters of 0.9 ohm, each read with another basic meter: 95 % of the intervals hold the truth, or
    # more, since a rectangular bound has no tails.
    random = np.random.default_rng(4)
    truth = 144 / (0.9 * 1.015)
    inside = 0
    for _ in range(2_000):
        reading = 0.9 * (1 + random.uniform(-0.008, 0.008)) + random.uniform(-0.02, 0.02)
        found = _power(vetted(measured=(ohms(reading, leads=0.0, meter=BASIC),)))
        inside += found.low <= truth <= found.high
    assert inside >= 0.95 * 2_000


def test_agreement_is_found_as_often_as_chi_square_says() -> None:
    # Readings whose errors are as large as their meters allow disagree at 5 % no more often than that.
    random = np.random.default_rng(5)
    disagreeing = 0
    for _ in range(1_000):
        first, second = (
            14.0 * (1 + random.uniform(-0.01, 0.01)) + random.uniform(-0.03, 0.03) for _ in range(2)
        )
        other = MeterSpec(text="another", name="handheld")
        load = vetted(measured=(flow(first, 13.5), flow(second, 13.5, meter=other)))
        disagreeing += not load.consistent.flag
    assert disagreeing <= 0.05 * 1_000
