"""Time choosing beside one solve of the same network, and count what it misses against brute force.

Jobs are random trees of feeders, branches and one shared negative, every size and fuse to be chosen. Times
are the least of several calls after a first one, with values changed in between so that no answer is kept.
The second part tries every choice that costs less than the one chosen, each on the true network.

Run: python benchmarks/choice.py [--jobs 5] [--seeds 100]
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable
from pathlib import Path
from statistics import mean, median

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from groundstrap.assess import assess, drop_cases, parameters, wire_up
from groundstrap.design import choose
from groundstrap.solve import solve_one
from tests.unit.design.jobs import random_job, try_everything

CIRCUITS = (12, 30)
FEEDERS = 2


def _seconds(call: Callable[[int], object], calls: int = 5) -> float:
    """Least time of one call, each with another number, after a first one."""
    call(0)
    times = []
    for number in range(1, calls + 1):
        start = time.perf_counter()
        call(number)
        times.append(time.perf_counter() - start)
    return min(times)


def time_choice(circuits: int, jobs: int) -> None:
    """Print the times of jobs of one size, and their ratios to one solve."""
    branches = circuits - FEEDERS - 1
    rows = []
    for seed in range(jobs):
        made = [
            random_job(seed + 1000 * k, feeders=(FEEDERS, FEEDERS), branches=(branches, branches))
            for k in range(6)
        ]
        ready = [(job.build(), job.estimates) for job in made]
        designs = [choose(installation, estimates) for installation, estimates in ready]
        wiring = wire_up(designs[0].installation, made[0].estimates)
        values = parameters(wiring, drop_cases(wiring)[0])
        rows.append(
            (
                _seconds(lambda k, ready=ready: choose(*ready[k])),  # type: ignore[misc]
                _seconds(lambda k, d=designs, r=ready: assess(d[k].installation, r[k][1])),  # type: ignore[misc]
                _seconds(lambda _, w=wiring, v=values: solve_one(w.network, v)),  # type: ignore[misc]
            )
        )
    chosen, assessed, solved = (median(row[k] for row in rows) for k in range(3))
    print(
        f"{circuits} circuits: choose {1e3 * chosen:.1f} ms, assess {1e3 * assessed:.1f} ms, one solve"
        f" {1e3 * solved:.2f} ms; {chosen / solved:.0f} and {assessed / solved:.0f} solves"
    )


def count_misses(seeds: int) -> None:
    """Print how what is chosen stands to the cheapest of all choices on small jobs."""
    found = [try_everything(random_job(seed, branches=(2, 3))) for seed in range(seeds)]
    ratios = [each.chosen_cost / each.cost for each in found]
    print(
        f"{seeds} small jobs, {sum(each.rows for each in found):,} cheaper choices tried:"
        f" {sum(ratio <= 1 + 1e-9 for ratio in ratios)} are the least, mean {mean(ratios):.4f},"
        f" worst {max(ratios):.3f}; passing {sum(each.passes for each in found)},"
        f" raised on the true network {sum(each.raised for each in found)}"
    )


def main() -> None:
    """Read the options and print both parts."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    options.add_argument("--jobs", type=int, default=5)
    options.add_argument("--seeds", type=int, default=100)
    chosen = options.parse_args()
    for circuits in CIRCUITS:
        time_choice(circuits, chosen.jobs)
    count_misses(chosen.seeds)


if __name__ == "__main__":
    main()
