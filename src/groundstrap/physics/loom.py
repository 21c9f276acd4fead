"""Several loaded conductors laid together, taken as one cylinder that gives off the sum of their heats.

The cylinder's surface follows the heat balance of ``heat``; inside it the temperature rises towards the
middle as in a rod heated evenly. All conductors are reckoned at the temperature of the middle, which errs on
the safe side for those outside.
"""

import math
from collections.abc import Sequence
from typing import Final

from groundstrap.physics._range import POSITIVE, within
from groundstrap.physics._root import crossing
from groundstrap.physics.convection import PRESSURE_PA, SEA_LEVEL_PA, Nusselt, nusselt_morgan
from groundstrap.physics.heat import (
    AMBIENT_C,
    DIAMETER_MM,
    EMISSIVITY,
    MODEL_TOP_C,
    balance_at,
    surface_heat_w_per_m,
)
from groundstrap.records import dataclass

LOOM_FILL: Final = 0.7
"""Share of a loom's circle that its cables fill. Own judgement: packed tight 0.91, loose 0.5."""
LOOM_W_PER_M_K: Final = 0.2
"""Conductivity across a loom of cables with air between them. Own judgement. [W/(m K)]"""

_TOLERANCE_K: Final = 1e-7


@dataclass(frozen=True, slots=True, kw_only=True)
class LoomState:
    """A loom in balance; with ``settles`` false it gets hotter than the model goes, and the rest is inf."""

    settles: bool
    middle_c: float
    surface_c: float
    heat_w_per_m: float


def loom_diameter_mm(outer_d_mm: Sequence[float], *, fill: float) -> float:
    """Diameter of a round loom of cables. [mm]

    Source: geometry; the cables fill a share of the circle.

    Parameters
    ----------
    outer_d_mm : sequence of float
        Diameter of each cable over its insulation. [mm]
    fill : float
        Share of the circle that they fill; one cable alone fills it. [1]

    Examples
    --------
    By hand: sqrt(4 * 3^2 / 0.72).

    >>> round(loom_diameter_mm((3.0, 3.0, 3.0, 3.0), fill=0.72), 3)
    7.071
    """
    squares = sum(diameter**2 for diameter in outer_d_mm)
    return math.sqrt(squares / (fill if len(outer_d_mm) > 1 else 1.0))


@within(loom_w_per_m_k=(0.02, 5.0))
def loom_inside_k_m_per_w(*, loom_w_per_m_k: float) -> float:
    r"""Rise of a loom's middle over its surface for each watt per metre. [K m/W]

    Source: conduction in a rod heated evenly; its diameter falls out.

    .. math:: R = 1 / (4 \pi k)

    Parameters
    ----------
    loom_w_per_m_k : float
        Conductivity across the loom. [W/(m K)]

    Examples
    --------
    By hand: 1 / (4 pi 0.2).

    >>> round(loom_inside_k_m_per_w(loom_w_per_m_k=0.2), 4)
    0.3979
    """
    return 1 / (4 * math.pi * loom_w_per_m_k)


