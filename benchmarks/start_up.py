"""How long people wait: whole processes, and library calls in a process that is warm.

A process is started eleven times and the median told, so that one busy moment of the machine does not decide.
Byte code is written once before (as any installed package has it). Limits are those of the project's aims.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from groundstrap import api

ROOT = Path(__file__).resolve().parent.parent
JOB = ROOT / "examples" / "hive-pickup.job.yaml"
TIMES = 11


def process_s(arguments: list[str], folder: str) -> float:
    """Median time of a whole process. [s]"""
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "src"), "PYTHONPYCACHEPREFIX": folder}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    found = []
    for _ in range(TIMES + 1):
        start_s = time.perf_counter()
        command = [sys.executable, "-m", "groundstrap.cli", *arguments]
        subprocess.run(command, capture_output=True, check=False, env=environment, cwd=ROOT)
        found.append(time.perf_counter() - start_s)
    return statistics.median(found[1:])


def call_s(run: Callable[[int], object], times: int = TIMES) -> float:
    """Median time of a call in a warm process. [s]"""
    found = []
    for number in range(times + 2):
        start_s = time.perf_counter()
        run(number)
        found.append(time.perf_counter() - start_s)
    return statistics.median(found[2:])


def with_other_values(text: str, number: int) -> str:
    """The same job with another length and another claim."""
    changed = text.replace("length: 1.6 m, laid: loom", f"length: {1.6 + number / 100:.2f} m, laid: loom")
    return changed.replace("claims: {current: 9 A", f"claims: {{current: {9 + number / 50:.2f} A")


def with_other_topology(text: str, number: int) -> str:
    """The same job with one more lamp on the bed, under a name that was not there before."""
    load = f"  lamp {number}: {{kind: led, at: bed, claims: {{power: 8 W}}}}\n"
    circuit = f"  lamp {number}: {{path: [bed block 6, fuse, switch, lamp {number}]}}\n"
    changed = text.replace("  syrup pump: {kind", f"{load}  syrup pump: {{kind", 1)
    return changed.replace("  syrup pump: {path", f"{circuit}  syrup pump: {{path", 1)


def main() -> None:
    """Measure and print."""
    text = JOB.read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as folder:
        rows = [
            ("--help", process_s(["--help"], folder), 0.25),
            ("an unknown option", process_s(["plan", "--jsn"], folder), 0.25),
            ("a job with a fault", process_s(["plan", "README.md"], folder), 0.25),
            ("plan of the example", process_s(["plan", str(JOB)], folder), 0.8),
            ("plan --json of it", process_s(["plan", "--json", str(JOB)], folder), 0.8),
        ]
    jobs = [api.read_job(with_other_values(text, number)) for number in range(TIMES + 2)]
    rows += [
        ("library: plan, other values", call_s(lambda n: api.plan(jobs[n])), 0.025),
        ("  read and plan", call_s(lambda n: api.plan(api.read_job(with_other_values(text, n)))), 0.025),
        ("library: read and plan, other topology", call_s(
            lambda n: api.plan(api.read_job(with_other_topology(text, n)))
        ), 0.08),
    ]  # fmt: skip
    for name, found_s, limit_s in rows:
        verdict = "" if found_s <= limit_s else "   ABOVE THE AIM"
        print(f"{name:<40} {found_s * 1000:7.1f} ms   aim {limit_s * 1000:.0f} ms{verdict}")


if __name__ == "__main__":
    main()
