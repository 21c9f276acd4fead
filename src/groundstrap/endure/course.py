"""The course of a run: steps in time, moments at which something switches, one row or many.

The network is in balance at every moment; only charge takes time. A step ends early where something would
switch within it: that moment is looked for, the switch is thrown, and what else that switches is settled
before time goes on.
"""

from __future__ import annotations

from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess import Wiring
from groundstrap.endure.battery import Batteries
from groundstrap.endure.day import Stretch
from groundstrap.endure.laws import BLOCKED_OHM, Shown
from groundstrap.endure.listener import Listener
from groundstrap.endure.mean import MeanShare, mean_shares
from groundstrap.endure.port import Port, Values, look, posts_alone
from groundstrap.endure.scene import Scene, consumer_values, scene_of
from groundstrap.endure.stage import FINE, Fineness, Local, Many, SceneKey, Stage, scene_key
from groundstrap.endure.starved import give_up, stand_in_of
from groundstrap.endure.steps import Slopes, between, grown, slopes_at, step
from groundstrap.endure.switches import Glance, Switches
from groundstrap.endure.watch import Flags, Given, Seen, Watch
from groundstrap.errors import CannotDoError
from groundstrap.records import dataclass, replace
from groundstrap.solve import Nearby, Network

__all__ = ["Course"]

Floats = NDArray[np.float64]
Rows = NDArray[np.intp]

SOFT_OHM: Final = 20.0
"""Largest charge resistance that a solve is shown. [ohm]"""

FULL_V: Final = 15.5
"""Above which no battery of 12 V is taken to stand. [V]"""

MOMENT_S: Final = 0.05
"""How closely a moment is looked for. [s]"""

_MOST_SETTLING: Final = 200
_MOST_APPROACHES: Final = 6
_FIRST_STEP_S: Final = 240.0
_MOST_SEARCHES: Final = 60
_MOST_SLOW: Final = 200


