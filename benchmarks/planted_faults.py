"""Plant faults in many random vehicles, and count how often readings lead to their places.

What a meter shows comes from ngspice, in a world that the search does not know (tests/support/planted.py):
parts scattered, a body three times wider, lamps of another law, a battery that wanders between readings,
leads whose contact costs some millivolts, an unknown load in every third vehicle. A place is the piece
between neighbouring points that a lead reaches. Beside the search run two others on the same vehicles, with
the same sums behind them: readings drawn at random, and halving of the circuit from the battery's posts.

Tasks: `complaint`, one fault, and the load that fails is given and whether it is dead; `walk`, one fault and
no complaint; `two`, two faults on two circuits, likewise; `flat`, something draws though all is off.

Run: python benchmarks/planted_faults.py [--task complaint] [--cases 2000] [--processes 2] [--first 7000000]
    [--file TABLE]
"""

from __future__ import annotations

import argparse
import multiprocessing
import os
import shutil
import sys
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path
from typing import TextIO

for _name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_name, "1")
sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

import numpy as np  # noqa: E402

from groundstrap.locate.belief import Belief  # noqa: E402
from groundstrap.locate.figures import FITS  # noqa: E402
from groundstrap.locate.probes import Probe, ProbeKind  # noqa: E402
from groundstrap.locate.pursue import Question, Standing, stand, weigh  # noqa: E402
from groundstrap.locate.search import HEALTHY_PLACE, Complaint, Search  # noqa: E402
from tests.support.planted import Planted, planted  # noqa: E402

#: No figure of the search was ever looked at on these.
FIRST_SEED = 7_000_000
SOUND_EACH = 7
"""Every so many vehicles have nothing wrong, and are complained of or walked round all the same."""
_STATED = (0.0, 0.5, 0.7, 0.9, 1.01)
_COSTS = ((0.0, 0.2), (0.2, 0.4), (0.4, 13.0))

Chooser = Callable[[Search, Belief, list[int], np.random.Generator], int | None]


@dataclass(frozen=True)
class Task:
    """One way to look: how many readings at most, whether it goes on after the first place."""

    name: str
    most: int
    two: bool = False


TASKS = {
    task.name: task
    for task in (
        Task("complaint", 8),
        Task("walk", 12),
        Task("two", 12, two=True),
        Task("flat", 12),
    )
}


@dataclass(frozen=True)
class Found:
    """How one search on one vehicle ended."""

    how: str
    task: str
    kind: str
    costs_v: float
    right: bool
    in_three: bool
    readings: int
    stated: float
    called_faulty: bool
    seconds: float


def _by_worth(looked: Search, belief: Belief, taken: list[int], _: np.random.Generator) -> int | None:
    return looked.next_reading(belief, taken)


def _at_random(looked: Search, _: Belief, taken: list[int], dice: np.random.Generator) -> int | None:
    left = [n for n in range(len(looked.probes)) if n not in taken]
    return int(dice.choice(left)) if left else None


def _by_halves(looked: Search, belief: Belief, taken: list[int], _: np.random.Generator) -> int | None:
    """From a post of the battery to where about half of what is suspected lies between the leads."""
    laid = looked.laid
    posts = {laid.wiring.topology.node_of[p] for s in laid.segments if s.kind == "battery" for p in s.points}
    changes = np.abs(looked.known.start + 0.5 * looked.known.way - looked.sound) > 0.02
    best, nearest = None, 1.0
    for number, probe in enumerate(looked.probes):
        anchored = probe.kind is ProbeKind.VOLTS and (probe.red in posts) != (probe.black in posts)
        if number in taken or not anchored or probe.case:
            continue
        off = abs(float(belief.chance[changes[:, number]].sum()) - 0.5)
        if off < nearest:
            best, nearest = number, off
    return best


CHOOSERS: dict[str, Chooser] = {"search": _by_worth, "halving": _by_halves, "random": _at_random}


class Hand:
    """Who holds the meter: readings by their probes, each at its own moment."""

    def __init__(self, vehicle: Planted) -> None:
        self.vehicle = vehicle
        self.probes: list[Probe] = []
        self.values: list[float] = []

    def read(self, probe: Probe) -> None:
        """Take one more reading."""
        moment, vehicle = len(self.probes), self.vehicle
        self.probes.append(probe)
        self.values.append(
            vehicle.reads_v(probe.red, probe.black, moment, off=probe.case == 1)
            if probe.kind is ProbeKind.VOLTS
            else probe.sign * vehicle.reads_a(probe.through, moment, in_line=not vehicle.question.running)
        )


def _follow(
    how: str, task: Task, looked: Search, hand: Hand, dice: np.random.Generator, *, may_part: bool
) -> Standing:
    """Read until one answer stands, or there is nothing to read, or enough was read."""
    taken = [looked.probes.index(probe) for probe in hand.probes]
    while True:
        standing = weigh(looked, taken, hand.values, may_part=may_part)
        if standing.stands or len(taken) >= task.most:
            return standing
        number = CHOOSERS[how](looked, standing.belief, taken, dice)
        if number is None:
            return standing
        hand.read(looked.probes[number])
        taken.append(number)


