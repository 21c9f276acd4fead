"""Temperatures that design currents bring conductors to, and the current that an overload may reach."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import lru_cache

from groundstrap.assess.conductors import Conductor, Lie, ohm_at, steady_c
from groundstrap.model import Load
from groundstrap.physics.conductor import coefficient_at_per_k
from groundstrap.physics.heat import ampacity_a, thermal_resistance_k_m_per_w
from groundstrap.physics.transient import (
    heat_capacity_j_per_m_k,
    pulse_peak_rise_k,
    ring_area_mm2,
    time_constant_s,
)
from groundstrap.records import dataclass
from groundstrap.tables import Insulation

__all__ = ["conductor_c", "is_pulsed", "overload_a", "overload_share", "thermal_share"]


@lru_cache(maxsize=8192)
def overload_a(one: Conductor, ambient_c: float, share: float) -> float:
    """Steady current that brings one conductor to its overload limit, class + 50 K, in its bundle. [A]

    Source: heat balance; the limit by iso-6722 temperature classes.
    """
    limit_c = one.insulation.overload_6h_c
    if limit_c <= ambient_c:
        return 0.0
    alone = ampacity_a(
        limit_c,
        ambient_c,
        ohm_per_m_20c=one.data.ohm_per_m_20c,
        alpha20_per_k=one.data.alpha20_per_k,
        outer_d_mm=one.data.outer_d_mm,
        wall_k_m_per_w=one.wall_k_m_per_w,
        emissivity=one.insulation.emissivity,
    )
    return alone * share


@lru_cache(maxsize=512)
def overload_share(insulated: Insulation, ambient_c: float, alpha20_per_k: float) -> float:
    """Current that brings a conductor to class + 50 K for ever, over its ampacity, whatever its size. [1]

    Source: iso-6722, class + 50 K; the thermal resistance is the one at which the ampacity brings it to its
    class, so rises go with the square of the current and with the resistance at each.
    """
    per_k = coefficient_at_per_k(alpha20_per_k, temp_c=ambient_c)
    class_k, most_k = insulated.class_c - ambient_c, insulated.overload_6h_c - ambient_c
    if class_k <= 0.0:
        return 1.0
    return math.sqrt(most_k / (1.0 + per_k * most_k) * (1.0 + per_k * class_k) / class_k)


def conductor_c(
    one: Conductor, lie: Lie, amps: float, pulses: Mapping[str, float], loads: Mapping[str, Load]
) -> float:
    """Hottest temperature of one conductor; inf where the current heats it without end. [degC]

    `pulses` are the amps of each draw. Where a single load with a written run and pause is all that passes,
    its pulses count; in every other case everything counts as steady, which only overstates.
    """
    steady = steady_c(one, amps, lie.ambient_c, lie.share)
    factor = thermal_share(one, lie, pulses, loads)
    if factor >= 1.0 or not math.isfinite(steady):
        return steady
    return lie.ambient_c + factor * (steady - lie.ambient_c)


def thermal_share(one: Conductor, lie: Lie, pulses: Mapping[str, float], loads: Mapping[str, Load]) -> float:
    """Highest rise in a train of pulses as a share of the steady rise; 1 for steady currents. [1]"""
    pulse = _only_pulse(pulses, loads)
    return 1.0 if pulse is None else _pulse_share(one, lie.ambient_c, lie.share, pulse.run_s, pulse.every_s)


def is_pulsed(pulses: Mapping[str, float], loads: Mapping[str, Load]) -> bool:
    """Tell whether a single load that runs and pauses is all that passes."""
    return _only_pulse(pulses, loads) is not None


@dataclass(frozen=True, slots=True)
class _Pulse:
    run_s: float
    every_s: float


def _only_pulse(pulses: Mapping[str, float], loads: Mapping[str, Load]) -> _Pulse | None:
    if not pulses:
        return None
    names = [name for name, amps in pulses.items() if amps > 1e-9]
    if len(names) != 1 or names[0] not in loads:
        return None
    duty = loads[names[0]].duty
    if duty.run_s is None or duty.every_s is None or duty.every_s <= duty.run_s:
        return None
    return _Pulse(duty.run_s, duty.every_s)


@lru_cache(maxsize=4096)
def _pulse_share(one: Conductor, ambient_c: float, share: float, run_s: float, every_s: float) -> float:
    rise_k = max(one.insulation.class_c - ambient_c, 1.0)
    resistance = (
        thermal_resistance_k_m_per_w(
            ambient_c + rise_k,
            ambient_c,
            outer_d_mm=one.data.outer_d_mm,
            wall_k_m_per_w=one.wall_k_m_per_w,
            emissivity=one.insulation.emissivity,
        )
        / share**2
    )
    capacity = heat_capacity_j_per_m_k(
        one.area_mm2,
        ring_area_mm2(one.data.conductor_d_mm, one.data.outer_d_mm),
        conductor_j_per_m3_k=one.data.heat_j_per_m3k,
        insulation_j_per_m3_k=one.insulation.heat_j_per_m3k,
    )
    # In a loom the loom's heat capacity counts too; the single wire's alone heats faster and is safer.
    tau_s = time_constant_s(capacity, resistance)
    per_a2 = ohm_at(one, 1.0, ambient_c) * resistance
    peak_k = pulse_peak_rise_k(
        math.sqrt(rise_k / per_a2),
        run_s=run_s,
        every_s=every_s,
        rest_a=0.0,
        rise_k_per_a2=per_a2,
        coefficient_per_k=0.0,
        time_constant_s=tau_s,
    )
    return min(1.0, peak_k / rise_k)
