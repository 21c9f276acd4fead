"""Conductors: any area, any metal; sizes ascend."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from groundstrap.errors import OutOfRangeError, UnknownNameError
from groundstrap.tables import conductor_data, material, material_names, standard_sizes
from groundstrap.units import awg_area_mm2, sae_area_mm2


def test_a_rounded_gauge_is_that_gauge() -> None:
    assert conductor_data(5.26, system="awg").label == "10 AWG"
    assert conductor_data(4.734, system="sae").label == "10 SAE"
    assert conductor_data(5.5, system="awg").label is None


def test_metals_scale_the_resistance() -> None:
    copper = conductor_data(6)
    clad = conductor_data(6, material="copper-clad aluminium")
    aluminium = conductor_data(6, material="aluminium")
    # ASTM B566: 10 % clad has at least 62.9 % of copper's conductivity; aluminium 61 %.
    assert clad.ohm_per_m_20c / copper.ohm_per_m_20c == pytest.approx(1 / 0.629, rel=0.002)
    assert aluminium.ohm_per_m_20c / copper.ohm_per_m_20c == pytest.approx(1.639, rel=0.001)
    assert clad.conductor_d_mm == copper.conductor_d_mm


def test_tinned_is_a_little_worse() -> None:
    for system, area_mm2 in (("metric", 6.0), ("metric", 5.5), ("awg", awg_area_mm2("10"))):
        plain = conductor_data(area_mm2, system=system)  # type: ignore[arg-type]
        tinned = conductor_data(area_mm2, material="tinned copper", system=system)  # type: ignore[arg-type]
        assert 1.01 < tinned.ohm_per_m_20c / plain.ohm_per_m_20c < 1.07


@pytest.mark.parametrize("system", ["metric", "awg", "sae"])
def test_sizes_ascend_and_resistance_falls(system: str) -> None:
    sizes = standard_sizes(system)  # type: ignore[arg-type]
    for thin, thick in pairwise(sizes):
        assert thin.area_mm2 < thick.area_mm2
        assert thin.plain_ohm_per_m_20c > thick.plain_ohm_per_m_20c
        assert thin.conductor_d_mm < thick.conductor_d_mm
        assert thin.thin_outer_d_mm < thick.thin_outer_d_mm
    for size in sizes:
        assert size.conductor_d_mm < size.thin_outer_d_mm <= size.thick_outer_d_mm
        data = conductor_data(size.area_mm2, system=system)  # type: ignore[arg-type]
        assert data.ohm_per_m_20c == pytest.approx(size.plain_ohm_per_m_20c)
        assert data.label == size.label


def test_sizes_have_the_area_their_gauge_says() -> None:
    assert {s.label: s.area_mm2 for s in standard_sizes("awg")}["2/0 AWG"] == awg_area_mm2("2/0")
    assert {s.label: s.area_mm2 for s in standard_sizes("sae")}["10 SAE"] == sae_area_mm2("10")


def test_any_area_has_geometry() -> None:
    found = conductor_data(5.9376)
    assert found.conductor_d_mm == pytest.approx(1.15 * math.sqrt(4 * 5.9376 / math.pi))
    assert "lay factor" in found.method


@pytest.mark.parametrize("area_mm2", [0, -1, 1000, math.nan, math.inf])
def test_impossible_areas_are_refused(area_mm2: float) -> None:
    with pytest.raises(OutOfRangeError):
        conductor_data(area_mm2)


def test_unknown_metal_names_the_nearest() -> None:
    with pytest.raises(UnknownNameError) as caught:
        conductor_data(6, material="aluminum")
    assert caught.value.nearest == "aluminium"


def test_the_contract_has_its_four_metals() -> None:
    for name in ("copper", "tinned copper", "copper-clad aluminium", "aluminium"):
        assert name in material_names()
        assert material(name).rho20_ohm_mm2_per_m > 0.0172
