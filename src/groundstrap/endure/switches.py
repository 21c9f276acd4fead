"""What has switched so far, row by row, and what a moment makes of it."""

from __future__ import annotations

from dataclasses import field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.endure.scene import Scene
from groundstrap.endure.watch import Flags, Kind, Seen, Watch
from groundstrap.records import dataclass

__all__ = ["Back", "Cut", "Glance", "Switches", "Thrown"]

Floats = NDArray[np.float64]
Rows = NDArray[np.intp]

PAUSE_S: Final = 60.0
"""Least time that a load stays off once its own cut-out has opened; own judgement. [s]"""

_PATIENT: Final = 4
"""Cut-offs of a load in one span after which the pause doubles, and again after so many more."""

_CYCLES: Final = 3
_QUICK_S: Final = 1800.0
_MOST_CLICKS: Final = 12

SHED_S: Final = 600.0
"""Least time that a load, or a charger fed from a battery, stays off that nothing can feed, doubled each time
that it happens to it again; own judgement. [s]"""

_STAGE_S: Final = 300.0
"""Least time that a charger stays in a stage; own judgement. [s]"""

_LASTS: Final = 10.0
_MOST_LASTING_S: Final = 3600.0
"""A cycle that was measured stands for ten of its kind, then twenty and so on, at most for an hour; then two
more are run through and measured. Own judgement."""


@dataclass(frozen=True, slots=True)
class Cut:
    """A load that opened: number in the scene, its volts, and the cycle where one was found."""

    load: int
    row: int
    volts_v: float
    period_s: float | None = None
    share: float | None = None


@dataclass(frozen=True, slots=True)
class Back:
    """A load that came back."""

    load: int
    row: int


@dataclass(slots=True)
class Thrown:
    """Everything that was thrown at one moment."""

    count: int = 0
    cuts: list[Cut] = field(default_factory=list)
    backs: list[Back] = field(default_factory=list)
    held: list[int] = field(default_factory=list)
    """Relays that chatter and are held closed from now on."""


@dataclass(frozen=True, slots=True, eq=False)
class Glance:
    """Some rows at one moment: how far everything is from switching, and what is seen."""

    rows: Rows
    heights: Floats
    clock: Floats
    """Of all rows. [s]"""
    seen: Seen