@within(
    ambient_c=AMBIENT_C,
    loom_d_mm=DIAMETER_MM,
    inside_k_m_per_w=(0.0, 100.0),
    emissivity=EMISSIVITY,
    pressure_pa=PRESSURE_PA,
    alpha20_per_k=(0.0, 0.01),
)
def loom_state(
    currents_a: Sequence[float],
    ohm_per_m_20c: Sequence[float],
    ambient_c: float,
    *,
    alpha20_per_k: float,
    loom_d_mm: float,
    inside_k_m_per_w: float,
    emissivity: float,
    pressure_pa: float = SEA_LEVEL_PA,
    nusselt: Nusselt = nusselt_morgan,
) -> LoomState:
    """Temperatures at which a loom of loaded conductors settles. [degC, W/m]

    Source: heat balance of one cylinder with the sum of the heats. Loaded returns count as conductors.

    Parameters
    ----------
    currents_a : sequence of float
        Continuous current of each conductor. [A]
    ohm_per_m_20c : sequence of float
        Resistance of a metre of each at 20 degC. [ohm/m]
    ambient_c : float
        Temperature of the air. [degC]
    alpha20_per_k : float
        Temperature coefficient at 20 degC, one for all. [1/K]
    loom_d_mm : float
        Diameter of the loom. [mm]
    inside_k_m_per_w : float
        Rise of the middle over the surface for each watt per metre, walls included. [K m/W]
    emissivity : float
        Share of a black surface's radiation. [1]
    pressure_pa : float
        Pressure of the air; sea level where left out. [Pa]
    nusselt : callable
        The correlation of natural convection; Morgan's where left out.

    Examples
    --------
    Four times 15 A in 2.5 mm2: warmer than one alone, which would stand at 37 degC.

    >>> state = loom_state([15.0] * 4, [0.0076] * 4, 30, alpha20_per_k=0.00393, loom_d_mm=8.6,
    ...                    inside_k_m_per_w=0.4, emissivity=0.9)
    >>> state.settles, round(state.middle_c), round(state.heat_w_per_m, 1)
    (True, 51, 7.7)
    """
    made_20c = sum(i**2 * r for i, r in zip(currents_a, ohm_per_m_20c, strict=True))

    def given(surface_c: float) -> float:
        return surface_heat_w_per_m(
            surface_c,
            ambient_c,
            outer_d_mm=loom_d_mm,
            emissivity=emissivity,
            pressure_pa=pressure_pa,
            nusselt=nusselt,
        )

    def surplus(surface_c: float) -> float:
        heat = given(surface_c)
        return heat - made_20c * (1 + alpha20_per_k * (surface_c + heat * inside_k_m_per_w - 20))

    if made_20c == 0.0:
        return LoomState(settles=True, middle_c=ambient_c, surface_c=ambient_c, heat_w_per_m=0.0)
    if surplus(MODEL_TOP_C) <= 0.0:
        return _RUNS_AWAY
    surface_c = crossing(surplus, ambient_c, MODEL_TOP_C, tolerance=_TOLERANCE_K)
    heat = given(surface_c)
    middle_c = surface_c + heat * inside_k_m_per_w
    if middle_c > MODEL_TOP_C:
        return _RUNS_AWAY
    return LoomState(settles=True, middle_c=middle_c, surface_c=surface_c, heat_w_per_m=heat)


_RUNS_AWAY: Final = LoomState(settles=False, middle_c=math.inf, surface_c=math.inf, heat_w_per_m=math.inf)


@within(single_a=POSITIVE, alone_a=POSITIVE)
def bundle_factor(single_a: float, *, alone_a: float) -> float:
    """Share of its own capacity that a conductor keeps in a loom. [1]

    Source: definition.

    Parameters
    ----------
    single_a : float
        Current that it may carry in the loom. [A]
    alone_a : float
        Current that it may carry alone. [A]

    Examples
    --------
    >>> bundle_factor(21.0, alone_a=35.0)
    0.6
    """
    return single_a / alone_a


@within(
    limit_c=(-60.0, MODEL_TOP_C),
    ambient_c=AMBIENT_C,
    loom_d_mm=DIAMETER_MM,
    inside_k_m_per_w=(0.0, 100.0),
    emissivity=EMISSIVITY,
    pressure_pa=PRESSURE_PA,
)
def loom_heat_at_limit_w_per_m(
    limit_c: float,
    ambient_c: float,
    *,
    loom_d_mm: float,
    inside_k_m_per_w: float,
    emissivity: float,
    pressure_pa: float = SEA_LEVEL_PA,
    nusselt: Nusselt = nusselt_morgan,
) -> float:
    """Heat that a loom gives off with its middle at a limit: what its conductors may make. [W/m]

    Source: heat balance of one cylinder. For n alike conductors the current is sqrt(heat / (n R)).

    Parameters
    ----------
    limit_c : float
        Temperature of the middle; not under the ambient. [degC]
    ambient_c : float
        Temperature of the air. [degC]
    loom_d_mm : float
        Diameter of the loom. [mm]
    inside_k_m_per_w : float
        Rise of the middle over the surface for each watt per metre. [K m/W]
    emissivity : float
        Share of a black surface's radiation. [1]
    pressure_pa : float
        Pressure of the air; sea level where left out. [Pa]
    nusselt : callable
        The correlation of natural convection; Morgan's where left out.

    Examples
    --------
    >>> round(loom_heat_at_limit_w_per_m(70, 30, loom_d_mm=8.6, inside_k_m_per_w=0.4, emissivity=0.9), 1)
    15.9
    """
    return balance_at(
        limit_c,
        ambient_c,
        outer_d_mm=loom_d_mm,
        wall_k_m_per_w=inside_k_m_per_w,
        emissivity=emissivity,
        pressure_pa=pressure_pa,
        nusselt=nusselt,
    ).heat_w_per_m
