"""Look-ups for switching and termination: every row is reached, ends hold, what is not tabled says why."""

from __future__ import annotations

import pytest

from groundstrap.errors import OutOfRangeError, UnknownNameError
from groundstrap.tables import (
    ContactDrop,
    CrimpPull,
    NotTabled,
    RelayCoil,
    RelayContact,
    Ring,
    TabCurrent,
    TerminalNumber,
    Torque,
    contact_drop,
    crimp_colours_for,
    crimp_figure,
    crimp_pull,
    load_class,
    load_kind_names,
    lugs_on_stud,
    relay_coil,
    relay_contact,
    relay_names,
    relay_time,
    ring_for,
    show,
    smallest_stud,
    stud_sizes,
    suppression,
    suppression_means,
    switch_factor,
    tab_current,
    tab_most,
    terminal_number,
    torque,
    torque_connections,
)
from groundstrap.units import awg_area_mm2


@pytest.mark.parametrize("kind", load_kind_names())
def test_every_kind_of_load_has_a_class(kind: str) -> None:
    assert load_class(kind) in {"lamp", "motor", "resistive", "inductive", "capacitor", "unknown"}
    found = switch_factor(kind, 12)
    assert isinstance(found, NotTabled) == (load_class(kind) in {"capacitor", "unknown"})


def test_every_row_of_coils_contacts_and_terminals_is_reached() -> None:
    for row in show("relay_coils"):
        assert isinstance(relay_coil(row.number("coil_v"), row.text("relay")), RelayCoil)
    for row in show("relay_contacts"):
        relay, which, system_v = row.text("relay"), row.text("load_class"), row.number("system_v")
        found = relay_contact(relay, which, system_v, contact=row.text("contact"))
        assert isinstance(found, RelayContact)
        assert found.rated_a == row.number("rated_a")
    for row in show("terminal_numbers"):
        assert isinstance(terminal_number(row.text("terminal")), TerminalNumber)
    for row in show("terminal_torque"):
        assert isinstance(torque(row.text("connection"), row.text("thread")), Torque)
    for row in show("crimp_figures"):
        assert crimp_figure(row.text("figure")).low == row.number("low")
    for row in show("contact_drops"):
        assert isinstance(contact_drop(row.text("part")), ContactDrop)
    for series in ("measured", "recalled"):
        assert all(suppression(means, series).means == means for means in suppression_means(series))


def test_a_relay_of_unknown_make_says_how_little_is_known() -> None:
    twelve, twenty_four = relay_coil(12), relay_coil(24)
    assert isinstance(twelve, RelayCoil)
    assert isinstance(twenty_four, RelayCoil)
    assert (twelve.known, twenty_four.known) == ("from memory", "own judgement")
    assert twenty_four.low_ohm is None
    assert isinstance(relay_coil(48), NotTabled)


def test_coil_of_unknown_make_takes_1_4_to_2_2_w() -> None:
    """common practice, from memory: at 14 V; its ohms were computed from that."""
    coil = relay_coil(12)
    assert isinstance(coil, RelayCoil)
    assert coil.low_ohm is not None
    assert coil.high_ohm is not None
    assert 14**2 / coil.low_ohm == pytest.approx(2.2, abs=0.01)
    assert 14**2 / coil.high_ohm == pytest.approx(1.4, abs=0.01)


@pytest.mark.parametrize(
    ("stud", "gauge"), [("M3.5", "14"), ("M4", "10"), ("M5", "8"), ("M6", "1/0"), ("M8", "4/0"), ("M12", "2")]
)
def test_rings_take_both_ends_as_gauges(stud: str, gauge: str) -> None:
    assert isinstance(ring_for(awg_area_mm2(gauge), stud), Ring)


@pytest.mark.parametrize(
    ("stud", "area_mm2"), [("M5", 16.0), ("M6", 70.0), ("M8", 1.5), ("M10", 6.0), ("M12", 150.0)]
)
def test_rings_that_are_not_made_say_so(stud: str, area_mm2: float) -> None:
    found = ring_for(area_mm2, stud)
    assert isinstance(found, NotTabled)
    assert stud in found.why


def test_the_thinnest_stud_grows_with_the_conductor() -> None:
    rings = [smallest_stud(area) for area in (0.5, 2.5, 6, 10, 50, 70, 120)]
    sizes = [stud_sizes().index(ring.stud) for ring in rings if isinstance(ring, Ring)]
    assert len(sizes) == 7
    assert sizes == sorted(sizes)
    assert isinstance(smallest_stud(300), NotTabled)


def test_colours_overlap_where_the_trade_has_them_overlap() -> None:
    # common practice: blue from 1.5, red to 1.5 mm2; nothing for 3 mm2 and for 8 AWG
    assert [found.colour for found in crimp_colours_for(2.5)] == ["blue"]
    assert [found.colour for found in crimp_colours_for(awg_area_mm2("12"))] == ["yellow"]
    assert crimp_colours_for(awg_area_mm2("8")) == ()


def test_between_two_sizes_the_thinner_one_counts() -> None:
    thinner, between = crimp_pull(2.5, "metric"), crimp_pull(3.9, "metric")
    assert isinstance(thinner, CrimpPull)
    assert isinstance(between, CrimpPull)
    assert thinner.pull_n == between.pull_n == 235
    assert isinstance(crimp_pull(0.05, "boat"), NotTabled)


def test_tabs() -> None:
    for row in show("tab_currents"):
        found = tab_current(row.number("tab_mm"), awg_area_mm2(row.text("wire_awg")))
        assert isinstance(found, TabCurrent)
        assert found.most_a == row.number("steady_a")
    assert isinstance(tab_current(2.8, 0.1), NotTabled)
    assert isinstance(tab_current(9.5, 6), NotTabled)
    assert isinstance(tab_most(7.7), NotTabled)


def test_unknown_names_say_what_there_is() -> None:
    for call in (
        lambda: load_class("lmap"),
        lambda: relay_coil(12, "plug in"),
        lambda: relay_contact("mikro", "lamp", 12),
        lambda: relay_time("hold"),
        lambda: suppression("varistor"),
        lambda: contact_drop("weld"),
        lambda: ring_for(10, "M7"),
        lambda: lugs_on_stud("plane"),
        lambda: crimp_pull(1, "navy"),
        lambda: crimp_figure("colour"),
        lambda: torque("hinge"),
    ):
        with pytest.raises(UnknownNameError, match="known"):
            call()
    assert "any" in relay_names()
    assert "wing nut" in torque_connections()


@pytest.mark.parametrize("area_mm2", [0.0, -1.0, float("nan"), float("inf")])
def test_what_is_no_area_is_refused(area_mm2: float) -> None:
    for look_up in (crimp_pull, crimp_colours_for, smallest_stud):
        with pytest.raises(OutOfRangeError):
            look_up(area_mm2)
