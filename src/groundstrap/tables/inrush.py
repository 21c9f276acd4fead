"""How loads start and what fuses stand: shape and size of the inrush, shapes of pulses, fuses in series."""

from __future__ import annotations

import math

from groundstrap.errors import OutOfRangeError, UnknownNameError
from groundstrap.records import dataclass
from groundstrap.tables._remember import remembered
from groundstrap.tables.loads import load_kind
from groundstrap.tables.table import NotTabled, table, weakest

__all__ = [
    "CableOfTest",
    "FridgeCable",
    "FridgeSupply",
    "Inrush",
    "SelectivityRatio",
    "WinchCurrent",
    "cable_of_test",
    "fridge_cable",
    "fridge_supply",
    "inrush",
    "pulse_shape",
    "selectivity_ratio",
    "winch_current",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Inrush:
    """How a kind of load starts: shape, peak over running current, and how long; None where not known.

    ``wave`` is ``decay`` (from the peak, with a time constant), ``ramp`` (in a straight line), ``capacitor``
    (the loop decides the peak) or ``steady``. ``low_s`` and ``high_s`` are how long the start lasts; taken as
    the time constant of a decay they give more heat than there is.
    """

    kind: str
    wave: str
    low: float
    high: float
    low_s: float | None
    high_s: float | None
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SelectivityRatio:
    """Least rating of the upper of two fuses in series over the lower one's."""

    ratio: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CableOfTest:
    """Cable on which a fuse's figures were taken; a thinner one heats it."""

    low_mm2: float
    high_mm2: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WinchCurrent:
    """Current of a large vehicle winch at 12 V for the next tabled pull."""

    pull_lbf: float
    current_a: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FridgeSupply:
    """What compressor fridges ask for: fuse, switch, and the volts where they stop and start again."""

    fuse_a: float
    switch_a: float
    cut_out_v: float
    cut_in_v: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FridgeCable:
    """Longest run to a compressor fridge, one way."""

    area_mm2: float
    most_m: float
    source: str
    known: str


@remembered
def inrush(kind: str) -> Inrush:
    """Return how a kind of load starts.

    Source: the shape own-judgement; peak and duration as ``load_kind`` has them.

    >>> lamp = inrush("lamp")
    >>> lamp.wave, lamp.high, lamp.high_s
    ('decay', 15.0, 0.05)
    """
    about = load_kind(kind)
    data = table("load_waves")
    row = data.find("kind", kind)
    if row is None:
        raise UnknownNameError("kind of load", kind, [row.text("kind") for row in data])
    return Inrush(
        kind=kind,
        wave=row.text("wave"),
        low=about.inrush_low,
        high=about.inrush_high,
        low_s=about.inrush_low_s,
        high_s=about.inrush_high_s,
        source=about.source,
        known=weakest(about.known, data.known),
    )


@remembered
def pulse_shape(shape: str) -> float:
    """Return the heat integral of a pulse over that of the rectangle with its peak and duration. [1]

    Source: maker-fuse-data; of an exponential decay the duration is its time constant.

    >>> pulse_shape("half sine"), pulse_shape("rectangle")
    (0.5, 1.0)
    """
    data = table("pulse_shapes")
    row = data.find("shape", shape)
    if row is None:
        raise UnknownNameError("shape of pulse", shape, [row.text("shape") for row in data])
    return 1 / row.number("divisor")


@remembered
def selectivity_ratio(upper: str = "any", lower: str = "any") -> SelectivityRatio:
    """Return the least ratio of ratings of two fuses in series. [1]

    Source: maker-fuse-data for gG, handbook-installation-work for others. A rule of thumb: curves decide.

    >>> selectivity_ratio().ratio, selectivity_ratio("gG", "gG").ratio
    (2.0, 1.6)
    """
    data = table("selectivity_ratios")
    for row in data:
        if (row.text("upper"), row.text("lower")) == (upper, lower):
            return SelectivityRatio(
                ratio=row.number("ratio"), source=data.source_of(row), known=data.known_of(row)
            )
    known = [f"{row.text('upper')} over {row.text('lower')}" for row in data]
    raise UnknownNameError("pair of fuses", f"{upper} over {lower}", known)


@remembered
def cable_of_test(iso_type: str, rating_a: float) -> CableOfTest | NotTabled:
    """Return the cable on which a blade's figures were taken. [mm2]

    Source: maker-fuse-data, 40 A of types C and E; nothing else was read.

    >>> cable_of_test("E", 40).low_mm2, cable_of_test("E", 60).why
    (4.0, 'the test cable of type E, 60 A, was not read')
    """
    data = table("fuse_test_cables")
    for row in data:
        if row.text("iso_type") == iso_type and row.number("rating_a") == rating_a:
            return CableOfTest(
                low_mm2=row.number("low_mm2"),
                high_mm2=row.number("high_mm2"),
                source=data.source,
                known=data.known,
            )
    return NotTabled(why=f"the test cable of type {iso_type}, {rating_a:g} A, was not read")


@remembered
def winch_current(pull_lbf: float) -> WinchCurrent | NotTabled:
    """Return what a large vehicle winch draws at 12 V; steps up to the next tabled pull. [A]

    Source: maker-appliance-data, one winch.

    >>> winch_current(1500).current_a, winch_current(9000).why
    (185.0, 'the current of a winch is tabled up to 2000 lbf, not for 9000 lbf')
    """
    if not 0 <= pull_lbf < math.inf:
        raise OutOfRangeError("winch_current", "pull_lbf", pull_lbf, 0, math.inf)
    data = table("winch_currents")
    for row in data:
        if row.number("pull_lbf") >= pull_lbf:
            return WinchCurrent(
                pull_lbf=row.number("pull_lbf"),
                current_a=row.number("current_a"),
                source=data.source,
                known=data.known,
            )
    most = data.rows[-1].number("pull_lbf")
    why = f"the current of a winch is tabled up to {most:g} lbf, not for {pull_lbf:g} lbf"
    return NotTabled(why=why)


@remembered
def fridge_supply(system_v: float) -> FridgeSupply | NotTabled:
    """Return the fuse, switch and cut-out of compressor fridges. [A, V]

    Source: maker-appliance-data.

    >>> fridge_supply(12).fuse_a, fridge_supply(12).cut_out_v
    (15.0, 10.4)
    """
    data = table("fridge_supply")
    for row in data:
        if row.number("system_v") == system_v:
            return FridgeSupply(
                fuse_a=row.number("fuse_a"),
                switch_a=row.number("switch_a"),
                cut_out_v=row.number("cut_out_v"),
                cut_in_v=row.number("cut_in_v"),
                source=data.source,
                known=data.known,
            )
    return NotTabled(why=f"no fridge of {system_v:g} V is known; known are 12 and 24 V")


@remembered
def fridge_cable(area_mm2: float, system_v: float = 12.0) -> FridgeCable | NotTabled:
    """Return the longest run to a compressor fridge; steps down to the next tabled area. [m]

    Source: maker-appliance-data: 12 V; twice as long at 24 V.

    >>> fridge_cable(4).most_m, fridge_cable(5, 24).most_m
    (4.0, 8.0)
    """
    if system_v not in {12.0, 24.0}:
        return NotTabled(why=f"no fridge of {system_v:g} V is known; known are 12 and 24 V")
    data = table("fridge_cable")
    rows = [row for row in data if row.number("area_mm2") <= area_mm2]
    if not rows:
        return NotTabled(why=f"fridge cables are tabled from 2.5 mm2 up, not for {area_mm2:g} mm2")
    return FridgeCable(
        area_mm2=rows[-1].number("area_mm2"),
        most_m=rows[-1].number("most_m") * (system_v / 12),
        source=data.source,
        known=data.known,
    )
