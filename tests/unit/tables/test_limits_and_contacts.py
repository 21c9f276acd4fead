"""Drops, least sizes, zones, places, contacts, plugs."""

from __future__ import annotations

import pytest

from groundstrap.errors import OutOfRangeError, UnknownNameError
from groundstrap.tables import (
    allowed_drop,
    chassis_bodies,
    chassis_resistance,
    contact_parts,
    contact_resistance,
    minimum_size,
    overcurrent_limit,
    part_temperature,
    placement_limit,
    placement_limits,
    plug,
    plug_names,
    practice_drop,
    support_spacing,
    zone,
    zone_names,
)


def test_the_strictest_purpose_decides() -> None:
    assert allowed_drop("road", critical=True, duty_minutes=1).pct == 3
    assert allowed_drop("road", charging=True).pct == 3
    assert allowed_drop("road", feeder=True).pct == 3
    assert allowed_drop("boat", duty_minutes=1).pct == 10


def test_five_minutes_is_not_short() -> None:
    assert allowed_drop("road", duty_minutes=5).pct == 5
    assert allowed_drop("road", duty_minutes=4.999).pct == 10


def test_a_drop_says_why() -> None:
    assert allowed_drop("road", critical=True).why == "losing it is dangerous"
    assert allowed_drop("road").known == "common practice"
    with pytest.raises(UnknownNameError):
        allowed_drop("rail")


def test_minimum_sizes_of_every_basis_and_system() -> None:
    for basis in ("road", "boat"):
        for sizes in ("metric", "awg", "sae"):
            single, sheathed = (minimum_size(basis, sizes=sizes, sheathed=s) for s in (False, True))
            assert 0.5 <= sheathed.area_mm2 <= single.area_mm2 <= 1.31
    with pytest.raises(UnknownNameError):
        minimum_size("road", sizes="inches")


def test_built_in_zones() -> None:
    # The built-in zones of the job format; own judgement, the engine space by 33 CFR 183.425 note 1.
    assert {name: (zone(name).low_c, zone(name).high_c) for name in zone_names()} == {
        "cabin": (-30, 60),
        "engine bay": (-30, 85),
        "outside": (-30, 45),
        "underbody": (-30, 60),
        "roof": (-30, 80),
        "battery box": (-30, 50),
        "engine space": (-5, 50),
        "bilge": (-5, 40),
    }
    assert {zone(name).wet for name in zone_names()} <= {"dry", "splash", "spray", "submerged"}
    assert zone("battery box").vapour == "hydrogen"
    assert zone("battery box").only_with_vented_lead_acid
    with pytest.raises(UnknownNameError) as caught:
        zone("engine bey")
    assert caught.value.nearest == "engine bay"


def test_places_of_a_fuse() -> None:
    # 33 CFR 183.455 (b): 7 in, 40 in sheathed; ABYC E-11: 72 in sheathed on a battery terminal.
    assert placement_limit("boat").most_m == pytest.approx(7 * 0.0254)
    assert placement_limit("boat", sheathed=True).most_m == pytest.approx(40 * 0.0254)
    assert placement_limit("boat", sheathed=True, at_battery=True).most_m == pytest.approx(72 * 0.0254)
    assert placement_limit("boat", at_battery=True).most_m == pytest.approx(7 * 0.0254)
    assert placement_limit("road", sheathed=True).most_m == 0.3
    assert len(placement_limits("boat")) == 6


def test_other_limits() -> None:
    assert overcurrent_limit(48).most_pct == 150
    assert support_spacing("road").most_m == 0.3
    assert support_spacing("boat").least_m is None
    assert (part_temperature().low_c, part_temperature().high_c) == (80, 90)
    assert practice_drop("small connection").most_v == 0
    with pytest.raises(OutOfRangeError):
        overcurrent_limit(-1)


def test_contacts_stand_in_order_and_bigger_parts_are_better() -> None:
    for part in contact_parts():
        small, big = contact_resistance(part), contact_resistance(part, 500)
        for found in (small, big):
            assert 0 < found.low_ohm < found.typical_ohm < found.high_ohm
        assert big.typical_ohm <= small.typical_ohm
    with pytest.raises(UnknownNameError):
        contact_resistance("gizmo")
    with pytest.raises(OutOfRangeError):
        contact_resistance("relay", -1)


def test_bodies() -> None:
    # own judgement: 1 to 5 mohm in a steel body, 2 to 20 mohm through a frame
    assert chassis_bodies() == ("steel", "frame", "aluminium")
    assert chassis_resistance().known == "own judgement"
    ends = {body: chassis_resistance(body) for body in ("steel", "frame")}
    assert {body: (one.low_ohm, one.high_ohm) for body, one in ends.items()} == {
        "steel": (0.001, 0.005),
        "frame": (0.002, 0.020),
    }
    with pytest.raises(UnknownNameError):
        chassis_resistance("fibreglass")


def test_every_plug_reads() -> None:
    for name in plug_names():
        assert plug(name).hours_a > 0
    with pytest.raises(UnknownNameError):
        plug("lightr")
