"""A million full solves on two processes, one case at a time, and the price of a new topology.

Every row has other wires, joints, loads and sources; heat, limits and all laws are in. The time is that of
the slower process inside ``solve_rows``; making up the rows is not counted. Rows without a working point
are counted like the others. Run: ``python benchmarks/solve_speed.py [rows]``.
"""

from __future__ import annotations

import importlib.util
import multiprocessing
import os
import platform
import statistics
import sys
import time
from dataclasses import dataclass, replace
from pathlib import Path

# One thread a process: the library behind numpy must not start its own beside them.
for _name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_name, "1")
sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

import numpy as np  # noqa: E402
from benchmarks._solve_vehicle import twelve_circuits, vary  # noqa: E402

from groundstrap.solve import STATUSES, Backend, Law, Network, solve_one, solve_rows  # noqa: E402
from groundstrap.solve.topology import compile_topology  # noqa: E402
from tests.support.handover import as_network  # noqa: E402
from tests.support.random_networks import random_case  # noqa: E402

_CHUNK = 25_000
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
    """Solve one process's rows in chunks and time the solving alone."""
    seconds, worst_a = 0.0, 0.0
    counts = np.zeros(len(STATUSES), np.int64)
    warm = vary(task.network, list(task.values), 64, 0)
    solve_rows(task.network, warm, heat=task.heat, backend=task.backend)
    for chunk in range(0, task.rows, _CHUNK):
        rows = min(_CHUNK, task.rows - chunk)
        varied = vary(task.network, list(task.values), rows, task.seed + chunk)
        start = time.perf_counter()
        solved = solve_rows(task.network, varied, heat=task.heat, backend=task.backend)
        seconds += time.perf_counter() - start
        counts += np.bincount(solved.status_code, minlength=len(STATUSES))
        if solved.found.any():
            worst_a = max(worst_a, float(np.nanmax(solved.worst_kirchhoff_a)))
    return Share(seconds, tuple(counts.tolist()), worst_a)


def networks() -> dict[str, tuple[Network, tuple[tuple[float, ...], ...]]]:
    """The twelve-circuit vehicle and five random ones: meshed chassis, fed in a ring, working as drawn."""
    car = twelve_circuits()
    found = {"twelve circuits": (car.network, tuple(car.values))}
    seed = 0
    while len(found) <= _RANDOM_NETWORKS:
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
    """Print the time of ``rows`` solves for each network, backend and with and without heat."""
    backends = [Backend.NUMPY] + ([Backend.FAST] if importlib.util.find_spec("numba") else [])
    print(f"{rows:,} solves, {_PROCESSES} processes; time of the slower one")
    print(f"{'network':<16}{'nodes':>6}{'backend':>9}{'heat':>6}{'seconds':>9}{'us/solve':>10}  outcomes")
    with multiprocessing.get_context("spawn").Pool(_PROCESSES) as pool:
        for backend in backends:
            for heat in (True, False):
                taken = []
                for name, (network, values) in networks().items():
                    tasks = [
                        Task(network, values, rows // _PROCESSES, 1_000_000 * k, heat, backend)
                        for k in range(_PROCESSES)
                    ]
                    shares = pool.map(run_share, tasks, chunksize=1)
                    seconds = max(share.seconds for share in shares)
                    taken.append(seconds)
                    counts = np.sum([share.counts for share in shares], axis=0)
                    told = ", ".join(f"{s.value} {c:,}" for s, c in zip(STATUSES, counts, strict=True) if c)
                    worst = max(share.worst_a for share in shares)
                    print(
                        f"{name:<16}{len(network.nodes):>6}{backend.value:>9}{'yes' if heat else 'no':>6}"
                        f"{seconds:>9.2f}{1e6 * seconds / rows:>10.2f}  {told}; worst sum {worst:.0e} A",
                        flush=True,
                    )
                print(f"{'':<16}{'median':>15}{statistics.median(taken):>15.2f}, worst {max(taken):.2f} s")


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
    start = time.perf_counter()
    for case in cases:
        solve_one(network, case, heat=heat)
    return (time.perf_counter() - start) / len(cases)


if __name__ == "__main__":
    versions = f"Python {platform.python_version()}, numpy {np.__version__}"
    print(f"{platform.machine()}, {os.cpu_count()} cores, {versions}")
    one_case()
    many_rows(int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000)
