"""A million full solves on two processes, one case at a time, and the price of a new topology.

Every row has other wires, joints, loads and sources; heat, limits and all laws are in. The time is processor
time inside ``solve_batches`` of the slower process: each has one thread, so on an idle machine that is the
time that passes, and other work beside it counts little. Making up the rows is not counted, nor is a first
batch of each process: memory that a machine hands out for the first time, and compiled code to be loaded.
Rows without a working point are counted like the others. Run: ``python benchmarks/solve_speed.py [rows]``.
"""

from __future__ import annotations

import importlib.util
import multiprocessing
import multiprocessing.pool
import os
import platform
import statistics
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

# One thread a process: the library behind numpy must not start its own beside them.
for _name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_name, "1")
sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

import numpy as np  # noqa: E402
from benchmarks._solve_vehicle import hive_pickup, twelve_circuits, vary  # noqa: E402

from groundstrap.solve import STATUSES, Backend, Law, Network, Status, solve_batches, solve_one  # noqa: E402
from groundstrap.solve.network import RowParameters  # noqa: E402
from groundstrap.solve.topology import compile_topology  # noqa: E402
from tests.support.handover import as_network  # noqa: E402
from tests.support.random_networks import random_case  # noqa: E402

EXAMPLE = "hive pickup"
# Rows without a point are gathered over a call: many at once cost less each than few.
_CHUNK = 100_000
_MILLION = 1_000_000
_TARGETS_S = {
    Backend.NUMPY: {EXAMPLE: 8.0, "median": 8.0, "worst": 15.0},
    Backend.FAST: {EXAMPLE: 2.5, "median": 2.5},
}
_PROCESSES = 2
_RANDOM_NETWORKS = 5
_LONGEST_WIRE_OHM = 0.3
_LEAST_A = 5.0


@dataclass(frozen=True)
class Task:
    """One process's share of a run."""

    network: Network
    values: tuple[tuple[float, ...], ...]
    rows: int
    seed: int
    heat: bool
    backend: Backend


@dataclass(frozen=True)
class Share:
    """What one process measured."""

    seconds: float
    counts: tuple[int, ...]
    worst_a: float


def run_share(task: Task) -> Share:
    """Solve one process's rows in batches and time the solving alone, with all that a caller is handed."""
    seconds, worst_a, making_s = 0.0, 0.0, 0.0
    counts = np.zeros(len(STATUSES), np.int64)
    sizes = [min(_CHUNK, task.rows - first) for first in range(0, task.rows, _CHUNK)]

    def batches() -> Iterator[RowParameters]:
        nonlocal making_s
        # One that is not counted: memory that a machine hands out for the first time, and code, are loaded.
        for number, rows in enumerate([sizes[0], *sizes]):
            start = time.process_time()
            varied = vary(task.network, list(task.values), rows, task.seed + number)
            making_s += time.process_time() - start
            yield varied

    solved = solve_batches(task.network, batches(), heat=task.heat, backend=task.backend)
    next(solved)
    for _ in sizes:
        start = time.process_time() - making_s
        rows = next(solved)
        seconds += time.process_time() - making_s - start
        counts += np.bincount(rows.status_code, minlength=len(STATUSES))
        if rows.found.any():
            worst_a = max(worst_a, float(np.nanmax(rows.worst_kirchhoff_a)))
    return Share(seconds, tuple(counts.tolist()), worst_a)


def networks() -> dict[str, tuple[Network, tuple[tuple[float, ...], ...]]]:
    """The example's network, a larger one and five random ones: meshed, fed in a ring, working as drawn."""
    car = twelve_circuits()
    found = {EXAMPLE: hive_pickup(), "twelve circuits": (car.network, tuple(car.values))}
    wanted, seed = len(found) + _RANDOM_NETWORKS, 0
    while len(found) < wanted:
        case = random_case(seed)
        if {"meshed chassis", "ring"} <= case.traits:
            network, values = as_network(case)
            point = solve_one(network, values, heat=False)
            if point.found:
                found[f"random {seed}"] = _with_heat(network, values, point.branch_a)
        seed += 1
    return found


def _with_heat(
    network: Network, values: tuple[tuple[float, ...], ...], branch_a: tuple[float, ...]
) -> tuple[Network, tuple[tuple[float, ...], ...]]:
    """Let each wire rise by a ninth of its resistance (28 K) at the current that it carries as drawn."""
    branches, heated = [], []
    for branch, given, amps in zip(network.branches, values, branch_a, strict=True):
        is_wire = branch.law is Law.RESISTOR and given[0] < _LONGEST_WIRE_OHM
        branches.append(replace(branch, law=Law.HEATED) if is_wire else branch)
        heated.append((given[0], 0.1 / max(abs(amps), _LEAST_A) ** 2) if is_wire else given)
    return Network(network.nodes, tuple(branches)), tuple(heated)


