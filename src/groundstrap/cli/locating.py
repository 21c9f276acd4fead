"""The commands with a meter in hand: where a fault sits, and one reading after the other."""

from __future__ import annotations

import re
import shlex
import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import click

from groundstrap import api
from groundstrap.cli.frame import frame, read
from groundstrap.cli.group import CommandLine, examples
from groundstrap.errors import CallError, GroundstrapError

if TYPE_CHECKING:
    from groundstrap.api.locating import LocationAnswer
    from groundstrap.api.reading import Job

__all__ = ["locate", "measure"]

_JOB = click.argument("job", metavar="JOB")
_JSON = click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")
_LOAD = click.option(
    "--load", metavar="NAME", help="The load that is complained of; left out, everything that runs."
)
_DEAD = click.option("--dead", is_flag=True, help="It does nothing at all; else it is weak or cuts out.")
_FLAT = click.option("--flat", is_flag=True, help="The battery goes flat: find what draws with all off.")
_METER = click.option(
    "--meter", metavar="NAME", help="What it is read with: basic, handheld, bench; left out, a basic one."
)
_MOST_READINGS: Final = 30
_BARE: Final = re.compile(r"[+-]?\d+(\.\d*)?")
"""A number without a unit: that of what was asked for."""


@click.command(
    cls=CommandLine,
    epilog=examples(
        "groundstrap locate van.job.yaml --load 'water pump'",
        "groundstrap locate van.job.yaml --load fridge --dead",
        "groundstrap locate van.job.yaml --load fridge --meter handheld --json",
    ),
)
@_JOB
@_LOAD
@_DEAD
@_FLAT
@_METER
@_JSON
def locate(job: str, *, load: str | None, dead: bool, flat: bool, meter: str | None, as_json: bool) -> None:
    """Find the place that readings point to.

    The `readings` of the file JOB against its plan: which place explains them, how sure that is, and what to
    read next. `-` reads the job from standard input.
    """
    answer = api.locate(read(job), load=load, dead=dead, flat=flat, meter=meter)
    click.echo(api.locate_json(answer) if as_json else api.locate_text(answer, **frame()), nl=False)


@click.command(
    cls=CommandLine,
    epilog=examples(
        "groundstrap measure van.job.yaml --load 'water pump'     asked for one by one",
        "groundstrap measure van.job.yaml 'water pump: 10.9 V' --load 'water pump'",
        "groundstrap measure van.job.yaml 'battery: 12.6 V' --when resting",
        "groundstrap measure van.job.yaml --from tests.csv --load fridge",
        "groundstrap measure van.job.yaml 'battery + to pump +: ? V' --using pump",
        "groundstrap measure van.job.yaml --load pump --mended 'pump return 1'     and read again",
    ),
)
@_JOB
@click.argument("readings", nargs=-1, metavar="[READING]...")
@_LOAD
@_DEAD
@_FLAT
@click.option("--when", metavar="SITUATION", help="Situation of the readings given; left out, resting.")
@click.option(
    "--using", metavar="NAMES", help="Loads that ran, with commas, '' for none; left out, the one of --load."
)
@_METER
@click.option(
    "--date",
    metavar="DAY",
    help="Day of the visit, 2026-11-28; left out, the one begun within a week, or today.",
)
@click.option("--by", metavar="NAME", help="Who reads.")
@click.option(
    "--from", "sheet", metavar="FILE", help="A sheet filled in, as CSV: the pack's tests.csv, or your own."
)
@click.option(
    "--again", is_flag=True, help="With --from: what reads as before a mend was read again since as well."
)
@click.option("--mended", metavar="PLACE", help="What was mended: what it can have changed is history.")
def measure(job: str, *, readings: tuple[str, ...], **asked: Any) -> None:
    """Take readings, each written into JOB and answered at once.

    READING is a point or two and what the meter shows: 'pump: 10.9 V', 'battery + to pump +: 0.31 V'; with
    a question mark, 'battery + to pump +: ? V', what sound work reads there is told and nothing is written.
    With none and no sheet, the reading that tells most is asked for, again and again, until one place
    stands; an empty answer ends it, `-` asks for another one.
    """
    if job == "-":
        raise CallError("measure writes into its file, and - is none", wanted="the name of a job file")
    named = [asked["load"] or ""] if asked["using"] is None else asked["using"].split(",")
    using = tuple(name.strip() for name in named if name)
    api.check_complaint(read(job), load=asked["load"], meter=None)
    if asked["mended"] is not None:
        given = {"using": using, "date": _day(job, asked), "by": asked["by"], "file": job}
        api.write_atomically(Path(job), api.with_mended(read(job), asked["mended"], **given))
    if asked["sheet"] is not None:
        _take_sheet(job, asked, using)
    wanted = [each for each in readings if "?" in each.rpartition(":")[2]]
    for each in wanted:
        given = {key: asked[key] for key in ("when", "meter")}
        click.echo(api.expected_line(read(job), each, using=using, **given))
    taken = [each for each in readings if each not in wanted]
    if wanted and not taken:
        return
    for each in taken:
        _take(job, each, asked, asked["when"], using)
    if not taken and asked["sheet"] is None:
        _one_by_one(job, asked)
    click.echo(api.locate_text(_located(read(job), asked), **frame()), nl=False)


