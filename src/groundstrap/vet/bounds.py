"""What the plug, the fuse and the lead that a load came with let through, and the fuse where it plugs in."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Final

from groundstrap.model import Basis, Fitted, Load, Part
from groundstrap.physics.fuse import multiple_sure_to_open
from groundstrap.physics.fusing import PREECE_COPPER_A_PER_MM15, onderdonk_current_a, preece_current_a
from groundstrap.records import dataclass, replace
from groundstrap.tables import (
    Ampacity,
    NotTabled,
    Plug,
    default_insulation,
    fuse_family_names,
    fuse_gates,
    load_kind,
    plug,
    published_ampacity,
)
from groundstrap.tables.fuses import SURE_TO_OPEN
from groundstrap.vet.feed import Feed
from groundstrap.vet.results import Bound, BoundKind
from groundstrap.vet.words import amps, remarks, volts
from groundstrap.words import term, words

__all__ = ["Run", "bounds_of", "of_any_length", "run_of", "sure_to_open_a"]

_PORT_MULTIPLE: Final = 2.0
"""A port that limits its own current gives no more than this; own judgement."""

_AMBIENT_C: Final = 30.0
"""Air that the lead of a load lies in, for its usual current; conditions of the tables. [degC]"""

_START_C: Final = 20.0
_HALF: Final = 0.5
_HOURS: Final = 600.0
"""Runs longer than this heat a spring contact through; own judgement. [s]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """How long a load runs at one go, and its share of the time.

    `run_s` is inf where it runs without a pause, and 0 where only the share is written.
    """

    run_s: float
    share: float

    @property
    def for_hours(self) -> bool:
        """Whether it runs long enough to heat a contact through."""
        return self.run_s >= _HOURS or (self.run_s <= 0.0 and self.share >= _HALF)


def run_of(load: Load) -> Run:
    """Return how a load runs: as written, or as its kind usually does."""
    duty = load.duty
    if duty.run_s is not None:
        return Run(run_s=duty.run_s, share=duty.share_pct / 100)
    usual_min = load_kind(load.kind.value).usual_run_min
    if duty.continuous and usual_min is not None:
        return Run(run_s=usual_min * 60, share=0.0)
    return Run(run_s=math.inf if duty.continuous else 0.0, share=duty.share_pct / 100)


def sure_to_open_a(rating_a: float, run: Run, families: tuple[str, ...] = ()) -> float | None:
    """Return the current that surely opens a fuse while a load runs; None where no gates are known. [A]

    Source: iso-8820-3 and the other tabled gates, by the chord between them. Where the family is not
    known the slowest of all that are made in this rating counts. A load that pauses opens it by its mean heat
    too.

    >>> sure_to_open_a(15.0, Run(run_s=math.inf, share=1.0))
    20.25
    """
    multiples = [
        found
        for family in families or fuse_family_names()
        if (found := _sure_multiple(family, rating_a, run.run_s)) is not None
    ]
    by_heat = SURE_TO_OPEN / math.sqrt(run.share) if run.share > 0.0 else math.inf
    sure = min(max(multiples), by_heat) if multiples else math.inf
    return rating_a * sure if math.isfinite(sure) else None


@lru_cache(maxsize=512)
def _sure_multiple(family: str, rating_a: float, run_s: float) -> float | None:
    found = fuse_gates(family, rating_a)
    if isinstance(found, NotTabled) or not found.opens_surely:
        return None
    gates = [(gate.share_pct / 100, gate.most_s) for gate in found.gates if gate.most_s is not None]
    if run_s <= 0.0:
        return math.inf
    return multiple_sure_to_open(
        min(run_s, 1e9),
        gate_multiples=tuple(share for share, _ in gates),
        gate_most_s=tuple(most_s for _, most_s in gates),
    )


def of_any_length(load: Load) -> Load:
    """Return a load whose own lead has no length: nothing that is told of what it takes hangs on that."""
    if load.fitted.length_m is None:
        return load
    return replace(load, fitted=replace(load.fitted, length_m=None))


def bounds_of(load: Load, feed: Feed, basis: Basis) -> tuple[Bound, ...]:
    """Return everything outside a load that limits its current, all pieces together."""
    fitted, run = load.fitted, run_of(load)
    found: list[Bound] = []
    if fitted.plug is not None:
        found.append(_plug(fitted.plug, run, feed, load.count))
    if fitted.fuse_a is not None:
        found.append(_fuse(fitted.fuse_a, run, load.count))
    if fitted.wire is not None:
        found.append(_wire(fitted, run, basis, load.count))
    if feed.existing or fitted.plug is not None:
        found.extend(_circuit_fuse(part, run) for part in feed.fuses)
    return tuple(found)


