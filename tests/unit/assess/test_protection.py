"""A fuse beside a wire where it lies: zones, parallel wires, makers' curves, types that nobody knows."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from groundstrap.assess import ReasonKind, assess, guards, wire_up
from groundstrap.assess.conductors import Conductor, Lie, conductor
from groundstrap.assess.curves import highest_by_curve, slowest_clearing_s, strands
from groundstrap.assess.protection import Opening, growth_in_cold, opening_of, protects
from groundstrap.assess.saving import Protection
from groundstrap.assess.windows import fuse_window
from groundstrap.model import Basis, Wire
from groundstrap.model.installation import CurvePoint, FuseCurve
from groundstrap.tables import NotTabled
from groundstrap.units import parse_size
from tests.support.installations import Cable, Device, tiny, two_level

ALONE = Lie(zone="", ambient_c=30.0, cold_c=0.0, length_m=1.0, loaded=1, engine_space=False, share=1.0)


def wire(size: str, insulation: str = "PVC") -> Conductor:
    ours = Wire(name="w", circuit="", start="", end="", length_m=1.0, stretches=(), insulation=insulation)
    return conductor(ours, parse_size(size), Basis.ROAD)


def judged(size: str, family: str, rating_a: float, cold: float = 1.0, parallel: int = 1) -> Protection:
    opening = opening_of(family, rating_a, cold)
    return protects(wire(size), ALONE, Basis.ROAD, opening, parallel=parallel, preload_a=0.75 * rating_a)


# The trade's pairs for 70 degC PVC in 30 degC (common practice), with the slow type E where it has ratings.
PAIRS = (
    ("1.5 mm2", "regular blade", (15.0, 20.0)),
    ("2.5 mm2", "high-current blade", (20.0, 25.0, 30.0)),
    ("4 mm2", "high-current blade", (30.0, 35.0, 40.0)),
    ("6 mm2", "high-current blade", (40.0, 50.0)),
    ("10 mm2", "high-current blade", (60.0, 70.0)),
    ("16 mm2", "high-current blade", (80.0,)),
    ("25 mm2", "bolt-down strip 51 mm", (100.0, 125.0)),
    ("35 mm2", "bolt-down strip 51 mm", (150.0,)),
)


@pytest.mark.parametrize(("size", "family", "trade"), PAIRS)
def test_the_largest_that_saves_is_what_the_trade_fits(
    size: str, family: str, trade: tuple[float, ...]
) -> None:
    ratings = (
        5.0,
        10.0,
        15.0,
        20.0,
        25.0,
        30.0,
        35.0,
        40.0,
        50.0,
        60.0,
        70.0,
        80.0,
        100.0,
        125.0,
        150.0,
        175.0,
    )
    saving = [
        rating_a
        for rating_a in ratings
        if isinstance(opening_of(family, rating_a, 1.0), Opening) and judged(size, family, rating_a).verdict
    ]
    assert max(saving) in trade


def test_the_closest_call_is_told() -> None:
    # 40 A of type E on 4 mm2: it may hold some 1.8 times for minutes, and the wire passes 120 degC by then.
    found = judged("4 mm2", "high-current blade", 40.0)
    assert found.verdict is False
    assert found.critical_a is not None
    assert found.temp_c is not None
    assert 1.35 * 40 < found.critical_a < 2 * 40
    assert found.limit_c == 120.0
    assert 120.0 < found.temp_c < 160.0
    assert found.margin_pct is not None
    assert found.margin_pct < 0


def test_at_its_highest_rating_the_wire_just_reaches_its_limit() -> None:
    found = judged("4 mm2", "high-current blade", 35.0)
    opening = opening_of("high-current blade", 35.0, 1.0)
    assert isinstance(opening, Opening)
    assert found.highest_a is not None
    edge = replace(opening, rating_a=found.highest_a)
    at_edge = protects(wire("4 mm2"), ALONE, Basis.ROAD, edge, preload_a=0.75 * 35.0)
    assert at_edge.temp_c == pytest.approx(120.0, abs=0.3)


def test_a_slow_type_is_a_caution_where_only_the_chord_saves() -> None:
    found = judged("4 mm2", "high-current blade", 35.0)
    assert (found.verdict, found.chord_only, found.chord_caution) == (True, True, True)
    assert not judged("4 mm2", "regular blade", 10.0).chord_only


def test_a_type_whose_gates_nobody_could_read_is_unknown_and_never_a_pass() -> None:
    found = judged("70 mm2", "marine bolt-down strip", 100.0)
    assert found.verdict is None
    assert "maker's curve" in found.why


def test_a_makers_own_curve_stands_in_for_the_gates() -> None:
    points = tuple(
        CurvePoint(current_a=amps, fastest_s=least_s, slowest_s=most_s)
        for amps, least_s, most_s in ((110.0, 30.0, 600.0), (200.0, 0.5, 10.0), (600.0, 0.05, 0.5))
    )
    curve = FuseCurve(file="strip.csv", points=points)
    opening = opening_of("marine bolt-down strip", 100.0, 1.0, curve)
    assert isinstance(opening, Opening)
    found = protects(wire("25 mm2"), ALONE, Basis.ROAD, opening, preload_a=75.0)
    assert (found.verdict, found.source) == (True, "strip.csv")
    assert protects(wire("16 mm2"), ALONE, Basis.ROAD, opening, preload_a=75.0).verdict is False


def test_parallel_wires_share_and_are_judged_together() -> None:
    one, both = judged("2.5 mm2", "regular blade", 30.0), judged("2.5 mm2", "regular blade", 30.0, parallel=2)
    assert one.highest_a is not None
    assert both.highest_a is not None
    assert both.highest_a > 1.9 * one.highest_a


@pytest.mark.parametrize(
    # Zinc melts at 419.5, tin at 231.9 degC; a breaker gains 1 % for each kelvin below 25 degC (from memory).
    ("family", "expected"),
    [
        ("regular blade", math.sqrt(449.5 / 401.5)),
        ("high-current blade", math.sqrt(261.9 / 213.9)),
        ("thermal breaker", 1.55),
    ],
)
def test_cold_air_lets_more_through(family: str, expected: float) -> None:
    assert growth_in_cold(family, -30.0) == pytest.approx(expected)
    assert growth_in_cold(family, 60.0) == 1.0


def test_a_fuse_in_another_zone_is_taken_at_its_coldest() -> None:
    near = two_zones("mild")
    far = two_zones("cold")
    assert far < near
    # The whole curve moves with the opening current: sqrt(261.9 / 213.9).
    assert near / far == pytest.approx(math.sqrt(261.9 / 213.9), abs=0.01)


def two_zones(zone: str) -> float:
    job = tiny(60.0)
    job.circuit(
        "lamp",
        ["battery +", Device("fuse", family="high-current blade", zone=zone), Cable(4.0, "4 mm2"), "lamp +"],
        ["lamp -", Cable(4.0, "4 mm2"), "battery -"],
    )
    built = job.build()
    zones = {**built.zones, "cold": replace(built.zones["mild"], name="cold", low_c=-30.0)}
    wiring = wire_up(replace(built, zones=zones), job.estimates)
    guard = guards(wiring.topology, wiring.tree)["lamp fuse"]
    part = wiring.topology.pieces[wiring.index("lamp fuse")].part
    assert part is not None
    found = highest_by_curve(wiring, part, "high-current blade", 30.0, strands(wiring, guard))
    assert not isinstance(found, NotTabled)
    return found.rating_a


def test_every_rating_of_a_window_saves_everything_behind_it() -> None:
    job = two_level()
    wiring = wire_up(job.build(), job.estimates)
    seen = 0
    for name, guard in guards(wiring.topology, wiring.tree).items():
        part = wiring.topology.pieces[wiring.index(name)].part
        assert part is not None
        window, among = fuse_window(wiring, guard), list(strands(wiring, guard))
        for rating_a in window.ratings:
            found = highest_by_curve(wiring, part, window.family or "", rating_a, among)
            assert not isinstance(found, NotTabled)
            assert rating_a <= found.rating_a
            seen += 1
    assert seen


def test_an_unknown_type_leaves_the_window_unknown() -> None:
    job = tiny(60.0, size="25 mm2")
    job.circuit(
        "lamp",
        ["battery +", Device("fuse", 50.0, family="marine bolt-down strip"), Cable(2.0, "25 mm2"), "lamp +"],
        ["lamp -", Cable(2.0, "25 mm2"), "battery -"],
    )
    found = assess(job.build(), job.estimates).circuits["lamp"].fuses["lamp fuse"]
    assert not found.window.known
    assert found.window.most_reason.kind is ReasonKind.UNKNOWN
    assert found.closest is not None
    assert found.closest.verdict is None


def test_a_far_end_fault_is_cleared_by_the_chord_or_never() -> None:
    # Type C (ISO 8820-3): 5 s at twice its rating; in the fuse's coldest air, here 0 degC, a little later.
    job = tiny(60.0)
    wiring = wire_up(job.build(), job.estimates)
    part = wiring.topology.pieces[wiring.index("lamp fuse")].part
    assert part is not None
    later = slowest_clearing_s(wiring, part, "regular blade", 10.0, 20.0)
    assert later is not None
    assert 5.0 < later < 8.0
    assert slowest_clearing_s(wiring, part, "regular blade", 10.0, 13.0) == math.inf
    assert slowest_clearing_s(wiring, part, "marine bolt-down strip", 100.0, 500.0) is None
