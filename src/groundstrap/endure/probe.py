"""One long stretch, run until something that is looked for has happened."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from groundstrap.endure.battery import Batteries
from groundstrap.endure.course import Course
from groundstrap.endure.day import Stretch
from groundstrap.endure.listener import Listener
from groundstrap.endure.stage import Fineness
from groundstrap.endure.starts import Need, cranking_of
from groundstrap.endure.switches import Thrown
from groundstrap.records import dataclass, replace

if TYPE_CHECKING:
    from groundstrap.assess import Wiring
    from groundstrap.endure.stage import Local, Stage

__all__ = ["Long", "long_run"]

Floats = NDArray[np.float64]

_CHUNKS_S = (3600.0, 6 * 3600.0, 24 * 3600.0, 72 * 3600.0, 240 * 3600.0)
_LONGEST_S = 4 * 3600.0
_LONGEST_SHARE = 0.05
"""Longest step, at first and over the time that has passed: what goes on for weeks goes slowly."""

_TOLERANCE = 3e-5


@dataclass(frozen=True, slots=True, kw_only=True)
class Long:
    """When what was looked for happened, from the beginning of the stretch; None: not within it."""

    cut_off_s: float | None
    no_start_s: float | None
    charged_s: float | None
    looked_s: float
    """How far was looked. [s]"""
    ends: Floats
    """Wells at the end. [Ah]"""


class _Probe(Listener):
    """Watches a stretch."""

    def __init__(self, wiring: Wiring, batteries: Batteries, need: Need | None, full: float) -> None:
        super().__init__(wiring, batteries)
        self.batteries, self.need, self.full = batteries, need, full
        self.cut_off_s: float | None = None
        self.no_start_s: float | None = None
        self.charged_s: float | None = None

    def at(self, stage: Stage, local: Local, wells: Floats, now_s: float) -> None:
        """Nothing to be noted at a moment."""

    def thrown(self, stage: Stage, thrown: Thrown, now_s: float) -> None:
        """Note the first cut-off."""
        del stage
        if thrown.cuts and self.cut_off_s is None:
            self.cut_off_s = now_s

    def margin(self, stage: Stage, wells: Floats) -> float:
        """What the battery holds above what is asked. [A]"""
        assert self.need is not None
        found = cranking_of(self.batteries, wells, stage.air, self.need, stage.flags.parted)
        return float(found.holds_a[0] - found.asks_a[0]) if not found.frozen[0] else -1.0

    def passed(
        self, stage: Stage, local: Local, begin: Floats, end: Floats, taken_s: Floats, now_s: float
    ) -> None:
        """Note where the start is lost, or the charge is back."""
        del local
        length = float(taken_s[0])
        if self.need is not None and self.no_start_s is None and self.margin(stage, end) < 0.0:
            self.no_start_s = now_s + length * _crossing(
                lambda at: self.margin(stage, begin + at * (end - begin))
            )
        if self.charged_s is None and self._lowest(end) >= self.full:
            share = _crossing(lambda at: self.full - self._lowest(begin + at * (end - begin)))
            self.charged_s = now_s + length * share

    def _lowest(self, wells: Floats) -> float:
        return float(self.batteries.state(wells).min())


def _crossing(height: Callable[[float], float]) -> float:
    """Where on a step from 0 to 1 a height falls through 0; 0 where it is below from the beginning."""
    low, high = 0.0, 1.0
    if height(0.0) <= 0.0:
        return 0.0
    for _ in range(30):
        middle = 0.5 * (low + high)
        low, high = (low, middle) if height(middle) <= 0.0 else (middle, high)
    return high


def long_run(
    wiring: Wiring,
    batteries: Batteries,
    stretch: Stretch,
    *,
    need: Need | None,
    wells: Floats | None,
    most_s: float,
    until: Callable[[Long], bool],
    full: float = 2.0,
) -> Long:
    """Run one stretch on and on until what is looked for has happened, or for so long.

    Source: the same steps as a day's, with a wider tolerance.

    Parameters
    ----------
    wiring, batteries : Wiring, Batteries
        The installation.
    stretch : Stretch
        What goes on; how long it lasts does not matter.
    need : Need or None
        What an engine asks for.
    wells : array or None
        To begin with; full, or as written, where it is left out. [Ah]
    most_s : float
        How far is looked. [s]
    until : callable
        Whether enough is known.
    full : float
        State that counts as charged. [1]
    """
    probe = _Probe(wiring, batteries, need, full)
    course = Course(
        wiring, batteries, listener=probe, fine=Fineness(longest_s=_LONGEST_S, tolerance=_TOLERANCE)
    )
    if wells is not None:
        course.wells = wells.copy()
    clock, chunk = 0.0, 0
    while True:
        length = min(_CHUNKS_S[min(chunk, len(_CHUNKS_S) - 1)], most_s - clock)
        course.longest_s = max(_LONGEST_S, _LONGEST_SHARE * clock)
        course.run(replace(stretch, begins_s=clock, ends_s=clock + length))
        clock, chunk = clock + length, chunk + 1
        found = Long(
            cut_off_s=probe.cut_off_s,
            no_start_s=probe.no_start_s,
            charged_s=probe.charged_s,
            looked_s=clock,
            ends=course.wells,
        )
        if clock >= most_s - 1e-6 or until(found):
            return found
