"""Time one solve beside ngspice, in one run on one machine: the same network, many rows of other values.

ngspice gets a deck once, then for each row `alter` of every resistor and load power, and `op`; what counts
is the processor time of its process less that of the same process without rows. It is processor time on both
sides, so that other work on the machine counts for neither. Only resistors and load powers vary, because
those it can alter cheaply; it starts each row from the no-load point. The solver gets the same rows one by
one and as one batch. Before anything is timed, the first rows are compared node by node.

Run: python benchmarks/spice_ratio.py [--rows 1000] [--seeds 3]
"""

from __future__ import annotations

import argparse
import re
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import numpy.typing as npt

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from groundstrap.solve import Network, Status, solve_one, solve_rows
from tests.support.dense_homotopy import incidence, nose
from tests.support.handover import as_network
from tests.support.plain import Case
from tests.support.random_networks import random_case
from tests.support.spice import alterable_deck, floors_v, no_load_start_v

COMPARED_ROWS = 50
_VALUE = re.compile(r"^v\((\d+)\) = ([-+0-9.eE]+)$", re.MULTILINE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Timing:
    """Microseconds a solve, and how ngspice's first rows compare."""

    nodes: int
    branches: int
    one_us: float
    batch_us: float
    spice_us: float
    spice_bare_us: float
    unsolved_rows: int
    compared: int
    apart_v: float


def vary(case: Case, rows: int) -> list[Case]:
    """Give every resistor and every constant-power load other values in each row."""
    rng = np.random.default_rng([case.seed, 2])
    varied = []
    for _ in range(rows):
        factors = np.exp(rng.uniform(-0.15, 0.15, len(case.elements)))
        elements = tuple(
            replace(e, values=(e.values[0] * float(f),)) if e.law in {"RESISTOR", "CONSTANT_POWER"} else e
            for e, f in zip(case.elements, factors, strict=True)
        )
        varied.append(replace(case, elements=elements))
    return varied


def _alters(row: Case) -> list[str]:
    """Write the `alter` commands that turn the deck into this row."""
    lines = []
    for k, e in enumerate(row.elements):
        if e.law == "RESISTOR":
            lines.append(f"alter r{k} = {e.values[0]!r}")
        elif e.law == "CONSTANT_POWER":
            lines.append(f"alter vwatts{k} = {e.values[0]!r}")
    return lines


def run_spice(ngspice: str, deck: str, commands: Sequence[str]) -> tuple[float, str]:
    """Run the deck with these commands; return processor seconds and its output."""
    script = [
        "* rows",
        ".control",
        "set numdgt=15",
        "source network.cir",
        *commands,
        "quit",
        ".endc",
        ".end",
        "",
    ]
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "network.cir").write_text(deck, encoding="ascii")
        (folder / "rows.cir").write_text("\n".join(script), encoding="ascii")
        begin_s = _children_s()
        done = subprocess.run(
            [ngspice, "-b", "rows.cir"], cwd=folder, capture_output=True, text=True, check=False
        )
        return _children_s() - begin_s, done.stdout


