"""What the golden files hold: whole small vehicles, as JSON to six significant digits and as text.

They are our own earlier output and say so: they show what a change moves, not that it is right. A change that
moves them explains in CHANGELOG.md by how much results move, and renews them:

    python -m tests.golden.cases
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from groundstrap import api

HERE = Path(__file__).resolve().parent
JOBS = tuple(sorted((HERE.parents[1] / "examples").glob("*.job.yaml")))
FIGURES = 6


def rounded(value: Any) -> Any:
    """The same with numbers to six significant digits; nothing nearer to nothing than a billionth."""
    if isinstance(value, float):
        return 0.0 if abs(value) < 1e-9 else float(f"{value:.{FIGURES}g}")
    if isinstance(value, dict):
        return {key: rounded(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [rounded(inner) for inner in value]
    return value


def made(job: Path) -> dict[str, str]:
    """Each golden file of a job with what it should hold; the fingerprint changes with every version."""
    stem = job.name.removesuffix(".job.yaml")
    read = api.read_job_file(job, job.name)
    plan = api.plan(read)
    as_json = rounded(json.loads(api.plan_json(plan)))
    vet = rounded(json.loads(api.vet_json(api.vet(read))))
    text = api.plan_text(plan).replace(as_json.pop("fingerprint"), "FINGERPRINT")
    return {
        f"{stem}.plan.json": json.dumps(as_json, indent=1, ensure_ascii=False, sort_keys=True) + "\n",
        f"{stem}.vet.json": json.dumps(vet, indent=1, ensure_ascii=False, sort_keys=True) + "\n",
        f"{stem}.plan.txt": text,
    }


def renew() -> None:
    """Write all golden files afresh."""
    for job in JOBS:
        for name, text in made(job).items():
            (HERE / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    renew()
