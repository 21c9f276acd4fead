"""Where the time of a plan goes: its stages in a warm process, and whole processes beside a bare interpreter.

Values, then names, change from call to call, so that no answer is simply found again. Each time is the median
of several; processes are started in turn with a bare `python -c pass`, so that both see the same machine.
"""

from __future__ import annotations

import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable
from itertools import pairwise
from pathlib import Path

from groundstrap import api
from groundstrap.assess import assess_wiring
from groundstrap.checks import run
from groundstrap.design.answer import chosen
from groundstrap.vet import vet

ROOT = Path(__file__).resolve().parent.parent
JOB = ROOT / "examples" / "hive-pickup.job.yaml"
TIMES = 15
STAGES = ("read", "vet", "choose", "assess", "checks")


def other_values(text: str, number: int) -> str:
    """The same job with every length a little longer."""

    def longer(found: re.Match[str]) -> str:
        return f"length: {float(found[1]) * (1 + number / 1000):.4f} m"

    return re.sub(r"length: (\d+(?:\.\d+)?) m", longer, text)


def other_topology(text: str, number: int) -> str:
    """The same job with one more lamp on the bed, under a name that was not there before."""
    load = f"  lamp {number}: {{kind: led, at: bed, claims: {{power: 8 W}}}}\n"
    circuit = f"  lamp {number}: {{path: [bed block 6, fuse, switch, lamp {number}]}}\n"
    changed = text.replace("  syrup pump: {kind", f"{load}  syrup pump: {{kind", 1)
    changed = changed.replace("  syrup pump: {path", f"{circuit}  syrup pump: {{path", 1)
    if changed.count(f"lamp {number}") < 3:
        raise SystemExit("the example has no syrup pump any more: say another place for the lamp")
    return changed


def stages_s(text: str) -> tuple[float, ...]:
    """Time of each stage of a plan, one after the other as `plan` does it. [s]"""
    marks = [time.perf_counter()]
    job = api.read_job(text, folder=JOB.parent)
    marks.append(time.perf_counter())
    vetting = vet(job.installation)
    estimates = {name: found.estimate for name, found in vetting.loads.items()}
    marks.append(time.perf_counter())
    choice = chosen(job.installation, estimates)
    marks.append(time.perf_counter())
    assessment = assess_wiring(choice.wiring)
    marks.append(time.perf_counter())
    run(choice.design.installation, vetting, assessment)
    marks.append(time.perf_counter())
    return tuple(after - before for before, after in pairwise(marks))


def tell(title: str, texts: Iterable[str], aim_ms: float) -> None:
    """Print the stages, and the whole without reading beside its aim."""
    rows = [stages_s(text) for text in texts][2:]
    medians_ms = [1000 * statistics.median(column) for column in zip(*rows, strict=True)]
    whole_ms = 1000 * statistics.median([sum(row[1:]) for row in rows])
    parts = "  ".join(f"{name} {ms:.1f}" for name, ms in zip(STAGES, medians_ms, strict=True))
    print(f"{title}: {parts} ms; without reading {whole_ms:.1f} ms, aim {aim_ms:.0f} ms")


def process_ratio(arguments: list[str], folder: str) -> tuple[float, float]:
    """Median time of a process, and how many times that of a bare interpreter started beside it. [s, 1]"""
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "src"), "PYTHONPYCACHEPREFIX": folder}
    # Byte code is written in the first run, which does not count, as any installed package has it.
    environment.pop("PYTHONDONTWRITEBYTECODE", None)

    def took_s(command: list[str]) -> float:
        start_s = time.perf_counter()
        subprocess.run(command, capture_output=True, check=False, env=environment, cwd=ROOT)
        return time.perf_counter() - start_s

    ours, bare = [], []
    for _ in range(TIMES):
        bare.append(took_s([sys.executable, "-c", "pass"]))
        ours.append(took_s([sys.executable, "-m", "groundstrap.cli", *arguments]))
    return statistics.median(ours[1:]), statistics.median(ours[1:]) / statistics.median(bare[1:])


def main() -> None:
    """Measure and print."""
    text = JOB.read_text(encoding="utf-8")
    changes: dict[str, tuple[Callable[[str, int], str], float]] = {
        "other values": (other_values, 25.0),
        "other topology": (other_topology, 80.0),
    }
    for title, (change, aim_ms) in changes.items():
        tell(title, [change(text, number) for number in range(TIMES + 2)], aim_ms)
    processes = {
        "--help": (["--help"], 0.25),
        "an error message": (["plan", "--jsn"], 0.25),
        "plan": (["plan", str(JOB)], 0.8),
    }
    with tempfile.TemporaryDirectory() as folder:
        for title, (arguments, aim_s) in processes.items():
            found_s, ratio = process_ratio(arguments, folder)
            told = f"{1000 * found_s:.0f} ms, aim {1000 * aim_s:.0f} ms; {ratio:.1f} x bare python"
            print(f"process, {title}: {told}")


if __name__ == "__main__":
    main()