class Course:
    """Runs stretches one after another and keeps the charge."""

    def __init__(
        self,
        wiring: Wiring,
        batteries: Batteries,
        *,
        rows: int = 1,
        many: Many | None = None,
        fine: Fineness = FINE,
        keep: Rows | None = None,
        listener: Listener | None = None,
    ) -> None:
        """Begin with batteries as they are.

        Parameters
        ----------
        wiring : Wiring
            The installation as a network.
        batteries : Batteries
            Its batteries; with many rows their fields may have them.
        rows : int
            How many days run side by side.
        many : Many or None
            In what the rows differ.
        fine : Fineness
            How closely time is followed.
        keep : array or None
            Branches whose current is kept; all where it is left out.
        listener : Listener or None
            Is told what happens; only with one row.
        """
        self.wiring, self.batteries, self.rows = wiring, batteries, rows
        self.many = many or Many()
        self.moves_v, self.tolerance, self.longest_s = fine.moves_v, fine.tolerance, fine.longest_s
        self.keep, self.listener = keep, listener
        self.wells = batteries.begin(rows)
        self.switches = Switches(rows)
        self.solves = self.steps = self.events = 0
        self.hard = np.zeros(rows, dtype=bool)
        """Rows whose working point is not found easily."""
        self.failed = np.zeros(rows, dtype=bool)
        self._near: Nearby | None = None
        """Of one row: where its network stood last."""
        self._slow = np.zeros(rows, dtype=int)
        self.branches = [block.number for block in batteries.blocks]
        self.lithium = np.array([block.lithium for block in batteries.blocks], dtype=bool)
        self.scale = np.array([[block.scale] for block in batteries.blocks])
        self.scenes: dict[SceneKey, Scene] = {}
        self._charge_ah = float(np.max(batteries.total_ah))

    @cached_property
    def stand_in(self) -> Network:
        """The network with resistors in place of loads that may ask for more than is there."""
        return stand_in_of(self.wiring)

    def enter(self, stretch: Stretch) -> Stage:
        """Set the scene of a stretch."""
        key = scene_key(stretch)
        if key not in self.scenes:
            self.scenes[key] = scene_of(self.wiring, stretch, self.batteries)
        scene = self.scenes[key]
        temperature = stretch.temperature_c
        if self.many.warmer_k is not None:
            base = 20.0 if temperature is None else temperature
            air = self.batteries.air(np.clip(base + self.many.warmer_k, -45.0, 65.0))
        else:
            air = self.batteries.air(temperature)
        flags = self.switches.enter(scene, self.lithium, stretch.span)
        return Stage(
            stretch=stretch,
            scene=scene,
            watch=Watch(self.wiring, scene, self.batteries, self.keep),
            air=air,
            flags=flags,
            given=self._given(scene, flags),
        )

    def run(self, stretch: Stretch) -> Stage:
        """Run a stretch from its beginning to its end."""
        stage = self.enter(stretch)
        self._means_of(stage)
        self.hard[:] = False
        clock = np.full(self.rows, stretch.begins_s)
        length = np.full(self.rows, min(_FIRST_STEP_S, stretch.ends_s - stretch.begins_s))
        everyone = np.arange(self.rows)
        self._settle(stage, everyone, clock)
        self._tell(stage, clock)
        while True:
            active = np.flatnonzero((clock < stretch.ends_s) & ~self.failed)
            if not active.size:
                break
            self._advance(stage, active, clock, length)
        self.switches.leave(stage.scene, stage.flags)
        return stage

    def _advance(self, stage: Stage, active: Rows, clock: Floats, length: Floats) -> None:
        """Take one step of the rows that are not at the end yet."""
        local = self._local(stage, active)
        begin = self.wells if active.size == self.rows else self.wells[..., active]
        ends_s = stage.stretch.ends_s
        left_s = ends_s - clock[active]
        waits = self.switches.next_wait_s(stage.flags, clock, active) - clock[active]
        room_s = np.minimum(np.minimum(left_s, waits), self.longest_s)
        taken_s = np.minimum(length[active], room_s)
        slopes = slopes_at(local.change, begin, self._charge_ah)
        for _ in range(_MOST_SEARCHES):
            tried = step(local.change, begin, slopes, taken_s)
            error = tried.error / (self.tolerance * self._charge_ah)
            self.steps += active.size
            bad = error > 1.0
            if not bad.any():
                break
            taken_s = np.where(bad, np.maximum(taken_s * grown(error), 1e-3), taken_s)
        next_s = np.minimum(taken_s * grown(error), self.longest_s)
        after = self._heights(local, tried.wells, clock[active] + taken_s)
        wells = tried.wells
        crosses = (after < 0.0).any(axis=0)
        if crosses.any():
            taken_s = self._search(local, begin, slopes, _Trial(tried.wells, taken_s, after), clock[active])
            wells = step(local.change, begin, slopes, taken_s).wells
            heights = self._heights(local, wells, clock[active] + taken_s)
            after = np.where(crosses, heights, np.maximum(heights, 0.0))
            next_s = np.where(crosses, np.maximum(0.25 * taken_s, 0.25 * _FIRST_STEP_S), next_s)
        if self.listener is not None:
            self.listener.passed(stage, local, begin, wells, taken_s, float(clock[active][0]))
        if active.size == self.rows:
            self.wells = wells
        else:
            self.wells[..., active] = wells
        clock[active] += taken_s
        at_end = ends_s - clock[active] < 1e-6
        clock[active] = np.where(at_end, ends_s, clock[active])
        length[active] = np.maximum(next_s, 1.0)
        self._hurry(active, taken_s)
        self._after(stage, active, clock, after, local)

    def _hurry(self, active: Rows, taken_s: Floats) -> None:
        """Give up rows whose time no longer goes on."""
        slow = taken_s < 1.0
        self._slow[active] = np.where(slow, self._slow[active] + 1, 0)
        stuck = active[self._slow[active] > _MOST_SLOW]
        if stuck.size:
            self.failed[stuck] = True
            if self.listener is not None:
                raise CannotDoError(
                    "something in this job switches without end",
                    next_step="look at the volts at which its relays and loads switch",
                )

    def _after(self, stage: Stage, active: Rows, clock: Floats, after: Floats, local: Local) -> None:
        """Throw what has to be thrown, and look at the network again where that is due."""
        switched = np.asarray((after < 0.0).any(axis=0))
        if switched.any():
            self._tell(stage, clock)
            rows = active[switched]
            self._throw(stage, Glance(rows, after[:, switched], clock, local.seen_rows(switched)))
            self._settle(stage, rows, clock)
            self._tell(stage, clock)
            return
        assert stage.port is not None
        volts = local.volts_v
        moved = (np.abs(volts - stage.port.volts_v[:, active]) / self.scale).max(axis=0)
        waited = self.switches.just_waited(stage.flags, clock, active)
        again = (moved > self.moves_v) | waited
        self._tell(stage, clock)
        if again.any():
            self._settle(stage, active[again], clock, again=not waited.any())

    def _local(self, stage: Stage, rows: Rows) -> Local:
        if rows.size < self.rows:
            return Local(self.batteries, stage, rows)
        if stage.local is None:
            stage.local = Local(self.batteries, stage, rows)
        return stage.local

    def _search(self, local: Local, begin: Floats, slopes: Slopes, trial: _Trial, clock: Floats) -> Floats:
        """Find when something switches within a step, just after it, on the curve between its ends. [s]"""
        length, end = trial.taken_s, trial.wells
        first = slopes.change.T.reshape(begin.shape) * length
        last = local.change(end) * length
        low, high = np.zeros_like(length), length.copy()
        height_low, height_high = self._heights(local, begin, clock), trial.after
        crosses = (trial.after < 0.0).any(axis=0)
        for turn in range(_MOST_SEARCHES):
            open_ = crosses & (high - low > MOMENT_S)
            if not open_.any():
                break
            with np.errstate(invalid="ignore", divide="ignore"):
                share = np.where(height_high < 0.0, height_low / (height_low - height_high), 1.0)
            share = share.min(axis=0)
            share = np.where(np.isfinite(share) & (share > 0.0), share, 0.5)
            # Just beyond the crossing, so that the upper end closes in as well.
            share = np.clip(share + (0.3 * MOMENT_S) / np.maximum(high - low, MOMENT_S), 0.02, 0.98)
            middle = np.where(open_, low + (high - low) * (share if turn % 3 < 2 else 0.5), high)
            at = middle / length
            wells = between(begin, end, first, last, at)
            heights = self._heights(local, wells, clock + middle)
            over = (heights < 0.0).any(axis=0)
            up, down = open_ & over, open_ & ~over
            high, low = np.where(up, middle, high), np.where(down, middle, low)
            height_high = np.where(up, heights, height_high)
            height_low = np.where(down, heights, height_low)
        return high

    def _given(self, scene: Scene, flags: Flags) -> Given:
        rows = self.rows
        machines = scene.machines
        return Given(
            set_v=np.where(
                flags.second, _column([m.low_v for m in machines]), _column([m.high_v for m in machines])
            ),
            limit_a=np.array([[m.limit_a] * rows for m in machines]).reshape(-1, rows),
            droop_ohm=_column([m.droop_ohm for m in machines]),
            regime=np.ones((len(machines), rows), dtype=np.int8),
        )

    def shown(self, stage: Stage, rows: Rows) -> Shown:
        """What batteries show to a solve: parted ones are away.

        What the network answers hangs on their volts and currents alone. So a battery that takes next to
        nothing is shown as a softer one through the point where it stood last, which the solver finds with
        ease.
        """
        batteries, air = self.batteries.rows(rows), stage.air.rows(rows)
        shown = batteries.shown(self.wells[..., rows], air)
        flags = stage.flags
        parted, full = flags.parted[:, None, rows], flags.full[:, None, rows]
        charge_ohm = np.where(full, BLOCKED_OHM, shown.charge_ohm)
        emf_v = shown.emf_v
        if stage.port is not None and (charge_ohm > SOFT_OHM).any():
            port = stage.port if rows.size == self.rows else stage.port.rows(rows)
            stood_v = port.answer(replace(shown, charge_ohm=charge_ohm)).volts_v
            stood_v = np.minimum(stood_v, self._highest_v(stage, rows)[:, None])
            soft = (charge_ohm > SOFT_OHM) & (stood_v > emf_v)
            emf_v = np.where(soft, stood_v - (stood_v - emf_v) / charge_ohm * SOFT_OHM, emf_v)
        return replace(
            shown,
            emf_v=emf_v,
            discharge_ohm=np.where(parted, np.inf, shown.discharge_ohm),
            charge_ohm=np.where(parted, np.inf, np.minimum(charge_ohm, SOFT_OHM)),
        )

    def _highest_v(self, stage: Stage, rows: Rows) -> Floats:
        """Volts above which batteries are not taken to stand: no charger of the stretch holds more."""
        holds = [
            stage.given.set_v[number, rows] / self.scale[machine.batteries[0], 0]
            for number, machine in enumerate(stage.scene.machines)
            if machine.batteries and machine.limit_a > 0.0
        ]
        most = np.minimum(np.max(holds, axis=0), FULL_V) if holds else np.full(rows.size, FULL_V)
        return np.asarray(most * self.scale)

    def values(self, stage: Stage, rows: Rows, factors: Floats) -> Values:
        """Parameters of every branch with loads at these shares of their power: (loads, rows)."""
        values: Values = [tuple(one) for one in stage.scene.base]
        single = rows.size == 1
        for number, one in enumerate(stage.scene.consumers):
            factor = float(factors[number, 0]) if single else factors[number]
            values[one.branch] = consumer_values(one, factor)
        for number, machine in enumerate(stage.scene.machines):
            set_v, limit_a = stage.given.set_v[number, rows], stage.given.limit_a[number, rows]
            if machine.input is not None:
                limit_a = np.where(stage.flags.idle[number, rows], 0.0, limit_a)
            values[machine.branch] = (
                (float(set_v[0]), float(limit_a[0]), machine.droop_ohm)
                if single
                else (set_v, limit_a, machine.droop_ohm)
            )
        for number, relay in enumerate(stage.scene.relays):
            closed = stage.flags.closed[number, rows]
            ohm = np.where(closed, relay.ohm, np.inf)
            values[relay.branch] = (float(ohm[0]),) if single else (ohm,)
        return values

    def factors(self, stage: Stage, rows: Rows, *, turned_on: bool) -> Floats:
        """Share of its power of each load: what it takes on average, or with all that run in turns on."""
        flags, consumers = stage.flags, stage.scene.consumers
        found = np.empty((len(consumers), rows.size))
        for number, one in enumerate(consumers):
            draw = self.many.draws.get(one.name)
            found[number] = 1.0 if draw is None else draw[rows]
        found *= ~flags.off[:, rows]
        share = flags.share[:, rows]
        if turned_on:
            return np.where(flags.cycling[:, rows], found * share, found)
        assert stage.means is not None
        return found * share * stage.means.factor[:, rows]

    def _means_of(self, stage: Stage) -> None:
        stage.means = means = MeanShare.begin(stage.scene, self.rows)
        bend = self.many.bends.get(scene_key(stage.stretch))
        if bend is not None:
            means.bend *= bend[:, None]
        for number, one in enumerate(stage.scene.consumers):
            if one.name in self.many.duties and one.duty < 1.0:
                means.extra[number] = np.minimum(self.many.duties[one.name], 1.0 / one.duty)

    def begun(self, values: Values, shown: Shown) -> Nearby:
        """Solve the network of one row, if that is easy, from where it stood last."""
        self._near = posts_alone(self.wiring.network, values, self.branches, shown, self._near)
        return self._near

    def _ported(self, values: Values, shown: Shown, rows: Rows, before: Port | None) -> Port:
        network, plainly = self.wiring.network, not self.hard[rows].any()
        if before is not None:
            before = before if rows.size == self.rows else before.rows(rows)
            self.solves += rows.size
            port = before.refreshed(network, values, self.branches, shown, plainly=plainly)
        else:
            port = look(
                network, values, self.branches, shown, keep=self.keep, near=self._near, plainly=plainly
            )
            self.solves += rows.size * (1 + len(self.branches) if port.found.any() else 1)
        if port.nearby is not None:
            self._near = port.nearby
        return port

    def _look(self, stage: Stage, rows: Rows, *, again: bool) -> None:
        """Solve the network of some rows with their slopes; `again` where nothing has switched since."""
        shown = self.shown(stage, rows)
        again = again and stage.port is not None
        assert stage.means is not None
        if stage.means.any_turns and self.rows == 1:
            self.solves += mean_shares(self, stage, rows, shown)
        values = self.values(stage, rows, self.factors(stage, rows, turned_on=False))
        port = self._ported(values, shown, rows, stage.port if again else None)
        turned_on = None
        if stage.means.any_turns and stage.watch.cuts and (self.rows > 1 or port.found.all()):
            values = self.values(stage, rows, self.factors(stage, rows, turned_on=True))
            turned_on = self._ported(values, shown, rows, stage.turned_on if again else None)
        if rows.size == self.rows:
            stage.port, stage.turned_on = port, turned_on
        else:
            assert stage.port is not None
            stage.port.put(rows, port)
            if turned_on is not None and stage.turned_on is not None:
                stage.turned_on.put(rows, turned_on)
        stage.local = None
        self._regimes(stage, rows)

    def _regimes(self, stage: Stage, rows: Rows) -> None:
        assert stage.port is not None
        kept = stage.watch.machine_branch
        given = -stage.port.branches_a[kept][:, rows]
        limit = stage.given.limit_a[:, rows]
        watch, nodes = stage.watch, stage.port.nodes_v[:, rows]
        below = nodes[watch.machine_start] - nodes[watch.machine_end] < stage.given.set_v[:, rows] - 1e-6
        idle = np.where(below, 3, 0)
        stage.given.regime[:, rows] = np.where(
            given <= 1e-9, idle, np.where(given >= limit * (1.0 - 1e-9), 2, 1)
        )

    def _sunny(self, stage: Stage, rows: Rows, seen: Seen) -> bool:
        """Let solar chargers give their power at the volts that they find; whether that moved."""
        moved = False
        for number, machine in enumerate(stage.scene.machines):
            if machine.watts is None or machine.watts <= 0.0:
                continue
            limit = machine.watts / np.maximum(seen.machines_v[number], 1.0)
            limit = np.minimum(limit, machine.most_a)
            if np.any(np.abs(limit - stage.given.limit_a[number, rows]) > 1e-4 * limit):
                stage.given.limit_a[number, rows] = limit
                moved = True
        return moved

    def _heights(self, local: Local, wells: Floats, now_s: Floats) -> Floats:
        seen = local.see(wells)
        return local.stage.watch.heights(seen, local.flags, local.given, now_s)

    def _settle(self, stage: Stage, rows: Rows, clock: Floats, *, again: bool = False) -> None:
        """Look at the network and throw what has to be thrown until nothing more has to."""
        looks = np.zeros(self.rows, dtype=np.intp)
        for turn in range(_MOST_SETTLING):
            if not rows.size:
                return
            regime = stage.given.regime[:, rows].copy()
            self._look(stage, rows, again=again)
            if again and (stage.given.regime[:, rows] != regime).any():
                self._look(stage, rows, again=False)
            again = False
            found = self._found(stage, rows)
            if not found.all():
                give_up(self, stage, rows[~found], clock)
                self._settle(stage, rows[found], clock)
                rows = rows[~found & ~self.failed[rows]]
                continue
            local = self._local(stage, rows)
            wells = self.wells if rows.size == self.rows else self.wells[..., rows]
            heights = self._heights(local, wells, clock[rows])
            sun = turn < 2 and self._sunny(stage, rows, local.seen_rows(slice(None)))
            # What is seen from afar, or on another part of a machine's line, tells nothing of switches yet.
            away = self._away(stage, rows, local, heights) & (looks[rows] < _MOST_APPROACHES)
            switches = heights[: -len(stage.scene.machines) or None] < 0.0
            throws = np.asarray(switches.any(axis=0)) & ~away
            looks[rows] = np.where(throws, 0, looks[rows] + away)
            if throws.any():
                self._throw(stage, Glance(rows[throws], heights[:, throws], clock, local.seen_rows(throws)))
            if not sun:
                rows = rows[away | throws]
        self.failed[rows] = True
        if self.listener is not None:
            raise CannotDoError(
                "the switches of this job do not come to rest",
                next_step="look at the volts at which its relays close and open",
            )

    def _found(self, stage: Stage, rows: Rows) -> NDArray[np.bool_]:
        """Whether there is a working point, and one with everything that runs in turns running."""
        assert stage.port is not None
        found = stage.port.found[rows]
        return found if stage.turned_on is None else found & stage.turned_on.found[rows]

    def _away(self, stage: Stage, rows: Rows, local: Local, heights: Floats) -> NDArray[np.bool_]:
        """Whether batteries or machines stand elsewhere than where the network was looked at."""
        assert stage.port is not None
        moved = np.abs(local.volts_v - stage.port.volts_v[:, rows]) / self.scale
        bends = heights[heights.shape[0] - len(stage.scene.machines) :] < 0.0
        return np.asarray((moved > self.moves_v).any(axis=0) | bends.any(axis=0))

    def _throw(self, stage: Stage, moment: Glance) -> None:
        rows = moment.rows
        thrown = self.switches.throw(stage.watch, stage.flags, moment)
        self.events += thrown.count
        second = stage.flags.second[:, rows]
        for number, machine in enumerate(stage.scene.machines):
            stage.given.set_v[number, rows] = np.where(second[number], machine.low_v, machine.high_v)
        if self.listener is not None:
            self.listener.thrown(stage, thrown, float(moment.clock[rows[0]]))

    def _tell(self, stage: Stage, clock: Floats) -> None:
        if self.listener is not None:
            self.listener.at(stage, self._local(stage, np.array([0])), self.wells, float(clock[0]))


@dataclass(frozen=True, slots=True, eq=False)
class _Trial:
    wells: Floats
    taken_s: Floats
    after: Floats


def _column(values: list[float]) -> Floats:
    return np.array(values, dtype=float).reshape(-1, 1)
