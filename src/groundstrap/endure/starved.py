"""Which load gives up where a network has no working point: found on a stand-in that always has one.

Down to the lowest volts that it works from a load takes what it takes; below them it is off. So in the
stand-in each load that takes a constant power or current is the resistor that takes just that at those volts.
Where the stand-in holds it above them, it also runs in the network, and takes less there; where not, it
can't run.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess import Wiring
from groundstrap.endure.laws import Shown
from groundstrap.endure.port import Values, solved_nodes
from groundstrap.endure.scene import DROPS_OUT, Consumer
from groundstrap.errors import CannotDoError
from groundstrap.records import dataclass, replace
from groundstrap.solve import Law, Network
from groundstrap.words import words

if TYPE_CHECKING:
    from groundstrap.endure.course import Course
    from groundstrap.endure.stage import Stage

__all__ = ["give_up", "stand_in_of"]

Floats = NDArray[np.float64]
Rows = NDArray[np.intp]

_ACTIVE = frozenset({Law.CONSTANT_POWER, Law.CONSTANT_CURRENT})


@dataclass(frozen=True, slots=True, eq=False)
class _Verdict:
    """Of each row the load, or the charger, that gives up; -1 where none has to."""

    loads: Rows
    machines: Rows
    volts_v: Floats
    """Of all loads in the stand-in: (loads, rows)."""


def stand_in_of(wiring: Wiring) -> Network:
    """Return the network with resistors in place of loads that take a constant power or current."""
    branches = tuple(
        replace(branch, law=Law.RESISTOR) if branch.law in _ACTIVE and branch.feeds is None else branch
        for branch in wiring.network.branches
    )
    return replace(wiring.network, branches=branches)


def give_up(course: Course, stage: Stage, rows: Rows, clock: Floats) -> None:
    """Let one thing of each row give up whose network has no working point; rows with none left have failed.

    Parameters
    ----------
    course, stage : Course, Stage
        The run and its stretch.
    rows : array
        Rows of which no working point was found.
    clock : array
        Time of all rows. [s]
    """
    assert stage.port is not None
    shown = course.shown(stage, rows)
    mean = course.factors(stage, rows, turned_on=False)
    # With all that runs in turns running, or with it at its mean, whichever was not found.
    factors = np.where(stage.port.found[rows], course.factors(stage, rows, turned_on=True), mean)
    found = _starved(course, stage, rows, shown, factors, sure=course.hard[rows])
    for column, row in enumerate(rows):
        now_s, load, machine = float(clock[row]), int(found.loads[column]), int(found.machines[column])
        if load < 0 and machine < 0:
            course.failed[row] = course.hard[row]
            course.hard[row] = True
            if course.failed[row] and course.listener is not None:
                raise CannotDoError(
                    words(
                        "nothing can feed what is drawn {hours} h into the day", hours=f"{now_s / 3600.0:.1f}"
                    ),
                    next_step=words("look at what `check` says of the loads that run then"),
                )
            continue
        course.hard[row] = False
        if machine >= 0:
            course.switches.trip(stage.watch, stage.flags, int(row), machine, now_s)
            course.events += 1
            continue
        volts = float(found.volts_v[load, column])
        thrown = course.switches.shed(stage.flags, int(row), load, now_s, volts)
        course.events += thrown.count
        if course.listener is not None:
            course.listener.thrown(stage, thrown, now_s)


def _starved(
    course: Course, stage: Stage, rows: Rows, shown: Shown, factors: Floats, *, sure: NDArray[np.bool_]
) -> _Verdict:
    """Return what gives up in each row; of loads not critical before critical, the lowest in its volts.

    Where `sure`, the network has no working point for certain, and something does give up.
    """
    scene = stage.scene
    values = _values(course, stage, rows, factors)
    solved = solved_nodes(course.stand_in, values, course.branches, shown, plainly=not sure.any())
    nodes, found = solved.nodes_v, solved.found
    start, end = stage.watch.load_start, stage.watch.load_end
    volts = nodes[start] - nodes[end]
    ratio = volts / np.array([[_gives_up_v(one)] for one in scene.consumers]).reshape(-1, 1)
    runs = factors > 0.0
    first = np.where(runs & found, ratio, np.inf) + 1e6 * stage.watch.critical[:, None]
    loads = np.full(rows.size, -1)
    if len(scene.consumers):
        low = runs & found & (ratio < 1.0)
        loads = np.where(low.any(axis=0), np.argmin(np.where(low, first, np.inf), axis=0), -1)
        watts = np.array([one.watts for one in scene.consumers])[:, None]
        # Where not even the stand-in tells, the largest goes.
        blind = np.where(runs, 1e6 * stage.watch.critical[:, None] - watts, np.inf)
        forced = np.argmin(np.where(found, first, blind), axis=0)
        loads = np.where(sure & (loads < 0) & runs.any(axis=0), forced, loads)
    machines = np.full(rows.size, -1)
    # A charger takes what it gives whatever the volts at its input: without loads it alone is too much.
    asks = sure & (~found | (loads < 0))
    fed = stage.watch.fed[:, None] & ~stage.flags.idle[:, rows]
    if fed.size:
        strongest = np.argmax(np.where(fed, stage.given.limit_a[:, rows], -1.0), axis=0)
        machines = np.where(asks & fed.any(axis=0), strongest, -1)
    return _Verdict(np.where(machines < 0, loads, -1), machines, volts)


def _gives_up_v(one: Consumer) -> float:
    return one.cut_v if np.isfinite(one.cut_v) else DROPS_OUT * one.at_v


def _values(course: Course, stage: Stage, rows: Rows, factors: Floats) -> Values:
    """Parameters of the stand-in."""
    values = course.values(stage, rows, factors)
    for number, branch in enumerate(course.stand_in.branches):
        if branch.law is Law.RESISTOR and course.wiring.network.branches[number].law in _ACTIVE:
            values[number] = (np.inf,)
    single = rows.size == 1
    for number, one in enumerate(stage.scene.consumers):
        if one.law not in _ACTIVE:
            continue
        low_v = _gives_up_v(one)
        amps = one.watts * factors[number] / (low_v if one.law is Law.CONSTANT_POWER else one.at_v)
        ohm = np.where(amps > 0.0, low_v / np.maximum(amps, 1e-12), np.inf)
        values[one.branch] = (float(ohm[0]),) if single else (ohm,)
    return values
