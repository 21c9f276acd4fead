"""Fuses: ratings ascend, gates are consistent, what is not known stays so."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from groundstrap.errors import OutOfRangeError, UnknownNameError
from groundstrap.tables import (
    BreakingCapacity,
    ContinuousShare,
    Gates,
    NotTabled,
    boat_interrupt_need,
    breaking_capacity,
    continuous_share,
    fuse_element,
    fuse_families,
    fuse_family,
    fuse_family_names,
    fuse_gates,
    fuse_ratings,
    next_rating,
    pulse_share,
    rating_at_most,
)
from groundstrap.tables.fuses import _on_the_line

FAMILIES = st.sampled_from(fuse_family_names())


def test_ratings_ascend() -> None:
    for family in fuse_families():
        assert family.ratings_a, family.name
        assert all(low < high for low, high in pairwise(family.ratings_a))


@settings(max_examples=100, deadline=None)
@given(family=FAMILIES, current_a=st.floats(0.1, 1000))
def test_next_and_last_rating_enclose_the_current(family: str, current_a: float) -> None:
    above, below = next_rating(current_a, family), rating_at_most(current_a, family)
    if above is not None:
        assert above >= current_a * (1 - 1e-9)
    if below is not None:
        assert below <= current_a * (1 + 1e-9)
    if above is not None and below is not None and above != below:
        ratings = fuse_ratings(family)
        assert ratings.index(above) == ratings.index(below) + 1


def test_a_rating_that_is_exactly_the_current_is_taken() -> None:
    assert next_rating(15, "regular blade") == 15
    assert next_rating(0.1 * 150, "regular blade") == 15
    assert rating_at_most(0.5, "regular blade") is None


def test_gates_get_faster_with_current_and_least_is_below_most() -> None:
    for family in fuse_families():
        for rating_a in family.ratings_a:
            found = fuse_gates(family.name, rating_a)
            if isinstance(found, NotTabled):
                continue
            assert all(low.share_pct < high.share_pct for low, high in pairwise(found.gates))
            most = [gate.most_s for gate in found.gates if gate.most_s is not None]
            least = [gate.least_s for gate in found.gates if gate.least_s is not None]
            assert all(slow > fast for slow, fast in pairwise(most)), (family.name, rating_a)
            assert all(slow >= fast for slow, fast in pairwise(least)), (family.name, rating_a)
            for gate in found.gates:
                if gate.least_s is not None and gate.most_s is not None:
                    assert gate.least_s < gate.most_s


def test_which_families_open_surely() -> None:
    sure = {
        family.name
        for family in fuse_families()
        if isinstance(found := fuse_gates(family.name, family.ratings_a[-1]), Gates) and found.opens_surely
    }
    assert {"regular blade", "mini blade", "high-current blade", "bolt-down strip 51 mm"} <= sure
    # Nobody could read a gate of it, nor recall one: its maker's curve is needed.
    assert "marine bolt-down strip" not in sure


def test_every_family_has_a_breaking_capacity_at_12_v() -> None:
    for family in fuse_family_names():
        found = breaking_capacity(family, 12)
        assert isinstance(found, BreakingCapacity)
        assert not found.needs_special_make


def test_a_blade_at_48_v_needs_the_make_for_58_v() -> None:
    found = breaking_capacity("regular blade", 48)
    assert isinstance(found, BreakingCapacity)
    assert found.needs_special_make


@settings(max_examples=100, deadline=None)
@given(family=FAMILIES, cool=st.floats(-30, 85), more=st.floats(0, 60))
def test_hotter_never_allows_more(family: str, cool: float, more: float) -> None:
    here, there = continuous_share(family, cool), continuous_share(family, cool + more)
    if isinstance(here, ContinuousShare) and isinstance(there, ContinuousShare):
        assert there.share <= here.share
    if isinstance(here, NotTabled):
        assert isinstance(there, NotTabled)


@settings(max_examples=200, deadline=None)
@given(melting_c=st.floats(150, 1200), first_c=st.floats(-40, 100), gap=st.floats(1, 60), way=st.floats(0, 1))
def test_the_line_never_lies_above_the_law(melting_c: float, first_c: float, gap: float, way: float) -> None:
    """Heat in, I^2 R, is heat out, (melting - ambient) / R_th: the current goes with the root of it."""

    def law(ambient_c: float) -> float:
        return math.sqrt((melting_c - ambient_c) / (melting_c - first_c))

    second_c = min(first_c + gap, melting_c - 1)
    assume(second_c > first_c)
    at_c = first_c + way * (second_c - first_c)
    share, from_c, to_c = _on_the_line({first_c: law(first_c), second_c: law(second_c)}, at_c)
    assert share <= law(at_c) * (1 + 1e-9)
    assert from_c <= at_c <= to_c


# Source: re-rating table of type E 40 A, rows next to each other.
PRINTED = [(20, 40, 65, 34), (65, 34, 85, 30), (85, 30, 110, 25), (110, 25, 125, 22)]


@settings(max_examples=100, deadline=None)
@given(row=st.sampled_from(PRINTED), way=st.floats(0, 1))
def test_between_printed_rows_it_stays_under_the_law_through_both(
    row: tuple[float, float, float, float], way: float
) -> None:
    from_c, from_a, to_c, to_a = row
    melting_c = (from_a**2 * to_c - to_a**2 * from_c) / (from_a**2 - to_a**2)
    at_c = from_c + way * (to_c - from_c)
    law_a = from_a * math.sqrt((melting_c - at_c) / (melting_c - from_c))
    found = continuous_share("high-current blade", at_c)
    assert isinstance(found, ContinuousShare)
    assert 40 * found.re_rating <= law_a * (1 + 1e-9)
    assert 40 * found.re_rating >= law_a * 0.98  # the line bends off the curve by less than 2 %


def test_every_family_has_a_share_in_the_engine_bay() -> None:
    for family in fuse_family_names():
        found = continuous_share(family, 85)
        assert isinstance(found, ContinuousShare), family
        assert 0.4 < found.share < 0.9


def test_elements_without_a_row_say_own_judgement() -> None:
    found = fuse_element("class T", 200)
    assert found.known == "own judgement"
    assert found.cold_low_ohm < found.cold_typical_ohm < found.cold_high_ohm
    assert found.melting_a2s is None
    with pytest.raises(OutOfRangeError):
        fuse_element("class T", 0)


def test_cold_resistance_falls_with_the_rating() -> None:
    for family in ("regular blade", "high-current blade", "bolt-down strip 51 mm"):
        ohms = [fuse_element(family, rating).cold_typical_ohm for rating in fuse_ratings(family)]
        assert all(high > low for high, low in pairwise(ohms)), family


def test_needs_beyond_the_table_are_not_known() -> None:
    assert isinstance(boat_interrupt_need(3000), NotTabled)
    assert isinstance(pulse_share(1e6), NotTabled)


def test_family_by_type_and_unknown_family() -> None:
    assert fuse_family("E").name == "high-current blade"
    with pytest.raises(UnknownNameError) as caught:
        fuse_family("regular blad")
    assert caught.value.nearest == "regular blade"
    with pytest.raises(UnknownNameError):
        fuse_family("")
