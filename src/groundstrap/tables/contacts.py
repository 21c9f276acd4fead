"""Contacts: resistance of parts, joints and the body; plugs; drops that point to a bad one."""

from __future__ import annotations

from groundstrap.errors import OutOfRangeError, UnknownNameError
from groundstrap.records import dataclass
from groundstrap.tables._remember import remembered
from groundstrap.tables.table import table

__all__ = [
    "ContactResistance",
    "Plug",
    "PracticeDrop",
    "chassis_bodies",
    "chassis_resistance",
    "contact_parts",
    "contact_resistance",
    "larger_contact_ratings",
    "plug",
    "plug_names",
    "practice_drop",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactResistance:
    """Resistance of a part, a joint or a body: low, typical and high end. [ohm]"""

    part: str
    low_ohm: float
    typical_ohm: float
    high_ohm: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Plug:
    """A plug and its socket: the fuse behind it, and what its contact carries for hours."""

    name: str
    fuse_a: float | None
    fuse_high_a: float | None
    hours_a: float
    volts_v: float | None
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PracticeDrop:
    """Drop across a part under load above which practice looks closer. [V]"""

    most_v: float
    source: str
    known: str


@remembered
def contact_parts() -> tuple[str, ...]:
    """Return the parts whose contact resistance is tabled.

    >>> contact_parts()[0]
    'fuse holder'
    """
    return tuple(dict.fromkeys(row.text("part") for row in table("contact_resistance")))


@remembered
def contact_resistance(part: str, rating_a: float = 0.0) -> ContactResistance:
    """Return the resistance of a part's contacts, by its rating where that matters. [ohm]

    Source: typical values of the trade, most of them own-judgement: readings on the spot replace them. The
    element of a fuse is not in it.

    Parameters
    ----------
    part : str
        As ``contact_parts()`` lists them.
    rating_a : float
        Rating of the part; 0 where it is not known. [A]

    Examples
    --------
    >>> contact_resistance("relay").typical_ohm, contact_resistance("relay", 120).typical_ohm
    (0.005, 0.0005)
    """
    if not 0 <= rating_a < float("inf"):
        raise OutOfRangeError("contact_resistance", "rating_a", rating_a, 0, float("inf"))
    data = table("contact_resistance")
    rows = [row for row in data if row.text("part") == part and row.number("rating_from_a") <= rating_a]
    if not rows:
        raise UnknownNameError("part", part, contact_parts())
    row = rows[-1]
    return ContactResistance(
        part=part,
        low_ohm=row.number("low_mohm") / 1000,
        typical_ohm=row.number("typical_mohm") / 1000,
        high_ohm=row.number("high_mohm") / 1000,
        source=data.source_of(row),
        known=data.known_of(row),
    )


@remembered
def larger_contact_ratings(part: str, rating_a: float) -> tuple[float, ...]:
    """Return the ratings above one from which on a part's contacts have less resistance, ascending. [A]

    Source: the rows of the same table of contacts.

    Parameters
    ----------
    part : str
        As ``contact_parts()`` lists them.
    rating_a : float
        Rating of the part that is there. [A]

    Examples
    --------
    >>> larger_contact_ratings("switch", 10), larger_contact_ratings("isolator", 100)
    ((25.0, 60.0), ())
    """
    if part not in contact_parts():
        raise UnknownNameError("part", part, contact_parts())
    rows = [row for row in table("contact_resistance") if row.text("part") == part]
    return tuple(row.number("rating_from_a") for row in rows if row.number("rating_from_a") > rating_a)


@remembered
def chassis_bodies() -> tuple[str, ...]:
    """Return the bodies whose resistance is tabled.

    >>> chassis_bodies()
    ('steel', 'frame', 'aluminium')
    """
    return tuple(row.text("body") for row in table("chassis_resistance"))


@remembered
def chassis_resistance(body: str = "steel") -> ContactResistance:
    """Return the resistance of a return through the body, end to end. [ohm]

    >>> chassis_resistance("steel").low_ohm, chassis_resistance("frame").high_ohm
    (0.001, 0.02)
    """
    data = table("chassis_resistance")
    row = data.find("body", body)
    if row is None:
        raise UnknownNameError("body", body, chassis_bodies())
    return ContactResistance(
        part=f"{body} body" if body != "frame" else "frame",
        low_ohm=row.number("low_mohm") / 1000,
        typical_ohm=row.number("typical_mohm") / 1000,
        high_ohm=row.number("high_mohm") / 1000,
        source=data.source_of(row),
        known=data.known_of(row),
    )


@remembered
def plug_names() -> tuple[str, ...]:
    """Return the names of the plugs.

    >>> plug_names()[0]
    'lighter'
    """
    return tuple(row.text("plug") for row in table("plugs"))


@remembered
def plug(name: str) -> Plug:
    """Return a plug by name.

    >>> plug("lighter").fuse_a, plug("lighter").fuse_high_a, plug("lighter").hours_a
    (15.0, 20.0, 10.0)
    """
    data = table("plugs")
    row = data.find("plug", name)
    if row is None:
        raise UnknownNameError("plug", name, plug_names())
    return Plug(
        name=name,
        fuse_a=row.maybe("fuse_a"),
        fuse_high_a=row.maybe("fuse_high_a"),
        hours_a=row.number("hours_a"),
        volts_v=row.maybe("volts_v"),
        source=data.source_of(row),
        known=data.known_of(row),
    )


def practice_drop(part: str) -> PracticeDrop:
    """Return the drop under load above which practice looks closer at a part. [V]

    >>> practice_drop("high-current cable").most_v
    0.2
    """
    data = table("fault_finding_drops")
    row = data.find("part", part)
    if row is None:
        raise UnknownNameError("part", part, [row.text("part") for row in data])
    return PracticeDrop(most_v=row.number("most_v"), source=data.source, known=data.known_of(row))
