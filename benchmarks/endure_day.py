"""What one day on the battery and ten thousand uncertain days cost, with the count of solves and events.

    python benchmarks/endure_day.py [JOB] [DAYS]

The example's own day is run warm, best of seven, by the processor's time; then the uncertain days in two
processes, by the clock, with the most memory that any of them held.
"""

from __future__ import annotations

import resource
import sys
import time
from pathlib import Path

from groundstrap.api import plan, read_job
from groundstrap.assess import wire_up
from groundstrap.endure import chances, endure

EXAMPLE = Path(__file__).parents[1] / "examples" / "hive-pickup.job.yaml"


def main() -> None:
    """Run and print."""
    path = Path(sys.argv[1]) if len(sys.argv) > 1 else EXAMPLE
    days = int(sys.argv[2]) if len(sys.argv) > 2 else 10_000
    planned = plan(read_job(path.read_text(encoding="utf-8"), path.name, folder=path.parent))
    wiring = wire_up(planned.installation, planned.estimates)
    best = float("inf")
    for _ in range(7):
        begin = time.process_time()
        run = endure(wiring)
        best = min(best, time.process_time() - begin)
    counts = f"{run.solves} solves, {run.steps} steps, {run.events} events"
    print(f"one day of {path.name}: {1000 * best:.1f} ms, {counts}")
    begin = time.perf_counter()
    found = chances(wiring, days=days, temperature_c=-10.0)
    lasted = time.perf_counter() - begin
    most = max(
        resource.getrusage(who).ru_maxrss / 1000 for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    )
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    times = f"{lasted:.1f} s by the clock, {used.ru_utime + used.ru_stime:.1f} s of processors"
    print(f"{days} uncertain days: {times}, {most:.0f} MB at most in a process, {found.unsolved} unsolved")


if __name__ == "__main__":
    main()
