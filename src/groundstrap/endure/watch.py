"""What may switch by itself in a stretch, as numbers that fall through zero when it does."""

from __future__ import annotations

from enum import IntEnum
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess import Wiring
from groundstrap.endure.battery import HIGH_CELL_V, LOW_CELL_V, Batteries
from groundstrap.endure.charging import HELD_STATE
from groundstrap.endure.laws import Shown
from groundstrap.endure.port import Answer, Port
from groundstrap.endure.scene import Scene
from groundstrap.records import dataclass
from groundstrap.solve import Branch

__all__ = ["COMES_BACK_V", "Flags", "Given", "Kind", "Seen", "Watch"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

COMES_BACK_V: Final = 0.5
"""Above its cut-off at which a load comes back when something charges, at 12 V; own judgement."""

DEAD_V: Final = 1.0
"""Behind the resistance of a 12 V battery at which nothing is counted on it any more; own judgement. [V]"""

_ALIVE_V: Final = 10.5
_NEAR_V: Final = 0.1


class Kind(IntEnum):
    """What switches; in the order of the rows of a watch."""

    CUT = 0
    BACK = 1
    RELAY = 2
    STAGE = 3
    LOW_CELL = 4
    HIGH_CELL = 5
    DEAD = 6
    INPUT = 7
    BEND = 8


@dataclass(slots=True, kw_only=True, eq=False)
class Flags:
    """What has switched, row by row: (things, rows)."""

    off: Bools
    """Loads that are cut off."""
    cycling: Bools
    share: Floats
    """Of the time that a cycling load runs."""
    waits_s: Floats
    """Before which a load does not come back, or until when a measured cycle stands. [s]"""
    closed: Bools
    """Relays."""
    held: Bools
    """Relays that chatter: they stay closed."""
    second: Bools
    """Machines in their second stage."""
    stage_s: Floats
    """Before which a machine does not change its stage again. [s]"""
    idle: Bools
    """Machines that gave up for want of volts at their input."""
    idle_s: Floats
    """Before which they do not begin again. [s]"""
    parted: Bools
    """Batteries that their own protection, or death, has parted."""
    full: Bools
    """Lithium batteries that take no more."""

    def rows(self, chosen: NDArray[np.intp]) -> Flags:
        """Copies of some rows."""
        return Flags(**{name: getattr(self, name)[:, chosen] for name in Flags.__dataclass_fields__})


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """Everything that a watch looks at, at one moment: (things, rows)."""

    loads_v: Floats
    """With all that run in turns at their mean. [V]"""
    loads_on_v: Floats
    """With all that run in turns running. [V]"""
    nodes_v: Floats
    machines_a: Floats
    """What machines give. [A]"""
    machines_v: Floats
    volts_v: Floats
    amps_a: Floats
    emf_v: Floats
    posts_v: Floats
    state: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Given:
    """What machines are set to, and where on their line they stand: (machines, rows)."""

    set_v: Floats
    limit_a: Floats
    droop_ohm: Floats
    regime: NDArray[np.int8]
    """0 standing by above their volts, 1 at their volts, 2 at their limit, 3 not fed."""

    def rows(self, chosen: NDArray[np.intp]) -> Given:
        """Some rows of it."""
        return Given(self.set_v[:, chosen], self.limit_a[:, chosen], self.droop_ohm, self.regime[:, chosen])


class Watch:
    """The things of one scene as arrays."""

    def __init__(
        self, wiring: Wiring, scene: Scene, batteries: Batteries, keep: NDArray[np.intp] | None = None
    ) -> None:
        """Gather what the scene says; `keep` are the branches whose currents a port keeps."""
        branches, system = wiring.network.branches, wiring.installation.system_v / 12.0
        self.load_start, self.load_end = _ends([branches[one.branch] for one in scene.consumers])
        self.cut_v = _column([one.cut_v for one in scene.consumers])
        self.cuts = any(np.isfinite(one.cut_v) and not one.asleep for one in scene.consumers)
        restart = [one.restart_v for one in scene.consumers]
        by_charge = [
            one.cut_v + COMES_BACK_V * one.at_v / 12.0 if one.restart_v is None else one.restart_v
            for one in scene.consumers
        ]
        self.restart_v = _column(by_charge)
        self.may_return = np.array([r is not None or scene.charging for r in restart], dtype=bool)[:, None]
        self.critical = np.array([one.critical for one in scene.consumers], dtype=bool)
        self.relay_node = np.array([one.node for one in scene.relays], dtype=np.intp)
        self.closes_v = _column([one.closes_v for one in scene.relays])
        self.opens_v = _column([one.opens_v for one in scene.relays])
        self.machines = scene.machines
        self.machine_branch = np.array([one.branch for one in scene.machines], dtype=np.intp)
        if keep is not None:
            self.machine_branch = np.searchsorted(keep, self.machine_branch)
        self.machine_start, self.machine_end = _ends([branches[one.branch] for one in scene.machines])
        inputs = [branches[one.branch if one.input is None else one.input] for one in scene.machines]
        self.input_start, self.input_end = _ends(inputs)
        self.fed = np.array([m.input is not None and m.limit_a > 0.0 for m in scene.machines], dtype=bool)
        self.gives_up_v = _column([one.gives_up_v for one in scene.machines])
        self.takes_up_v = _column([one.takes_up_v for one in scene.machines])
        self.staged = np.array([m.staged and m.limit_a > 0.0 for m in scene.machines], dtype=bool)[:, None]
        self.rebulk_v = _column([one.rebulk_v for one in scene.machines])
        self.post_start, self.post_end = _ends([branches[block.number] for block in batteries.blocks])
        self.scale = _column([block.scale for block in batteries.blocks])
        self.lithium = np.array([block.lithium for block in batteries.blocks], dtype=bool)[:, None]
        self.tail_a = batteries.tail_a[:, 0]
        self.system = system
        self.charging = scene.charging

    def see(self, port: Port, turned_on: Port | None, shown: Shown, answer: Answer, state: Floats) -> Seen:
        """Look at a moment."""
        nodes = port.nodes_at(answer.volts_v[:, 0])
        on = nodes if turned_on is None else turned_on.nodes_at(turned_on.answer(shown).volts_v[:, 0])
        given = -port.branches_at(answer.volts_v[:, 0])[self.machine_branch]
        return Seen(
            loads_v=nodes[self.load_start] - nodes[self.load_end],
            loads_on_v=on[self.load_start] - on[self.load_end],
            nodes_v=nodes,
            machines_a=given,
            machines_v=nodes[self.machine_start] - nodes[self.machine_end],
            volts_v=answer.volts_v[:, 0],
            amps_a=answer.amps_a[:, 0],
            emf_v=shown.emf_v[:, 0],
            posts_v=nodes[self.post_start] - nodes[self.post_end],
            state=state,
        )

    def heights(self, seen: Seen, flags: Flags, given: Given, now_s: Floats) -> Floats:
        """Return how far everything is from switching, (things, rows); at or above 0 it stays as it is."""
        far = np.inf
        cut = np.where(flags.off | flags.cycling, far, seen.loads_on_v - self.cut_v)
        back = np.where(
            flags.off & self.may_return & (now_s >= flags.waits_s), self.restart_v - seen.loads_v, far
        )
        side_v = seen.nodes_v[self.relay_node]
        relay = np.where(flags.closed, side_v - self.opens_v, self.closes_v - side_v)
        relay = np.where(flags.held, far, relay)
        stages = np.where(now_s >= flags.stage_s, self._stages(seen, flags, given.set_v), far)
        protection, inputs = self._protection(seen, flags), self._inputs(seen, flags, now_s)
        found: Floats = np.concatenate([cut, back, relay, stages, *protection, inputs, _bends(seen, given)])
        return found

    def _inputs(self, seen: Seen, flags: Flags, now_s: Floats) -> Floats:
        """How far chargers that another battery feeds are from giving up, or from beginning again."""
        if not self.fed.any():
            return np.full(flags.idle.shape, np.inf)
        volts = seen.nodes_v[self.input_start] - seen.nodes_v[self.input_end]
        again = np.where(now_s >= flags.idle_s, self.takes_up_v - volts, np.inf)
        found = np.where(flags.idle, again, volts - self.gives_up_v)
        return np.where(self.fed[:, None], found, np.inf)

    @property
    def counts(self) -> tuple[int, ...]:
        """How many things of each kind there are, in the order of the kinds."""
        loads, blocks, machines = len(self.cut_v), len(self.scale), len(self.machines)
        return (loads, loads, len(self.closes_v), machines, blocks, blocks, blocks, machines, machines)

    def _stages(self, seen: Seen, flags: Flags, set_v: Floats) -> Floats:
        found = np.full(seen.machines_a.shape, np.inf)
        for number, machine in enumerate(self.machines):
            if not self.staged[number, 0]:
                continue
            of, second = list(machine.batteries), flags.second[number]
            if machine.by_state:
                state = seen.state[of].min(axis=0)
                found[number] = np.where(second, state - HELD_STATE[0], HELD_STATE[1] - state)
                continue
            tail = np.maximum(seen.amps_a[of], 0.0).sum(axis=0) - self.tail_a[of].sum(axis=0)
            reached = seen.machines_v[number] >= set_v[number] - _NEAR_V * self.system
            first = np.where(reached, tail, np.inf)
            found[number] = np.where(second, seen.volts_v[of].max(axis=0) - self.rebulk_v[number], first)
        return found

    def _protection(self, seen: Seen, flags: Flags) -> list[Floats]:
        far, scale = np.inf, self.scale
        low = np.where(
            flags.parted,
            _ALIVE_V * scale * 1.1 - seen.posts_v,
            np.where(seen.amps_a < 0.0, seen.volts_v - LOW_CELL_V * scale, far),
        )
        high = np.where(flags.full, seen.posts_v - 13.6 * scale, HIGH_CELL_V * scale + 1e-3 - seen.volts_v)
        empty = np.where(seen.amps_a < 0.0, seen.emf_v - DEAD_V * scale, far)
        dead = np.where(flags.parted, _ALIVE_V * scale - seen.posts_v, empty)
        return [
            np.where(self.lithium, low, far),
            np.where(self.lithium, high, far),
            np.where(self.lithium, far, dead),
        ]


def _bends(seen: Seen, given: Given) -> Floats:
    """How far each machine is from another part of its line."""
    by = seen.machines_v - given.set_v
    at_volts = np.minimum(given.limit_a - seen.machines_a, seen.machines_a)
    at_limit = -by - given.droop_ohm * given.limit_a
    found = np.where(given.regime == 0, by, np.where(given.regime == 1, at_volts, at_limit))
    return np.where((given.limit_a > 0.0) & (given.regime < 3), found, np.inf)


def _ends(branches: list[Branch]) -> NDArray[np.intp]:
    """Nodes at which branches begin and end: (2, branches)."""
    return np.array([[b.start for b in branches], [b.end for b in branches]], dtype=np.intp)


def _column(values: list[float]) -> Floats:
    return np.array(values, dtype=float).reshape(-1, 1)
