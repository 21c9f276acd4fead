"""The spans of a day as stretches of time in which nothing changes by itself."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping
from typing import Final

from groundstrap.assess.positions import applies, runs_in
from groundstrap.errors import CallError, nearest_name
from groundstrap.model import (
    Assumption,
    DaySpan,
    Installation,
    Load,
    LoadKind,
    Situation,
    State,
    SupplyKind,
)
from groundstrap.records import dataclass, replace
from groundstrap.words import term, words

__all__ = ["MOST_DAYS", "USUAL_TEMPERATURE_C", "Day", "Stretch", "run_by_duty", "the_day"]

MOST_DAYS: Final = 60
"""Longest run; own judgement. [d]"""

USUAL_TEMPERATURE_C: Final = 20.0
"""Of a span, where nobody wrote one; own judgement. [degC]"""

ENGINE: Final = frozenset({Situation.IDLING, Situation.DRIVING})

_SUN_STEP_S: Final = 3600.0
_SUN_STEPS: Final = (4, 16)
"""A sky counts in steps of about an hour, each with its mean; own judgement."""

_USUAL_AT_REST: Final = frozenset({LoadKind.COMPRESSOR, LoadKind.ELECTRONICS})
_USUAL_WITH_ENGINE: Final = _USUAL_AT_REST | {LoadKind.LAMP, LoadKind.LED, LoadKind.CHARGER}


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A time in which situation, loads, temperature and sun stay as they are."""

    span: int
    """Number of its span in the whole run, from 0."""
    number: int
    """Of the span in its day, from 1."""
    day: int
    """From 1."""
    situation: Situation
    begins_s: float
    ends_s: float
    running: tuple[str, ...]
    powers_w: Mapping[str, float]
    """Of loads whose power the span says. [W]"""
    temperature_c: float | None
    """None where nobody wrote one."""
    sun: float
    """Mean of the sun over it, as a share of full sun. [1]"""
    sun_s: float
    """Full sun in the whole span. [s]"""
    starts_engine: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """The whole run as stretches, and what had to be assumed for it."""

    stretches: tuple[Stretch, ...]
    days: int
    built_in: bool
    has_engine: bool
    assumptions: tuple[Assumption, ...]

    @property
    def ends_s(self) -> float:
        """End of the run. [s]"""
        return self.stretches[-1].ends_s


def the_day(installation: Installation, *, days: int = 1, temperature_c: float | None = None) -> Day:
    """Return the spans of the job, or the usual ones, repeated and checked.

    Source: own-judgement for the usual day.

    Parameters
    ----------
    installation : Installation
        With its day.
    days : int
        How often it is repeated; 1 to 60.
    temperature_c : float or None
        One temperature for all spans. [degC]
    """
    if not 1 <= days <= MOST_DAYS:
        raise CallError(
            words("a run has that many days at most, and one at least"),
            wanted=words("a whole number from 1 to {most}", most=MOST_DAYS),
            given=f"{days}",
        )
    if temperature_c is not None:
        _check_air(temperature_c, words("the run"))
    spans = installation.day or _usual_day(installation)
    for number, span in enumerate(spans, start=1):
        _check(installation, number, span)
    if temperature_c is not None:
        spans = tuple(replace(span, temperature_c=temperature_c) for span in spans)
    return Day(
        stretches=_stretches(installation, spans, days),
        days=days,
        built_in=not installation.day,
        has_engine=_has_engine(installation),
        assumptions=_assumptions(installation, spans),
    )


def _has_engine(installation: Installation) -> bool:
    """Whether something is to be started: an engine turns an alternator, or a starter is among the loads."""
    staying = [s for s in installation.supplies.values() if s.state is not State.REMOVE]
    starter = any(
        load.kind is LoadKind.STARTER and load.state is not State.REMOVE
        for load in installation.loads.values()
    )
    return starter or any(s.kind is SupplyKind.ALTERNATOR for s in staying)


