"""Where the time of a plan goes: its stages in a warm process, and whole processes beside a bare interpreter.

First what a page pays for each change: reading, planning, writing the answer as JSON and as text, with
nothing changed, one length, every length, or a load more. Then the stages of planning. Times are those of
the processor, which other work on the machine lengthens least; processes are started in turn with a bare
`python -c pass`, so that both see the same machine.
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
WARM = 4
"""First calls that do not count."""
STAGES = ("read", "vet", "choose", "assess", "checks")
ANSWERS = ("read", "plan", "JSON", "text")


def other_values(text: str, number: int) -> str:
    """The same job with every length a little longer."""

    def longer(found: re.Match[str]) -> str:
        return f"length: {float(found[1]) * (1 + number / 1000):.4f} m"

    return re.sub(r"length: (\d+(?:\.\d+)?) m", longer, text)


def one_value(text: str, number: int) -> str:
    """The same job with one of its lengths a little longer, another one each time."""
    spots = list(re.finditer(r"length: (\d+(?:\.\d+)?) m", text))
    found = spots[number % len(spots)]
    longer_m = float(found[1]) * (1 + (number + 1) / 1000)
    return f"{text[: found.start(1)]}{longer_m:.4f}{text[found.end(1) :]}"


def same_text(text: str, _: int) -> str:
    """The same job."""
    return text


def other_topology(text: str, number: int) -> str:
    """The same job with one more lamp on the bed, under a name that was not there before."""
    load = f"  lamp {number}: {{kind: led, at: bed, claims: {{power: 8 W}}}}\n"
    circuit = f"  lamp {number}: {{path: [bed block 6, fuse, switch, lamp {number}]}}\n"
    changed = text.replace("  syrup pump: {kind", f"{load}  syrup pump: {{kind", 1)
    changed = changed.replace("  syrup pump: {path", f"{circuit}  syrup pump: {{path", 1)
    if changed.count(f"lamp {number}") < 3:
        raise SystemExit("the example has no syrup pump any more: say another place for the lamp")
    return changed


def answers_s(text: str) -> tuple[float, ...]:
    """Processor time of each step from a text to what a page shows of it."""
    marks = [time.process_time()]
    job = api.read_job(text, folder=JOB.parent)
    marks.append(time.process_time())
    plan = api.plan(job)
    marks.append(time.process_time())
    api.plan_json(plan)
    marks.append(time.process_time())
    api.plan_text(plan)
    marks.append(time.process_time())
    return tuple(after - before for before, after in pairwise(marks))


def stages_s(text: str) -> tuple[float, ...]:
    """Processor time of each stage of a plan, one after the other as `plan` does it. [s]"""
    marks = [time.process_time()]
    job = api.read_job(text, folder=JOB.parent)
    marks.append(time.process_time())
    vetting = vet(job.installation)
    estimates = {name: found.estimate for name, found in vetting.loads.items()}
    marks.append(time.process_time())
    choice = chosen(job.installation, estimates)
    marks.append(time.process_time())
    assessment = assess_wiring(choice.wiring)
    marks.append(time.process_time())
    run(choice.design.installation, vetting, assessment)
    marks.append(time.process_time())
    return tuple(after - before for before, after in pairwise(marks))


def tell(
    title: str, names: Iterable[str], rows: list[tuple[float, ...]], counted: slice, aim_ms: float | None
) -> None:
    """Print each step's median, and the sum of the steps that count beside its aim."""
    medians_ms = [1000 * statistics.median(column) for column in zip(*rows, strict=True)]
    wholes_ms = [1000 * sum(row[counted]) for row in rows]
    parts = "  ".join(f"{name} {ms:.1f}" for name, ms in zip(names, medians_ms, strict=True))
    aim = "" if aim_ms is None else f", aim {aim_ms:.0f} ms"
    told = f"{statistics.median(wholes_ms):.1f} ms, at least {min(wholes_ms):.1f} ms"
    print(f"{title:<34} {parts} ms; together {told}{aim}", flush=True)


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
    changes: dict[str, tuple[Callable[[str, int], str], float | None]] = {
        "same text again": (same_text, None),
        "one length changed": (one_value, None),
        "every length changed": (other_values, 25.0),
        "another topology": (other_topology, 80.0),
    }
    for title, (change, _) in changes.items():
        rows = [answers_s(change(text, number)) for number in range(TIMES + WARM)][WARM:]
        tell(title, ANSWERS, rows, slice(None), None)
    for title, (change, aim_ms) in changes.items():
        # Other numbers than before, so that nothing was asked before.
        rows = [stages_s(change(text, number)) for number in range(500, 500 + TIMES + WARM)][WARM:]
        tell(f"{title}, without reading", STAGES, rows, slice(1, None), aim_ms)
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
