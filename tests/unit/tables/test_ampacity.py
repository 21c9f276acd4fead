"""Ampacity: never better where it is hotter, tighter or thinner, and never known beyond its tables."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groundstrap.errors import OutOfRangeError, UnknownNameError
from groundstrap.tables import Ampacity, NotTabled, Unsuitable, published_ampacity

BASES = st.sampled_from(["road", "boat"])
CLASSES = st.sampled_from([60.0, 70.0, 75.0, 80.0, 85.0, 90.0, 100.0, 105.0, 125.0, 150.0, 200.0, 250.0])
AREAS = st.floats(0.3, 200)
AMBIENTS = st.floats(-40, 120)
COUNTS = st.integers(1, 80)


def value(found: Ampacity | Unsuitable | NotTabled) -> float:
    return found.value_a if isinstance(found, Ampacity) else -1.0


@settings(max_examples=150, deadline=None)
@given(basis=BASES, class_c=CLASSES, area=AREAS, ambient=AMBIENTS, count=COUNTS)
def test_value_is_base_times_factors_and_never_above_the_table(
    basis: str, class_c: float, area: float, ambient: float, count: int
) -> None:
    found = published_ampacity(
        basis=basis,  # type: ignore[arg-type]
        insulation_c=class_c,
        area_mm2=area,
        ambient_c=ambient,
        loaded_conductors=count,
    )
    if class_c <= ambient:
        assert isinstance(found, Unsuitable)
    if isinstance(found, Ampacity):
        assert found.value_a == pytest.approx(found.base_a * math.prod(f.value for f in found.factors))
        assert 0 < found.value_a <= found.base_a
        assert found.row_area_mm2 <= area * 1.001
        assert found.table_class_c <= class_c


@settings(max_examples=150, deadline=None)
@given(basis=BASES, class_c=CLASSES, area=AREAS, ambient=AMBIENTS, count=COUNTS, more=st.floats(0, 40))
def test_hotter_tighter_or_thinner_never_carries_more(
    basis: str, class_c: float, area: float, ambient: float, count: int, more: float
) -> None:
    def amps(area_mm2: float, ambient_c: float, loaded: int) -> float:
        return value(
            published_ampacity(
                basis=basis,  # type: ignore[arg-type]
                insulation_c=class_c,
                area_mm2=area_mm2,
                ambient_c=ambient_c,
                loaded_conductors=loaded,
            )
        )

    here = amps(area, ambient, count)
    assert amps(area, ambient + more, count) <= here + 1e-9
    assert amps(area, ambient, count + 1 + int(more)) <= here + 1e-9
    assert amps(area + more, ambient, count) >= here - 1e-9


def test_the_table_of_each_basis() -> None:
    tables = {
        (basis, class_c): published_ampacity(basis=basis, insulation_c=class_c, area_mm2=6, ambient_c=30)
        for basis in ("road", "boat")
        for class_c in (60, 70, 74, 75, 105)
    }
    sources = {key: found.source for key, found in tables.items() if isinstance(found, Ampacity)}
    assert [sources["road", c] for c in (60, 70, 74, 75, 105)] == [
        "cfr-33-183-425",
        "vde-0298-4",
        "vde-0298-4",
        "cfr-33-183-425",
        "cfr-33-183-425",
    ]
    assert all(sources["boat", c] == "cfr-33-183-425" for c in (60, 70, 74, 75, 105))


def test_an_engine_space_is_at_least_fifty_degrees() -> None:
    cool = published_ampacity(basis="boat", insulation_c=105, area_mm2=6, ambient_c=20, engine_space=True)
    hot = published_ampacity(basis="boat", insulation_c=105, area_mm2=6, ambient_c=70, engine_space=True)
    assert value(cool) == pytest.approx(60 * 0.85)
    assert value(hot) == pytest.approx(60 * math.sqrt(35 / 75))


def test_a_class_below_every_table_is_not_known() -> None:
    found = published_ampacity(basis="boat", insulation_c=55, area_mm2=6, ambient_c=20)
    assert isinstance(found, NotTabled)


def test_a_zone_between_the_next_lower_class_and_the_class_is_not_known() -> None:
    found = published_ampacity(basis="road", insulation_c=85, area_mm2=6, ambient_c=82)
    assert isinstance(found, NotTabled)
    assert "counts as 80 degC" in found.why


def test_nonsense_is_refused() -> None:
    with pytest.raises(UnknownNameError):
        published_ampacity(basis="rail", insulation_c=70, area_mm2=6, ambient_c=30)  # type: ignore[arg-type]
    for wrong in (0.0, -1.0, math.nan, math.inf):
        with pytest.raises(OutOfRangeError):
            published_ampacity(basis="road", insulation_c=70, area_mm2=wrong, ambient_c=30)
    with pytest.raises(OutOfRangeError):
        published_ampacity(basis="road", insulation_c=70, area_mm2=6, ambient_c=30, loaded_conductors=0)
