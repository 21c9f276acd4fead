"""An answer for a screen: at a glance, circuit by circuit, load by load, and beside another one."""

from __future__ import annotations

from collections.abc import Sequence

from groundstrap.errors import CallError, nearest_name
from groundstrap.locate import Growth
from groundstrap.report.endurance import EnduranceAnswer
from groundstrap.report.figures import Display
from groundstrap.report.language import Language, language, languages
from groundstrap.report.location import LocationAnswer
from groundstrap.report.plan import Plan
from groundstrap.screen import circuit as _circuit
from groundstrap.screen import comparison as _comparison
from groundstrap.screen import days as _days
from groundstrap.screen import load as _load
from groundstrap.screen import meter as _meter
from groundstrap.screen import sheet as _sheet
from groundstrap.screen import visits as _visits
from groundstrap.screen.days import DaysSheet
from groundstrap.screen.meter import MeterSheet
from groundstrap.screen.results import CircuitSheet, Comparison, LoadSheet, Sheet
from groundstrap.screen.visits import VisitsSheet

__all__ = [
    "CircuitSheet",
    "Comparison",
    "DaysSheet",
    "Language",
    "LoadSheet",
    "MeterSheet",
    "Sheet",
    "VisitsSheet",
    "circuit_sheet",
    "comparison",
    "days_sheet",
    "language",
    "languages",
    "load_sheet",
    "meter_sheet",
    "sheet",
    "visits_sheet",
]


def sheet(answer: Plan, *, units: str | None = None) -> Sheet:
    """Return what a first screen shows of an answer; its texts can be said in each of `languages`.

    Parameters
    ----------
    answer : Plan
        What `plan` or `check` said.
    units : str or None
        `metric` or `us`; left out, the job's own.
    """
    return _sheet.sheet(answer, Display.of(answer.installation, units))


def circuit_sheet(
    answer: Plan, circuit: str, *, units: str | None = None, language_code: str = "en"
) -> CircuitSheet:
    """Return one circuit in full: its way, where its volts go, its fuse's curves, the working of each number.

    Parameters
    ----------
    answer : Plan
        What `plan` or `check` said.
    circuit : str
        Its name.
    units : str or None
        `metric` or `us`; left out, the job's own.
    language_code : str
        What the texts in pictures are said in; all others can be said in any.

    Raises
    ------
    CallError
        There is no such circuit or language.
    """
    known = answer.assessment.circuits
    if circuit not in known:
        raise _unknown("circuit", circuit, tuple(known))
    shown = Display.of(answer.installation, units)
    return _circuit.circuit_sheet(answer, circuit, shown, language(language_code).in_print.text)


def load_sheet(answer: Plan, load: str, *, units: str | None = None, language_code: str = "en") -> LoadSheet:
    """Return one load: what is claimed for it against what was measured, and what it really draws.

    Parameters
    ----------
    answer : Plan
        What `plan` or `check` said.
    load : str
        Its name.
    units : str or None
        `metric` or `us`; left out, the job's own.
    language_code : str
        What the texts in the picture are said in; all others can be said in any.

    Raises
    ------
    CallError
        There is no such load or language.
    """
    known = answer.assessment.loads
    if load not in known:
        raise _unknown("load", load, tuple(known))
    shown = Display.of(answer.installation, units)
    return _load.load_sheet(answer, load, shown, language(language_code).in_print.text)


def comparison(left: Plan, right: Plan, *, units: str | None = None) -> Comparison:
    """Return two answers side by side: what differs, what each costs, what stands against one alone.

    Parameters
    ----------
    left, right : Plan
        What `plan` or `check` said of each.
    units : str or None
        `metric` or `us`; left out, those of the right one's job.
    """
    return _comparison.comparison(left, right, Display.of(right.installation, units))


def _unknown(what: str, name: str, known: tuple[str, ...]) -> CallError:
    near = nearest_name(name, known)
    return CallError(
        f"no such {what} in this job", wanted=f"one of {', '.join(known)}", given=name, nearest=near
    )


def days_sheet(answer: EnduranceAnswer, *, units: str | None = None, language_code: str = "en") -> DaysSheet:
    """Return what a screen shows of a run of days; its texts can be said in each of `languages`.

    Parameters
    ----------
    answer : EnduranceAnswer
        What `endure` said.
    units : str or None
        `metric` or `us`; left out, the job's own.
    language_code : str
        What the texts in the drawings are said in.
    """
    shown = Display.of(answer.installation, units)
    return _days.days_sheet(answer, shown, language(language_code).in_print.text)


def meter_sheet(answer: LocationAnswer) -> MeterSheet:
    """Return what a screen shows of a search for a fault; its texts can be said in each of `languages`.

    Parameters
    ----------
    answer : LocationAnswer
        What `locate` said.
    """
    return _meter.meter_sheet(answer)


def visits_sheet(grown: Sequence[Growth]) -> VisitsSheet:
    """Return what a screen shows of each place over a vehicle's visits.

    Parameters
    ----------
    grown : Sequence of Growth
        What `compare_visits` said.
    """
    return _visits.visits_sheet(grown)