def many_rows(rows: int) -> None:
    """Print the time of ``rows`` solves for each network and backend, with heat and without."""
    backends = [Backend.NUMPY] + ([Backend.FAST] if importlib.util.find_spec("numba") else [])
    print(f"{rows:,} solves, {_PROCESSES} processes; time of the slower one")
    print(
        f"{'network':<17}{'nodes':>6}{'backend':>9}{'heat s':>9}{'us/solve':>10}{'no heat s':>11}  with heat"
    )
    with multiprocessing.get_context("spawn").Pool(_PROCESSES) as pool:
        for backend in backends:
            taken = {}
            for name, (network, values) in networks().items():
                job = Task(network, values, rows // _PROCESSES, seed=0, heat=True, backend=backend)
                hot, cold = _both(pool, job), _both(pool, replace(job, heat=False))
                taken[name] = hot.seconds
                print(
                    f"{name:<17}{len(network.nodes):>6}{backend.value:>9}{hot.seconds:>9.2f}"
                    f"{1e6 * hot.seconds / rows:>10.2f}{cold.seconds:>11.2f}  {_told(hot)}",
                    flush=True,
                )
            _beside_targets(backend, taken, rows)


def _both(pool: multiprocessing.pool.Pool, task: Task) -> Share:
    """Run a task on each process, with other rows on each; add up what they found."""
    tasks = [replace(task, seed=1_000_000 * number) for number in range(_PROCESSES)]
    shares = pool.map(run_share, tasks, chunksize=1)
    counts = np.sum([share.counts for share in shares], axis=0)
    return Share(
        max(share.seconds for share in shares), tuple(counts.tolist()), max(share.worst_a for share in shares)
    )


def _told(share: Share) -> str:
    outcomes = ", ".join(
        f"{status.value} {count:,}"
        for status, count in zip(STATUSES, share.counts, strict=True)
        if count or status is Status.UNSOLVED
    )
    return f"{outcomes}; worst sum {share.worst_a:.0e} A"


def _beside_targets(backend: Backend, taken: dict[str, float], rows: int) -> None:
    """Print the example's time, the median and the worst, each beside its target for a million rows."""
    found = {
        EXAMPLE: taken[EXAMPLE],
        "median": statistics.median(taken.values()),
        "worst": max(taken.values()),
    }
    for name, seconds in found.items():
        target = _TARGETS_S[backend].get(name)
        verdict = ""
        if target is not None and rows == _MILLION:
            verdict = f", target {target:g} s: {'met' if seconds < target else 'missed'}"
        print(f"{backend.value}, heat: {name} {seconds:.2f} s{verdict}", flush=True)


def one_case() -> None:
    """Print how many single cases a second, and what a new topology costs."""
    car = twelve_circuits()
    network = car.network
    varied = vary(network, car.values, 300, 7)
    cases = [
        [tuple(float(v[row]) if isinstance(v, np.ndarray) else v for v in given) for given in varied]
        for row in range(300)
    ]
    for heat in (True, False):
        best = min(_timed(network, cases, heat=heat) for _ in range(5))
        print(f"one case, {'heat' if heat else 'no heat'}: {1 / best:,.0f} a second")
    start = time.perf_counter()
    compile_topology(Network(network.nodes, (*network.branches[:-1],)))
    chains_s = time.perf_counter() - start
    start = time.perf_counter()
    solve_one(Network(network.nodes, (*network.branches[:-1],)), [tuple(v) for v in cases[0][:-1]])
    first_s = time.perf_counter() - start
    print(f"new topology: chains and order {1e3 * chains_s:.1f} ms, first case {1e3 * first_s:.1f} ms")


def _timed(network: Network, cases: list[list[tuple[float, ...]]], *, heat: bool) -> float:
    start = time.process_time()
    for case in cases:
        solve_one(network, case, heat=heat)
    return (time.process_time() - start) / len(cases)


if __name__ == "__main__":
    versions = f"Python {platform.python_version()}, numpy {np.__version__}"
    print(f"{platform.machine()}, {os.cpu_count()} cores, {versions}")
    one_case()
    many_rows(int(sys.argv[1]) if len(sys.argv) > 1 else _MILLION)