def _plug(name: str, run: Run, feed: Feed, count: int) -> Bound:
    found = plug(name)
    most_a: float | None = None
    if found.fuse_a is not None:
        rating_a, remark = found.fuse_a, _socket_words(found)
        most_a = sure_to_open_a(found.fuse_high_a or found.fuse_a, run)
    elif found.volts_v is not None:
        rating_a = found.hours_a * found.volts_v / feed.nominal_v
        gives = words("it gives {current} at {at}", current=amps(found.hours_a), at=volts(found.volts_v))
        remark, most_a = gives, rating_a * _PORT_MULTIPLE
    else:
        rating_a = found.hours_a
        remark = words("its contacts are made for {current}", current=amps(found.hours_a))
    hours_a = found.hours_a if found.fuse_a is not None else rating_a
    return Bound(
        kind=BoundKind.PLUG,
        name=words("{name} plug", name=term(name)),
        rating_a=rating_a * count,
        most_a=None if most_a is None else most_a * count,
        hours_a=hours_a * count,
        remark=remark,
        source=found.source,
    )


def _socket_words(found: Plug) -> str:
    """The fuse that stands behind a socket for such a plug, and what its contact stands."""
    fuse_a, high_a = found.fuse_a or 0.0, found.fuse_high_a or found.fuse_a or 0.0
    some = words(", {high} behind some", high=amps(high_a)) if high_a > fuse_a else ""
    hours = words("its spring contact is good for about {hours} by the hour", hours=amps(found.hours_a))
    return remarks((words("{fuse} stands behind such a socket{some}", fuse=amps(fuse_a), some=some), hours))


def _fuse(rating_a: float, run: Run, count: int) -> Bound:
    most_a = sure_to_open_a(rating_a, run)
    return Bound(
        kind=BoundKind.FUSE,
        name=words("{rating_a} fuse it came with", rating_a=amps(rating_a)),
        rating_a=rating_a * count,
        most_a=None if most_a is None else most_a * count,
        remark=_opens(most_a),
        source="iso-8820-3",
    )


def _circuit_fuse(part: Part, run: Run) -> Bound:
    assert part.rating_a is not None
    most_a = sure_to_open_a(part.rating_a, run, () if part.family is None else (part.family,))
    return Bound(
        kind=BoundKind.CIRCUIT_FUSE,
        name=part.name,
        rating_a=part.rating_a,
        most_a=most_a,
        remark=remarks(
            (words("{rating_a}, in the vehicle already", rating_a=amps(part.rating_a)), _opens(most_a))
        ),
        source="iso-8820-3",
    )


def _opens(most_a: float | None) -> str:
    return (
        words("sure to open above {most_a}", most_a=amps(most_a))
        if most_a is not None
        else words("when it opens is not known")
    )


def _wire(fitted: Fitted, run: Run, basis: Basis, count: int) -> Bound:
    size = fitted.wire
    assert size is not None
    found = published_ampacity(
        basis=basis.value,
        insulation_c=default_insulation(basis.value).insulation.class_c,
        area_mm2=size.area_mm2,
        ambient_c=_AMBIENT_C,
    )
    rating_a = found.value_a if isinstance(found, Ampacity) else None
    melts_a = _melts_a(size.area_mm2, run)
    melts = (
        words("melts above {melts_a}; nothing may come near that", melts_a=amps(melts_a))
        if melts_a is not None
        else ""
    )
    usual = (
        words("good for about {rating_a}", rating_a=amps(rating_a))
        if rating_a is not None
        else words("no table says what it is good for")
    )
    return Bound(
        kind=BoundKind.WIRE,
        name=words("{text} lead", text=size.text),
        rating_a=None if rating_a is None else rating_a * count,
        most_a=None if melts_a is None else melts_a * count,
        remark=remarks((usual, melts)),
        source="preece-1888",
    )


def _melts_a(area_mm2: float, run: Run) -> float | None:
    """Current that surely melts a copper wire within a run: what heats it and what it loses, both covered.

    None where it is not known to run at all.
    """
    steady_a = preece_current_a(math.sqrt(4 * area_mm2 / math.pi), factor_a_per_mm15=PREECE_COPPER_A_PER_MM15)
    if math.isinf(run.run_s):
        return steady_a
    if run.run_s <= 0.0:
        # Only a share of the time is written: by its mean heat.
        return steady_a / math.sqrt(run.share) if run.share > 0.0 else None
    heating_a = onderdonk_current_a(area_mm2, 1.0, start_c=_START_C) / math.sqrt(run.run_s)
    return math.hypot(heating_a, steady_a)
