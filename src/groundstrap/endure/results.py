"""What the days on the battery come to: the course, starts, cut-offs, the energy, and the answers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import field
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from groundstrap.model import Assumption, Situation
from groundstrap.records import dataclass

if TYPE_CHECKING:
    from groundstrap.assess import Wiring

__all__ = [
    "Answers",
    "Brought",
    "Chances",
    "Changed",
    "Course",
    "Cranked",
    "Cure",
    "Cures",
    "CutOff",
    "Dearest",
    "Edit",
    "Endurance",
    "EnergySum",
    "LoadCourse",
    "Share",
    "SpanRun",
    "Start",
    "Straight",
    "SupplyCourse",
    "SupplyRun",
]

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SupplyCourse:
    """Of one supply at each of the course's times; of a bank all its batteries together."""

    volts_v: Floats
    amps_a: Floats
    """What it gives; negative while a battery is charged. [A]"""
    state_pct: Floats | None
    """Of a battery, of the one in a bank that stands lowest: 0 % is its 20 h capacity taken. [%]"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LoadCourse:
    """Of one load at each of the course's times."""

    on: Flags
    volts_v: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Course:
    """The timeline; where something switches, the moment stands twice: before and after it."""

    times_s: Floats
    supplies: Mapping[str, SupplyCourse]
    loads: Mapping[str, LoadCourse]


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """One start of the engine in the run, or one that was asked for at the end of it."""

    at_s: float
    day: int
    """On which day of the run, from 1; the last one is the morning after `days` days."""
    battery: str
    can: bool
    asks_a: float
    holds_a: float
    temp_c: float
    state_pct: float
    volts_v: float
    """At the battery's posts with what the engine asks, or with what it holds where that is less. [V]"""
    morning_after: bool = False
    """The one that is asked for at the end of the run."""
    asks_known: bool = True
    """Whether somebody wrote what the engine needs."""
    frozen: bool = False
    """Whether the electrolyte of a lead battery in that state freezes at that temperature."""

    @property
    def margin_a(self) -> float:
        """What it holds above what the engine asks. [A]"""
        return self.holds_a - self.asks_a

    @property
    def empty(self) -> bool:
        """Whether all that it is rated for has been taken, so that it turns no engine."""
        return self.state_pct <= 0.0

    @property
    def certain(self) -> bool:
        """Whether a start that fails does so for any engine, or for the one that somebody wrote."""
        return self.asks_known or self.frozen or self.empty


