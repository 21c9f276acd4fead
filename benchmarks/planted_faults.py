"""Plant one fault in each of many random vehicles, and count how often readings lead to its place.

What a meter shows comes from ngspice, in a world that the search does not know (tests/support/planted.py):
parts scattered, a body three times wider, lamps of another law, a battery that wanders between readings,
leads whose contact costs some millivolts, an unknown load in every third vehicle. The complaint is given: the
load, and whether it is dead. A place is the piece between neighbouring points that a lead reaches. Beside the
search run two others on the same vehicles, with the same sums behind them: readings drawn at random, and
halving of the circuit from the battery's posts.

Run: python benchmarks/planted_faults.py [--cases 2000] [--processes 2] [--first 7000000]
"""

from __future__ import annotations

import argparse
import multiprocessing
import os
import shutil
import sys
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

for _name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_name, "1")
sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

import numpy as np  # noqa: E402

from groundstrap.locate.belief import Belief  # noqa: E402
from groundstrap.locate.figures import SURE  # noqa: E402
from groundstrap.locate.probes import ProbeKind  # noqa: E402
from groundstrap.locate.search import HEALTHY_PLACE, Complaint, Search, search  # noqa: E402
from tests.support.planted import Planted, planted  # noqa: E402

#: No figure of the search was ever looked at on these.
FIRST_SEED = 7_000_000
MOST_READINGS = 8
SOUND_EACH = 7
"""Every so many vehicles have nothing wrong, and are complained of all the same."""
_STATED = (0.0, 0.5, 0.7, 0.9, 0.97, 1.01)

Chooser = Callable[[Search, Belief, list[int], np.random.Generator], int | None]


@dataclass(frozen=True)
class Found:
    """How one search on one vehicle ended."""

    how: str
    kind: str
    costs_v: float
    right: bool
    in_three: bool
    readings: int
    stated: float
    of_truth: float
    called_faulty: bool


def _by_worth(looked: Search, belief: Belief, taken: list[int], _: np.random.Generator) -> int | None:
    numbers = np.arange(len(looked.probes))
    bits = looked.worth(belief, numbers) / looked.effort
    bits[taken] = 0.0
    return int(np.argmax(bits)) if bits.max() > 0.0 else None


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


def _one(how: str, vehicle: Planted, looked: Search) -> Found:
    taken: list[int] = []
    values: list[float] = []
    dice = np.random.default_rng(vehicle.seed)
    while True:
        belief = looked.after(taken, values)
        of_place = belief.of_places(looked.known.place)
        top = max(of_place, key=lambda place: of_place[place])
        number = CHOOSERS[how](looked, belief, taken, dice)
        if of_place[top] >= SURE or len(taken) >= MOST_READINGS or number is None:
            break
        probe, moment = looked.probes[number], len(taken)
        taken.append(number)
        values.append(
            vehicle.reads_v(probe.red, probe.black, moment, off=probe.case == 1)
            if probe.kind is ProbeKind.VOLTS
            else probe.sign * vehicle.reads_a(probe.through, moment)
        )
    truth = HEALTHY_PLACE if vehicle.segment is None else vehicle.segment
    first_three = sorted(of_place, key=lambda place: -of_place[place])[:3]
    return Found(
        how=how,
        kind=vehicle.kind,
        costs_v=vehicle.costs_v,
        right=top == truth,
        in_three=truth in first_three,
        readings=len(taken),
        stated=float(of_place[top]),
        of_truth=float(of_place.get(truth, 0.0)),
        # A suspicion that nobody would act on is no call.
        called_faulty=top != HEALTHY_PLACE and of_place[top] >= SURE,
    )


def _vehicle(job: tuple[int, str]) -> list[Found]:
    seed, executable = job
    vehicle = planted(seed, executable, faulty=seed % SOUND_EACH != 0)
    if vehicle is None:
        return []
    looked = search(vehicle.wiring, vehicle.question, Complaint(load=vehicle.load, dead=vehicle.dead))
    return [_one(how, vehicle, looked) for how in CHOOSERS]


def _share(found: Iterable[Found], of: Callable[[Found], float]) -> str:
    values = [of(each) for each in found]
    return f"{np.mean(values):6.3f}" if values else "     -"


def _row(name: str, found: list[Found]) -> str:
    return (
        f"  {name:24s} {len(found):5d} {_share(found, lambda f: f.right)}"
        f" {_share(found, lambda f: f.in_three)}"
        f" {_share(found, lambda f: f.readings)}"
    )


def _report(found: list[Found]) -> None:
    print(f"  {'':24s} {'count':>5s} {'first':>6s} {'three':>6s} {'reads':>6s}")
    faulty = [each for each in found if each.kind != "nothing"]
    for kind in sorted({each.kind for each in faulty}):
        print(_row(kind, [each for each in faulty if each.kind == kind]))
    for low, high in ((0.0, 0.2), (0.2, 0.4), (0.4, 5.0)):
        some = [e for e in faulty if low <= e.costs_v < high and e.kind != "nothing flows"]
        print(_row(f"costs {low:g} to {high:g} V", some))
    print(_row("all with a fault", faulty))
    sound = [each for each in found if each.kind == "nothing"]
    print(f"  sound ones called faulty: {_share(sound, lambda f: f.called_faulty)} of {len(sound)}")
    for low, high in pairwise(_STATED):
        some = [each for each in found if low <= each.stated < high]
        true = _share(some, lambda f: f.right)
        print(f"  stated {low:4.2f} to {min(high, 1.0):4.2f}: {len(some):5d}, true {true}")
    print(f"  Brier score of the first place: {_share(found, lambda f: (f.stated - f.right) ** 2)}")


def main() -> None:
    """Run the study and print its tables."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--cases", type=int, default=2000)
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--first", type=int, default=FIRST_SEED)
    asked = parser.parse_args()
    executable = shutil.which("ngspice")
    if executable is None:
        print("ngspice is not installed: nothing can be measured")
        return
    began, found, seeds = time.monotonic(), [], 0
    jobs = ((seed, executable) for seed in range(asked.first, asked.first + 3 * asked.cases))
    with multiprocessing.get_context("spawn").Pool(asked.processes) as pool:
        for each in pool.imap(_vehicle, jobs):
            seeds += 1
            found += each
            if len(found) >= asked.cases * len(CHOOSERS):
                break
        pool.terminate()
    vehicles = len(found) // len(CHOOSERS)
    print(f"{vehicles} vehicles of {seeds} seeds from {asked.first}, at most {MOST_READINGS} readings,")
    print(f"in {time.monotonic() - began:.0f} s on {asked.processes} processes")
    for how in CHOOSERS:
        print(f"{how}:")
        _report([each for each in found if each.how == how])


if __name__ == "__main__":
    main()
