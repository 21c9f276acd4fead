"""IEC 60364-5-54: the printed k factors against the formula that its own constants give."""

from __future__ import annotations

import math

import pytest

from groundstrap.tables import insulation, show

# Source: IEC 60364-5-54 annex A: beta 234.5, Qc 3.45e-3 J/(K mm3), rho20 17.241e-6 ohm mm (constants from
# memory).
CONSTANT = math.sqrt(3.45e-3 * (234.5 + 20) / 17.241e-6)


def test_the_constant_is_226() -> None:
    assert pytest.approx(226, abs=0.5) == CONSTANT


def test_every_copper_factor_is_the_formula_to_half_a_unit() -> None:
    for row in show("adiabatic_k"):
        initial_c, final_c = row.number("initial_c"), row.number("final_c")
        k = CONSTANT * math.sqrt(math.log((234.5 + final_c) / (234.5 + initial_c)))
        assert row.number("copper_k") == pytest.approx(k, abs=0.55), row.text("case")  # printed whole


def test_limits_for_a_short_circuit() -> None:
    # Source: the same tables: PVC 160 degC up to 300 mm2, cross-linked polyethylene 250 degC.
    assert insulation("PVC").short_circuit_c == 160
    assert insulation("XLPE").short_circuit_c == 250
    assert insulation("TXL").short_circuit_c == 250
