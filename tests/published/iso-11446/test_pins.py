"""Pins of ISO 11446 and ISO 1724 as quoted, conductors of ISO 3732, ISO 1185 and SAE J560."""

from __future__ import annotations

import pytest

from groundstrap.tables import (
    NotTabled,
    TrailerPin,
    terminal_number,
    trailer_cable,
    trailer_pin,
    trailer_pins,
)

# contact allocation of ISO 11446 as quoted: pin, terminal, mm2
ISO_11446 = {
    "1": ("L", 1.5), "3": ("31", 2.5), "4": ("R", 1.5), "5": ("58R", 1.5), "6": ("54", 1.5),
    "7": ("58L", 1.5), "9": ("30", 2.5), "10": ("15", 2.5), "11": ("31", 2.5),
}  # fmt: skip


@pytest.mark.parametrize("pin", ISO_11446)
def test_pins_of_iso_11446(pin: str) -> None:
    found = trailer_pin("ISO 11446", pin)
    assert isinstance(found, TrailerPin)
    assert (found.terminal, found.area_mm2) == ISO_11446[pin]


def test_each_supply_of_iso_11446_has_its_own_return() -> None:
    """As quoted: 3 returns pins 1 to 8, 11 returns 10, 13 returns 9."""
    returns = {pin.pin: pin.return_pin for pin in trailer_pins("ISO 11446")}
    assert {returns[str(pin)] for pin in (1, 2, 4, 5, 6, 7, 8)} == {"3"}
    assert (returns["9"], returns["10"]) == ("13", "11")


def test_pins_1_to_7_are_alike_in_iso_1724_and_iso_11446() -> None:
    """The two were made to take each other by an adapter; pin 2 is a fog lamp in both."""
    for number in "134567":
        old, new = trailer_pin("ISO 1724", number), trailer_pin("ISO 11446", number)
        assert isinstance(old, TrailerPin)
        assert isinstance(new, TrailerPin)
        assert (old.terminal, old.area_mm2) == (new.terminal, new.area_mm2)


# a cable maker's overview: so many conductors of each size
CABLES = {
    "ISO 3732": [(4, "1.5 mm2"), (3, "2.5 mm2")],
    "ISO 1185": [(6, "1.5 mm2"), (1, "2.5 mm2")],
    "SAE J560": [(4, "12 AWG"), (2, "10 AWG"), (1, "8 AWG")],
    "SAE J2863": [(4, "14 AWG"), (1, "12 AWG"), (2, "10 AWG")],
}


@pytest.mark.parametrize("standard", CABLES)
def test_conductors_of_the_cable(standard: str) -> None:
    found = trailer_cable(standard)
    assert not isinstance(found, NotTabled)
    assert [(cores.conductors, cores.size) for cores in found] == CABLES[standard]


@pytest.mark.parametrize("standard", ["ISO 11446", "ISO 1724", "ISO 1185"])
def test_terminals_of_pins_are_numbers_of_din_72552(standard: str) -> None:
    for pin in trailer_pins(standard):
        if pin.terminal:
            assert not isinstance(terminal_number(pin.terminal), NotTabled), pin
