"""Current capacity of a cable in air by the T1/T4 method of the cable standard, beside the heat balance.

From memory; kept as a second opinion that the tests set beside published tables.
"""

import math
from typing import Final

from groundstrap.errors import OutOfRangeError
from groundstrap.physics._range import NOT_NEGATIVE, POSITIVE, within
from groundstrap.physics._root import crossing
from groundstrap.records import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Mounting:
    """Constants Z, E and g of a cable's surface in free air, for its diameter in metres."""

    z: float
    e: float
    g: float


FREE: Final = Mounting(z=0.21, e=3.94, g=0.60)
"""One cable in free air. Source: IEC 60287-2-1 table 2, from memory."""
CLIPPED_TO_WALL: Final = Mounting(z=1.69, e=0.63, g=0.25)
"""One cable on a wall. Source: IEC 60287-2-1 table 2, from memory."""


@within(outer_d_mm=(0.5, 200.0))
def surface_coefficient(outer_d_mm: float, *, mounting: Mounting) -> float:
    """Coefficient h of a cable's surface. [W/(m2 K^1.25)]

    Source: IEC 60287-2-1, 4.2.1.1: h = Z / D^g + E, from memory.

    Parameters
    ----------
    outer_d_mm : float
        Diameter over the insulation. [mm]
    mounting : Mounting
        How the cable lies.

    Examples
    --------
    By hand: 0.21 / 0.0036^0.6 + 3.94.

    >>> round(surface_coefficient(3.6, mounting=FREE), 2)
    10.08
    """
    return mounting.z / math.pow(outer_d_mm / 1000, mounting.g) + mounting.e


@within(
    limit_c=(-60.0, 250.0),
    ambient_c=(-60.0, 250.0),
    ohm_per_m_20c=POSITIVE,
    alpha20_per_k=(0.0, 0.01),
    outer_d_mm=(0.5, 200.0),
    wall_k_m_per_w=NOT_NEGATIVE,
)
def ampacity_by_standard_a(
    limit_c: float,
    ambient_c: float,
    *,
    ohm_per_m_20c: float,
    alpha20_per_k: float,
    outer_d_mm: float,
    wall_k_m_per_w: float,
    mounting: Mounting,
) -> float:
    r"""Continuous current of a direct-current cable in air, shaded from the sun. [A]

    Source: IEC 60287-1-1, 1.4.1.2, with T1 and T4 of IEC 60287-2-1, from memory.

    .. math:: I = \sqrt{\frac{\theta_c - \theta_a}{R (T_1 + T_4)}}, \quad
        T_4 = \frac{1}{\pi D h (\Delta\theta_s)^{1/4}}

    Parameters
    ----------
    limit_c : float
        Temperature of the conductor; above the ambient. [degC]
    ambient_c : float
        Temperature of the air. [degC]
    ohm_per_m_20c : float
        Resistance of a metre at 20 degC. [ohm/m]
    alpha20_per_k : float
        Temperature coefficient at 20 degC. [1/K]
    outer_d_mm : float
        Diameter over the insulation. [mm]
    wall_k_m_per_w : float
        Thermal resistance T1 of the insulation. [K m/W]
    mounting : Mounting
        How the cable lies.

    Examples
    --------
    2.5 mm2 with a thick wall of PVC (5 K m/W), on a wall, at 30 degC; VDE 0298-4 prints 32 A.

    >>> round(ampacity_by_standard_a(70, 30, ohm_per_m_20c=0.0076, alpha20_per_k=0.00393, outer_d_mm=3.6,
    ...                              wall_k_m_per_w=0.3919, mounting=CLIPPED_TO_WALL), 1)
    29.2
    """
    if limit_c <= ambient_c:
        raise OutOfRangeError("ampacity_by_standard_a", "limit_c", limit_c, ambient_c, 250.0)
    per_k125 = math.pi * outer_d_mm / 1000 * surface_coefficient(outer_d_mm, mounting=mounting)
    rise_k = limit_c - ambient_c
    surface_rise_k = crossing(
        lambda s: s + wall_k_m_per_w * per_k125 * math.pow(s, 1.25) - rise_k, 0.0, rise_k, tolerance=1e-10
    )
    heat = per_k125 * math.pow(surface_rise_k, 1.25)
    return math.sqrt(heat / (ohm_per_m_20c * (1 + alpha20_per_k * (limit_c - 20))))
