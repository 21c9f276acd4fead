"""What people ask of a run: how long, how many days, what costs most, what cures it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess import Wiring
from groundstrap.assess.positions import applies
from groundstrap.endure.battery import Batteries, batteries_of
from groundstrap.endure.cures import cures_of
from groundstrap.endure.day import Stretch, the_day
from groundstrap.endure.probe import Long, long_run
from groundstrap.endure.results import Answers, Dearest, Edit, Endurance, SpanRun
from groundstrap.endure.starts import Need, need_of
from groundstrap.errors import GroundstrapError
from groundstrap.model import Situation
from groundstrap.records import dataclass, replace

__all__ = ["answers"]

Floats = NDArray[np.float64]
Again = Callable[[tuple[Edit, ...]], Wiring | None]

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
        Returns the installation with values written into its job; without it no cures are looked for.
    """
    batteries = batteries_of(wiring.topology).batteries
    day = the_day(wiring.installation, days=1, temperature_c=run.temperature_c)
    asked = _Asked(wiring, batteries, need_of(wiring), day.stretches)
    unknown: list[str] = []
    beyond: dict[str, float] = {}
    rest = _kept(asked.rest, "until_cut_off_h", unknown)
    parked = _kept(asked.parked, "parked_days", unknown)
    charge = _kept(lambda: asked.recharge(rest), "recharge_h", unknown)
    if rest is not None and rest.cut_off_s is None:
        beyond["until_cut_off_h"] = rest.looked_s / _HOUR_S
    if rest is not None and rest.no_start_s is None and asked.need is not None:
        beyond["leaves_start_h"] = rest.looked_s / _HOUR_S
    if parked is not None and parked.no_start_s is None and asked.need is not None:
        beyond["parked_days"] = parked.looked_s / _DAY_S
    if charge is not None and charge.charged_s is None:
        beyond["recharge_h"] = charge.looked_s / _HOUR_S
    return Answers(
        until_cut_off_h=_in(rest.cut_off_s if rest else None, _HOUR_S),
        leaves_start_h=_in(rest.no_start_s if rest else None, _HOUR_S),
        parked_days=_in(parked.no_start_s if parked else None, _DAY_S),
        recharge_h=_in(charge.charged_s if charge else None, _HOUR_S),
        balance_ah_per_day={name: one.balance_ah_per_day for name, one in run.supplies.items()},
        weakest=_weakest(run),
        dearest=_dearest(run),
        cures=cures_of(wiring, run, again) if again is not None else (),
        unknown=tuple(unknown),
        beyond=beyond,
    )


def _kept(find: Callable[[], Long | None], name: str, unknown: list[str]) -> Long | None:
    """An answer, or its name among those that could not be reckoned."""
    try:
        return find()
    except GroundstrapError:
        unknown.append(name)
        return None


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
class _Asked:
    """An installation and its day, with the questions that need runs of their own."""

    wiring: Wiring
    batteries: Batteries
    need: Need | None
    stretches: tuple[Stretch, ...]

    def _longest(self, situation: Situation) -> Stretch | None:
        spans: Mapping[int, float] = {}
        lengths = dict(spans)
        for one in self.stretches:
            if one.situation is situation:
                lengths[one.span] = lengths.get(one.span, 0.0) + one.ends_s - one.begins_s
        if not lengths:
            return None
        best = max(lengths, key=lambda span: lengths[span])
        return next(one for one in self.stretches if one.span == best)

    def _resting(self) -> Stretch | None:
        found = self._longest(Situation.RESTING)
        if found is None and applies(self.wiring.installation, Situation.RESTING):
            found = replace(self.stretches[-1], situation=Situation.RESTING, running=(), powers_w={})
        return None if found is None else replace(found, sun=0.0, starts_engine=False)

    def rest(self) -> Long | None:
        """With what runs in the longest rest: until the first cut-off, and until no start is left."""
        stretch = self._resting()
        if stretch is None:
            return None

        def enough(found: Long) -> bool:
            return found.cut_off_s is not None and (self.need is None or found.no_start_s is not None)

        return long_run(
            self.wiring, self.batteries, stretch, need=self.need, wells=None, most_s=MOST_REST_S, until=enough
        )

    def parked(self) -> Long | None:
        """With what draws when all is off: until no start is left."""
        stretch = self._resting()
        if stretch is None or self.need is None:
            return None
        return long_run(
            self.wiring,
            self.batteries,
            replace(stretch, running=(), powers_w={}, number=-1),
            need=self.need,
            wells=None,
            most_s=MOST_PARKED_S,
            until=lambda found: found.no_start_s is not None,
        )

    def recharge(self, rest: Long | None) -> Long | None:
        """How long the best charging takes to bring back what the longest rest of the day took."""
        stretch = self._resting()
        charging = next(
            (
                found
                for situation in (Situation.MAINS, Situation.DRIVING, Situation.IDLING)
                if (found := self._longest(situation)) is not None
            ),
            None,
        )
        if stretch is None or charging is None or rest is None:
            return None
        span = [one for one in self.stretches if one.span == stretch.span]
        length = sum(one.ends_s - one.begins_s for one in span)
        emptied = long_run(
            self.wiring,
            self.batteries,
            stretch,
            need=None,
            wells=None,
            most_s=length,
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
