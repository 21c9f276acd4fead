"""From readings to a fault: which place explains them, how sure that is, what to read next."""

from __future__ import annotations

from groundstrap.api.planning import plan
from groundstrap.assess import wire_up
from groundstrap.errors import CallError, nearest_name
from groundstrap.job import Job
from groundstrap.locate import Complaint
from groundstrap.locate import locate as find
from groundstrap.model import LoadKind, MeterSpec, State
from groundstrap.records import replace
from groundstrap.report.figures import Display
from groundstrap.report.layout import Style
from groundstrap.report.location import LocationAnswer
from groundstrap.report.location_json import location_object
from groundstrap.report.location_text import location_lines
from groundstrap.report.values import json_text
from groundstrap.tables import meter_names
from groundstrap.vet import vet

__all__ = ["LocationAnswer", "locate", "locate_json", "locate_text"]


def locate(
    job: Job, *, load: str | None = None, dead: bool = False, meter: str | None = None
) -> LocationAnswer:
    """Say which place the readings of a job point to, and what to read next.

    What the readings say of a load is looked at here, so it is no evidence of what that load takes.

    Parameters
    ----------
    job : Job
        The job as it was read, with its `readings`.
    load : str or None
        The load that somebody complains of; None to look at everything that runs.
    dead : bool
        Whether that load does nothing at all; else it is weak, slow, dim or cuts out.
    meter : str or None
        Meter of readings that name none, and of those that are proposed; left out, a basic one.

    Raises
    ------
    CallError
        There is no such load or meter.

    Examples
    --------
    >>> from groundstrap.api import read_job
    >>> answer = locate(read_job('''groundstrap: 1
    ... title: Work light on the trailer
    ... system: 12 V
    ... loads:
    ...   work light: {kind: led, claims: {power: 60 W, by: manual}}
    ... circuits:
    ...   work light: {length: 7 m, return: battery -, wire: 2.5 mm2, fuse: 10 A}
    ... readings:
    ...   - when: resting
    ...     using: [work light]
    ...     values: [work light: 10.6 V, work light - to battery -: 1.74 V]
    ... '''), load="work light")
    >>> answer.location.suspects[0].place
    'work light return 1'
    """
    known = {
        name
        for name, each in job.installation.loads.items()
        if each.kind is not LoadKind.COIL and each.state is not State.REMOVE
    }
    if load is not None and load not in known:
        wanted = f"one of {', '.join(sorted(known))}"
        raise CallError(
            "no such load in this job", wanted=wanted, given=load, nearest=nearest_name(load, known)
        )
    if meter is not None and meter not in meter_names():
        raise CallError(f"there is no meter {meter!r}", wanted=", ".join(meter_names()))
    planned = plan(job)
    estimates = vet(replace(planned.installation, readings=())).loads
    wiring = wire_up(planned.installation, {name: found.estimate for name, found in estimates.items()})
    complaint = None if load is None else Complaint(load=load, dead=dead)
    spec = None if meter is None else MeterSpec(text=meter, name=meter)
    return LocationAnswer(plan=planned, location=find(wiring, complaint, meter=spec))


def locate_text(
    answer: LocationAnswer, *, units: str | None = None, width: int = 80, colour: bool = False
) -> str:
    """Return suspects and what to read next for a terminal; units, width and colour as for `plan_text`."""
    shown = Display.of(answer.installation, units)
    lines = location_lines(answer, Style(width=width, colour=colour, shown=shown))
    return "\n".join(line.rstrip() for line in lines) + "\n"


def locate_json(answer: LocationAnswer) -> str:
    """Return suspects and what to read next as one JSON object, as docs/results.md has it."""
    return json_text(location_object(answer))
