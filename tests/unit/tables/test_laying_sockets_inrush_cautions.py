"""Look-ups for laying, sockets, starting currents and cautions."""

from __future__ import annotations

import pytest

from groundstrap.errors import OutOfRangeError, UnknownNameError
from groundstrap.tables import (
    CableOfTest,
    FridgeCable,
    FridgeSupply,
    Grommet,
    HeatShrink,
    NotTabled,
    SplitLoom,
    WinchCurrent,
    accessory_socket,
    battery_gassing,
    battery_space,
    bend_cables,
    bend_radius,
    cable_of_test,
    caution,
    conduit_fill,
    fridge_cable,
    fridge_supply,
    grommet_for,
    hazards,
    heat_shrink_for,
    inrush,
    laying_distance,
    load_kind,
    load_kind_names,
    plug,
    pulse_shape,
    selectivity_ratio,
    show,
    split_loom_for,
    trailer_cable,
    trailer_pin,
    trailer_pins,
    trailer_standards,
    winch_current,
)


def test_heat_shrink_goes_over_the_largest_and_grips_the_smallest() -> None:
    for row in show("heat_shrink"):
        # common practice: the bore before is over the largest part, the bore after under the smallest
        assert row.number("expanded_mm") > row.number("covers_high_mm")
        assert row.number("recovered_mm") < row.number("covers_low_mm")
        low_mm, high_mm = row.number("covers_low_mm"), row.number("covers_high_mm")
        found = heat_shrink_for(low_mm, high_mm, adhesive=row.text("adhesive") == "yes")
        assert isinstance(found, HeatShrink)
        assert (found.covers_low_mm, found.covers_high_mm) == (low_mm, high_mm)
    assert isinstance(heat_shrink_for(1, 30, adhesive=True), NotTabled)
    with pytest.raises(OutOfRangeError):
        heat_shrink_for(6, 5)


def test_loom_and_grommet_step_up_and_end() -> None:
    # common practice: a bundle of 13 mm goes into a bore of 13 mm, one of 13.1 mm into the next
    for bundle_mm, bore_mm in ((0.5, 4.8), (13.0, 13.0), (13.1, 16.0), (51.0, 51.0)):
        found = split_loom_for(bundle_mm)
        assert isinstance(found, SplitLoom)
        assert found.bore_mm == bore_mm
    assert isinstance(split_loom_for(51.1), NotTabled)
    for row in show("grommet_holes"):
        hole = grommet_for(row.number("bundle_mm"))
        assert isinstance(hole, Grommet)
        assert hole.hole_mm == row.number("hole_mm")
        assert row.number("hole_mm") - row.number("bundle_mm") == pytest.approx(2)
    assert isinstance(grommet_for(36.5), NotTabled)
    with pytest.raises(OutOfRangeError):
        split_loom_for(0)
    with pytest.raises(OutOfRangeError):
        conduit_fill(0)


def test_a_battery_cable_bends_no_tighter_than_a_wire() -> None:
    # common practice
    assert (
        bend_radius("battery cable").low
        >= bend_radius("single wire").low
        >= bend_radius(bend_cables()[0]).low
    )
    assert laying_distance("metallic fuel part above a battery").least_mm == 300


def test_every_pin_knows_a_return_of_its_own_socket() -> None:
    for standard in trailer_standards():
        pins = {pin.pin: pin for pin in trailer_pins(standard)}
        for pin in pins.values():
            if pin.return_pin:
                assert "return" in pins[pin.return_pin].purpose, pin
        assert len({pin.system_v for pin in pins.values()}) == 1
    assert isinstance(trailer_cable("ISO 11446"), NotTabled)
    assert isinstance(trailer_pin("ISO 1724", "8"), NotTabled)


def test_what_nobody_read_of_a_pin_stays_open() -> None:
    pins = trailer_pins("ISO 3732")
    assert all(pin.area_mm2 is None and pin.known == "from memory" for pin in pins)


def test_accessory_sockets_go_with_their_plugs() -> None:
    for name in ("lighter", "small locking"):
        assert accessory_socket(name).socket == plug(name).name


@pytest.mark.parametrize("kind", load_kind_names())
def test_every_kind_of_load_has_a_start(kind: str) -> None:
    found, about = inrush(kind), load_kind(kind)
    assert (found.low, found.high, found.low_s) == (about.inrush_low, about.inrush_high, about.inrush_low_s)
    # a load that starts above its running current has a shape, one that doesn't has none
    assert (found.wave == "steady") == (about.inrush_high == 1)
    assert found.known == "own judgement"


def test_fridges_winches_and_test_cables() -> None:
    twelve, twenty_four = fridge_supply(12), fridge_supply(24)
    assert isinstance(twelve, FridgeSupply)
    assert isinstance(twenty_four, FridgeSupply)
    # maker-appliance-data: half the current at twice the volts
    assert twelve.fuse_a == 2 * twenty_four.fuse_a
    assert twelve.cut_out_v < twelve.cut_in_v
    assert isinstance(fridge_supply(48), NotTabled)
    for area_mm2, most_m in ((2.5, 2.5), (3.9, 2.5), (4.0, 4.0), (16.0, 10.0)):
        cable = fridge_cable(area_mm2)
        assert isinstance(cable, FridgeCable)
        assert cable.most_m == most_m
    assert isinstance(fridge_cable(1.5), NotTabled)
    assert isinstance(fridge_cable(4, 48), NotTabled)
    for pull_lbf, current_a in ((0, 75), (1, 125), (1000, 125), (2000, 185)):
        found = winch_current(pull_lbf)
        assert isinstance(found, WinchCurrent)
        assert found.current_a == current_a
    assert isinstance(winch_current(2001), NotTabled)
    assert isinstance(cable_of_test("C", 40), CableOfTest)
    assert isinstance(cable_of_test("F", 10), NotTabled)


def test_each_hazard_has_one_caution_short_enough_to_be_read() -> None:
    assert len(set(hazards())) == len(hazards())
    for hazard in hazards():
        found = caution(hazard)
        assert found.step
        assert 0 < len(found.text) <= 160, hazard
    assert battery_space("vent opening").value == 1100


def test_unknown_names_say_what_there_is() -> None:
    for call in (
        lambda: bend_radius("rope"),
        lambda: laying_distance("moon"),
        lambda: accessory_socket("round"),
        lambda: trailer_pins("ISO 1"),
        lambda: trailer_cable("ISO 1"),
        lambda: inrush("lmap"),
        lambda: pulse_shape("square"),
        lambda: selectivity_ratio("gG", "class T"),
        lambda: caution("bees"),
        lambda: battery_gassing("dry"),
        lambda: battery_space("door"),
    ):
        with pytest.raises(UnknownNameError, match="known"):
            call()
