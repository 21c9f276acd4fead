"""Gauges: names, order, and the nearest gauge shown beside an area."""

import math

import pytest

from groundstrap.errors import OutOfRangeError, UnknownNameError
from groundstrap.units import (
    AWG_GAUGES,
    SAE_GAUGES,
    awg_area_mm2,
    awg_diameter_mm,
    awg_of_area,
    gauge_name,
    sae_area_mm2,
)


def test_awg_runs_from_22_to_four_noughts() -> None:
    assert AWG_GAUGES[0] == "22"
    assert AWG_GAUGES[-4:] == ("1/0", "2/0", "3/0", "4/0")
    assert len(AWG_GAUGES) == 26


@pytest.mark.parametrize(("noughts", "name"), [("0", "1/0"), ("00", "2/0"), ("000", "3/0"), ("0000", "4/0")])
def test_noughts_are_the_same_gauge(noughts: str, name: str) -> None:
    assert gauge_name(noughts) == name
    assert awg_area_mm2(noughts) == awg_area_mm2(name)
    assert sae_area_mm2(noughts) == sae_area_mm2(name)


def test_every_gauge_has_more_copper_than_the_one_before() -> None:
    awg = [awg_area_mm2(gauge) for gauge in AWG_GAUGES]
    sae = [sae_area_mm2(gauge) for gauge in SAE_GAUGES]
    assert awg == sorted(set(awg))
    assert sae == sorted(set(sae))


@pytest.mark.parametrize("gauge", ["37", "5/0", "", "ten", "-1", "10 AWG"])
def test_unknown_gauges_are_named(gauge: str) -> None:
    with pytest.raises(UnknownNameError):
        awg_diameter_mm(gauge)
    with pytest.raises(UnknownNameError):
        sae_area_mm2(gauge)


@pytest.mark.parametrize("gauge", AWG_GAUGES)
def test_a_gauge_is_nearest_to_itself(gauge: str) -> None:
    assert awg_of_area(awg_area_mm2(gauge)) == f"{gauge} AWG"


def test_nearest_turns_over_half_way_by_ratio() -> None:
    half_way = math.sqrt(awg_area_mm2("10") * awg_area_mm2("9"))
    assert awg_of_area(half_way * 1.001) == "9 AWG"
    assert awg_of_area(half_way * 0.999) == "10 AWG"


def test_no_gauge_is_near_beyond_the_ends() -> None:
    assert awg_of_area(120.0) == "4/0 AWG"
    assert awg_of_area(150.0) is None
    assert awg_of_area(0.2) is None


@pytest.mark.parametrize("area_mm2", [0.0, -1.0, math.nan, math.inf])
def test_no_area_has_no_gauge(area_mm2: float) -> None:
    with pytest.raises(OutOfRangeError):
        awg_of_area(area_mm2)
