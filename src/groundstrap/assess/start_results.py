"""What `assess` says about starts and about fuses in series: frozen values, nothing rounded."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field

from groundstrap.physics.selectivity import AmpsRange
from groundstrap.physics.starting import Surge
from groundstrap.records import dataclass

__all__ = ["Dip", "FuseStart", "LoadStart", "Selectivity", "StartAssessment"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadStart:
    """How a load starts, all its pieces together."""

    load: str
    nominal: Surge
    """As written, or the middle of what its kind does."""
    most: Surge
    """The most that its kind does; the same where it is written."""
    written: bool
    source: str
    known: str
    asks_a: float | None = None
    """What it would take, where the converter that feeds it gives less; `nominal` is what that gives. [A]"""
    limited_by: str | None = None
    """That converter."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FuseStart:
    """A start through one fuse: loads that one contact switches on, beside everything else that may run."""

    loads: tuple[str, ...]
    switch: str | None
    """The contact that starts them together; None for a load by itself."""
    rest_a: float
    """What else flows through the fuse. [A]"""
    peak_a: float
    """Highest current through the fuse. [A]"""
    running_a: float
    time_s: float
    """Of the longest of the starts: time constant, or the time of a ramp. [s]"""
    written: bool
    """Whether somebody wrote every start of it."""
    share: float | None
    """Of the shortest time in which the fuse may open; from 1 on it may. None where no gate says it."""
    usual_share: float | None
    """The same of the middle of the fuse's band: from 1 on most fuses of the type open."""
    most_share: float | None
    """As `share` at the most that their kinds do."""
    swing: float | None = None
    """Share of the melting integral that the starts add each time."""
    swing_limit: float | None = None
    """What the element stands of that so many times; None where no figure reaches so far."""
    pulses: float | None = None
    """Starts in its life."""
    pulses_written: bool = False
    """Whether a written duty says how often, else a usual number stands in."""
    cycling: float | None = None
    """Highest share of melting in an endless train of its runs; from 1 on the fuse opens one day."""
    why: str = ""
    """Of None: what is missing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Selectivity:
    """Two fuses in series: at which currents the upper one may open before the lower one has."""

    upper: str
    lower: str
    ratio: float | None
    """Rating of the upper over that of the lower. [1]"""
    ratio_limit: float | None
    """The trade's rule of thumb. [1]"""
    ranges: tuple[AmpsRange, ...] | None
    """None where no gate says when one of them opens."""
    most_a: float | None
    """Most current that can flow through both. [A]"""
    alike: bool = False
    """Whether both are of one family."""
    others: tuple[str, ...] = ()
    """Loads that the upper one feeds and the lower one does not."""
    critical: tuple[str, ...] = ()
    """Those of them whose loss is dangerous."""
    source: str = ""
    known: str = ""
    why: str = ""
    """Of unknown ranges: what is missing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Dip:
    """Lowest volts at a load while another one starts."""

    load: str
    by: str
    """The load whose start takes them."""
    volts_v: float
    before_v: float
    """With everything running and nothing starting. [V]"""
    surge_a: float
    """What the start takes beyond its running current. [A]"""
    written: bool
    """Whether that start is written."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StartAssessment:
    """Starts of loads, fuses in series, and what both do to others."""

    loads: Mapping[str, LoadStart] = field(default_factory=dict)
    """How loads start that take more at their start than running."""
    fuses: Mapping[str, tuple[FuseStart, ...]] = field(default_factory=dict)
    """Starts through each fuse of known rating, the one that it holds worst first."""
    series: Mapping[str, tuple[Selectivity, ...]] = field(default_factory=dict)
    """Each fuse with those next behind it."""
    stall_clears_s: Mapping[str, float | None] = field(default_factory=dict)
    """Load with a written stall current -> longest time in which its fuse ends that; inf where it may not."""
    dips: Mapping[str, Dip] = field(default_factory=dict)
    """The deepest dip at each load that says what volts it works at, while another one starts."""
