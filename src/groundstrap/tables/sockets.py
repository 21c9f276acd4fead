"""Accessory sockets and trailer sockets: size, what each pin does, its conductor and its return."""

from __future__ import annotations

from typing import TYPE_CHECKING

from groundstrap.errors import UnknownNameError
from groundstrap.records import dataclass
from groundstrap.tables._remember import remembered
from groundstrap.tables.table import NotTabled, table
from groundstrap.units import awg_area_mm2

if TYPE_CHECKING:
    from groundstrap.tables.table import Row

__all__ = [
    "AccessorySocket",
    "CableCores",
    "TrailerPin",
    "accessory_socket",
    "trailer_cable",
    "trailer_pin",
    "trailer_pins",
    "trailer_standards",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class AccessorySocket:
    """An accessory socket: its standard, its bore and what holds the plug."""

    socket: str
    standard: str
    low_mm: float
    high_mm: float
    held_by: str
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TrailerPin:
    """A pin of a trailer socket: purpose, conductor, pin that returns its current, and fuse where stated."""

    standard: str
    system_v: float
    pin: str
    colour: str
    purpose: str
    terminal: str
    area_mm2: float | None
    size: str
    return_pin: str
    fuse_a: float | None
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CableCores:
    """So many conductors of one size in a trailer's cable."""

    size: str
    area_mm2: float
    conductors: int
    source: str
    known: str


@remembered
def accessory_socket(name: str) -> AccessorySocket:
    """Return an accessory socket; what its contacts carry stands with ``plug``.

    Source: sae-j563 and iso-4165.

    >>> accessory_socket("small locking").low_mm, accessory_socket("lighter").held_by
    (12.0, 'friction')
    """
    data = table("accessory_sockets")
    row = data.find("socket", name)
    if row is None:
        raise UnknownNameError("accessory socket", name, [row.text("socket") for row in data])
    return AccessorySocket(
        socket=name,
        standard=row.text("standard"),
        low_mm=row.number("low_mm"),
        high_mm=row.number("high_mm"),
        held_by=row.text("held_by"),
        source=data.source_of(row),
        known=data.known_of(row),
    )


@remembered
def trailer_standards() -> tuple[str, ...]:
    """Return the standards of trailer sockets.

    >>> trailer_standards()[:3]
    ('ISO 11446', 'ISO 1724', 'ISO 3732')
    """
    return tuple(dict.fromkeys(row.text("standard") for row in table("trailer_pins")))


def _pin(row: Row) -> TrailerPin:
    data = table("trailer_pins")
    gauge, area_mm2 = row.text("wire_awg"), row.maybe("area_mm2")
    if gauge:
        size, area_mm2 = f"{gauge} AWG", awg_area_mm2(gauge)
    else:
        size = "" if area_mm2 is None else f"{area_mm2:g} mm2"
    return TrailerPin(
        standard=row.text("standard"),
        system_v=row.number("system_v"),
        pin=row.text("pin"),
        colour=row.text("colour"),
        purpose=row.text("purpose"),
        terminal=row.text("terminal"),
        area_mm2=area_mm2,
        size=size,
        return_pin=row.text("return_pin"),
        fuse_a=row.maybe("fuse_a"),
        source=data.source_of(row),
        known=data.known_of(row),
    )


@remembered
def trailer_pins(standard: str) -> tuple[TrailerPin, ...]:
    """Return the pins of a trailer socket in their order.

    Source: iso-11446, iso-1724, iso-3732, iso-1185, sae-j560, sae-j2863; each pin names its own.

    >>> [pin.pin for pin in trailer_pins("ISO 11446") if pin.return_pin == "3"]
    ['1', '2', '4', '5', '6', '7', '8']
    """
    found = tuple(_pin(row) for row in table("trailer_pins") if row.text("standard") == standard)
    if not found:
        raise UnknownNameError("standard of trailer sockets", standard, trailer_standards())
    return found


def trailer_pin(standard: str, pin: str) -> TrailerPin | NotTabled:
    """Return one pin of a trailer socket; ``area_mm2`` is None where nobody could read it.

    >>> found = trailer_pin("ISO 11446", "10")
    >>> found.purpose, found.size, found.return_pin, found.fuse_a
    ('supply with the ignition', '2.5 mm2', '11', 20.0)
    >>> trailer_pin("ISO 1724", "9").why
    'ISO 1724 has no pin 9; known are 1, 2, 3, 4, 5, 6, 7'
    """
    pins = trailer_pins(standard)
    for found in pins:
        if found.pin == pin:
            return found
    known = ", ".join(found.pin for found in pins)
    return NotTabled(why=f"{standard} has no pin {pin}; known are {known}")


@remembered
def trailer_cable(standard: str) -> tuple[CableCores, ...] | NotTabled:
    """Return the conductors in the cable of a trailer socket.

    Source: trailer-cable-maker.

    >>> [(cores.conductors, cores.size) for cores in trailer_cable("ISO 3732")]
    [(4, '1.5 mm2'), (3, '2.5 mm2')]
    """
    if standard not in trailer_standards():
        raise UnknownNameError("standard of trailer sockets", standard, trailer_standards())
    data = table("trailer_cables")
    found = tuple(
        CableCores(
            size=f"{row.text('size')} {row.text('unit')}",
            area_mm2=awg_area_mm2(row.text("size")) if row.text("unit") == "AWG" else row.number("size"),
            conductors=int(row.number("conductors")),
            source=data.source,
            known=data.known,
        )
        for row in data
        if row.text("standard") == standard
    )
    return found or NotTabled(why=f"the cable of {standard} is not known; its pins name their conductors")
