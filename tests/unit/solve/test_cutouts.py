"""Cut-outs and restarts: settled, without whom, cycling, and the other ways in which it could hold."""

from __future__ import annotations

import math

import pytest

from groundstrap.errors import NetworkError
from groundstrap.solve import (
    Branch,
    CutOut,
    Law,
    Network,
    Outcome,
    loadability,
    settle,
    smallest_cut,
    solve_one,
)

PAIR = Network(
    ("minus", "plus"),
    (
        Branch("battery", Law.BATTERY, 1, 0),
        Branch("inverter", Law.CONSTANT_POWER, 1, 0),
        Branch("fridge", Law.CONSTANT_POWER, 1, 0),
    ),
)


def values(inverter_w: float, fridge_w: float, emf_v: float = 12.0) -> list[tuple[float, ...]]:
    return [(emf_v, 0.05, 0.05), (inverter_w,), (fridge_w,)]


def test_with_enough_volts_everything_works() -> None:
    settled = settle(PAIR, values(100, 50), {"inverter": CutOut(cut_v=10.5), "fridge": CutOut(cut_v=10.4)})
    assert (settled.outcome, settled.without, settled.alternatives) == (Outcome.WORKS, (), ())


def test_exactly_at_the_cut_out_a_load_stays_on() -> None:
    volts = solve_one(PAIR, values(100, 50)).branch_v[1]
    assert settle(PAIR, values(100, 50), {"inverter": CutOut(cut_v=volts)}).outcome is Outcome.WORKS


def test_a_load_that_sags_below_its_cut_out_and_recovers_above_its_restart_cycles() -> None:
    # 350 W: V^2 - 12 V + 17.5 = 0, 10.3 V: below 10.5; alone the battery stands at 12 V: back on, and so on.
    settled = settle(PAIR, values(350, 0), {"inverter": CutOut(cut_v=10.5, restart_v=11.8)})
    assert (settled.outcome, settled.cycling) == (Outcome.CYCLES, ("inverter",))
    assert settled.point.branch_v[1] == pytest.approx(12.0, abs=1e-9)


def test_with_a_restart_above_what_it_sees_it_stays_off() -> None:
    settled = settle(PAIR, values(350, 0), {"inverter": CutOut(cut_v=10.5, restart_v=12.1)})
    assert (settled.outcome, settled.without, settled.cycling) == (Outcome.WORKS_WITHOUT, ("inverter",), ())


def test_a_critical_load_opens_last() -> None:
    cutouts = {
        "inverter": CutOut(cut_v=10.4),
        "fridge": CutOut(cut_v=11.0, critical=True),
    }
    settled = settle(PAIR, values(320, 60), cutouts)
    assert settled.without == ("inverter",)
    assert settled.outcome is Outcome.WORKS_WITHOUT


def test_another_set_that_holds_as_well_is_told() -> None:
    # Either load alone holds above 10.5 V, both together do not.
    cutouts = {"inverter": CutOut(cut_v=10.5), "fridge": CutOut(cut_v=10.6)}
    settled = settle(PAIR, values(200, 200), cutouts)
    assert settled.without == ("fridge",)
    assert settled.alternatives == (frozenset({"fridge"}),)


def test_without_a_working_point_the_load_that_needs_the_smallest_cut_opens() -> None:
    # 12^2/(4 * 0.05) = 720 W is the most; 500 + 300 W is too much and either can be cut by 80 W.
    cutouts = {"inverter": CutOut(cut_v=9.0), "fridge": CutOut(cut_v=9.0, critical=True)}
    settled = settle(PAIR, values(500, 300), cutouts)
    assert settled.without == ("inverter",)
    assert settled.point.found


def test_without_a_cut_out_there_is_none() -> None:
    settled = settle(PAIR, values(500, 300), {})
    assert settled.outcome is Outcome.NO_WORKING_POINT
    assert not settled.point.found


def test_loadability_is_the_most_power_over_the_power() -> None:
    found = loadability(PAIR, values(500, 300))
    assert found.factor == pytest.approx(720 / 800, rel=2e-6)
    assert found.margin == pytest.approx(-0.1, abs=2e-6)
    assert loadability(PAIR, values(100, 80)).factor == pytest.approx(4.0, rel=2e-6)
    assert loadability(PAIR, values(0, 0)).factor == float("inf")


def test_the_smallest_cut_names_the_load_its_power_and_its_volts() -> None:
    # At the very limit the volts are half the EMF.
    found = smallest_cut(PAIR, values(500, 300))
    assert found is not None
    assert found.power_w == pytest.approx(found.wanted_w - 80.0, abs=1e-3)
    assert found.at_v == pytest.approx(6.0, abs=0.02)
    only = smallest_cut(PAIR, values(500, 300), among=frozenset({"fridge"}))
    assert only is not None
    assert (only.branch, round(only.power_w, 2)) == ("fridge", 220.0)


def test_nothing_is_cut_from_what_works_and_one_cut_may_not_be_enough() -> None:
    assert smallest_cut(PAIR, values(500, 100)) is None
    assert smallest_cut(PAIR, values(800, 800)) is None


@pytest.mark.parametrize("cutout", [CutOut(cut_v=0.0), CutOut(cut_v=11.0, restart_v=10.0)])
def test_a_cut_out_that_makes_no_sense_is_refused(cutout: CutOut) -> None:
    with pytest.raises(NetworkError, match="opens below"):
        settle(PAIR, values(1, 1), {"inverter": cutout})


def test_a_cut_out_on_nothing_is_refused() -> None:
    with pytest.raises(NetworkError, match="no branch 'toaster'"):
        settle(PAIR, values(1, 1), {"toaster": CutOut(cut_v=10.0)})


@pytest.mark.parametrize(("loads", "each_w", "bears"), [(2, 100.0, 1), (3, 60.0, 2), (14, 20.0, 7)])
def test_beside_a_parted_battery_a_charger_at_its_limit_bears_what_it_can(
    loads: int, each_w: float, bears: int
) -> None:
    """By hand: 10 A at 14.4 V less the drop of 0.012 ohm are 142.8 W; what is more opens and comes back."""
    names = [f"load {number}" for number in range(loads)]
    network = Network(
        ("minus", "bus", "charger"),
        (
            Branch("battery", Law.BATTERY, 1, 0),
            Branch("charger", Law.REGULATED, 2, 0),
            Branch("wire", Law.RESISTOR, 2, 1),
            *(Branch(name, Law.CONSTANT_POWER, 1, 0) for name in names),
        ),
    )
    values = [(13.0, math.inf, math.inf), (14.4, 10.0, 0.002), (0.01,), *((each_w,) for _ in names)]
    settled = settle(network, values, {name: CutOut(cut_v=10.5, restart_v=12.0) for name in names})
    assert (settled.outcome, len(settled.without)) == (Outcome.CYCLES, loads - bears)
    assert settled.cycling == settled.without
    amps = (14.4 - (14.4**2 - 4 * 0.012 * bears * each_w) ** 0.5) / (2 * 0.012)
    assert -settled.point.branch_a[1] == pytest.approx(amps, rel=1e-9)
    assert amps < 10.0 < (bears + 1) * each_w / 14.28
