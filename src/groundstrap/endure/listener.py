"""Writes down what happens in a run of one row: the course, switching, charge and energy."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from groundstrap.endure.energy import Ledger
from groundstrap.endure.switches import Cut, Thrown
from groundstrap.records import dataclass

if TYPE_CHECKING:
    from groundstrap.assess import Wiring
    from groundstrap.endure.battery import Batteries
    from groundstrap.endure.stage import Local, Stage

__all__ = ["Event", "Listener", "Moment"]

Floats = NDArray[np.float64]

_DEAD_V = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Moment:
    """One point of the course."""

    at_s: float
    volts_v: Floats
    low_v: Floats
    """With all that run in turns running. [V]"""
    amps_a: Floats
    state: Floats
    loads_v: Floats
    """Of every load of the job. [V]"""
    on: frozenset[str]
    machines_v: Floats
    machines_a: Floats


@dataclass(slots=True)
class Event:
    """A cut-off, and what became of it."""

    load: str
    at_s: float
    volts_v: float
    limit_v: float
    span: int
    number: int
    day: int
    critical: bool
    back_at_s: float | None = None
    period_s: float | None = None
    share: float | None = None


class Listener:
    """The notes of one run."""

    def __init__(self, wiring: Wiring, batteries: Batteries, *, books: bool = True) -> None:
        """Begin with a clean sheet; energy and charge are booked only where `books`, which takes time."""
        self._books = books
        branches = wiring.network.branches
        self.loads = tuple(name for name in wiring.installation.loads if name in wiring.topology.index)
        ends = [branches[wiring.index(name)] for name in self.loads]
        self._start = np.array([b.start for b in ends], dtype=np.intp)
        self._end = np.array([b.end for b in ends], dtype=np.intp)
        self.moments: list[Moment] = []
        self.events: list[Event] = []
        self.held: set[int] = set()
        self.ledger = Ledger(wiring, batteries)
        self.until_failure: Floats | None = None
        """Charge taken by each branch until the first thing failed. [As]"""
        self.failed_at_s: float | None = None

    def at(self, stage: Stage, local: Local, wells: Floats, now_s: float) -> None:
        """Write down a moment."""
        seen = local.see(wells)
        low = seen.volts_v
        if local.turned_on is not None and local.turned_on.found[0]:
            turned_on = local.turned_on.answer(local.sight(wells).shown).volts_v[:, 0]
            low = np.where(turned_on > 0.0, turned_on, low)
        nodes = seen.nodes_v[:, 0]
        on = frozenset(
            one.name
            for n, one in enumerate(stage.scene.consumers)
            if not one.asleep and not stage.flags.off[n, 0]
        )
        self.moments.append(
            Moment(
                now_s,
                seen.volts_v[:, 0],
                low[:, 0],
                seen.amps_a[:, 0],
                seen.state[:, 0],
                nodes[self._start] - nodes[self._end],
                on,
                seen.machines_v[:, 0],
                seen.machines_a[:, 0],
            )
        )

    def passed(
        self, stage: Stage, local: Local, begin: Floats, end: Floats, taken_s: Floats, now_s: float
    ) -> None:
        """Book what flowed in a step."""
        del now_s
        if self._books:
            self.ledger.book(stage, local, begin, end, float(taken_s[0]))

    def fail(self, now_s: float) -> None:
        """Keep what had been taken when the first thing failed."""
        if self.failed_at_s is None:
            self.failed_at_s = now_s
            self.until_failure = self.ledger.charge_as.copy()

    def thrown(self, stage: Stage, thrown: Thrown, now_s: float) -> None:
        """Write down what switched."""
        self.held.update(stage.scene.relays[number].branch for number in thrown.held)
        for back in thrown.backs:
            one = stage.scene.consumers[back.load]
            event = self._open(one.name)
            if event is not None and not one.asleep:
                event.back_at_s = now_s
        for cut in thrown.cuts:
            one = stage.scene.consumers[cut.load]
            if one.asleep:
                continue
            self.fail(now_s)
            if cut.period_s is not None:
                event = self._last(one.name)
                if event is not None:
                    self._cycles(event, cut)
                    continue
            elif self._cycling(one.name, stage.stretch.span):
                continue
            self.events.append(
                Event(
                    one.name,
                    now_s,
                    self._volts(one.name, cut),
                    one.cut_v,
                    stage.stretch.span,
                    stage.stretch.number,
                    stage.stretch.day,
                    one.critical,
                )
            )

    def _volts(self, load: str, cut: Cut) -> float:
        """Volts at which a load gave up; of one that lost its source those that it had before."""
        if cut.volts_v >= _DEAD_V or not self.moments:
            return cut.volts_v
        return float(self.moments[-1].loads_v[self.loads.index(load)])

    def _cycles(self, event: Event, cut: Cut) -> None:
        """Of a cycle that is measured again the first measure stays; it is nearest to what people notice."""
        if event.period_s is None:
            event.period_s, event.share = cut.period_s, cut.share

    def _cycling(self, load: str, span: int) -> bool:
        """Whether it is known already that a load comes and goes in this span."""
        event = self._last(load)
        return event is not None and event.period_s is not None and event.span == span

    def _last(self, load: str) -> Event | None:
        return next((event for event in reversed(self.events) if event.load == load), None)

    def _open(self, load: str) -> Event | None:
        event = self._last(load)
        return event if event is not None and event.back_at_s is None else None