class Switches:
    """Keeps what has switched from one stretch to the next."""

    def __init__(self, rows: int) -> None:
        """Begin with everything on, relays open, chargers in their first stage."""
        self.rows = rows
        self._off: dict[str, NDArray[np.bool_]] = {}
        self._closed: dict[int, NDArray[np.bool_]] = {}
        self._second: dict[str, NDArray[np.bool_]] = {}
        self._idle: dict[str, NDArray[np.bool_]] = {}
        self._sheds = self._trips = np.zeros((0, rows))
        self.gave_up: set[str] = set()
        """Chargers that gave up for want of volts at their input."""
        self._began_off = np.zeros((0, rows), dtype=bool)
        self._span = -1
        self._flags: Flags | None = None
        self._parted: NDArray[np.bool_] | None = None
        self._full: NDArray[np.bool_] | None = None
        self._cuts = self._all_cuts = self._clicks = np.zeros((0, rows))
        self._cut_s = self._back_s = self._measured = np.zeros((0, rows))

    @property
    def was_cut(self) -> NDArray[np.bool_]:
        """Which loads of the stretch were cut off in it, or began so: (loads, rows)."""
        return np.asarray(np.isfinite(self._cut_s) | self._began_off)

    @property
    def parted(self) -> NDArray[np.bool_] | None:
        """Batteries parted when the last stretch ended: (batteries, rows); None before the first."""
        return self._parted

    def enter(self, scene: Scene, lithium: NDArray[np.bool_], span: int) -> Flags:
        """Return the flags that a stretch begins with; a lead battery that gave out has rested meanwhile.

        Stretches of one span differ in nothing but the sun: what has switched in it, and waits, stays so.
        """
        if span == self._span and self._flags is not None:
            self._flags.parted &= lithium[:, None]
            return self._flags
        self._span = span
        no, loads, batteries = np.zeros(self.rows, dtype=bool), len(scene.consumers), len(lithium)

        def stack(found: list[NDArray[np.bool_]]) -> NDArray[np.bool_]:
            return np.array(found, dtype=bool).reshape(len(found), self.rows)

        self._all_cuts = np.zeros((loads, self.rows))
        self._cuts, self._clicks = np.zeros((loads, self.rows)), np.zeros((len(scene.relays), self.rows))
        self._measured, self._sheds = np.zeros((loads, self.rows)), np.zeros((loads, self.rows))
        machines = len(scene.machines)
        self._trips = np.zeros((machines, self.rows))
        self._cut_s = np.full((loads, self.rows), -np.inf)
        self._back_s = np.full((loads, self.rows), -np.inf)
        self._began_off = stack(
            [no if one.asleep else self._off.get(one.name, no) for one in scene.consumers]
        )
        if self._parted is None or self._full is None:
            self._parted = np.zeros((batteries, self.rows), dtype=bool)
            self._full = self._parted.copy()
        return Flags(
            off=self._began_off.copy(),
            cycling=np.zeros((loads, self.rows), dtype=bool),
            share=np.ones((loads, self.rows)),
            waits_s=np.full((loads, self.rows), -np.inf),
            closed=stack([self._closed.get(one.branch, no) for one in scene.relays]),
            held=np.zeros((len(scene.relays), self.rows), dtype=bool),
            second=stack(
                [self._second.get(one.name, no) if one.limit_a > 0.0 else no for one in scene.machines]
            ),
            stage_s=np.full((machines, self.rows), -np.inf),
            idle=stack([self._idle.get(one.name, no) for one in scene.machines]),
            idle_s=np.full((machines, self.rows), -np.inf),
            parted=self._parted & lithium[:, None],
            full=self._full.copy(),
        )

    def leave(self, scene: Scene, flags: Flags) -> None:
        """Keep what goes on into the next stretch."""
        self._off = {one.name: flags.off[n].copy() for n, one in enumerate(scene.consumers) if not one.asleep}
        self._closed = {one.branch: flags.closed[n].copy() for n, one in enumerate(scene.relays)}
        self._second = {one.name: flags.second[n].copy() for n, one in enumerate(scene.machines)}
        self._idle = {one.name: flags.idle[n].copy() for n, one in enumerate(scene.machines)}
        self._parted, self._full, self._flags = flags.parted.copy(), flags.full.copy(), flags

    def next_wait_s(self, flags: Flags, clock: Floats, rows: Rows) -> Floats:
        """Return when the first load that waits may come back, or the first cycle is measured anew. [s]"""
        waiting = flags.off | flags.cycling
        found = np.full(rows.size, np.inf)
        if waiting.any():
            until = flags.waits_s[:, rows]
            waits = np.where(waiting[:, rows] & (until > clock[rows]), until, np.inf)
            found = waits.min(axis=0, initial=np.inf)
        if flags.idle.any():
            until = flags.idle_s[:, rows]
            waits = np.where(flags.idle[:, rows] & (until > clock[rows]), until, np.inf)
            found = np.minimum(found, waits.min(axis=0, initial=np.inf))
        return found

    def just_waited(self, flags: Flags, clock: Floats, rows: Rows) -> NDArray[np.bool_]:
        """Return the rows in which a load may come back from now on, or runs for itself again."""
        waiting = flags.off | flags.cycling
        if not waiting.any():
            return np.zeros(rows.size, dtype=bool)
        due = np.zeros(waiting.shape, dtype=bool)
        until = flags.waits_s[:, rows]
        due[:, rows] = waiting[:, rows] & (until <= clock[rows] + 1e-6) & np.isfinite(until)
        flags.waits_s[due] = -np.inf
        again = due & flags.cycling
        flags.cycling[again], flags.share[again] = False, 1.0
        self._cuts[again] = _CYCLES - 2
        self._back_s[again] = np.broadcast_to(clock, again.shape)[again]
        return np.asarray(due[:, rows].any(axis=0))

    def throw(self, watch: Watch, flags: Flags, moment: Glance) -> Thrown:
        """Throw what stands below 0; of loads that are to open only one in each row."""
        thrown, rows = Thrown(), moment.rows
        edges = np.cumsum((0, *watch.counts))
        parts = {kind: moment.heights[edges[kind] : edges[kind + 1]] < 0.0 for kind in Kind}
        cutting = parts[Kind.CUT].any(axis=0)
        if cutting.any():
            self._open_one(watch, flags, parts[Kind.CUT], moment, thrown)
        for load, row in zip(*np.nonzero(parts[Kind.BACK] & ~cutting), strict=True):
            flags.off[load, rows[row]] = False
            self._back_s[load, rows[row]] = moment.clock[rows[row]]
            thrown.count += 1
            thrown.backs.append(Back(int(load), int(rows[row])))
        for relay, row in zip(*np.nonzero(parts[Kind.RELAY]), strict=True):
            self._click(flags, int(relay), int(rows[row]), thrown)
        if parts[Kind.STAGE].any():
            flags.stage_s[:, rows] = np.where(
                parts[Kind.STAGE], moment.clock[rows] + _STAGE_S, flags.stage_s[:, rows]
            )
        for machine, row in zip(*np.nonzero(parts[Kind.INPUT]), strict=True):
            self.trip(watch, flags, int(rows[row]), int(machine), float(moment.clock[rows[row]]))
            thrown.count += 1
        flips = (
            (Kind.STAGE, flags.second),
            (Kind.LOW_CELL, flags.parted),
            (Kind.HIGH_CELL, flags.full),
            (Kind.DEAD, flags.parted),
        )
        for kind, flag in flips:
            if parts[kind].any():
                flag[:, rows] ^= parts[kind]
                thrown.count += int(parts[kind].sum())
        thrown.count += int(parts[Kind.BEND].sum())
        return thrown

    def trip(self, watch: Watch, flags: Flags, row: int, machine: int, now_s: float) -> None:
        """Let a charger give up for want of volts at its input, or begin again."""
        flags.idle[machine, row] ^= True
        if flags.idle[machine, row]:
            flags.idle_s[machine, row] = now_s + SHED_S * 2.0 ** self._trips[machine, row]
            self._trips[machine, row] += 1
            self.gave_up.add(watch.machines[machine].name)

    def shed(self, flags: Flags, row: int, load: int, now_s: float, volts_v: float) -> Thrown:
        """Open a load that nothing can feed.

        Before a battery that its protection parted has taken some charge it would part again at once: so it
        stays off for longer than after a mere cut-off.
        """
        thrown = self.cut(flags, row, load, now_s, volts_v)
        if flags.off[load, row]:
            flags.waits_s[load, row] = now_s + SHED_S * 2.0 ** self._sheds[load, row]
            self._sheds[load, row] += 1
        return thrown

    def _click(self, flags: Flags, relay: int, row: int, thrown: Thrown) -> None:
        self._clicks[relay, row] += 1
        if self._clicks[relay, row] > _MOST_CLICKS:
            flags.closed[relay, row] = flags.held[relay, row] = True
            thrown.held.append(relay)
            return
        flags.closed[relay, row] ^= True
        thrown.count += 1

    def _open_one(
        self, watch: Watch, flags: Flags, below: NDArray[np.bool_], moment: Glance, thrown: Thrown
    ) -> None:
        """Not critical before critical, then the one that stands lowest under its cut-off."""
        with np.errstate(invalid="ignore", divide="ignore"):
            order = moment.seen.loads_on_v / watch.cut_v + 1e6 * watch.critical[:, None]
        order = np.where(below, order, np.inf)
        for row in np.flatnonzero(below.any(axis=0)):
            load, number = int(np.argmin(order[:, row])), int(moment.rows[row])
            volts = float(moment.seen.loads_on_v[load, row])
            made = self.cut(flags, number, load, float(moment.clock[number]), volts)
            thrown.count += made.count
            thrown.cuts += made.cuts

    def cut(self, flags: Flags, row: int, load: int, now_s: float, volts_v: float) -> Thrown:
        """Open a load; one that comes and goes runs a share of the time from its second full cycle on."""
        self._cuts[load, row] += 1
        self._all_cuts[load, row] += 1
        period_s, on_s = now_s - self._cut_s[load, row], now_s - self._back_s[load, row]
        self._cut_s[load, row] = now_s
        # One that can't even be borne for its share of the time, or that opens again at once, stays off.
        cycles = self._cuts[load, row] >= _CYCLES and PAUSE_S <= period_s < _QUICK_S
        if cycles and not flags.cycling[load, row]:
            share = max(min(on_s / period_s, 1.0), 0.0)
            flags.off[load, row], flags.cycling[load, row] = False, True
            flags.share[load, row] = share
            lasts_s = min(_LASTS * period_s * 2.0 ** self._measured[load, row], _MOST_LASTING_S)
            flags.waits_s[load, row] = now_s + lasts_s
            self._measured[load, row] += 1
            return Thrown(1, [Cut(load, row, volts_v, float(period_s), float(share))])
        flags.off[load, row], flags.cycling[load, row] = True, False
        flags.waits_s[load, row] = now_s + PAUSE_S * 2.0 ** (self._all_cuts[load, row] // _PATIENT)
        return Thrown(1, [Cut(load, row, volts_v)])
