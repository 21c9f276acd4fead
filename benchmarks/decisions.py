"""Compare 'a working point exists' with a dense homotopy on many random vehicles, and print a report.

The long form of tests/invariants/test_working_point_decisions.py: the same generator and oracle, other seeds.

With ``--log`` what the oracle said of each network is kept in a file, a line a network: a run that was ended
goes on where it stood, and after a change of the solver only the solver is asked again. Lines that were
written with another generator or another oracle are left aside.

Run: python benchmarks/decisions.py [--cases 10000] [--processes 2] [--log FILE]
"""

from __future__ import annotations

import argparse
import hashlib
import json
import multiprocessing
import os
import sys
import time
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TextIO

# One thread a process: the library behind numpy must not start its own beside them.
for _name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_name, "1")
sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

import numpy as np  # noqa: E402

from groundstrap.solve import Status, solve_one  # noqa: E402
from tests.support.dense_homotopy import stable_points  # noqa: E402
from tests.support.handover import as_network  # noqa: E402
from tests.support.random_networks import mixed_case  # noqa: E402

FIRST_SEED = 1_000_000
SAME_POINT_V = 1e-6
_SUPPORT = Path(__file__).resolve().parent.parent / "tests" / "support"
_MADE_BY = ("plain.py", "random_networks.py", "dense_homotopy.py")
_TOLD_EVERY = 500

#: A network to be decided: its seed, whether its wires heat, the stable points where they are known already.
Job = tuple[int, bool, list[list[float]] | None]


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
    stable_v: list[list[float]]

    @property
    def wrong(self) -> bool:
        """Say whether the solver decided otherwise or not at all, or stands at an unstable point."""
        found = self.status == Status.FOUND.name
        if self.status == Status.UNSOLVED.name:
            return True
        return found != self.exists or (found and self.apart_v > SAME_POINT_V)


def decide_one(job: Job) -> Decision:
    """Ask both about the random vehicle of this seed."""
    seed, heated, known = job
    case = mixed_case(seed, heated=heated)
    begin = time.perf_counter()
    points = [v.tolist() for v in stable_points(case)] if known is None else known
    between = time.perf_counter()
    point = solve_one(*as_network(case))
    end = time.perf_counter()
    found = point.status is Status.FOUND
    apart = [float(np.abs(np.subtract(point.node_v, v)).max()) for v in points] if found else []
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
        stable_v=points,
    )


def made_by() -> str:
    """Return a mark of the texts of generator and oracle."""
    texts = b"".join((_SUPPORT / name).read_bytes() for name in _MADE_BY)
    return hashlib.sha256(texts).hexdigest()[:16]


def read_log(path: Path | None) -> dict[tuple[int, bool], list[list[float]]]:
    """Return the stable points that a log knows, by seed and by whether wires heat."""
    if path is None or not path.exists():
        return {}
    mark, known = made_by(), {}
    for line in path.read_text(encoding="ascii").splitlines():
        entry = json.loads(line)
        if entry["made_by"] == mark:
            known[entry["seed"], entry["heated"]] = entry["stable_v"]
    return known


def write_line(log: TextIO, decision: Decision, mark: str) -> None:
    """Add what the oracle said of a network to the log."""
    entry = {
        "made_by": mark,
        "seed": decision.seed,
        "heated": decision.heated,
        "stable_v": decision.stable_v,
        "status": decision.status,
        "wrong": decision.wrong,
        "oracle_s": round(decision.oracle_s, 4),
        "solver_s": round(decision.solver_s, 4),
    }
    log.write(json.dumps(entry) + "\n")
    log.flush()


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


def decide_all(jobs: list[Job], processes: int, path: Path | None) -> list[Decision]:
    """Decide all networks, telling how far it is, and add those that are new to the log."""
    decisions, begin, mark = [], time.perf_counter(), made_by()
    log = path.open("a", encoding="ascii") if path is not None else None
    with multiprocessing.get_context("spawn").Pool(processes) as pool:
        for job, decision in zip(jobs, pool.imap(decide_one, jobs, chunksize=10), strict=True):
            decisions.append(decision)
            if log is not None and job[2] is None:
                write_line(log, decision, mark)
            if len(decisions) % _TOLD_EVERY == 0:
                wrong, after_s = sum(d.wrong for d in decisions), time.perf_counter() - begin
                print(f"{len(decisions)} decided, {wrong} of them wrong, after {after_s:.0f} s", flush=True)
    if log is not None:
        log.close()
    return decisions


def main() -> None:
    """Run both kinds of networks and print one report each."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=10_000, help="networks of each kind")
    parser.add_argument("--kind", choices=("cold", "heated", "both"), default="both")
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--first-seed", type=int, default=FIRST_SEED)
    parser.add_argument("--log", type=Path, help="file for what the oracle said, read first and added to")
    chosen = parser.parse_args()
    seeds = range(chosen.first_seed, chosen.first_seed + chosen.cases)
    known = read_log(chosen.log)
    for heated in (False, True):
        kind = "heated" if heated else "cold"
        if chosen.kind not in {kind, "both"}:
            continue
        jobs: list[Job] = [(seed, heated, known.get((seed, heated))) for seed in seeds]
        decisions = decide_all(jobs, chosen.processes, chosen.log)
        report(f"{kind} wires, every fifth near collapse", decisions)
        report(f"{kind} wires, those within 3 % of collapse", (d for d in decisions if d.near_collapse))


if __name__ == "__main__":
    main()
