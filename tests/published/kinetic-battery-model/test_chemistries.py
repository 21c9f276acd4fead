"""The two wells of each chemistry: fitted again, and held against ratings and electrochemical curves."""

import csv
from pathlib import Path

import numpy as np
import pytest

from groundstrap.physics.battery import capacity_of_reserve_ah
from groundstrap.physics.kinetic import (
    Wells,
    capacity_at_current_ah,
    capacity_in_time_ah,
    fit_wells,
    hours_to_available,
    rested_wells,
    wells_after,
)
from groundstrap.physics.storage import open_circuit_v, resistance_at_head_ohm
from groundstrap.tables import battery_resistance, open_circuit, peukert_exponent, state_factor, two_wells

CHEMISTRIES = ("flooded", "agm", "gel", "lfp")
LEAD = ("flooded", "agm", "gel")
CURVES = Path(__file__).with_name("electrochemical_capacities.csv")
REFERENCE_AH = 21.6
"""Capacity at 20 h of the reference battery: 21.76 Ah in 25.6 h and 21.30 in 12.5, straight in log time."""


def ampere_hours(chemistry: str, c20_ah: float, current_a: float) -> float:
    """Until the available well is empty, from full."""
    wells = two_wells(chemistry)
    return capacity_at_current_ah(
        wells.total * c20_ah, current_a=current_a, share=wells.share, rate_per_h=wells.rate_per_h
    )


def volts(chemistry: str, head: float) -> float:
    curve = open_circuit(chemistry)
    return open_circuit_v(head, temp_c=25.0, heads=curve.heads, volts_v=curve.volts_v, per_k_v=curve.per_k_v)


def ampere_hours_to_volts(chemistry: str, c20_ah: float, current_a: float, end_v: float = 10.5) -> float:
    """Until the terminals stand at the end volts, from full, with the resistance of the tables."""
    wells, full_ohm = two_wells(chemistry), battery_resistance(chemistry, capacity_ah=c20_ah).typical_ohm
    ratio = state_factor(chemistry).typical
    low, high = 0.0, 1.0
    for _ in range(50):
        head = (low + high) / 2
        ohm = resistance_at_head_ohm(full_ohm, head=head, ratio_at_20_pct=ratio)
        low, high = (head, high) if volts(chemistry, head) - current_a * ohm < end_v else (low, head)
    full = wells.total * c20_ah
    return current_a * hours_to_available(
        wells.share * full,
        (1 - wells.share) * full,
        left_ah=high * wells.share * full,
        current_a=current_a,
        share=wells.share,
        rate_per_h=wells.rate_per_h,
    )


@pytest.mark.parametrize("chemistry", CHEMISTRIES)
def test_fitted_again(chemistry: str) -> None:
    """Own computation: 13 currents from C/20 to C by Peukert's rule with the printed exponent."""
    wells, exponent = two_wells(chemistry), peukert_exponent(chemistry).typical
    assert wells.exponent == exponent
    currents = np.geomspace(0.05, 1.0, 13)
    hours = 20 * (0.05 / currents) ** exponent
    found = fit_wells(list(hours), list(currents * hours), exact=0)
    assert wells.total == pytest.approx(found.total_ah, abs=1e-5)
    assert wells.share == pytest.approx(found.share, abs=1e-5)
    assert wells.rate_per_h == pytest.approx(found.rate_per_h, abs=1e-5)
    assert wells.worst_pct == pytest.approx(found.worst_pct, abs=0.006)


@pytest.mark.parametrize("chemistry", CHEMISTRIES)
def test_rated_capacity_lasts_20_hours(chemistry: str) -> None:
    """Definition of the 20-hour rating: C20 / 20 for 20 h, to 10.5 V. Five digits of the parameters."""
    assert ampere_hours(chemistry, 100.0, 5.0) == pytest.approx(100.0, abs=0.001)


@pytest.mark.parametrize("chemistry", LEAD)
def test_ten_and_a_half_volts_at_the_end_of_20_hours(chemistry: str) -> None:
    """The same, at the terminals, by SAE J537 and EN 50342-1: 10.50 V. The resistance costs up to 0.4 %."""
    assert ampere_hours_to_volts(chemistry, 100.0, 5.0) == pytest.approx(100.0, rel=0.004)
    assert volts(chemistry, 0.0) == 10.5