def _children_s() -> float:
    """Processor seconds of all processes that were started and have ended."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def _compare(ngspice: str, case: Case, deck: str, rows: Sequence[Case]) -> tuple[int, float]:
    """Return how many of the first rows both solved, and the largest difference in V."""
    commands: list[str] = []
    for row in rows:
        commands += [*_alters(row), "destroy all", "echo one-row", "op", "print all"]
    parts = run_spice(ngspice, deck, commands)[1].split("one-row\n")[1:]
    apart: list[float] = []
    for row, part in zip(rows, parts, strict=False):
        printed = {int(k): float(v) for k, v in _VALUE.findall(part)}
        point = solve_one(*as_network(row))
        if point.status is Status.FOUND and all(k in printed for k in range(1, case.node_count)):
            apart.append(max(abs(printed[k] - float(point.node_v[k])) for k in range(1, case.node_count)))
    return sum(v < 1e-6 for v in apart), max((v for v in apart if v < 1e-6), default=0.0)


def _columns(rows: Sequence[Case]) -> list[tuple[npt.NDArray[np.float64], ...]]:
    return [
        tuple(np.array(values) for values in zip(*(row.elements[k].values for row in rows), strict=True))
        for k in range(len(rows[0].elements))
    ]


def _time_solver(network: Network, rows: Sequence[Case]) -> tuple[float, float, int]:
    """Return microseconds a row one by one and as a batch, and how many rows of the batch have no point."""
    singles = [tuple(e.values for e in row.elements) for row in rows]
    solve_one(network, singles[0])
    begin = time.process_time()
    for values in singles:
        solve_one(network, values)
    one_s = (time.process_time() - begin) / len(rows)
    columns = _columns(rows)
    solve_rows(network, columns)
    begin = time.process_time()
    solved = solve_rows(network, columns)
    batch_s = (time.process_time() - begin) / len(rows)
    unsolved = sum(solved.row(k).status is not Status.FOUND for k in range(len(rows)))
    return 1e6 * one_s, 1e6 * batch_s, unsolved


def measure(ngspice: str, case: Case, count: int) -> Timing:
    """Time one network."""
    rows = vary(case, count)
    start_v = no_load_start_v(case)
    deck = alterable_deck(case, start_v, floors_v(case, start_v))
    compared, apart_v = _compare(ngspice, case, deck, rows[:COMPARED_ROWS])
    altered = [line for row in rows for line in (*_alters(row), "op", "destroy all")]
    idle_s, _ = run_spice(ngspice, deck, [])
    spice_s, _ = run_spice(ngspice, deck, altered)
    bare_s, _ = run_spice(ngspice, deck, ["op", "destroy all"] * count)
    one_us, batch_us, unsolved = _time_solver(as_network(case)[0], rows)
    return Timing(
        nodes=case.node_count,
        branches=len(case.elements),
        one_us=one_us,
        batch_us=batch_us,
        spice_us=1e6 * (spice_s - idle_s) / count,
        spice_bare_us=1e6 * (bare_s - idle_s) / count,
        unsolved_rows=unsolved,
        compared=compared,
        apart_v=apart_v,
    )


def _easy_cases(count: int, *, heated: bool) -> list[Case]:
    """Return the first vehicles that carry at least 1.5 times their loads."""
    cases: list[Case] = []
    seed = 2_000_000
    while len(cases) < count:
        case = random_case(seed, heated=heated)
        if nose(case) > 1.5 and incidence(case).shape[0] >= 30:
            cases.append(case)
        seed += 1
    return cases


def main() -> None:
    """Measure a few networks with cold and with heated wires and print the ratios."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rows", type=int, default=1000)
    parser.add_argument("--seeds", type=int, default=3, help="networks of each kind")
    chosen = parser.parse_args()
    ngspice = shutil.which("ngspice")
    if ngspice is None:
        print("ngspice is not installed (Debian package ngspice): nothing to time beside")
        return
    for heated in (False, True):
        print(f"\n{'heated' if heated else 'cold'} wires, {chosen.rows} rows each, microseconds a solve")
        ratios_one, ratios_batch, ratios_bare = [], [], []
        for case in _easy_cases(chosen.seeds, heated=heated):
            t = measure(ngspice, case, chosen.rows)
            ratios_one.append(t.spice_us / t.one_us)
            ratios_batch.append(t.spice_us / t.batch_us)
            ratios_bare.append(t.spice_bare_us / t.one_us)
            print(
                f"  {t.nodes} nodes, {t.branches} branches: single {t.one_us:.0f}, batch {t.batch_us:.1f},"
                f" ngspice alter+op {t.spice_us:.0f} (op alone {t.spice_bare_us:.0f});"
                f" unsolved {t.unsolved_rows}; {t.compared} of {COMPARED_ROWS} rows equal"
                f" to {t.apart_v:.0e} V"
            )
        print(
            f"  ngspice takes {statistics.median(ratios_one):.1f} times as long as one by one,"
            f" {statistics.median(ratios_batch):.0f} times as long as the batch;"
            f" its `op` alone {statistics.median(ratios_bare):.1f} times as long as one by one (medians)"
        )


if __name__ == "__main__":
    main()