def _one(how: str, task: Task, question: Question, vehicle: Planted) -> Found:
    began = time.process_time()
    hand, dice = Hand(vehicle), np.random.default_rng(vehicle.seed)
    first = _follow(how, task, question.searched(), hand, dice, may_part=task.two)
    order = sorted(first.of_place, key=lambda place: -first.of_place[place])
    if task.two and first.stands and first.top != HEALTHY_PLACE:
        asked = replace(question, taken=tuple(hand.probes))
        second = _follow(how, task, stand(asked, first), hand, dice, may_part=False)
        order = [first.top, *sorted(second.of_place, key=lambda place: -second.of_place[place])]
    named = [place for place in order if place != HEALTHY_PLACE] if task.two else order
    truths = {each.segment for each in vehicle.faults} or {HEALTHY_PLACE}
    costs = [each.costs_v for each in vehicle.faults]
    return Found(
        how=how,
        task=task.name,
        kind=" + ".join(sorted({each.kind for each in vehicle.faults})) if not task.two else "two",
        costs_v=min(costs, default=0.0),
        right=first.top in truths,
        in_three=truths <= set(named[:3]),
        readings=len(hand.values),
        stated=float(first.of_place[first.top]) if first.p >= FITS else min(0.5, first.of_place[first.top]),
        called_faulty=first.top != HEALTHY_PLACE and first.stands,
        seconds=time.process_time() - began,
    )


def _vehicle(job: tuple[int, str, str]) -> list[Found]:
    seed, executable, name = job
    task = TASKS[name]
    vehicle = planted(seed, executable, faulty=task.two or seed % SOUND_EACH != 0, task=name)
    if vehicle is None:
        return []
    complaint = Complaint(load=vehicle.load, dead=vehicle.dead, flat=name == "flat")
    asked = None if name in {"walk", "two"} else complaint
    question = Question(wiring=vehicle.wiring, case=vehicle.question, complaint=asked)
    return [_one(how, task, question, vehicle) for how in CHOOSERS]


def _share(found: Iterable[Found], of: Callable[[Found], float]) -> str:
    values = [of(each) for each in found]
    return f"{np.mean(values):6.3f}" if values else "     -"


def _row(name: str, found: list[Found]) -> str:
    return (
        f"  {name:28s} {len(found):5d} {_share(found, lambda f: f.right)}"
        f" {_share(found, lambda f: f.in_three)}"
        f" {_share(found, lambda f: f.readings)}"
    )


def _report(found: list[Found], out: TextIO) -> None:
    print(f"  {'':28s} {'count':>5s} {'first':>6s} {'three':>6s} {'reads':>6s}", file=out)
    faulty = [each for each in found if each.kind]
    kinds = sorted({each.kind for each in faulty})
    for kind in kinds:
        print(_row(kind, [each for each in faulty if each.kind == kind]), file=out)
    for low, high in _COSTS:
        some = [e for e in faulty if low <= e.costs_v < high]
        print(_row(f"costs {low:g} to {high:g} V", some), file=out)
        for kind in kinds:
            own = [each for each in some if each.kind == kind]
            if own:
                print(_row(f"   {kind}", own), file=out)
    print(_row("all with a fault", faulty), file=out)
    sound = [each for each in found if not each.kind]
    if sound:
        print(
            f"  sound ones called faulty: {_share(sound, lambda f: f.called_faulty)} of {len(sound)}",
            file=out,
        )
    for low, high in pairwise(_STATED):
        some = [each for each in found if low <= each.stated < high]
        true = _share(some, lambda f: f.right)
        mean = _share(some, lambda f: f.stated)
        told = f"{len(some):5d}, on average {mean}, true {true}"
        print(f"  stated {low:4.2f} to {min(high, 1.0):4.2f}: {told}", file=out)
    print(f"  Brier score of the first place: {_share(found, lambda f: (f.stated - f.right) ** 2)}", file=out)
    print(f"  CPU seconds a search: {_share(found, lambda f: f.seconds)}", file=out)


def _written(found: list[Found], seeds: int, first: int, began: float, task: str, out: TextIO) -> None:
    count = len(found) // len(CHOOSERS)
    print(
        f"{task}: {count} vehicles of {seeds} seeds from {first}, at most {TASKS[task].most} readings",
        file=out,
    )
    print(f"after {time.monotonic() - began:.0f} s", file=out)
    for how in CHOOSERS:
        print(f"{how}:", file=out)
        _report([each for each in found if each.how == how], out)


def main() -> None:
    """Run the study and print its tables."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--cases", type=int, default=2000)
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--first", type=int, default=FIRST_SEED)
    parser.add_argument("--task", choices=sorted(TASKS), default="complaint")
    parser.add_argument("--file", type=Path, help="a file that the tables are written to as it goes")
    asked = parser.parse_args()
    executable = shutil.which("ngspice")
    if executable is None:
        print("ngspice is not installed: nothing can be measured")
        return
    found: list[Found] = []
    began, seeds = time.monotonic(), 0
    jobs = ((seed, executable, asked.task) for seed in range(asked.first, asked.first + 4 * asked.cases))
    with multiprocessing.get_context("spawn").Pool(asked.processes) as pool:
        for each in pool.imap(_vehicle, jobs):
            seeds += 1
            found += each
            if asked.file is not None and seeds % 50 == 0:
                with asked.file.open("w", encoding="utf-8") as out:
                    _written(found, seeds, asked.first, began, asked.task, out)
            if len(found) >= asked.cases * len(CHOOSERS):
                break
        pool.terminate()
    _written(found, seeds, asked.first, began, asked.task, sys.stdout)
    if asked.file is not None:
        with asked.file.open("w", encoding="utf-8") as out:
            _written(found, seeds, asked.first, began, asked.task, out)


if __name__ == "__main__":
    main()
