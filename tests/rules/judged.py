"""Reads a job's text and judges it, for tests that look at findings from end to end."""

from __future__ import annotations

from groundstrap.assess import Assessment, assess
from groundstrap.checks import Judgement, run
from groundstrap.checks.facts import Facts
from groundstrap.job import read_job
from groundstrap.vet import vet


def assessed(body: str, *, system: str = "12 V") -> Assessment:
    """What is found of a job before rules judge it, the lines that every job begins with put before it."""
    installation = read_job(f"groundstrap: 1\ntitle: job of a test\nsystem: {system}\n{body}").installation
    vetting = vet(installation)
    return assess(installation, {name: load.estimate for name, load in vetting.loads.items()})


def looked_at(body: str, *, title: str = "job of a test", system: str = "12 V") -> Facts:
    """What rules look at in a job, with the lines that every job begins with put before its text."""
    return _facts(f"groundstrap: 1\ntitle: {title}\nsystem: {system}\n{body}")


def judged(body: str, *, title: str = "job of a test", system: str = "12 V") -> Judgement:
    """The judgement on a job, with the lines that every job begins with put before its text."""
    return judge_text(f"groundstrap: 1\ntitle: {title}\nsystem: {system}\n{body}")


def judge_text(text: str) -> Judgement:
    """The judgement on a whole job file."""
    facts = _facts(text)
    return run(facts.installation, facts.vetting, facts.assessment)


def _facts(text: str) -> Facts:
    installation = read_job(text).installation
    vetting = vet(installation)
    estimates = {name: load.estimate for name, load in vetting.loads.items()}
    return Facts(installation, vetting, assess(installation, estimates))


def failed(judgement: Judgement) -> set[tuple[str, str]]:
    """Rule and place of every failure."""
    return {(f.rule, f.where) for f in judgement.findings if f.outcome.value == "fail"}


def rules_failed(judgement: Judgement) -> set[str]:
    """Rules that fail anywhere."""
    return {rule for rule, _ in failed(judgement)}