def _check(installation: Installation, number: int, span: DaySpan) -> None:
    """Refuse what makes no sense."""
    where = words("span {number} of the day ({situation})", number=number, situation=term(span.when.value))
    if not (math.isfinite(span.time_s) and span.time_s > 0.0):
        raise CallError(
            words("{span} takes no time", span=where), wanted=words("a time above 0, such as 35 min")
        )
    _check_weather(installation, span, where)
    for name in span.using:
        if name not in installation.loads:
            raise CallError(
                words("{span} names no load", span=where),
                wanted=words("a load of the job"),
                given=name,
                nearest=nearest_name(name, installation.loads),
            )
    if span.when is Situation.CRANKING or applies(installation, span.when):
        return
    wanted = {
        Situation.MAINS: words("a supply of kind mains charger in the job, or another situation"),
        Situation.RESTING: words("a battery in the job"),
    }.get(span.when, words("an alternator in the job (remove 'alternator: none'), or resting"))
    raise CallError(words("{span}: nothing charges then", span=where), wanted=wanted)


def _check_weather(installation: Installation, span: DaySpan, where: str) -> None:
    """Refuse sun that cannot be or that nothing takes, and air that no battery works in."""
    if span.temperature_c is not None:
        _check_air(span.temperature_c, where)
    if not span.sun_s:
        return
    if not 0.0 < span.sun_s <= span.time_s:
        raise CallError(
            words("{span} has more full sun than it is long", span=where)
            if span.sun_s > 0.0
            else words("{span} has less sun than none", span=where),
            wanted=words("at most {time}", time=f"{span.time_s / 3600.0:g} h"),
            given=f"{span.sun_s / 3600.0:g} h",
        )
    takers = {SupplyKind.SOLAR, SupplyKind.SOLAR_CHARGER}
    if not any(s.kind in takers and s.state is not State.REMOVE for s in installation.supplies.values()):
        raise CallError(
            words("{span} has sun, and nothing in the job makes current of it", span=where),
            wanted=words("a supply of kind solar charger with its panel, or no sun"),
        )


def _check_air(temperature_c: float, where: str) -> None:
    if not -40.0 <= temperature_c <= 60.0:
        wrong = (
            words("{span}: no battery works in air that cold", span=where)
            if temperature_c < 0.0
            else words("{span}: no battery works in air that hot", span=where)
        )
        raise CallError(wrong, wanted="-40 to 60 degC", given=f"{temperature_c:g} degC")


def _usual_day(installation: Installation) -> tuple[DaySpan, ...]:
    """The day of a job that has none."""
    rest = tuple(_usual(installation, Situation.RESTING, _USUAL_AT_REST))
    night = DaySpan(when=Situation.RESTING, time_s=14 * 3600.0, using=dict.fromkeys(rest))
    if applies(installation, Situation.DRIVING):
        way = tuple(_usual(installation, Situation.DRIVING, _USUAL_WITH_ENGINE))
        drive = DaySpan(when=Situation.DRIVING, time_s=1800.0, using=dict.fromkeys(way))
        return (drive, replace(night, time_s=9 * 3600.0), drive, night)
    if applies(installation, Situation.MAINS):
        plugged = DaySpan(when=Situation.MAINS, time_s=8 * 3600.0, using=dict.fromkeys(rest))
        return (plugged, replace(night, time_s=16 * 3600.0))
    return (replace(night, time_s=86400.0),)


def _usual(installation: Installation, situation: Situation, kinds: frozenset[LoadKind]) -> list[str]:
    return [
        load.name
        for load in installation.loads.values()
        if load.state is not State.REMOVE
        and load.kind is not LoadKind.COIL
        and (load.kind in kinds or load.critical or not load.duty.continuous)
        and runs_in(load, situation)
    ]


def run_by_duty(installation: Installation) -> tuple[str, ...]:
    """Return loads that a usual day runs at rest only because a run and a period of theirs are written.

    Source: own-judgement; such a duty may as well be meant for heat alone, as that of a windlass.

    Parameters
    ----------
    installation : Installation
        Of the run; one with a day of its own has none.
    """
    if installation.day:
        return ()
    return tuple(
        name
        for name in _usual(installation, Situation.RESTING, frozenset())
        if (load := installation.loads[name]).duty.run_s is not None
        and not (load.critical or load.kind in _USUAL_AT_REST)
    )


