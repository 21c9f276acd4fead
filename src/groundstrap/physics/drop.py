"""Voltage drop along a run, and the smallest area for an allowed drop.

``loop`` always means out and back. The rules that trades print with a constant of their own stand here as
named forms, so that their tables can be reproduced; the tool itself reckons with the conductor's temperature.
"""

from typing import Final

from groundstrap.errors import OutOfRangeError
from groundstrap.physics._numbers import Num
from groundstrap.physics._range import NOT_NEGATIVE, POSITIVE, within
from groundstrap.physics.conductor import (
    COEFFICIENT_PER_K,
    CONDUCTOR_C,
    M_PER_FOOT,
    MM2_PER_CIRCULAR_MIL,
)

ABYC_OHM_MM2_PER_M: Final = 10.75 * MM2_PER_CIRCULAR_MIL / M_PER_FOOT
"""K = 10.75 ohm circular mil per foot of ABYC E-11: copper at 29 degC. [ohm mm2/m]"""
ISO_10133_OHM_MM2_PER_M: Final = 0.0164
"""Constant of ISO 10133: copper at 8 degC. [ohm mm2/m] Recovered from its printed table to 0.1 %."""
WORKSHOP_OHM_MM2_PER_M: Final = 1 / 56
"""Constant of German workshop practice: copper at 29 degC. [ohm mm2/m] Common practice."""
FAA_COPPER_RECIPROCAL_C: Final = 234.5
"""Reciprocal temperature coefficient of copper in FAA AC 43.13-1B, 11-66. [degC]"""
FAA_ALUMINIUM_RECIPROCAL_C: Final = 238.1
"""The same for aluminium; IEC 60364-5-54 has 228. [degC]"""


@within(current_a=NOT_NEGATIVE, loop_m=NOT_NEGATIVE, ohm_per_m=NOT_NEGATIVE, joints_ohm=NOT_NEGATIVE)
def loop_drop_v(current_a: Num, *, loop_m: float, ohm_per_m: float, joints_ohm: float) -> Num:
    """Voltage lost along a run, out and back, with its joints. [V]

    Source: Ohm's law.

    Parameters
    ----------
    current_a : float
        Current. [A]
    loop_m : float
        Conductor length out and back. [m]
    ohm_per_m : float
        Resistance of a metre, at the temperature that the current makes. [ohm/m]
    joints_ohm : float
        Joints, contacts and fuses of the whole loop. [ohm]

    Examples
    --------
    By hand: 10 * (12 * 0.0033 + 0.004).

    >>> round(loop_drop_v(10.0, loop_m=12, ohm_per_m=0.0033, joints_ohm=0.004), 4)
    0.436
    """
    return current_a * (loop_m * ohm_per_m + joints_ohm)


@within(drop_v=NOT_NEGATIVE, source_v=POSITIVE)
def drop_share_pct(drop_v: Num, *, source_v: float) -> Num:
    """Drop as a share of the source's voltage. [%]

    Source: definition.

    Parameters
    ----------
    drop_v : float
        Voltage lost. [V]
    source_v : float
        Voltage of the source. [V]

    Examples
    --------
    >>> drop_share_pct(0.75, source_v=12.5)
    6.0
    """
    return 100 * drop_v / source_v


@within(drop_v=NOT_NEGATIVE, current_a=POSITIVE)
def resistance_of_drop_ohm(drop_v: Num, *, current_a: float) -> Num:
    """Resistance that a measured drop speaks of. [ohm]

    Source: Ohm's law.

    Parameters
    ----------
    drop_v : float
        Voltage between the two points. [V]
    current_a : float
        Current at that moment. [A]

    Examples
    --------
    By hand: 0.35 V at 200 A.

    >>> round(resistance_of_drop_ohm(0.35, current_a=200) * 1000, 3)
    1.75
    """
    return drop_v / current_a


