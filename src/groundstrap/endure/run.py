"""A run of days, told: the course, batteries, starts, cut-offs and energy of one installation."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess import Wiring
from groundstrap.endure.battery import Air, Batteries, batteries_of
from groundstrap.endure.course import Course as Runner
from groundstrap.endure.day import ENGINE, Day, the_day
from groundstrap.endure.listener import Event, Listener, Moment
from groundstrap.endure.results import (
    Course,
    CutOff,
    Endurance,
    LoadCourse,
    SpanRun,
    Start,
    SupplyCourse,
    SupplyRun,
)
from groundstrap.endure.stage import FINE, Fineness, Stage
from groundstrap.endure.starts import (
    Need,
    cold_assumed,
    cranking_of,
    freezes_below_c,
    need_of,
    rating_assumed,
)
from groundstrap.errors import CallError, CannotDoError
from groundstrap.model import Assumption
from groundstrap.records import dataclass
from groundstrap.words import words

__all__ = ["StartFailsError", "endure"]

Floats = NDArray[np.float64]

_QUICK = Fineness(tolerance=1e-4, longest_s=7200.0, moves_v=0.15)

_SOURCES = (
    "handbook-battery",
    "handbook-cranking",
    "kinetic-battery-model",
    "sae-j537",
    "common-practice",
    "own-judgement",
)


class StartFailsError(CannotDoError):
    """A quick run ends at the first start that fails."""


def endure(
    wiring: Wiring, *, days: int = 1, temperature_c: float | None = None, quick: bool = False
) -> Endurance:
    """Run the day of an installation and return what it comes to.

    Source: kinetic-battery-model for charge, the network's own solver for everything else.

    Parameters
    ----------
    wiring : Wiring
        The installation as a network.
    days : int
        How often the day is repeated.
    temperature_c : float or None
        One temperature for all spans. [degC]
    quick : bool
        Count with longer steps, within about 1 % of the charge, book no energy, and end at the first start
        that fails: for a first look among many.
    """
    installation = wiring.installation
    day = the_day(installation, days=days, temperature_c=temperature_c)
    found = batteries_of(wiring.topology)
    batteries = found.batteries
    if not batteries.blocks:
        raise CallError(
            "the job has no battery, so there is nothing to run", wanted="a supply of kind battery"
        )
    need = need_of(wiring)
    listener = Listener(wiring, batteries, books=not quick)
    runner = Runner(wiring, batteries, listener=listener, fine=_QUICK if quick else FINE)
    notes = _Notes(batteries, need, listener)
    stage: Stage | None = None
    for stretch in day.stretches:
        air = batteries.air(stretch.temperature_c)
        if stretch.starts_engine:
            notes.start(runner, air, stretch.begins_s, stretch.day)
            if quick and not notes.starts_all:
                raise StartFailsError("a start fails", next_step="run the days in full to see which")
        notes.begins(stretch.span, runner)
        stage = runner.run(stretch)
        notes.ends(stage, runner)
    last_air = batteries.air(day.stretches[-1].temperature_c)
    notes.start(runner, last_air, day.ends_s, days + 1, morning=True)
    assumed: list[Assumption] = [*day.assumptions, *found.assumptions]
    if need is not None:
        starts_c = [each.temperature_c for each in day.stretches if each.starts_engine]
        cold = cold_assumed(batteries, need, (*starts_c, day.stretches[-1].temperature_c))
        assumed += [*need.assumptions, *rating_assumed(batteries, need), *cold]
    return _told(wiring, day, runner, notes, _Given(days, temperature_c, _distinct(assumed, runner)))


def _distinct(assumed: list[Assumption], runner: Runner) -> tuple[Assumption, ...]:
    """Everything that was assumed, once; of chargers that gave up at what volts they do."""
    scenes = runner.scenes.values()
    gave_up = (
        Assumption(
            words("{name}: gives up", name=machine.name),
            f"{machine.gives_up_v:.3g} V",
            words("at its input, so as not to empty what feeds it; nobody wrote at what volts"),
        )
        for scene in scenes
        for machine in scene.machines
        if machine.name in runner.switches.gave_up
    )
    return tuple(dict.fromkeys((*assumed, *(a for scene in scenes for a in scene.assumptions), *gave_up)))


@dataclass(frozen=True, slots=True)
class _Given:
    days: int
    temperature_c: float | None
    assumptions: tuple[Assumption, ...]


class _Notes:
    """What is noted between stretches."""

    def __init__(self, batteries: Batteries, need: Need | None, listener: Listener) -> None:
        self.batteries, self.need, self.listener = batteries, need, listener
        self.starts: list[Start] = []
        self.spans: list[SpanRun] = []
        self.cold_charge: dict[str, int] = {}
        self._span = -1
        self._wells = np.zeros(0)
        self._charge = np.zeros(0)

    def start(self, runner: Runner, air: Air, at_s: float, day: int, *, morning: bool = False) -> None:
        if self.need is None:
            return
        found = cranking_of(self.batteries, runner.wells, air, self.need, runner.switches.parted)
        can = bool(found.can[0])
        if not can:
            self.listener.fail(at_s)
        self.starts.append(
            Start(
                at_s=at_s,
                day=day,
                battery=self.need.supply,
                can=can,
                asks_a=float(found.asks_a[0]),
                holds_a=float(found.holds_a[0]),
                temp_c=float(found.temp_c[0]),
                state_pct=100.0 * float(found.state[0]),
                volts_v=float(found.volts_v[0]),
                morning_after=morning,
                asks_known=self.need.written,
                frozen=bool(found.frozen[0]),
            )
        )

    @property
    def starts_all(self) -> bool:
        """Whether every start so far goes."""
        return all(start.can for start in self.starts)

    def begins(self, span: int, runner: Runner) -> None:
        if span != self._span:
            self._span = span
            self._wells = runner.wells.copy()
            self._charge = self.listener.ledger.charge_as.copy()

    def ends(self, stage: Stage, runner: Runner) -> None:
        stretch = stage.stretch
        gained = (runner.wells - self._wells).sum(axis=0)[:, 0, 0]
        change: dict[str, float] = {}
        for number, block in enumerate(self.batteries.blocks):
            # Of a bank in series the weakest decides; the same current passes all of them.
            name = block.supply.name
            change[name] = min(change.get(name, np.inf), float(gained[number]))
            cold = block.lithium and not stage.air.may_charge[number].all()
            if cold and stage.scene.charging and name not in self.cold_charge:
                self.cold_charge[name] = stretch.span
        begins_s = stretch.begins_s
        if self.spans and len(self.spans) == stretch.span + 1:
            begins_s = self.spans.pop().begins_s
        self.spans.append(
            SpanRun(
                number=stretch.number,
                day=stretch.day,
                situation=stretch.situation,
                begins_s=begins_s,
                ends_s=stretch.ends_s,
                temperature_c=float(stage.air.temp_c[0, 0, 0]),
                using=stretch.running,
                sun_s=stretch.sun_s,
                change_ah=change,
                charging_short_a=self._short(stage, begins_s),
            )
        )

    def _short(self, stage: Stage, begins_s: float) -> float | None:
        """What batteries added to the alternator on average. [A]"""
        if stage.stretch.situation not in ENGINE:
            return None
        passed = self.listener.ledger.charge_as - self._charge
        added = sum(max(-float(passed[block.number]), 0.0) for block in self.batteries.blocks)
        return added / (stage.stretch.ends_s - begins_s)


def _told(wiring: Wiring, day: Day, runner: Runner, notes: _Notes, given: _Given) -> Endurance:
    listener = notes.listener
    events = tuple(_cut_off(event) for event in listener.events)
    ledger = listener.ledger
    charge = ledger.charge_as if listener.until_failure is None else listener.until_failure
    used = {name for stretch in day.stretches for name in stretch.running}
    return Endurance(
        days=given.days,
        temperature_c=given.temperature_c,
        spans=tuple(notes.spans),
        course=_course(wiring, runner, listener.moments),
        supplies=_supplies(day, runner, notes),
        starts=tuple(notes.starts),
        cut_offs=events,
        unserved_wh={name: ws / 3600.0 for name, ws in ledger.unserved_ws.items()},
        first_cut_off_s=events[0].at_s if events else None,
        taken_ah=ledger.taken_ah(charge),
        energy=ledger.summed(),
        solves=runner.solves,
        steps=runner.steps,
        events=runner.events,
        assumptions=given.assumptions,
        unknown=tuple(n for n in wiring.installation.loads if n in used and _unknown(wiring, n)),
        used_sources=_SOURCES,
        built_in_day=day.built_in,
    )


def _unknown(wiring: Wiring, name: str) -> bool:
    estimate = wiring.estimates.get(name)
    return estimate is None or not estimate.known or estimate.power_w is None


def _cut_off(event: Event) -> CutOff:
    return CutOff(
        load=event.load,
        at_s=event.at_s,
        volts_v=event.volts_v,
        limit_v=event.limit_v,
        back_at_s=event.back_at_s,
        span=event.number,
        day=event.day,
        critical=event.critical,
        cycles_per_h=None if event.period_s is None else 3600.0 / event.period_s,
        share=event.share,
    )


def _members(batteries: Batteries) -> dict[str, list[int]]:
    found: dict[str, list[int]] = {}
    for number, block in enumerate(batteries.blocks):
        found.setdefault(block.supply.name, []).append(number)
    return found


def _course(wiring: Wiring, runner: Runner, moments: list[Moment]) -> Course:
    volts = np.array([m.volts_v for m in moments])
    amps = np.array([m.amps_a for m in moments])
    state = np.array([m.state for m in moments])
    supplies = {
        name: SupplyCourse(
            volts_v=volts[:, of].sum(axis=1),
            amps_a=-amps[:, of[0]],
            state_pct=100.0 * state[:, of].min(axis=1),
        )
        for name, of in _members(runner.batteries).items()
    }
    machines = next(iter(runner.scenes.values())).machines
    machine_v, machine_a = (
        np.array([m.machines_v for m in moments]),
        np.array([m.machines_a for m in moments]),
    )
    for number, machine in enumerate(machines):
        supplies[machine.name] = SupplyCourse(
            volts_v=machine_v[:, number], amps_a=machine_a[:, number], state_pct=None
        )
    loads_v = np.array([m.loads_v for m in moments])
    names = [name for name in wiring.installation.loads if name in wiring.topology.index]
    return Course(
        times_s=np.array([m.at_s for m in moments]),
        supplies=supplies,
        loads={
            name: LoadCourse(on=np.array([name in m.on for m in moments]), volts_v=loads_v[:, number])
            for number, name in enumerate(names)
        },
    )


def _supplies(day: Day, runner: Runner, notes: _Notes) -> Mapping[str, SupplyRun]:
    moments = notes.listener.moments
    low = np.array([m.low_v for m in moments])
    state = np.array([m.state for m in moments])
    found = {}
    for name, of in _members(runner.batteries).items():
        block = runner.batteries.blocks[of[0]]
        posts, states = low[:, of].sum(axis=1), state[:, of].min(axis=1)
        at = int(np.argmin(posts))
        starts = tuple(start for start in notes.starts if start.battery == name)
        last = [span.change_ah[name] for span in notes.spans if span.day == day.days]
        lead = not block.lithium
        found[name] = SupplyRun(
            name=name,
            chemistry=block.chemistry,
            capacity_ah=block.capacity_ah,
            lowest_v=float(posts[at]),
            lowest_at_s=moments[at].at_s,
            lowest_state_pct=100.0 * float(states.min()),
            begin_state_pct=100.0 * float(states[0]),
            end_state_pct=100.0 * float(states[-1]),
            start=min(starts, key=lambda start: start.margin_a) if starts else None,
            starts=starts,
            balance_ah_per_day=sum(last),
            freezes_below_c=float(freezes_below_c(states.min(keepdims=True))[0]) if lead else None,
            cold_charge_span=notes.cold_charge.get(name),
        )
    return found
