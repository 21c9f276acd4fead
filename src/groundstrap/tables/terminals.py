"""Terminations: rings by stud, lugs on a stud, crimps, tightening torques, tabs."""

from __future__ import annotations

import math

from groundstrap.errors import OutOfRangeError, UnknownNameError
from groundstrap.records import dataclass
from groundstrap.tables._remember import remembered
from groundstrap.tables.table import NotTabled, table
from groundstrap.units import awg_area_mm2

__all__ = [
    "CrimpColour",
    "CrimpFigure",
    "CrimpPull",
    "LugLimit",
    "PartTerminal",
    "Ring",
    "TabCurrent",
    "Torque",
    "crimp_colours_for",
    "crimp_figure",
    "crimp_pull",
    "lugs_on_stud",
    "part_terminal",
    "plugs_with_contacts",
    "ring_for",
    "rings_of",
    "smallest_stud",
    "stud_called",
    "stud_sizes",
    "tab_current",
    "tab_most",
    "torque",
    "torque_connections",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """Rings for a stud: their hole, the conductors they are usually made for, torque of a steel stud."""

    stud: str
    inch_stud: str
    hole_mm: float
    least_mm2: float
    most_mm2: float
    low_nm: float
    high_nm: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LugLimit:
    """Most terminals that one stud may hold."""

    most: int
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PartTerminal:
    """What a cable usually ends in at a part: ring, tab, contact or splice, with its stud or width."""

    part: str
    terminal: str
    stud: str | None
    """None where it differs from make to make."""
    tab_mm: float | None
    least_mm2: float | None
    """Conductors that tabs and leads take; None for rings, whose stud decides. [mm2]"""
    most_mm2: float | None
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CrimpColour:
    """An insulated crimp terminal by its colour, and the conductors that it takes."""

    colour: str
    least_mm2: float
    most_mm2: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CrimpFigure:
    """A figure of how a crimp is made or judged, in the unit it names."""

    low: float
    high: float
    unit: str
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CrimpPull:
    """Pull that a crimp must stand, and the size of conductor in whose row it stands."""

    standard: str
    size: str
    pull_n: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Torque:
    """Tightening torque of a connection, as its makers give it."""

    connection: str
    thread: str
    low_nm: float
    high_nm: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TabCurrent:
    """Most current of a tab with its receptacle for hours."""

    tab_mm: float
    most_a: float
    source: str
    known: str


def _positive(function: str, name: str, value: float) -> None:
    if not 0 < value < math.inf:
        raise OutOfRangeError(function, name, value, 0, math.inf)


@remembered
def stud_sizes() -> tuple[str, ...]:
    """Return the studs whose rings are tabled, the thinnest first.

    >>> stud_sizes()
    ('M3.5', 'M4', 'M5', 'M6', 'M8', 'M10', 'M12')
    """
    return tuple(row.text("stud") for row in table("ring_studs"))


@remembered
def stud_called(words: str) -> str | None:
    """Return the stud that words name, metric or by the inch; None where they name none that is tabled.

    >>> stud_called("M8"), stud_called("3/8 in"), stud_called("post")
    ('M8', 'M10', None)
    """
    wanted = " ".join(words.split()).casefold()
    for row in table("ring_studs"):
        if wanted in {row.text("stud").casefold(), row.text("inch_stud").casefold()}:
            return row.text("stud")
    return None


@remembered
def ring_for(area_mm2: float, stud: str) -> Ring | NotTabled:
    """Return the rings of a stud, where such are usually made for a conductor.

    Source: common-practice, from memory; a maker's list goes before it.

    Parameters
    ----------
    area_mm2 : float
        Metal cross-section of the conductor. [mm2]
    stud : str
        As ``stud_sizes()`` lists them.

    Examples
    --------
    >>> ring_for(16, "M8").hole_mm
    8.4
    >>> ring_for(50, "M5").why
    'rings for M5 are made for 0.35 to 10 mm2, not for 50 mm2'
    """
    _positive("ring_for", "area_mm2", area_mm2)
    ring = rings_of(stud)
    row = table("ring_studs").find("stud", stud)
    assert row is not None
    # A gauge lies beside its metric equal (1/0 is 53.5 mm2, 8 AWG 8.4): both count.
    lower_mm2 = min(ring.least_mm2, awg_area_mm2(row.text("least_awg")))
    upper_mm2 = max(ring.most_mm2, awg_area_mm2(row.text("most_awg")))
    if not lower_mm2 <= area_mm2 <= upper_mm2 * (1 + 1e-9):
        made = f"{ring.least_mm2:g} to {ring.most_mm2:g} mm2"
        return NotTabled(why=f"rings for {stud} are made for {made}, not for {area_mm2:g} mm2")
    return ring


@remembered
def rings_of(stud: str) -> Ring:
    """Return the rings of a stud, whatever the conductor.

    Source: common-practice, from memory.

    >>> rings_of("M6").most_mm2
    50.0
    """
    data = table("ring_studs")
    row = data.find("stud", stud)
    if row is None:
        raise UnknownNameError("stud", stud, stud_sizes())
    return Ring(
        stud=stud,
        inch_stud=row.text("inch_stud"),
        hole_mm=row.number("hole_mm"),
        least_mm2=row.number("least_mm2"),
        most_mm2=row.number("most_mm2"),
        low_nm=row.number("low_nm"),
        high_nm=row.number("high_nm"),
        source=data.source,
        known=data.known,
    )


def smallest_stud(area_mm2: float) -> Ring | NotTabled:
    """Return the rings of the thinnest stud that a conductor's rings are made for.

    Source: common-practice, from memory.

    >>> smallest_stud(35).stud, smallest_stud(95).stud
    ('M6', 'M8')
    """
    for stud in stud_sizes():
        ring = ring_for(area_mm2, stud)
        if isinstance(ring, Ring):
            return ring
    return NotTabled(why=f"no ring is known for a conductor of {area_mm2:g} mm2")


@remembered
def part_terminal(part: str, rating_a: float = 0.0) -> PartTerminal:
    """Return what a cable usually ends in at a part, by its rating where that matters.

    Source: common-practice, from memory; the part at hand goes before it.

    Parameters
    ----------
    part : str
        Kind of part, family of a fuse, or ``battery post``, ``busbar``, ``chassis``, ``relay coil``.
    rating_a : float
        Rating of the part; 0 where it is not known. [A]

    Examples
    --------
    >>> part_terminal("relay", 40).tab_mm, part_terminal("relay", 150).stud
    (6.3, 'M8')
    """
    if not 0 <= rating_a < math.inf:
        raise OutOfRangeError("part_terminal", "rating_a", rating_a, 0, math.inf)
    data = table("part_terminals")
    rows = [row for row in data if row.text("part") == part and row.number("rating_from_a") <= rating_a]
    if not rows:
        raise UnknownNameError("part", part, dict.fromkeys(row.text("part") for row in data))
    row = rows[-1]
    return PartTerminal(
        part=part,
        terminal=row.text("terminal"),
        stud=row.text("stud") or None,
        tab_mm=row.maybe("tab_mm"),
        least_mm2=row.maybe("least_mm2"),
        most_mm2=row.maybe("most_mm2"),
        source=data.source_of(row),
        known=data.known_of(row),
    )


@remembered
def plugs_with_contacts() -> tuple[str, ...]:
    """Return the plugs whose contacts' conductors are tabled.

    >>> plugs_with_contacts()[1]
    'sealed size 16'
    """
    rows = table("part_terminals")
    return tuple(r.text("part") for r in rows if r.text("terminal") == "contact" and r.text("most_mm2"))


@remembered
def lugs_on_stud(basis: str) -> LugLimit:
    """Return the most terminals that one stud may hold.

    Source: abyc-e11 on ``boat``; on ``road`` the same, own-judgement.

    >>> lugs_on_stud("boat").most, lugs_on_stud("road").known
    (4, 'own judgement')
    """
    data = table("lugs_per_stud")
    row = data.find("basis", basis)
    if row is None:
        raise UnknownNameError("basis", basis, [row.text("basis") for row in data])
    return LugLimit(most=int(row.number("most")), source=data.source_of(row), known=data.known_of(row))


@remembered
def crimp_colours_for(area_mm2: float) -> tuple[CrimpColour, ...]:
    """Return the insulated crimp terminals that take a conductor; none where it is too thin or too thick.

    Source: common-practice.

    >>> [found.colour for found in crimp_colours_for(1.5)], crimp_colours_for(16)
    (['red', 'blue'], ())
    """
    _positive("crimp_colours_for", "area_mm2", area_mm2)
    data = table("crimp_colours")
    found = []
    for row in data:
        least = min(row.number("least_mm2"), awg_area_mm2(row.text("least_awg")))
        most = max(row.number("most_mm2"), awg_area_mm2(row.text("most_awg")))
        if least <= area_mm2 <= most:
            found.append(
                CrimpColour(
                    colour=row.text("colour"),
                    least_mm2=row.number("least_mm2"),
                    most_mm2=row.number("most_mm2"),
                    source=data.source,
                    known=data.known,
                )
            )
    return tuple(found)


@remembered
def crimp_figure(figure: str) -> CrimpFigure:
    """Return a figure of how a crimp is made or judged.

    Source: abyc-e11, ul-486a; what the trade adds is from memory.

    >>> found = crimp_figure("friction pull")
    >>> found.low, found.unit
    (26.7, 'N')
    """
    data = table("crimp_figures")
    row = data.find("figure", figure)
    if row is None:
        raise UnknownNameError("figure of crimps", figure, [row.text("figure") for row in data])
    return CrimpFigure(
        low=row.number("low"),
        high=row.number("high"),
        unit=row.text("unit"),
        source=data.source_of(row),
        known=data.known_of(row),
    )


@remembered
def crimp_pull(area_mm2: float, standard: str = "commercial") -> CrimpPull | NotTabled:
    """Return the pull that a crimp must stand; between two sizes the thinner one's counts. [N]

    Source: ul-486a (``commercial``), mil-t-7928 (``military``), abyc-e11 (``boat``), common-practice
    (``metric``).

    Parameters
    ----------
    area_mm2 : float
        Metal cross-section of the conductor. [mm2]
    standard : str
        commercial, military, boat or metric.

    Examples
    --------
    >>> crimp_pull(3.4).pull_n, crimp_pull(3.4, "boat").pull_n
    (311.5, 156.0)
    >>> crimp_pull(0.1, "metric").why
    'metric crimps are tabled from 0.35 mm2 up, not for 0.1 mm2'
    """
    _positive("crimp_pull", "area_mm2", area_mm2)
    data = table("crimp_pull")
    rows = [row for row in data if row.text("standard") == standard]
    if not rows:
        raise UnknownNameError(
            "standard of crimps", standard, dict.fromkeys(r.text("standard") for r in data)
        )
    areas = [
        (awg_area_mm2(row.text("size")) if row.text("sizes") == "AWG" else row.number("size"), row)
        for row in rows
    ]
    below = [(area, row) for area, row in areas if area <= area_mm2 * (1 + 1e-9)]
    if not below:
        least = min(area for area, _ in areas)
        return NotTabled(
            why=f"{standard} crimps are tabled from {least:.2f} mm2 up, not for {area_mm2:g} mm2"
        )
    _, row = max(below, key=lambda pair: pair[0])
    return CrimpPull(
        standard=standard,
        size=f"{row.text('size')} {row.text('sizes')}",
        pull_n=row.number("pull_n"),
        source=data.source_of(row),
        known=data.known_of(row),
    )


@remembered
def torque_connections() -> tuple[str, ...]:
    """Return the connections whose torque is tabled.

    >>> torque_connections()[0]
    'sealed battery bolt'
    """
    return tuple(dict.fromkeys(row.text("connection") for row in table("terminal_torque")))


@remembered
def torque(connection: str, thread: str = "any") -> Torque | NotTabled:
    """Return the tightening torque of a connection; the part's own sheet goes before it. [N m]

    Source: maker-battery-data; strips common-practice, from memory.

    Parameters
    ----------
    connection : str
        As ``torque_connections()`` lists them.
    thread : str
        Such as ``M8``; ``any`` for a connection of one size.

    Examples
    --------
    >>> torque("sealed battery bolt", "M8").low_nm, torque("battery post clamp").high_nm
    (9.6, 8.0)
    >>> torque("sealed battery bolt", "M12").why
    "no torque is known for 'sealed battery bolt' M12; known are M6, M8, M10"
    """
    data = table("terminal_torque")
    rows = [row for row in data if row.text("connection") == connection]
    if not rows:
        raise UnknownNameError("connection", connection, torque_connections())
    for row in rows:
        if row.text("thread") == thread:
            return Torque(
                connection=connection,
                thread=thread,
                low_nm=row.number("low_nm"),
                high_nm=row.number("high_nm"),
                source=data.source_of(row),
                known=data.known_of(row),
            )
    known = ", ".join(row.text("thread") for row in rows)
    return NotTabled(why=f"no torque is known for {connection!r} {thread}; known are {known}")


@remembered
def tab_most(tab_mm: float) -> TabCurrent | NotTabled:
    """Return the most current of a tab in vehicles, with the thickest wire of its receptacle. [A]

    Source: common-practice, from memory.

    >>> tab_most(6.3).most_a, tab_most(5.2).why
    (25.0, 'no current is known for a tab of 5.2 mm')
    """
    data = table("tab_limits")
    row = next((row for row in data if row.number("tab_mm") == tab_mm), None)
    if row is None:
        return NotTabled(why=f"no current is known for a tab of {tab_mm:g} mm")
    return TabCurrent(tab_mm=tab_mm, most_a=row.number("most_a"), source=data.source, known=data.known)


@remembered
def tab_current(tab_mm: float, area_mm2: float) -> TabCurrent | NotTabled:
    """Return the test current of a tab by its wire; between two gauges the thinner one's counts. [A]

    Source: ul-310.

    Parameters
    ----------
    tab_mm : float
        Width of the tab. [mm]
    area_mm2 : float
        Metal cross-section of its wire. [mm2]

    Examples
    --------
    >>> tab_current(6.3, 2.5).most_a, tab_current(4.8, 1.0).most_a
    (15.0, 7.0)
    """
    _positive("tab_current", "area_mm2", area_mm2)
    data = table("tab_currents")
    rows = [row for row in data if row.number("tab_mm") == tab_mm]
    below = [row for row in rows if awg_area_mm2(row.text("wire_awg")) <= area_mm2 * (1 + 1e-9)]
    if not below:
        return NotTabled(why=f"no test current is known for a tab of {tab_mm:g} mm on {area_mm2:g} mm2")
    row = below[-1]
    return TabCurrent(
        tab_mm=tab_mm,
        most_a=row.number("steady_a"),
        source=data.source_of(row),
        known=data.known_of(row),
    )
