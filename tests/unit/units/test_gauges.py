"""Gauges: names, order, and the gauges on sale that are shown beside an area."""

import math

import pytest

from groundstrap.errors import OutOfRangeError, UnknownNameError
from groundstrap.tables import standard_sizes
from groundstrap.units import (
    AWG_GAUGES,
    AWG_ON_SALE,
    SAE_GAUGES,
    Neighbours,
    awg_area_mm2,
    awg_diameter_mm,
    awg_neighbours,
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


def test_cable_is_sold_in_even_gauges_and_from_1_up() -> None:
    """Common practice; the preferred rows of the table of ASTM B258 are chosen from."""
    assert AWG_ON_SALE[:3] == ("22", "20", "18")
    assert AWG_ON_SALE[-6:] == ("2", "1", "1/0", "2/0", "3/0", "4/0")
    assert tuple(size.label.removesuffix(" AWG") for size in standard_sizes("awg")) == AWG_ON_SALE


@pytest.mark.parametrize("gauge", AWG_ON_SALE)
def test_the_area_of_a_gauge_is_that_gauge(gauge: str) -> None:
    exact_mm2 = awg_area_mm2(gauge)
    for area_mm2 in (exact_mm2, float(f"{exact_mm2:.3g}")):
        assert awg_neighbours(area_mm2) == Neighbours(gauge, gauge)


@pytest.mark.parametrize(
    ("area_mm2", "thinner", "thicker"),
    # Areas of ASTM B258 in mm2: 14 is 2.08, 12 is 3.31, 6 is 13.3, 4 is 21.2, 1 is 42.4, 1/0 is 53.5.
    [
        (2.5, "14", "12"),
        (16.0, "6", "4"),
        (50.0, "1", "1/0"),
        (6.63, "10", "8"),
        (0.2, None, "22"),
        (120.0, "4/0", None),
    ],
)
def test_a_metric_size_lies_between_two_gauges(
    area_mm2: float, thinner: str | None, thicker: str | None
) -> None:
    assert awg_neighbours(area_mm2) == Neighbours(thinner, thicker)


@pytest.mark.parametrize("area_mm2", [0.0, -1.0, math.nan, math.inf])
def test_no_area_has_no_gauge(area_mm2: float) -> None:
    with pytest.raises(OutOfRangeError):
        awg_neighbours(area_mm2)
