"""What sound work reads between any two points of a job, in any situation."""

from __future__ import annotations

from collections.abc import Sequence

from groundstrap.api.taking import job_with_reading
from groundstrap.api.wired import wired
from groundstrap.errors import CallError, listed, shown
from groundstrap.job import Job
from groundstrap.locate.bands import expect
from groundstrap.locate.taken import leading_case, probe_at
from groundstrap.model import MeterSpec, Reading, ReadingSet
from groundstrap.report.expected_words import expected_words
from groundstrap.tables import meter_names
from groundstrap.words import words

__all__ = ["expected_line"]

_UNITS = ("V", "A")
_WANTED = words(
    "where, a colon, a question mark and V or A, such as 'battery + to pump +: ? V' or 'pump: ? A'"
)


def expected_line(
    job: Job,
    asked: str,
    *,
    when: str | None = None,
    using: Sequence[str] | None = None,
    meter: str | None = None,
) -> str:
    """Return in one line what sound work reads there, its band of 95 % and its limit of 99.9 %.

    Parameters
    ----------
    job : Job
        The job as it was read.
    asked : str
        Where, and `? V` or `? A`: `battery + to pump +: ? V`, `pump: ? A`.
    when : str or None
        Situation; left out, `resting`.
    using : sequence of str or None
        Loads that run; left out, none.
    meter : str or None
        What it is read with; left out, a basic meter, and a clamp for amps.

    Raises
    ------
    CallError
        There is no such point or meter, or nothing is asked.

    Examples
    --------
    >>> from groundstrap.api import read_job
    >>> job = read_job('''groundstrap: 1
    ... title: Work light on the trailer
    ... system: 12 V
    ... loads:
    ...   work light: {kind: led, claims: {power: 60 W, by: manual}}
    ... circuits:
    ...   work light: {length: 7 m, return: battery -, wire: 2.5 mm2, fuse: 10 A}
    ... ''')
    >>> told = expected_line(job, "work light - to battery -: ? V", using=("work light",), meter="handheld")
    >>> told.split("; ")[0], "fails outside 0.170 V to 0.541 V" in told
    ('work light - to battery -: 0.313 V', True)
    """
    if meter is not None and meter not in meter_names():
        raise CallError(words("there is no meter {name}", name=shown(meter)), wanted=listed(meter_names()))
    where, _, value = asked.rpartition(":")
    unit = value.strip().removeprefix("?").strip()
    if not where.strip() or not value.strip().startswith("?") or unit not in _UNITS:
        raise CallError(words("nothing is asked there"), wanted=_WANTED, given=asked)
    of, reading = _point(job, f"{where.strip()}: 0 {unit}", when, tuple(using or ()))
    wiring = wired(job)
    through = reading.through if unit == "A" else reading.red
    probe = probe_at(wiring.topology, through or "", (reading.black or "") if unit == "V" else "")
    spec = None if meter is None else MeterSpec(text=meter, name=meter)
    case = leading_case(wiring, None, (of,))
    found = () if probe is None else expect(wiring, case, (probe,), meter=spec)
    if probe is None or not found:
        raise CallError(
            words("nothing is known of {where} then", where=where.strip()),
            wanted=words("a point of the network, and loads that can run together"),
        )
    return expected_words(where.strip(), found[0], probe.kind)


def _point(job: Job, reading: str, when: str | None, using: tuple[str, ...]) -> tuple[ReadingSet, Reading]:
    """The reading as the job file reads it, with its situation and loads."""
    made = job_with_reading(job, reading, when=when, using=using).installation.readings
    there = job.installation.readings
    changed = [
        each
        for number, each in enumerate(made)
        if number >= len(there) or len(each.values) > len(there[number].values)
    ]
    return changed[0], changed[0].values[-1]
