"""State of charge from the volts of a rested battery, and how far to believe it."""

import math
from typing import Final

import numpy as np

from groundstrap.physics._numbers import Array, Num, like
from groundstrap.physics._range import NOT_NEGATIVE, POSITIVE, check, within
from groundstrap.physics.battery import BATTERY_C
from groundstrap.physics.storage import REFERENCE_C
from groundstrap.records import dataclass

LEFT_AT_REST: Final = 0.05
"""Share of the surface charge that is left when a battery counts as rested; own judgement. [1]"""

TELLS_PCT: Final = 35.0
"""Wider than this, from lowest to highest, volts do not tell the state; own judgement. [%]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class RestedState:
    """State of charge from rested volts, with its ends and what makes them wide. [%]"""

    state_pct: float
    low_pct: float
    high_pct: float
    meter_pct: float
    """Half-width by the meter alone, midway between up and down. [%]"""
    table_pct: float
    """Half-width by how far batteries differ from the table. [%]"""
    rest_pct: float
    """How much lower it may be because it has not rested. [%]"""
    beyond_curve: bool
    """The reading lies outside the curve: the state is the curve's end."""
    tells: bool
    """Whether the volts tell the state to better than a third."""


@within(rested_v=POSITIVE, temp_c=BATTERY_C, per_k_v=(-0.02, 0.02))
def rested_state_pct(rested_v: Num, *, temp_c: Num, states_pct: Array, volts_v: Array, per_k_v: float) -> Num:
    """State of charge of a rested battery from its volts and temperature. [%]

    Source: the points given, at 25 degC. Volts beyond the points give the state at the curve's end: full or
    empty is all that they can say; `state_from_rested` says so too.

    Parameters
    ----------
    rested_v : float
        Volts after rest. [V]
    temp_c : float
        Temperature of the battery. [degC]
    states_pct : array of float
        States of the points, rising. [%]
    volts_v : array of float
        Volts of the points, rising. [V]
    per_k_v : float
        Change of the volts for each kelvin. [V/K]

    Examples
    --------
    By hand: 12.3 V at 5 degC is 12.33 V at 25; 0.13 of 0.2 V above 50 %.

    >>> points = {"states_pct": np.array([50.0, 75.0]), "volts_v": np.array([12.2, 12.4])}
    >>> round(rested_state_pct(12.3, temp_c=5.0, per_k_v=0.0015, **points), 4)
    66.25
    """
    at_25 = rested_v - per_k_v * (temp_c - REFERENCE_C)
    return like(np.interp(at_25, volts_v, states_pct), at_25)


@within(rest_h=NOT_NEGATIVE, at_first_v=NOT_NEGATIVE, settled_h=POSITIVE)
def unrested_v(rest_h: Num, *, at_first_v: float, settled_h: float) -> Num:
    """Volts by which a battery may still stand above its rest after charging. [V]

    Source: own judgement: dies away to a twentieth in the rest that handbooks ask for (8 h for lead-acid).

    Parameters
    ----------
    rest_h : float
        Time since charging ended. [h]
    at_first_v : float
        Volts above rest just after. [V]
    settled_h : float
        Rest after which it counts as rested. [h]

    Examples
    --------
    By hand: a twentieth of 0.4.

    >>> round(unrested_v(8.0, at_first_v=0.4, settled_h=8.0), 9)
    0.02
    """
    return at_first_v * like(np.exp(math.log(LEFT_AT_REST) / settled_h * rest_h), rest_h)


@within(rested_v=POSITIVE, temp_c=BATTERY_C)
def state_from_rested(
    rested_v: float,
    *,
    temp_c: float,
    states_pct: Array,
    volts_v: Array,
    per_k_v: float,
    meter_half_v: float,
    table_half_v: float = 0.0,
    above_rest_v: float = 0.0,
) -> RestedState:
    """State of charge from a rested voltage, with its ends.

    Source: the points given; half-widths of meter and table added in squares, both as equally likely limits
    (jcgm-100, 4.3.7); what may be left of the surface charge lowers the low end alone.

    Parameters
    ----------
    rested_v : float
        Volts as read. [V]
    temp_c : float
        Temperature of the battery. [degC]
    states_pct : array of float
        States of the points, rising. [%]
    volts_v : array of float
        Volts of the points, rising. [V]
    per_k_v : float
        Change of the volts for each kelvin. [V/K]
    meter_half_v : float
        Limit of the meter's error. [V]
    table_half_v : float
        How far a battery may lie from the points. [V]
    above_rest_v : float
        Volts that it may still stand above its rest. [V]

    Examples
    --------
    By hand: 8 mV for each per cent, a meter good to 80 mV.

    >>> points = {"states_pct": np.array([0.0, 100.0]), "volts_v": np.array([11.8, 12.6])}
    >>> found = state_from_rested(12.4, temp_c=25.0, per_k_v=0.0015, meter_half_v=0.08, **points)
    >>> round(found.low_pct, 6), round(found.state_pct, 6), round(found.high_pct, 6)
    (65.0, 75.0, 85.0)
    """
    for name, half in (
        ("meter_half_v", meter_half_v),
        ("table_half_v", table_half_v),
        ("above_rest_v", above_rest_v),
    ):
        check("state_from_rested", name, half, (0.0, 5.0))

    def at(volts: float) -> float:
        return rested_state_pct(
            max(volts, 0.01), temp_c=temp_c, states_pct=states_pct, volts_v=volts_v, per_k_v=per_k_v
        )

    state, both = at(rested_v), math.hypot(meter_half_v, table_half_v)
    low, high = at(rested_v - math.hypot(both, above_rest_v)), at(rested_v + both)
    at_25 = rested_v - per_k_v * (temp_c - REFERENCE_C)
    return RestedState(
        state_pct=state,
        low_pct=low,
        high_pct=high,
        meter_pct=(at(rested_v + meter_half_v) - at(rested_v - meter_half_v)) / 2,
        table_pct=(at(rested_v + table_half_v) - at(rested_v - table_half_v)) / 2,
        rest_pct=state - at(rested_v - above_rest_v),
        beyond_curve=not volts_v[0] <= at_25 <= volts_v[-1],
        tells=high - low <= TELLS_PCT,
    )
