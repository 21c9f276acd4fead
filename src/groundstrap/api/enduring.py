"""Days on the battery: run, told, drawn."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path
from typing import Final

from groundstrap.api.brought import Known, changed_job
from groundstrap.api.planning import plan
from groundstrap.assess import wire_up
from groundstrap.checks import run_days
from groundstrap.endure import answers, chances
from groundstrap.endure import endure as run_endurance
from groundstrap.endure.cranked import with_cranked
from groundstrap.endure.results import Changed, Endurance
from groundstrap.endure.results import Edit as Written
from groundstrap.errors import GroundstrapError
from groundstrap.job import Edit, Job, edited, read_job
from groundstrap.model import Assumption
from groundstrap.records import dataclass
from groundstrap.report.days_verdict import judged_with
from groundstrap.report.endurance import DaysNotRun, EnduranceAnswer
from groundstrap.report.endurance_json import days_object, endurance_object
from groundstrap.report.endurance_picture import days_picture
from groundstrap.report.endurance_text import endurance_lines
from groundstrap.report.endurance_words import remedy_words
from groundstrap.report.figures import Display
from groundstrap.report.language import language
from groundstrap.report.layout import Style, laid_out
from groundstrap.report.plan import Plan
from groundstrap.report.plan_json import plan_object
from groundstrap.report.values import json_text

__all__ = [
    "days_drawing",
    "days_of",
    "endure",
    "endure_json",
    "endure_text",
    "endured_for_pack",
    "whole_json",
]

_DAYS: Final = 3
"""Days that a verdict on a job rests on: what a day takes and does not bring shows in the third; own
judgement."""
_CHANCES: Final = 10_000
"""Days that a chance is told from."""
_SEED: Final = 1
"""Where the draws begin: the same job has the same chances."""


def endure(
    job: Job,
    *,
    days: int = 1,
    temperature_c: float | None = None,
    with_chances: bool = False,
    with_cures: bool = True,
) -> EnduranceAnswer:
    """Run the days of a job on the wiring of its plan, and judge them.

    Parameters
    ----------
    job : Job
        The job as it was read.
    days : int
        How often its day is repeated.
    temperature_c : float or None
        One temperature for all spans in place of theirs. [degC]
    with_chances : bool
        Whether to say how often it goes wrong, over many days drawn from what is uncertain; takes seconds.
    with_cures : bool
        Whether to look for what cures what fails: the run is made again for each change that is tried.

    Raises
    ------
    CallError
        The day makes no sense, or is asked for at a temperature that no battery has.
    """
    return _endured(
        _Asked(job.text, plan(job), days, temperature_c, with_chances, with_cures), job.file, job.folder
    )


def endured_for_pack(job: Job, only: Iterable[str] = ()) -> EnduranceAnswer | DaysNotRun | None:
    """Return the run of days that a job's pack has a section on; None where it has none.

    A job with a `day` has one, and any other where it is asked for. It is run for every section, for what
    stands against the days is stamped on all pages. The rest of a pack does not wait for a `day` that can't
    be run: then the section says why, unless it was asked for.

    Parameters
    ----------
    job : Job
        The job as it was read.
    only : Iterable of str
        Names of sections; none for the whole pack.
    """
    asked = tuple(only)
    if "days" in asked:
        return endure(job, days=_DAYS)
    return days_of(job, with_cures=not asked or "findings" in asked)


def days_of(job: Job, *, with_cures: bool = True) -> EnduranceAnswer | DaysNotRun | None:
    """Return the run of the days that belong to a verdict on a job; None where it has no day.

    Parameters
    ----------
    job : Job
        The job as it was read.
    with_cures : bool
        Whether to look for what cures what fails.
    """
    if not job.installation.day:
        return None
    try:
        return endure(job, days=_DAYS, with_cures=with_cures)
    except GroundstrapError as error:
        return DaysNotRun(why=str(error))


@dataclass(frozen=True, slots=True)
class _Asked:
    """What the answer depends on; two are one where nothing in them differs."""

    text: str
    plan: Plan
    days: int
    temperature_c: float | None
    with_chances: bool
    with_cures: bool

    def __hash__(self) -> int:
        """By what is short and differs where anything does."""
        return hash(
            (self.plan.fingerprint, self.days, self.temperature_c, self.with_chances, self.with_cures)
        )


@lru_cache(maxsize=8)
def _endured(asked: _Asked, file: str, folder: Path | None) -> EnduranceAnswer:
    found = asked.plan
    wiring = wire_up(found.installation, found.estimates)
    run = run_endurance(wiring, days=asked.days, temperature_c=asked.temperature_c)
    run = with_cranked(wiring, run)

    days = run_days(found.installation, found.vetting, found.assessment, run, "")
    known = Known.of(found.judgement, days)

    def again(edits: tuple[Written, ...]) -> Changed | None:
        """The job with some values written in, planned anew; None where that cannot be."""
        try:
            text = edited(asked.text, [Edit(path=each.path, value=each.value) for each in edits])
            return changed_job(read_job(text, file, folder=folder).installation, known)
        except GroundstrapError:
            return None

    told = answers(wiring, run, again=again if asked.with_cures else None)
    chance = None
    if asked.with_chances:
        chance = chances(wiring, days=_CHANCES, seed=_SEED, temperature_c=asked.temperature_c)
    cure = next((each for each in told.cures if each.holds), None)
    return EnduranceAnswer(
        plan=found,
        run=run,
        answers=told,
        chances=chance,
        judgement=days
        if cure is None
        else run_days(found.installation, found.vetting, found.assessment, run, remedy_words(cure)),
        assumptions=_assumptions(found, run),
    )


def _assumptions(found: Plan, run: Endurance) -> tuple[Assumption, ...]:
    """What the run assumes, and what its loads and supplies do; those of cables stand in the plan."""
    things = {*found.installation.supplies, *found.installation.loads}
    others = (each for each in found.assumptions if each.where in things)
    return tuple(dict.fromkeys((*run.assumptions, *others)))


def endure_text(
    answer: EnduranceAnswer, *, units: str | None = None, width: int = 80, colour: bool = False
) -> str:
    """Return the days for a terminal: answers at a glance, the course in letters, what it rests on.

    Parameters
    ----------
    answer : EnduranceAnswer
        What `endure` said.
    units : str or None
        `metric` or `us`; left out, the job's own.
    width : int
        Columns of the terminal.
    colour : bool
        Whether the terminal shows colours.
    """
    style = Style(width=width, colour=colour, shown=Display.of(answer.installation, units))
    return laid_out(endurance_lines(answer, style))


def endure_json(answer: EnduranceAnswer) -> str:
    """Return the days as one JSON object, as docs/results.md has it."""
    return json_text(endurance_object(answer))


def whole_json(answer: Plan, days: EnduranceAnswer | DaysNotRun | None) -> str:
    """Return a plan with its days as one JSON object, as docs/results.md has it.

    Parameters
    ----------
    answer : Plan
        What `plan` said.
    days : EnduranceAnswer, DaysNotRun or None
        What `days_of` said to the job: what is against it stands among the findings.
    """
    return json_text(plan_object(judged_with(answer, days), days_object(days)))


def days_drawing(
    answer: EnduranceAnswer, *, units: str | None = None, language_code: str = "en", narrow: bool = False
) -> str:
    """Return charge and volts over the days as SVG.

    Parameters
    ----------
    answer : EnduranceAnswer
        What `endure` said.
    units : str or None
        `metric` or `us`; left out, the job's own.
    language_code : str
        What its texts are said in.
    narrow : bool
        Whether it is a phone's.
    """
    shown = Display.of(answer.installation, units)
    return days_picture(answer.run, shown, language(language_code).in_print.text, narrow=narrow)
