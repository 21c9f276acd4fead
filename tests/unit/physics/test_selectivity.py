"""Fuses in series: where the upper may open first, against a fine grid, and what holds for any two."""

from __future__ import annotations

import csv
import math
from importlib import resources
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundstrap.physics.fuse import fastest_opening_s, slowest_opening_s
from groundstrap.physics.selectivity import AmpsRange, Band, unselective_ranges

Gates = list[tuple[float, float]]


def _gates(family: str, rating_a: float, side: str) -> Gates:
    """Read from the CSV as printed: multiples with the least or the most time."""
    text = resources.files("groundstrap.tables.data").joinpath("fuse_gates.csv").read_text(encoding="utf-8")
    return [
        (float(row["share_pct"]) / 100.0, float(row[side]))
        for row in csv.DictReader(text.splitlines())
        if row["family"] == family and float(row["from_a"]) <= rating_a <= float(row["to_a"]) and row[side]
    ]


def _band(gates: Gates, rating_a: float) -> Band:
    return Band(
        currents_a=tuple(multiple * rating_a for multiple, _ in gates),
        times_s=tuple(time_s for _, time_s in gates),
    )


def _fast_s(gates: Gates, multiple: float) -> float:
    if multiple <= gates[0][0]:
        return math.inf
    for gate, least_s in gates:
        if multiple <= gate:
            return least_s
    return gates[-1][1] * (gates[-1][0] / multiple) ** 2


def _slow_s(gates: Gates, multiple: float) -> float:
    if multiple < gates[0][0]:
        return math.inf
    for (low, long_s), (high, short_s) in pairwise(gates):
        if multiple <= high:
            share = math.log(multiple / low) / math.log(high / low)
            return math.exp(math.log(long_s) + share * (math.log(short_s) - math.log(long_s)))
    return gates[-1][1] * (gates[-1][0] / multiple) ** 2


PAIRS = (
    ("regular blade", 20.0, "regular blade", 15.0),
    ("regular blade", 30.0, "regular blade", 7.5),
    ("high-current blade", 60.0, "regular blade", 25.0),
    ("marine terminal-mounted", 60.0, "regular blade", 25.0),
    ("bolt-down strip 51 mm", 100.0, "high-current blade", 40.0),
    ("marine terminal-mounted", 75.0, "thermal breaker", 40.0),
    ("high-current blade", 80.0, "regular blade", 10.0),
)


@pytest.mark.parametrize(("upper", "upper_a", "lower", "lower_a"), PAIRS)
def test_ranges_against_a_fine_grid_of_currents(
    upper: str, upper_a: float, lower: str, lower_a: float
) -> None:
    """Gates read from the CSV and curves written out again: 20,000 currents up to a dead short of 2 kA."""
    fast, slow = _gates(upper, upper_a, "least_s"), _gates(lower, lower_a, "most_s")
    found = unselective_ranges(upper=_band(fast, upper_a), lower=_band(slow, lower_a), most_a=2000.0)
    for amps in np.geomspace(2.0, 1999.0, 20_000).tolist():
        if any(abs(amps / edge - 1.0) < 1e-6 for r in found for edge in (r.low_a, r.high_a)):
            continue
        first = _fast_s(fast, amps / upper_a) < _slow_s(slow, amps / lower_a)
        assert first == _within(found, amps), amps


def _within(ranges: tuple[AmpsRange, ...], amps: float) -> bool:
    return any(found.low_a <= amps <= found.high_a for found in ranges)


def _covered(outer: tuple[AmpsRange, ...], inner: tuple[AmpsRange, ...]) -> bool:
    slack = 1e-6
    return all(
        any(o.low_a * (1 - slack) <= i.low_a and i.high_a <= o.high_a * (1 + slack) for o in outer)
        for i in inner
    )


RATED_A = {
    "regular blade": 20.0,
    "high-current blade": 60.0,
    "bolt-down strip 51 mm": 100.0,
    "thermal breaker": 20.0,
}
"""A rating of each whose gates count; the curves are scaled to any other."""

families = st.sampled_from(("regular blade", "high-current blade", "bolt-down strip 51 mm"))


@given(
    upper=families,
    lower=st.sampled_from(("regular blade", "high-current blade", "thermal breaker")),
    upper_a=st.floats(5.0, 300.0),
    lower_a=st.floats(5.0, 100.0),
    more=st.floats(1.0, 4.0),
    most_a=st.floats(50.0, 5000.0),
)
def test_a_larger_upper_fuse_is_never_less_selective_nor_a_smaller_lower_one(
    upper: str, lower: str, upper_a: float, lower_a: float, more: float, most_a: float
) -> None:
    rated = {
        "regular blade": 20.0,
        "high-current blade": 60.0,
        "bolt-down strip 51 mm": 100.0,
        "thermal breaker": 20.0,
    }
    fast, slow = _gates(upper, rated[upper], "least_s"), _gates(lower, rated[lower], "most_s")
    base = unselective_ranges(upper=_band(fast, upper_a), lower=_band(slow, lower_a), most_a=most_a)
    larger = unselective_ranges(upper=_band(fast, more * upper_a), lower=_band(slow, lower_a), most_a=most_a)
    smaller = unselective_ranges(upper=_band(fast, upper_a), lower=_band(slow, lower_a / more), most_a=most_a)
    assert _covered(base, larger)
    assert _covered(base, smaller)


@pytest.mark.parametrize(("family", "rating_a"), [("regular blade", 20.0), ("high-current blade", 60.0)])
def test_two_alike_are_never_selective(family: str, rating_a: float) -> None:
    """Two fuses of one type and rating in series carry the same current: either may open."""
    fast, slow = _gates(family, rating_a, "least_s"), _gates(family, rating_a, "most_s")
    found = unselective_ranges(upper=_band(fast, rating_a), lower=_band(slow, rating_a), most_a=1000.0)
    assert found[-1].high_a == 1000.0
    assert found[0].low_a == pytest.approx(rating_a)


def _families() -> list[tuple[str, float]]:
    text = resources.files("groundstrap.tables.data").joinpath("fuse_gates.csv").read_text(encoding="utf-8")
    rows = list(csv.DictReader(text.splitlines()))
    return sorted({(row["family"], float(row["to_a"])) for row in rows})


@pytest.mark.parametrize(("family", "rating_a"), _families())
def test_both_curves_stay_inside_every_listed_gate(family: str, rating_a: float) -> None:
    """At each gate itself the fastest is no sooner and the slowest no later than what is printed there."""
    fast, slow = _gates(family, rating_a, "least_s"), _gates(family, rating_a, "most_s")
    for multiple, least_s in fast:
        multiples, times_s = zip(*fast, strict=True)
        assert fastest_opening_s(multiple, gate_multiples=multiples, gate_least_s=times_s) >= least_s * (
            1 - 1e-9
        )
    for multiple, most_s in slow:
        multiples, times_s = zip(*slow, strict=True)
        found = slowest_opening_s(multiple, gate_multiples=multiples, gate_most_s=times_s)
        assert found.chord_s <= most_s * (1 + 1e-9)
        assert found.guaranteed_s <= most_s * (1 + 1e-9)
    for multiple in np.geomspace(1.35, 12.0, 200).tolist():
        if fast and slow and multiple > max(slow[0][0], fast[0][0]):
            assert _fast_s(fast, multiple) <= _slow_s(slow, multiple) * (1 + 1e-9)