@within(
    current_a=POSITIVE,
    loop_m=POSITIVE,
    drop_v=POSITIVE,
    rho20_ohm_mm2_per_m=POSITIVE,
    alpha20_per_k=COEFFICIENT_PER_K,
    temp_c=CONDUCTOR_C,
    lay_factor=(1.0, 1.3),
    joints_ohm=NOT_NEGATIVE,
)
def least_area_mm2(
    current_a: float,
    *,
    loop_m: float,
    drop_v: float,
    temp_c: float,
    rho20_ohm_mm2_per_m: float,
    alpha20_per_k: float,
    lay_factor: float,
    joints_ohm: float,
) -> float:
    """Smallest metal cross-section that keeps a run within a drop. [mm2]

    Source: Ohm's law with the linear law of IEC 60028. Refused where the joints alone use up the drop.

    Parameters
    ----------
    current_a : float
        Current. [A]
    loop_m : float
        Conductor length out and back. [m]
    drop_v : float
        Drop allowed. [V]
    temp_c : float
        Temperature of the conductor at that current. [degC]
    rho20_ohm_mm2_per_m : float
        Resistivity at 20 degC. [ohm mm2/m]
    alpha20_per_k : float
        Temperature coefficient at 20 degC. [1/K]
    lay_factor : float
        Length of the strands over length of the cable. [1]
    joints_ohm : float
        Joints, contacts and fuses of the whole loop. [ohm]

    Examples
    --------
    By hand: 10 A * 12 m / 58 / 0.36 V.

    >>> round(least_area_mm2(10, loop_m=12, drop_v=0.36, temp_c=20, rho20_ohm_mm2_per_m=1/58,
    ...                      alpha20_per_k=0.00393, lay_factor=1.0, joints_ohm=0.0), 3)
    5.747
    """
    left_v = drop_v - current_a * joints_ohm
    if left_v <= 0:
        raise OutOfRangeError("least_area_mm2", "joints_ohm", joints_ohm, 0, drop_v / current_a)
    ratio = 1 + alpha20_per_k * (temp_c - 20)
    return current_a * loop_m * rho20_ohm_mm2_per_m * lay_factor * ratio / left_v


@within(current_a=NOT_NEGATIVE, loop_m=NOT_NEGATIVE, drop_v=POSITIVE, rule_ohm_mm2_per_m=POSITIVE)
def rule_area_mm2(current_a: Num, *, loop_m: float, drop_v: float, rule_ohm_mm2_per_m: float) -> Num:
    """Cross-section by a printed rule with a constant of its own. [mm2]

    Source: the rule whose constant is given: ABYC E-11, 11.14.2.6 (CM = K I L / E), ISO 10133 annex A
    (E = 0.0164 I L / S), workshop practice (S = 2 L I / (56 dU)).

    Parameters
    ----------
    current_a : float
        Current. [A]
    loop_m : float
        Conductor length out and back. [m]
    drop_v : float
        Drop allowed. [V]
    rule_ohm_mm2_per_m : float
        Constant of the rule. [ohm mm2/m]

    Examples
    --------
    ABYC E-11: 10 A, 20 ft (6.096 m) out and back, 3 % of 12 V: 5972 circular mils, 3.026 mm2.

    >>> round(rule_area_mm2(10.0, loop_m=6.096, drop_v=0.36, rule_ohm_mm2_per_m=ABYC_OHM_MM2_PER_M), 3)
    3.026
    """
    return current_a * (loop_m * rule_ohm_mm2_per_m / drop_v)