def _located(job: Job, asked: dict[str, Any]) -> LocationAnswer:
    return api.locate(job, load=asked["load"], dead=asked["dead"], flat=asked["flat"], meter=asked["meter"])


def _take(job: str, reading: str, asked: dict[str, Any], when: str | None, using: tuple[str, ...]) -> None:
    """Write a reading into the file; one that is refused leaves the file as it is."""
    text = api.with_reading(
        read(job), reading, when=when, using=using, meter=asked["meter"], date=_day(job, asked),
        by=asked["by"], file=job,
    )  # fmt: skip
    api.write_atomically(Path(job), text)


def _take_sheet(job: str, asked: dict[str, Any], using: tuple[str, ...]) -> None:
    """Write a sheet's readings into the file: all of them, or none and which line is wrong."""
    path = Path(asked["sheet"])
    try:
        text = api.decode_job(path.read_bytes(), path.name)
    except OSError as error:
        reason = f"can't read {path}: {(error.strerror or str(error)).lower()}"
        raise CallError(reason, wanted="the name of a CSV file that is there") from error
    given = {key: asked[key] for key in ("when", "meter", "by")}
    given |= {"again": asked["again"], "today": date.today().isoformat()}
    found = api.with_sheet(read(job), text, path.name, using=using, date=_day(job, asked), file=job, **given)
    api.write_atomically(Path(job), found.text)
    known = f"; {found.known} stood there already" if found.known else ""
    dead = f"; ohms of lines {', '.join(map(str, found.dead))} stay on the sheet" if found.dead else ""
    click.echo(f"groundstrap: {found.taken} readings of {path.name} are in {job}{known}{dead}", err=True)
    if found.before:
        told = (
            f"groundstrap: lines {', '.join(map(str, found.before))} read exactly as before the mend and are "
            "not in; once they were read again as well, put the sheet in with --again"
        )
        click.echo(told, err=True)


def _day(job: str, asked: dict[str, Any]) -> str:
    """The day of the visit: the one that was named, else the one that was begun, else today."""
    return api.visit_day(read(job), date.today().isoformat(), named=asked["date"])


def _one_by_one(job: str, asked: dict[str, Any]) -> None:
    skipped: set[str] = set()
    for taken in range(_MOST_READINGS):
        answer = _located(read(job), asked)
        click.echo(api.locate_line(answer), err=True)
        wanted = next((each for each in api.asked_for(answer) if each.where not in skipped), None)
        if wanted is None or (taken and answer.location.fits_again):
            _offer_mend(job, asked, answer)
            return
        click.echo(f"Read: {wanted.how}", err=True)
        click.echo(f"{wanted.where}: ", err=True, nl=False)
        given = sys.stdin.readline().strip()
        if not given:
            return
        if given == "-":
            skipped.add(wanted.where)
            continue
        if _BARE.fullmatch(given):
            given = f"{given} {wanted.unit}"
            click.echo(f"Taken as {given}.", err=True)
        try:
            _take(job, f"{wanted.where}: {given}", asked, wanted.when, wanted.using)
        except GroundstrapError as error:
            # A person is asked again; a pipe can't mend what it says.
            if not sys.stdin.isatty():
                raise
            click.echo(api.error_lines(error), err=True)


def _offer_mend(job: str, asked: dict[str, Any], answer: LocationAnswer) -> None:
    """Say how to go on once the place that was found is mended."""
    if answer.location.stands and not answer.location.fits_again:
        about = ["--load", asked["load"]] if asked["load"] else ["--flat"] if asked["flat"] else []
        told = ["groundstrap", "measure", job, *about, "--mended", answer.location.suspects[0].place]
        told += ["--dead"] if asked["dead"] else []
        told += ["--meter", asked["meter"]] if asked["meter"] else []
        click.echo(f"Once it is mended: {shlex.join(told)}", err=True)
