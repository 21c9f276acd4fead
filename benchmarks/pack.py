"""How long a whole pack takes as a process: that of an example, and that of a job with sixty circuits.

Each is made several times into a folder that holds its own older pack, and the median is told, with the
processor time beside it, which other work on the machine lengthens less. Byte code is written once before.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from groundstrap import api
from tests.support.big_jobs import big_job

ROOT = Path(__file__).resolve().parent.parent
EXAMPLE = ROOT / "examples" / "hive-pickup.job.yaml"
TIMES = 3
CIRCUITS = 60


def made_s(command: str, job: Path, folder: Path) -> tuple[float, float]:
    """Median time of one process and of its processors. [s]"""
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "src"), "PYTHONPYCACHEPREFIX": str(folder / "code")}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    arguments = ["-o", str(folder / "pack")] if command == "pack" else []
    waited, worked = [], []
    for _ in range(TIMES + 1):
        start_s, before_s = time.perf_counter(), _processors_s()
        run = [sys.executable, "-m", "groundstrap.cli", command, str(job), *arguments]
        done = subprocess.run(run, capture_output=True, check=False, env=environment)
        if done.returncode not in {0, 1, 4}:
            raise SystemExit(done.stderr.decode())
        waited.append(time.perf_counter() - start_s)
        worked.append(_processors_s() - before_s)
    return statistics.median(waited[1:]), statistics.median(worked[1:])


def _processors_s() -> float:
    """Processor time of all processes that have ended. [s]"""
    told = os.times()
    return told.children_user + told.children_system


def main() -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        open_job, big = folder / "open.job.yaml", folder / "big.job.yaml"
        open_job.write_text(big_job(7, CIRCUITS), encoding="utf-8")
        # Pinned: what is chosen is the time of `plan` and stands in the next line.
        read = api.read_job_file(open_job)
        big.write_text(api.pin(read, api.plan(read)).text, encoding="utf-8")
        rows = (
            ("pack of the example, 12 circuits", "pack", EXAMPLE, 3.0),
            ("plan of it", "plan", EXAMPLE, None),
            (f"pack of {CIRCUITS} circuits, sizes chosen before", "pack", big, 8.0),
            ("plan of it", "plan", big, None),
            (f"pack of {CIRCUITS} circuits without sizes", "pack", open_job, 8.0),
            ("plan of it", "plan", open_job, None),
        )
        for what, command, job, limit_s in rows:
            waited_s, worked_s = made_s(command, job, folder)
            aim = "" if limit_s is None else f"   aim {limit_s:.0f} s"
            verdict = "" if limit_s is None or waited_s <= limit_s else "   ABOVE THE AIM"
            print(f"{what:<44} {waited_s:6.2f} s, processors {worked_s:6.2f} s{aim}{verdict}", flush=True)


if __name__ == "__main__":
    main()
