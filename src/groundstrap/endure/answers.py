"""What people ask of a run: how long, how many days, what costs most, what cures it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, TypeVar

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess import Wiring
from groundstrap.assess.positions import applies
from groundstrap.endure.battery import Batteries, batteries_of
from groundstrap.endure.cures import cures_of
from groundstrap.endure.day import Stretch, the_day
from groundstrap.endure.probe import Long, long_run
from groundstrap.endure.results import Answers, Changed, Cures, Dearest, Edit, Endurance, SpanRun
from groundstrap.endure.scene import mean_power_w
from groundstrap.endure.starts import Need, need_of
from groundstrap.endure.straight import straight_on
from groundstrap.errors import GroundstrapError
from groundstrap.model import Situation
from groundstrap.records import dataclass, replace

__all__ = ["answers"]

Floats = NDArray[np.float64]
Found = TypeVar("Found")
Again = Callable[[tuple[Edit, ...]], Changed | None]

MOST_REST_S: Final = 14 * 86400.0
MOST_PARKED_S: Final = 180 * 86400.0
MOST_CHARGE_S: Final = 72 * 3600.0

CHARGED: Final = 0.95
"""State that counts as brought back; what is missing above takes a lead battery hours more. [1]"""

_HOUR_S: Final = 3600.0
_DAY_S: Final = 86400.0


def answers(wiring: Wiring, run: Endurance, *, again: Again | None = None) -> Answers:
    """Answer what people ask of a run.

    Source: each answer by a run of its own from a full battery, or from the written rested voltage.

    Parameters
    ----------
    wiring : Wiring
        The installation that was run.
    run : Endurance
        The run.
    again : callable or None
        Returns the job with values written into it, or None where they don't go; without it no cures are
        looked for.
    """
    batteries = batteries_of(wiring.topology).batteries
    day = the_day(wiring.installation, days=1, temperature_c=run.temperature_c)
    asked = _Asked(wiring, batteries, need_of(wiring), day.stretches)
    unknown: list[str] = []
    beyond: dict[str, float] = {}
    rest = _kept(asked.rest, "until_cut_off_h", unknown)
    parked = _kept(asked.parked, "parked_days", unknown)
    charge = _kept(lambda: asked.recharge(rest), "recharge_h", unknown)
    if rest is not None and rest.cut_off is None:
        beyond["until_cut_off_h"] = rest.looked_s / _HOUR_S
    if rest is not None and rest.no_start is None and asked.need is not None:
        beyond["leaves_start_h"] = rest.looked_s / _HOUR_S
    if parked is not None and parked.no_start_s is None and asked.need is not None:
        beyond["parked_days"] = parked.looked_s / _DAY_S
    if charge is not None and charge.charged_s is None:
        beyond["recharge_h"] = charge.looked_s / _HOUR_S
    cures = cures_of(wiring, run, again) if again is not None else Cures()
    return Answers(
        until_cut_off_h=_in(rest.cut_off.at_s if rest and rest.cut_off else None, _HOUR_S),
        leaves_start_h=_in(rest.no_start.at_s if rest and rest.no_start else None, _HOUR_S),
        worst_rest={} if rest is None else _worst_rest(rest),
        parked_days=_in(parked.no_start_s if parked else None, _DAY_S),
        recharge_h=_in(charge.charged_s if charge else None, _HOUR_S),
        balance_ah_per_day={name: one.balance_ah_per_day for name, one in run.supplies.items()},
        weakest=_weakest(run),
        dearest=_dearest(run),
        cures=cures.cures,
        in_vain=cures.in_vain,
        not_run=cures.not_run,
        straight=straight_on(wiring, day.stretches),
        unknown=tuple(unknown),
        beyond=beyond,
    )


def _kept(find: Callable[[], Found | None], name: str, unknown: list[str]) -> Found | None:
    """An answer, or its name among those that could not be reckoned."""
    try:
        return find()
    except GroundstrapError:
        unknown.append(name)
        return None


def _worst_rest(rest: _Rest) -> dict[str, int]:
    found = {"until_cut_off_h": rest.cut_off, "leaves_start_h": rest.no_start}
    return {name: rest.spans[0 if when is None else when.run] for name, when in found.items()}


def _in(seconds: float | None, unit_s: float) -> float | None:
    return None if seconds is None else seconds / unit_s


def _weakest(run: Endurance) -> SpanRun | None:
    """The span in which some battery loses most."""
    losing = [span for span in run.spans if min(span.change_ah.values(), default=0.0) < 0.0]
    return min(losing, key=lambda span: min(span.change_ah.values())) if losing else None


def _dearest(run: Endurance) -> Dearest | None:
    taken = {name: ah for name, ah in run.taken_ah.items() if ah > 0.0}
    if not taken:
        return None
    load = max(taken, key=lambda name: taken[name])
    failed = [one.at_s for one in run.cut_offs] + [one.at_s for one in run.starts if not one.can]
    until_s = min(failed, default=run.spans[-1].ends_s)
    return Dearest(load=load, taken_ah=taken[load], share=taken[load] / sum(taken.values()), until_s=until_s)


@dataclass(frozen=True, slots=True)
class _When:
    """When something happens first, and in which of several runs."""

    at_s: float
    run: int


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rest:
    """What becomes of the worst rests."""

    cut_off: _When | None
    no_start: _When | None
    looked_s: float
    spans: tuple[int, ...]
    """Their numbers in the day, from 1."""


def _first(moments_s: list[float | None]) -> _When | None:
    return min(
        (_When(at_s, run) for run, at_s in enumerate(moments_s) if at_s is not None),
        key=lambda one: one.at_s,
        default=None,
    )


@dataclass(frozen=True, slots=True)
class _Span:
    """A span of the day: its first stretch, and how long it is."""

    stretch: Stretch
    length_s: float


@dataclass(frozen=True, slots=True)
class _Asked:
    """An installation and its day, with the questions that need runs of their own."""

    wiring: Wiring
    batteries: Batteries
    need: Need | None
    stretches: tuple[Stretch, ...]

    def _spans(self, situation: Situation) -> list[_Span]:
        """The spans of a situation, each as one stretch with its whole length."""
        lengths: dict[int, float] = {}
        for one in self.stretches:
            if one.situation is situation:
                lengths[one.span] = lengths.get(one.span, 0.0) + one.ends_s - one.begins_s
        first = {span: next(one for one in self.stretches if one.span == span) for span in lengths}
        return [_Span(first[span], length_s) for span, length_s in lengths.items()]

    def _resting(self) -> list[_Span]:
        """The rests of the day, without sun; where it has none all that is off."""
        found = self._spans(Situation.RESTING)
        if not found and applies(self.wiring.installation, Situation.RESTING):
            last = replace(self.stretches[-1], situation=Situation.RESTING, running=(), powers_w={})
            found = [_Span(last, last.ends_s - last.begins_s)]
        return [_Span(replace(one.stretch, sun=0.0, starts_engine=False), one.length_s) for one in found]

    def _worst(self) -> list[Stretch]:
        """The rest that takes most in an hour for the cold that it is, and the coldest one."""
        rests = [one.stretch for one in self._resting()]
        if not rests:
            return []

        def heavy(one: Stretch) -> float:
            share = self.batteries.air(one.temperature_c).capacity.min()
            return mean_power_w(self.wiring, one) / float(share)

        heaviest = max(rests, key=heavy)

        def cold(one: Stretch) -> float:
            return float(self.batteries.air(one.temperature_c).temp_c.min())

        coldest = min(rests, key=lambda one: (cold(one), -heavy(one)))
        return [heaviest] if coldest.number == heaviest.number else [heaviest, coldest]

    def rest(self) -> _Rest | None:
        """With what runs in the worst rest: until the first cut-off, and until no start is left."""

        def enough(found: Long) -> bool:
            return found.cut_off_s is not None and (self.need is None or found.no_start_s is not None)

        worst = self._worst()
        runs = [
            long_run(
                self.wiring,
                self.batteries,
                stretch,
                need=self.need,
                wells=None,
                most_s=MOST_REST_S,
                until=enough,
            )
            for stretch in worst
        ]
        if not runs:
            return None
        return _Rest(
            cut_off=_first([one.cut_off_s for one in runs]),
            no_start=_first([one.no_start_s for one in runs]),
            looked_s=min(one.looked_s for one in runs),
            spans=tuple(stretch.number for stretch in worst),
        )

    def parked(self) -> Long | None:
        """With what draws when all is off: until no start is left."""
        worst = self._worst()
        if not worst or self.need is None:
            return None
        return long_run(
            self.wiring,
            self.batteries,
            replace(worst[-1], running=(), powers_w={}, number=-1),
            need=self.need,
            wells=None,
            most_s=MOST_PARKED_S,
            until=lambda found: found.no_start_s is not None,
        )

    def recharge(self, rest: _Rest | None) -> Long | None:
        """How long the best charging takes to bring back what the rest took that takes most."""
        rests = self._resting()
        charging = next(
            (
                max(found, key=lambda one: one.length_s).stretch
                for situation in (Situation.MAINS, Situation.DRIVING, Situation.IDLING)
                if (found := self._spans(situation))
            ),
            None,
        )
        if not rests or charging is None or rest is None:
            return None
        most = max(rests, key=lambda one: mean_power_w(self.wiring, one.stretch) * one.length_s)
        emptied = long_run(
            self.wiring,
            self.batteries,
            most.stretch,
            need=None,
            wells=None,
            most_s=most.length_s,
            until=lambda _: False,
        )
        return long_run(
            self.wiring,
            self.batteries,
            charging,
            need=None,
            wells=emptied.ends,
            most_s=MOST_CHARGE_S,
            until=lambda found: found.charged_s is not None,
            full=CHARGED,
        )
