"""ABYC E-11 drop tables at 12 V as the trade reproduces them, and where the print leaves its own formula."""

from __future__ import annotations

import pytest

from groundstrap.tables import allowed_drop, boat_interrupt_need, show
from groundstrap.units import gauge_name

# Source: ABYC E-11 formula, circular mils = 10.75 x amps x feet out and back / volts, with the least SAE
# areas of its wire table.
CONSTANT = 10.75

# Known differences: cells of the 3 % table that lie off the formula by more than rounding (feet, amps).
MISPRINTS_3_PCT = {
    (25, 25), (25, 30), (25, 50), (30, 30), (30, 50),
    (30, 80), (30, 90), (30, 100), (50, 90), (50, 100), (60, 15),
}  # fmt: skip


def gauges() -> list[tuple[str, float]]:
    return [(row.text("sae"), row.number("least_circular_mil")) for row in show("sae_gauge_area")]


def smallest(needed_mil: float) -> str | None:
    return next((gauge for gauge, mil in gauges() if mil >= needed_mil), None)


@pytest.mark.parametrize(("name", "share"), [("e11_drop_3_pct_12_v", 0.03), ("e11_drop_10_pct_12_v", 0.10)])
def test_every_agreeing_cell_follows_the_formula(name: str, share: float) -> None:
    checked = 0
    for row in show(name):
        needed = CONSTANT * row.number("current_a") * row.number("length_out_and_back_ft") / (12 * share)
        if row.text("agrees") == "yes":
            checked += 1
            assert gauge_name(row.text("printed_gauge")) == smallest(needed), row
        else:
            assert gauge_name(row.text("printed_gauge")) != smallest(needed), row
    assert checked > 115


def test_misprints_of_the_3_percent_table_are_named() -> None:
    rows = show("e11_drop_3_pct_12_v")
    off = {
        (row.number("length_out_and_back_ft"), row.number("current_a"))
        for row in rows
        if row.text("agrees") == "no"
    }
    assert off == MISPRINTS_3_PCT


def test_breaking_capacity_by_cranking_rating() -> None:
    # Source: ABYC E-11 table V, 12 and 24 V: 651 to 1100 A cranking: 3000 A at the main, 1500 A on branches.
    need = boat_interrupt_need(900)
    assert (getattr(need, "main_a", None), getattr(need, "branch_a", None)) == (3000, 1500)


def test_drop_classes() -> None:
    # Source: ABYC E-11 clause 11.14.2.6 and ISO 10133 clause 4.8: 3 % where it matters, 10 % elsewhere.
    assert allowed_drop("boat", critical=True).pct == 3
    assert allowed_drop("boat", feeder=True).pct == 3
    assert allowed_drop("boat").pct == 10
