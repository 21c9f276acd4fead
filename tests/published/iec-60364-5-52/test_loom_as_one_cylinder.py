"""A loom taken as one cylinder, beside the printed grouping factors. All conductors loaded alike.

2.5 mm2 with a thick wall of PVC (DIN ISO 6722-3); fill and conductivity of the loom are the package's own
judgement. The printed steps limit; the loom may only lower.
"""

import math

import pytest

from groundstrap.physics.heat import ampacity_a
from groundstrap.physics.loom import (
    LOOM_FILL,
    LOOM_W_PER_M_K,
    bundle_factor,
    loom_diameter_mm,
    loom_heat_at_limit_w_per_m,
    loom_inside_k_m_per_w,
    loom_state,
)

OHM_PER_M, ALPHA, OUTER_D_MM, WALL, EMISSIVITY = 0.0076, 0.00393, 3.6, 0.4611, 0.9


def alone(limit_c: float) -> float:
    return ampacity_a(
        limit_c,
        30,
        ohm_per_m_20c=OHM_PER_M,
        alpha20_per_k=ALPHA,
        outer_d_mm=OUTER_D_MM,
        wall_k_m_per_w=WALL,
        emissivity=EMISSIVITY,
    )


def factor(count: int, limit_c: float) -> float:
    heat = loom_heat_at_limit_w_per_m(
        limit_c,
        30,
        loom_d_mm=loom_diameter_mm([OUTER_D_MM] * count, fill=LOOM_FILL),
        inside_k_m_per_w=loom_inside_k_m_per_w(loom_w_per_m_k=LOOM_W_PER_M_K),
        emissivity=EMISSIVITY,
    )
    each_a = math.sqrt(heat / (count * OHM_PER_M * (1 + ALPHA * (limit_c - 20))))
    return bundle_factor(each_a, alone_a=alone(limit_c))


# IEC 60364-5-52 table B.52.17 item 1, from memory: circuits of two loaded conductors, bunched.
BUNCHED = {
    2: 0.80,
    3: 0.70,
    4: 0.65,
    5: 0.60,
    6: 0.57,
    7: 0.54,
    8: 0.52,
    9: 0.50,
    12: 0.45,
    16: 0.41,
    20: 0.38,
}


@pytest.mark.parametrize("circuits", BUNCHED)
def test_circuits_bunched(circuits: int) -> None:
    """The table counts from one circuit, which is two conductors: at most 0.05 under it, nowhere above."""
    ours = factor(2 * circuits, 70) / factor(2, 70)
    assert BUNCHED[circuits] - 0.05 <= ours <= BUNCHED[circuits] + 0.005


# 33 CFR 183.425 table 5 note 2: share that each of so many conductors keeps, and what the loom says.
STEPS = {
    3: (0.70, 0.73),
    4: (0.60, 0.66),
    6: (0.60, 0.57),
    7: (0.50, 0.54),
    24: (0.50, 0.35),
    30: (0.40, 0.32),
}


@pytest.mark.parametrize("count", STEPS)
def test_steps_of_the_boat_rule(count: int) -> None:
    """Within 0.06 at the foot of each step; one step for 7 to 24 conductors flatters the fuller looms."""
    printed, known = STEPS[count]
    ours = factor(count, 105)
    assert ours == pytest.approx(known, abs=0.006)
    assert ours - printed < 0.065


def test_the_loom_at_that_current_stands_at_the_limit() -> None:
    each_a = factor(7, 105) * alone(105)
    state = loom_state(
        [each_a] * 7,
        [OHM_PER_M] * 7,
        30,
        alpha20_per_k=ALPHA,
        loom_d_mm=loom_diameter_mm([OUTER_D_MM] * 7, fill=LOOM_FILL),
        inside_k_m_per_w=loom_inside_k_m_per_w(loom_w_per_m_k=LOOM_W_PER_M_K),
        emissivity=EMISSIVITY,
    )
    assert state.settles
    assert state.middle_c == pytest.approx(105, abs=1e-5)