@dataclass(frozen=True, slots=True, kw_only=True)
class SpanRun:
    """One span of the run, in the order of time."""

    number: int
    """Of the span in its day, from 1."""
    day: int
    situation: Situation
    begins_s: float
    ends_s: float
    temperature_c: float
    using: tuple[str, ...]
    sun_s: float
    change_ah: Mapping[str, float]
    """What each battery gained over the span. [Ah]"""
    charging_short_a: float | None = None
    """With the engine running: what the batteries had to add to the alternator, on average. [A]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyRun:
    """One battery over the whole run."""

    name: str
    chemistry: str
    capacity_ah: float
    lowest_v: float
    lowest_at_s: float
    lowest_state_pct: float
    end_state_pct: float
    begin_state_pct: float
    start: Start | None
    """The start with the least margin, where an engine hangs on it."""
    starts: tuple[Start, ...]
    balance_ah_per_day: float
    """What the last day left in it more than it found. [Ah]"""
    freezes_below_c: float | None
    """Of a lead battery, its electrolyte in the lowest state of the run. [degC]"""
    cold_charge_span: int | None = None
    """Of a lithium iron phosphate battery: number of the first span of the run in which something would have
    charged it below 0 degC."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutOff:
    """A load that switched off for want of volts."""

    load: str
    at_s: float
    volts_v: float
    """Its own at that moment, running. [V]"""
    limit_v: float
    """The lowest that it works from. [V]"""
    back_at_s: float | None
    span: int
    """Number of the span in its day, from 1."""
    day: int
    critical: bool = False
    cycles_per_h: float | None = None
    """How often it comes and goes from then on; None where it stays off. [1/h]"""
    share: float | None = None
    """Of a cycling load: the share of the time that it runs. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cranked:
    """A load that is on while the engine is started, in the start of the run that leaves it least."""

    load: str
    volts_v: float | None
    """Its own while the engine turns; None where nobody knows. [V]"""
    known: bool
    """Whether the start's volts are reckoned from what somebody wrote of starter and battery."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EnergySum:
    """Where every watt-hour came from and where it went."""

    given_wh: Mapping[str, float]
    """By supply that makes it: alternator, panel, mains charger. [Wh]"""
    taken_wh: Mapping[str, float]
    """By load; the vehicle's own draw stands as `BATTERY own draw`. [Wh]"""
    stored_wh: Mapping[str, float]
    """By battery: what it holds more at the end than at the beginning. [Wh]"""
    lost_wh: Mapping[str, float]
    """`wires`, each battery and each converter. [Wh]"""
    error: float
    """What does not add up, as a share of all that passed. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Dearest:
    """The load that takes most charge until the first thing fails, or over the run where nothing does."""

    load: str
    taken_ah: float
    share: float
    until_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Endurance:
    """The run."""

    days: int
    temperature_c: float | None
    """Given for all spans, in place of theirs. [degC]"""
    spans: tuple[SpanRun, ...]
    course: Course
    supplies: Mapping[str, SupplyRun]
    starts: tuple[Start, ...]
    cut_offs: tuple[CutOff, ...]
    unserved_wh: Mapping[str, float]
    """What loads would have taken while they were cut off. [Wh]"""
    first_cut_off_s: float | None
    taken_ah: Mapping[str, float]
    """By load until the first failing event, or over the run where nothing fails. [Ah]"""
    energy: EnergySum
    solves: int
    steps: int
    events: int
    assumptions: tuple[Assumption, ...] = ()
    unknown: tuple[str, ...] = ()
    """Loads of which nobody knows what they take: not reckoned with."""
    used_sources: tuple[str, ...] = ()
    cranked: tuple[Cranked, ...] = ()
    """Loads that are on while the engine is started and say what they work from."""
    built_in_day: bool = False
    """Whether nobody wrote a day, so that the usual one was run."""

    @property
    def starts_all(self) -> bool:
        """Whether every start of the run goes."""
        return all(start.can for start in self.starts)


@dataclass(frozen=True, slots=True)
class Edit:
    """One value written into the job."""

    path: tuple[str | int, ...]
    """Of the key in the job, from the top; items of lists by their number from 0."""
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Brought:
    """What a change newly brings against a job: one rule, wherever it speaks anew."""

    rule: str
    level: str
    """`stop` or `caution`; `undecided` where a stop can no longer be ruled out."""
    where: tuple[str, ...]
    text: str
    """What the rule says at the first of them."""
    remedy: str
    counts: bool = True
    """Whether it counts towards the whole: a draft, or what somebody answers for, does not."""

    @property
    def stops(self) -> bool:
        """Whether the changed job must not be built as it stands."""
        return self.counts and self.level == "stop"


@dataclass(frozen=True, slots=True, kw_only=True)
class Changed:
    """A job with a change in it, its open sizes chosen again."""

    wiring: Wiring
    brings: Callable[[Endurance | None], tuple[Brought, ...]]
    """What every rule newly has against it: of the wiring alone, or of a run of its days as well."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cure:
    """A change of the job that cures what fails, computed by running the changed job and judging it."""

    kind: str
    """`battery`, `charging`, `load`, `feed` or `cut-off`."""
    edits: tuple[Edit, ...]
    text: str
    gain: str
    holds: bool
    """Whether the changed job, run again, no longer fails, and no rule newly stops it."""
    brings: tuple[Brought, ...] = ()
    """What stands against the changed job and not against the job as it is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cures:
    """What cures a run that fails, and what was tried and does not."""

    cures: tuple[Cure, ...] = ()
    in_vain: tuple[str, ...] = ()
    """Of each kind that cures nothing the most that was tried."""
    not_run: tuple[str, ...] = ()
    """Changes of whose days no answer was found: whether they cure it is not known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Straight:
    """What a lithium battery takes that nothing but conductors and contacts parts from an alternator."""

    battery: str
    alternator: str
    low_a: float
    """With volts, heat and resistance at the ends that give least. [A]"""
    typical_a: float
    high_a: float
    """With all of them at the ends that give most. [A]"""
    hot_a: float
    """What that alternator may give while hot, of which the vehicle takes its own share. [A]"""
    idling: bool = False
    """Whether it is at idle, for the day never drives."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What people ask; None where it does not come up or cannot be reckoned."""

    until_cut_off_h: float | None
    """Hours from full until the first cut-off, with what runs in the worst rest and no sun. [h]"""
    leaves_start_h: float | None
    """Hours of that rest that still leave a start. [h]"""
    parked_days: float | None
    """Days parked with what draws when all is off until no start is left. [d]"""
    recharge_h: float | None
    """Hours of the best charging in the day that bring back what a day's rest took, to 95 %. [h]"""
    balance_ah_per_day: Mapping[str, float]
    weakest: SpanRun | None
    """The span in which a battery loses most. """
    dearest: Dearest | None
    cures: tuple[Cure, ...] = ()
    in_vain: tuple[str, ...] = ()
    """What was tried as well and does not cure it, the most of each kind."""
    not_run: tuple[str, ...] = ()
    """What was tried as well and could not be solved, the most of each kind."""
    straight: tuple[Straight, ...] = ()
    """Lithium batteries straight on an alternator."""
    unknown: tuple[str, ...] = ()
    """Names of answers that come up and could not be reckoned."""
    worst_rest: Mapping[str, int] = field(default_factory=dict)
    """Of both answers about a rest: which span of the day it is, from 1: the one that takes most in an hour
    for its cold, or the coldest."""
    beyond: Mapping[str, float] = field(default_factory=dict)
    """Answers of which only 'more than' is known, by name, with how far was looked. [h or d]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """A share of the days with its 95 % interval (Wilson's)."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Chances:
    """How often it goes wrong while age, temperature, duty and draws lie within their ranges."""

    days: int
    seed: int
    no_start: Share | None
    """Share of the days after which the engine does not start."""
    cut_off: Mapping[str, Share]
    unsolved: int
    """Days of which no answer was found: in no share. """
    ranges: tuple[Assumption, ...] = ()
