"""Judges many flawed jobs and counts which rules fail on how many of them.

Run it alone for the table of all rules:

    PYTHONPATH=src python -m tests.rules.proofs 500
"""

from __future__ import annotations

import sys
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import get_context

from groundstrap.checks import FindingOutcome, Outcome, Status, rules
from groundstrap.errors import GroundstrapError
from tests.rules.flawed import flawed_job, flaws
from tests.rules.judged import judge_text

JOBS = 500


@dataclass(frozen=True)
class Proof:
    """What one flawed job showed."""

    seed: int
    flaws: tuple[str, ...]
    expected: tuple[str, ...]
    """Rules that the first flaw should break."""
    failed: frozenset[str]
    refused: str
    """Why the job could not be read, else empty."""


def proof(seed: int) -> Proof:
    """Judge one flawed job; a rule that can never fail counts where it is undecided: that is its finding."""
    made = flawed_job(seed)
    names, expected = tuple(each.name for each in made.flaws), made.flaws[0].rules
    try:
        findings = judge_text(made.text).findings
    except GroundstrapError as refused:
        return Proof(seed, names, expected, frozenset(), str(refused))
    asks_only = {rule.id for rule in rules() if Outcome.FAIL in rule.never}
    failed = {f.rule for f in findings if f.outcome is FindingOutcome.FAIL or f.rule in asks_only}
    return Proof(seed, names, expected, frozenset(failed), "")


def proofs(jobs: int = JOBS, workers: int = 2) -> list[Proof]:
    """Judge flawed jobs 0 to `jobs` on several processes."""
    flaws()
    with ProcessPoolExecutor(workers, mp_context=get_context("fork")) as pool:
        return list(pool.map(proof, range(jobs), chunksize=10))


def table(found: list[Proof]) -> str:
    """Every rule with the number of jobs that it fails on."""
    counts = Counter(rule for each in found for rule in each.failed)
    rows = [
        f"{rule.id} {rule.slug:<34} {counts[rule.id]:>4}"
        for rule in rules()
        if rule.status is not Status.RETIRED
    ]
    return "\n".join([f"{'rule':<41} jobs of {len(found)}", *rows])


if __name__ == "__main__":
    sys.stdout.write(table(proofs(int(sys.argv[1]) if len(sys.argv) > 1 else JOBS)) + "\n")
