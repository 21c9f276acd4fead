"""Compare 'a working point exists' with a dense homotopy on many random vehicles, and print a report.

The long form of tests/invariants/test_working_point_decisions.py: the same generator and oracle, other seeds.

Run: python benchmarks/decisions.py [--cases 10000] [--processes 2]
"""

from __future__ import annotations

import argparse
import multiprocessing
import sys
import time
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from groundstrap.solve import Status, solve_one
from tests.support.dense_homotopy import stable_points
from tests.support.handover import as_network
from tests.support.random_networks import mixed_case

FIRST_SEED = 1_000_000
SAME_POINT_V = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """One network: what the oracle and the solver say, and how far their points lie apart."""

    seed: int
    heated: bool
    near_collapse: bool
    exists: bool
    points: int
    status: str
    iterations: int
    apart_v: float
    oracle_s: float
    solver_s: float

    @property
    def wrong(self) -> bool:
        """Say whether the solver decided otherwise or not at all, or stands at an unstable point."""
        found = self.status == Status.FOUND.name
        if self.status == Status.UNSOLVED.name:
            return True
        return found != self.exists or (found and self.apart_v > SAME_POINT_V)


def decide_one(job: tuple[int, bool]) -> Decision:
    """Ask both about the random vehicle of this seed."""
    seed, heated = job
    case = mixed_case(seed, heated=heated)
    begin = time.perf_counter()
    points = tuple(stable_points(case))
    between = time.perf_counter()
    point = solve_one(*as_network(case))
    end = time.perf_counter()
    found = point.status is Status.FOUND
    apart = [float(np.abs(np.asarray(point.node_v) - v).max()) for v in points] if found else []
    return Decision(
        seed=seed,
        heated=heated,
        near_collapse="near collapse" in case.traits,
        exists=bool(points),
        points=len(points),
        status=point.status.name,
        iterations=int(point.iterations),
        apart_v=min(apart, default=0.0),
        oracle_s=between - begin,
        solver_s=end - between,
    )


def report(title: str, decisions: Iterable[Decision]) -> None:
    """Print counts, the statuses told where no point exists, iterations and every miss by seed."""
    some = list(decisions)
    if not some:
        return
    exist = [d for d in some if d.exists]
    none = [d for d in some if not d.exists]
    steps = np.array([d.iterations for d in exist] or [0])
    print(f"\n{title}: {len(some)} networks")
    print(f"  a point exists: {sum(not d.wrong for d in exist)} of {len(exist)} found")
    print(f"  none exists:    {sum(not d.wrong for d in none)} of {len(none)} recognised")
    print(f"  told where none exists: {dict(Counter(d.status for d in none))}")
    print(f"  largest difference to the oracle: {max((d.apart_v for d in exist), default=0.0):.1e} V")
    print(f"  iterations mean {steps.mean():.1f}, 99 % {np.percentile(steps, 99):.0f}, most {steps.max()}")
    print(
        f"  per network: oracle {1e3 * sum(d.oracle_s for d in some) / len(some):.1f} ms,"
        f" solver with compiling {1e3 * sum(d.solver_s for d in some) / len(some):.1f} ms"
    )
    misses = [d for d in some if d.wrong]
    print(f"  agreement {100 * (1 - len(misses) / len(some)):.3f} %")
    for d in misses:
        print(f"    seed {d.seed}: {d.status}, stable points {d.points}, apart {d.apart_v:.1e} V")


def main() -> None:
    """Run both kinds of networks and print one report each."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=10_000, help="networks of each kind")
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--first-seed", type=int, default=FIRST_SEED)
    chosen = parser.parse_args()
    seeds = range(chosen.first_seed, chosen.first_seed + chosen.cases)
    with multiprocessing.get_context("spawn").Pool(chosen.processes) as pool:
        for heated in (False, True):
            jobs = [(seed, heated) for seed in seeds]
            decisions = pool.map(decide_one, jobs, chunksize=50)
            kind = "heated wires" if heated else "cold wires"
            report(f"{kind}, every fifth near collapse", decisions)
            report(f"{kind}, those within 3 % of collapse", (d for d in decisions if d.near_collapse))


if __name__ == "__main__":
    main()
