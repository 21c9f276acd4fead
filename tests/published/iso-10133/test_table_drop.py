"""ISO 10133: the list of greatest currents for 3 % at 12 V, and the constant in it."""

from __future__ import annotations

import pytest

from groundstrap.tables import minimum_size, show

# Source: ISO 10133 formula E = 0.0164 I L / S, L out and back in m; 3 % of 12 V is 0.36 V. The caps of the
# list are the ampacities it uses; printed whole amps.
CONSTANT = 0.0164
PRINTED = [(95, 5, 417), (25, 10, 55), (150, 6, 549)]


def test_every_cell_is_the_formula_or_the_cap() -> None:
    rows = show("iso_10133_drop_3_pct_12_v").rows
    caps: dict[str, float] = {}
    for row in rows:
        caps[row.text("area_mm2")] = max(caps.get(row.text("area_mm2"), 0), row.number("current_a"))
    for row in rows:
        formula_a = row.number("area_mm2") * 0.36 / (CONSTANT * row.number("length_out_and_back_m"))
        allowed_a = min(caps[row.text("area_mm2")], formula_a)
        assert row.number("current_a") == pytest.approx(allowed_a, abs=1), row


@pytest.mark.parametrize(("area_mm2", "length_m", "amps"), PRINTED)
def test_printed_cells(area_mm2: int, length_m: int, amps: float) -> None:
    found = [
        row.number("current_a")
        for row in show("iso_10133_drop_3_pct_12_v")
        if (row.number("area_mm2"), row.number("length_out_and_back_m")) == (area_mm2, length_m)
    ]
    assert found == [amps]


def test_minimum_sizes() -> None:
    # Source: ISO 10133:2012 clause 7.7; 33 CFR 183.425 for gauges.
    assert minimum_size("boat").area_mm2 == 1
    assert minimum_size("boat", sheathed=True).area_mm2 == 0.75
    assert minimum_size("boat", sizes="awg").label == "16 AWG"
    assert minimum_size("boat", sizes="awg", sheathed=True).label == "18 AWG"