def _duties(installation: Installation) -> Iterator[Assumption]:
    for name in run_by_duty(installation):
        duty = installation.loads[name].duty
        said = words(
            "{run} min of every {every} min",
            run=f"{(duty.run_s or 0.0) / 60.0:g}",
            every=f"{(duty.every_s or 0.0) / 60.0:g}",
        )
        why = words(
            "its `duty`, day and night, for a usual day; where that is meant for heat alone, write a `day` "
            "without it"
        )
        yield Assumption(words("{name}: runs at rest", name=name), said, why)


def _assumptions(installation: Installation, spans: tuple[DaySpan, ...]) -> tuple[Assumption, ...]:
    found = []
    if not installation.day:
        said = ", ".join(f"{span.when.value} {span.time_s / 3600.0:g} h" for span in spans)
        why = words("a usual day; none is written")
        found.append(Assumption("day", said, why))
        loads = ", ".join(dict.fromkeys(name for span in spans for name in span.using))
        why = words(
            "refrigeration, electronics, what is critical or has a duty; with the engine lights and "
            "chargers too"
        )
        found.append(Assumption(words("day: what runs"), loads or words("nothing"), why))
        found.extend(_duties(installation))
    if any(span.temperature_c is None for span in spans):
        why = words("of air and battery, where nobody wrote one")
        found.append(Assumption(words("day: temperature"), f"{USUAL_TEMPERATURE_C:g} degC", why))
    return tuple(found)


def _stretches(installation: Installation, spans: tuple[DaySpan, ...], days: int) -> tuple[Stretch, ...]:
    found: list[Stretch] = []
    clock, before = 0.0, Situation.RESTING
    engine = _has_engine(installation)
    for run in range(days * len(spans)):
        day, number = divmod(run, len(spans))
        span = spans[number]
        starts = engine and span.when in ENGINE and before not in ENGINE | {Situation.CRANKING}
        starts = starts or span.when is Situation.CRANKING
        parts = _sky(span)
        for part, sun in enumerate(parts):
            length_s = span.time_s / len(parts)
            ends_s = clock + span.time_s if part == len(parts) - 1 else clock + (part + 1) * length_s
            found.append(
                Stretch(
                    span=run,
                    number=number + 1,
                    day=day + 1,
                    situation=span.when,
                    begins_s=clock + part * length_s,
                    ends_s=ends_s,
                    running=_running(installation, span),
                    powers_w={name: watts for name, watts in span.using.items() if watts is not None},
                    temperature_c=span.temperature_c,
                    sun=sun,
                    sun_s=span.sun_s or 0.0,
                    starts_engine=starts and part == 0,
                )
            )
        clock, before = clock + span.time_s, span.when
    return tuple(found)


def _sky(span: DaySpan) -> tuple[float, ...]:
    """Mean share of full sun in each part of a span: a half sine over it, flat where that is too high."""
    if not span.sun_s:
        return (0.0,)
    mean = span.sun_s / span.time_s
    if mean > 2.0 / math.pi:
        return (mean,)
    least, most = _SUN_STEPS
    parts = min(max(math.ceil(span.time_s / _SUN_STEP_S), least), most)
    edges = [math.cos(math.pi * part / parts) for part in range(parts + 1)]
    return tuple(mean * parts * (a - b) / 2.0 for a, b in itertools.pairwise(edges))


def _running(installation: Installation, span: DaySpan) -> tuple[str, ...]:
    """Loads that run in a span; of interlocked ones the first, a starter only while cranking."""
    taken: list[str] = []
    names = [name for name in installation.loads if name in span.using]
    if span.when is Situation.CRANKING:
        names += [n for n, load in installation.loads.items() if load.kind is LoadKind.STARTER]
    for name in dict.fromkeys(names):
        load = installation.loads[name]
        if load.state is State.REMOVE or not _may(load, span.when):
            continue
        if all(not _exclude(load, installation.loads[other]) for other in taken):
            taken.append(name)
    return tuple(taken)


def _may(load: Load, situation: Situation) -> bool:
    return load.kind is not LoadKind.STARTER or situation is Situation.CRANKING


def _exclude(one: Load, other: Load) -> bool:
    return other.name in one.never_with or one.name in other.never_with