@within(area_mm2=NOT_NEGATIVE, loop_m=POSITIVE, drop_v=NOT_NEGATIVE, rule_ohm_mm2_per_m=POSITIVE)
def rule_current_a(area_mm2: Num, *, loop_m: float, drop_v: float, rule_ohm_mm2_per_m: float) -> Num:
    """Most current by a printed rule with a constant of its own. [A]

    Source: as ``rule_area_mm2``, solved for the current.

    Parameters
    ----------
    area_mm2 : float
        Metal cross-section. [mm2]
    loop_m : float
        Conductor length out and back. [m]
    drop_v : float
        Drop allowed. [V]
    rule_ohm_mm2_per_m : float
        Constant of the rule. [ohm mm2/m]

    Examples
    --------
    ISO 10133: 25 mm2, 10 m out and back, 3 % of 12 V: 0.36 * 25 / 0.164.

    >>> round(rule_current_a(25.0, loop_m=10, drop_v=0.36, rule_ohm_mm2_per_m=ISO_10133_OHM_MM2_PER_M), 1)
    54.9
    """
    return area_mm2 * drop_v / (rule_ohm_mm2_per_m * loop_m)


@within(run_m=NOT_NEGATIVE, conductor_c=(-60.0, 260.0), reciprocal_c=(200.0, 260.0))
def hot_run_m(run_m: Num, *, conductor_c: float, reciprocal_c: float) -> Num:
    """Length at which a hot conductor has the drop that a length has at 20 degC. [m]

    Source: FAA AC 43.13-1B, 11-66 d: L2 = 254.5 L1 / (234.5 + T2) for copper.

    Parameters
    ----------
    run_m : float
        Length whose drop is known at 20 degC. [m]
    conductor_c : float
        Temperature of the conductor. [degC]
    reciprocal_c : float
        Reciprocal temperature coefficient of the metal; 234.5 for copper. [degC]

    Examples
    --------
    By hand: 254.5 * 10 / (234.5 + 75).

    >>> round(hot_run_m(10.0, conductor_c=75, reciprocal_c=234.5), 3)
    8.223
    """
    return (20 + reciprocal_c) * run_m / (reciprocal_c + conductor_c)


@within(current_a=NOT_NEGATIVE, most_a=POSITIVE, ambient_c=CONDUCTOR_C, rated_c=CONDUCTOR_C)
def faa_conductor_c(current_a: float, *, most_a: float, ambient_c: float, rated_c: float) -> float:
    """Conductor temperature at part load as an aircraft handbook estimates it. [degC]

    Source: FAA AC 43.13-1B, 11-66 d (6), from memory: T2 = T1 + (TR - T1) sqrt(I2 / Imax). Heat goes with
    the square of the current, so that below full load this is hotter than the conductor gets. A named form.

    Parameters
    ----------
    current_a : float
        Current. [A]
    most_a : float
        Current that brings the wire to its rated temperature; not under the current. [A]
    ambient_c : float
        Temperature of the air. [degC]
    rated_c : float
        Rated temperature of the wire. [degC]

    Examples
    --------
    By hand: 50 + 150 * sqrt(20 / 26).

    >>> round(faa_conductor_c(20, most_a=26, ambient_c=50, rated_c=200), 1)
    181.6
    """
    if current_a > most_a:
        raise OutOfRangeError("faa_conductor_c", "current_a", current_a, 0, most_a)
    return float(ambient_c + (rated_c - ambient_c) * (current_a / most_a) ** 0.5)


@within(current_a=NOT_NEGATIVE, most_a=POSITIVE, ambient_c=CONDUCTOR_C, rated_c=CONDUCTOR_C)
def part_load_conductor_c(current_a: Num, *, most_a: float, ambient_c: float, rated_c: float) -> Num:
    """Conductor temperature at part load, rise in proportion to the current squared. [degC]

    Source: Joule's law, with resistance and thermal resistance as at full load; below full load it errs by
    a few kelvin. The heat balance does better where the cable's data are known.

    Parameters
    ----------
    current_a : float
        Current. [A]
    most_a : float
        Current that brings the conductor to its rated temperature. [A]
    ambient_c : float
        Temperature of the air. [degC]
    rated_c : float
        Temperature at that current. [degC]

    Examples
    --------
    By hand: 50 + 150 * (20 / 26)^2.

    >>> round(part_load_conductor_c(20.0, most_a=26, ambient_c=50, rated_c=200), 1)
    138.8
    """
    return ambient_c + (rated_c - ambient_c) * (current_a / most_a) ** 2