@pytest.mark.parametrize(
    ("minutes", "wells_pct", "terminals_pct"),
    [(60, -2.3, -7.8), (90, -2.6, -6.1), (120, -2.8, -5.2), (150, -2.9, -4.8), (180, -3.1, -4.6)],
)
def test_reserve_minutes_of_a_flooded_battery(minutes: float, wells_pct: float, terminals_pct: float) -> None:
    """Reserve capacity: 25 A to 10.5 V. C20 of the minutes by IEC 60095-1, from memory.

    What is asserted is the error, to 0.3 %: the wells alone give 2 to 3 % less time, the terminals with the
    resistance of the tables 5 to 8 %. The fit to one exponent is 3 % low at a third of the capacity an hour,
    and the resistance of a nearly empty battery counts beside the well that is empty.
    """
    c20_ah = capacity_of_reserve_ah(minutes)
    wells = ampere_hours("flooded", c20_ah, 25.0) / 25 * 60
    assert 100 * (wells / minutes - 1) == pytest.approx(wells_pct, abs=0.3)
    terminals = ampere_hours_to_volts("flooded", c20_ah, 25.0) / 25 * 60
    assert 100 * (terminals / minutes - 1) == pytest.approx(terminals_pct, abs=0.3)


@pytest.mark.parametrize(
    ("c_rate", "wells_pct", "terminals_pct"),
    [
        (0.05, 0.4, 0.3),
        (0.1, -1.8, -2.0),
        (0.2, -6.1, -6.6),
        (1 / 3, -9.0, -9.7),
        (0.5, -9.7, -10.7),
        (1.0, -6.0, -9.4),
        (2.0, 6.6, -5.2),
        (3.0, 20.6, -6.0),
    ],
)
def test_agm_against_electrochemical_rates(c_rate: float, wells_pct: float, terminals_pct: float) -> None:
    """Capacity by rate of PyBaMM 26.10.1.1 (Sulzer et al. 2019, porous electrodes), over its own C20.

    What is asserted is the error, to half a per cent: nothing was tuned to this battery. The exponent 1.10 of
    the AGM wells is steeper than the model's 1.03 to 1.07 below C/3, and the terminals stay within 11 % of it
    to 3C. The wells alone flatten above C, where no exponent was fitted.
    """
    with CURVES.open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["model"] == "porous electrodes"]
    row = next(row for row in rows if float(row["c_rate"]) == pytest.approx(c_rate))
    current, given = float(row["current_a"]), float(row["capacity_ah"])
    alone = 100 * (ampere_hours("agm", REFERENCE_AH, current) / given - 1)
    assert alone == pytest.approx(wells_pct, abs=0.5)
    ends = 100 * (ampere_hours_to_volts("agm", REFERENCE_AH, current) / given - 1)
    assert ends == pytest.approx(terminals_pct, abs=0.5)
    assert abs(ends) < 11


def test_recovery_at_rest() -> None:
    """C/20 for 2 h, then 4 h of rest: the same model regains 0.03 V near full and 0.13 to 0.38 V near empty.

    The wells regain 0.059 V near full (0.018 V of it over resistance): twice as much; 0.32 V near empty.
    """
    wells = two_wells("agm")
    ohm = battery_resistance("agm", capacity_ah=1.0).typical_ohm
    state: Wells[float] = rested_wells(wells.total, share=wells.share)
    gained = []
    for _ in range(10):
        shown = []
        for current, hours in ((0.05, 2.0), (0.0, 4.0)):
            state = wells_after(
                state.available_ah,
                state.bound_ah,
                current_a=current,
                hours=hours,
                share=wells.share,
                rate_per_h=wells.rate_per_h,
            )
            head = state.available_ah / (wells.share * wells.total)
            shown.append(volts("agm", head) - current * ohm)
        gained.append(shown[1] - shown[0])
    assert gained[0] == pytest.approx(2 * 0.03, abs=0.002)
    assert 0.13 < gained[-1] < 0.38


def test_capacity_in_time_and_at_a_current_are_one_curve() -> None:
    """Own: both forms of the same equation, on rows."""
    wells = two_wells("flooded")
    hours = np.geomspace(0.05, 200, 40)
    total = np.full_like(hours, wells.total * 80)
    first = capacity_in_time_ah(total, hours=hours, share=wells.share, rate_per_h=wells.rate_per_h)
    again = capacity_at_current_ah(
        total, current_a=first / hours, share=wells.share, rate_per_h=wells.rate_per_h
    )
    assert again == pytest.approx(first, rel=1e-11)
