"""The commands. Each reads, makes one call of `groundstrap.api`, and prints what comes back."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import click
from click.shell_completion import get_completion_class

from groundstrap import __version__, api
from groundstrap.cli.asking import ask_for_job, ask_whether
from groundstrap.cli.bench import bench
from groundstrap.cli.frame import frame, read
from groundstrap.cli.group import Group, examples
from groundstrap.cli.locating import locate, measure
from groundstrap.cli.shelf import shelf
from groundstrap.errors import CallError

__all__ = ["main"]

_SETTINGS = {"help_option_names": ["-h", "--help"], "max_content_width": 88}


@click.group(
    cls=Group,
    context_settings=_SETTINGS,
    epilog=examples(
        "groundstrap new trailer.job.yaml     answer a few questions",
        "groundstrap plan trailer.job.yaml    wires, returns and fuses, each with its reason",
        "groundstrap explain fuse-above-loop  what a rule wants, and on whose word",
    ),
)
@click.version_option(__version__, "-V", "--version", message="groundstrap %(version)s")
def main() -> None:
    """Plan electrical work on a vehicle or boat, from one job file.

    Exit status: 0 nothing stands against the job, 1 something must not be built like this, 2 the file or the
    call is wrong, 3 the tool could not do it, 4 something that could stop the job is not known.
    """


_JOB = click.argument("job", metavar="JOB")
_JSON = click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")
_UNITS = click.option(
    "--units",
    type=click.Choice(["metric", "us"]),
    help="Lengths and temperatures to show: metres and degC, or feet, inches and degF; left out, those of "
    "the job. What is chosen stays the same: which sizes cable is sold in, the job says with `sizes`.",
)


_PIN_HELP = (
    "Write the choices into JOB; its comments and order stay. Circuits that a stop stands against are left "
    "open, and named on standard error."
)


_CURVES_HELP = (
    "Write into DIR an SVG of each circuit with a fuse: time over current of fuse, wire, load and faults."
)


@main.command(
    epilog=examples(
        "groundstrap vet van.job.yaml",
        "groundstrap vet van.job.yaml --json",
        "cat van.job.yaml | groundstrap vet -",
    )
)
@_JOB
@_JSON
@_UNITS
def vet(job: str, *, as_json: bool, units: str | None) -> int:
    """Tell what each device really draws.

    Labels, readings and fitted parts of the file JOB are evidence: what they come to, and what becomes of
    each claim. `-` reads the job from standard input.
    """
    answer = api.vet(read(job))
    text = api.vet_json(answer) if as_json else api.vet_text(answer, units=units, **frame())
    click.echo(text, nl=False)
    return answer.exit_status


@main.command(
    epilog=examples(
        "groundstrap plan van.job.yaml",
        "groundstrap plan van.job.yaml --units us",
        "groundstrap plan van.job.yaml --pin     write the choices into the file",
        "groundstrap plan van.job.yaml --curves pictures",
        "groundstrap plan - --json < van.job.yaml",
    )
)
@_JOB
@click.option("--pin", is_flag=True, help=_PIN_HELP)
@click.option("--curves", metavar="DIR", help=_CURVES_HELP)
@_JSON
@_UNITS
def plan(job: str, *, pin: bool, curves: str | None, as_json: bool, units: str | None) -> int:
    """Choose wire, return and fuse of every circuit.

    What the file JOB leaves out is chosen, what it says is checked and never changed. `-` reads the job from
    standard input; with --pin the job with its choices is then printed instead of the plan.
    """
    if pin and as_json and job == "-":
        raise CallError("--pin with - prints the job, --json the plan", wanted="one of the two, or a file")
    found = read(job)
    answer = api.plan(found)
    if curves is not None:
        api.write_folder(Path(curves), api.curve_pictures(answer, units=units))
        click.echo(f"groundstrap: {api.curves_text(answer, curves)}", err=True)
    pinned = api.pin(found, answer) if pin else None
    if pinned is not None and job != "-":
        api.write_atomically(Path(job), pinned.text)
    if as_json and found.installation.day:
        days = api.days_of(found, with_cures=False)
        text, answer = api.whole_json(answer, days), api.judged_with(answer, days)
    else:
        text = api.plan_json(answer) if as_json else api.plan_text(answer, units=units, **frame())
    click.echo(pinned.text if pinned is not None and job == "-" else text, nl=False)
    if pinned is not None:
        click.echo(f"groundstrap: {api.pinned_text(pinned, job)}", err=True)
    return answer.exit_status


@main.command(epilog=examples("groundstrap check van.job.yaml", "groundstrap check van.job.yaml --json"))
@_JOB
@_JSON
@_UNITS
def check(job: str, *, as_json: bool, units: str | None) -> int:
    """Judge a job as it stands and choose nothing.

    What has no size in the file JOB is not known: for what is in the vehicle already. `-` reads the job from
    standard input.
    """
    answer = api.check(read(job))
    text = api.plan_json(answer) if as_json else api.plan_text(answer, units=units, **frame())
    click.echo(text, nl=False)
    return answer.exit_status


_PAPER = click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True)
_LANGUAGE = click.option("--language", metavar="CODE", default="en", help="Such as en or de.")


@main.command(
    epilog=examples(
        "groundstrap pack van.job.yaml -o van-pack",
        "groundstrap pack van.job.yaml -o van-pack --only fuses --only labels",
        "groundstrap pack van.job.yaml -o van-pack --since van-march.job.yaml",
        "groundstrap pack boat.job.yaml -o boat-pack --paper letter --units us",
    )
)
@_JOB
@click.option("-o", "--output", metavar="DIR", required=True, help="Folder of the pack.")
@click.option("--only", metavar="SECTION", multiple=True, help="A section alone; may be given again.")
@click.option("--since", metavar="OLD", help="Job file of an earlier revision: say what has changed.")
@click.option("--visits", metavar="ID", help="A job on the shelf, whose accepted visits go in.")
@click.option(
    "--meter", metavar="NAME", default="handheld", help="Meter of the test sheet: basic, handheld, bench."
)
@_PAPER
@_LANGUAGE
@_UNITS
def pack(
    job: str,
    *,
    output: str,
    only: tuple[str, ...],
    since: str | None,
    visits: str | None,
    meter: str,
    paper: str,
    language: str,
    units: str | None,
) -> int:
    """Make what a fitter, a shop and a customer need on paper.

    Drawing, lists, labels, instructions, test sheet and calculations of the file JOB, as PDF, as HTML and
    as files for other programs. An older pack in DIR is replaced as a whole; other files there stay.
    """
    found = read(job)
    visited = None if visits is None else _visited(visits)
    answer = api.plan(found)
    earlier = None if since is None else api.plan(read(since))
    days = api.endured_for_pack(found, only)
    files = api.pack(
        answer,
        only=only,
        paper=paper,
        units=units,
        language_code=language,
        meter=meter,
        since=earlier,
        days=days,
        visited=visited,
        progress=_told_to_a_terminal,
    )
    api.save_pack(Path(output), files, answer)
    click.echo(f"groundstrap: {output} holds the pack, {len(files)} files; begin with pack.pdf", err=True)
    return api.judged_with(answer, days).exit_status


def _visited(job: str) -> api.Visited | None:
    """Accepted visits of a job on the shelf."""
    with api.open_shelf(None) as opened:
        return api.visited(opened.visits(opened.find(job).id))


def _told_to_a_terminal(name: str) -> None:
    """Show on a terminal which file is being made; elsewhere nobody watches."""
    if sys.stderr.isatty():
        click.echo(f"groundstrap: {name}", err=True)


@main.command(
    epilog=examples(
        "groundstrap draw van.job.yaml -o drawings",
        "groundstrap draw van.job.yaml -o phone --compact",
        "groundstrap draw van.job.yaml --compact > van.svg",
    )
)
@_JOB
@click.option("-o", "--output", metavar="DIR", help="Folder of the sheets; left out, one is printed.")
@click.option("--compact", is_flag=True, help="One column for a phone.")
@click.option("--routes", is_flag=True, help="Places and runs: which cables lie together.")
@_PAPER
@_LANGUAGE
@_UNITS
def draw(job: str, *, output: str | None, **wanted: Any) -> int:
    """Draw the wiring of a job.

    Sheets of SVG with every part, cable and way back of the file JOB. Without -o a drawing of one sheet is
    printed on standard output.
    """
    answer = api.plan(read(job))
    sheets = api.drawing(answer, language_code=wanted.pop("language"), **wanted)
    if output is not None:
        api.write_folder(Path(output), sheets)
        click.echo(f"groundstrap: {output} holds {', '.join(sheets)}", err=True)
    elif len(sheets) == 1:
        click.echo(next(iter(sheets.values())), nl=False)
    else:
        raise CallError(f"the drawing has {len(sheets)} sheets", wanted="-o DIR, or --compact for one column")
    return answer.exit_status


@main.command(
    epilog=examples(
        "groundstrap endure van.job.yaml      one day as it is written",
        "groundstrap endure van.job.yaml --days 3 --temperature '-10 C'",
        "                                     will it start on the third cold morning",
        "groundstrap endure van.job.yaml --days 7 --svg week.svg",
        "                                     a week, and its course as a drawing",
        "groundstrap endure van.job.yaml --chances",
        "                                     how often it goes wrong",
        "groundstrap endure - --json < van.job.yaml",
    )
)
@_JOB
@click.option("--days", type=int, default=1, show_default=True, help="How often the day of JOB is repeated.")
@click.option(
    "--temperature",
    metavar="TEMP",
    help="One for all spans: '-10 C', '14 F'.",
)
@click.option("--chances", is_flag=True, help="Say how often it goes wrong in 10,000 drawn days.")
@click.option("--svg", metavar="FILE", help="Write charge and volts over the days there as a drawing.")
@_JSON
@_UNITS
def endure(job: str, *, as_json: bool, units: str | None, svg: str | None, **asked: Any) -> int:
    """Run the days: will the battery last, will it start tomorrow.

    What batteries and charging do over the `day` of the file JOB, on the wiring of its plan: cut-offs,
    starts, what each day takes and brings, and the smallest change that cures what fails. `-` reads the job
    from standard input.
    """
    given = asked["temperature"]
    answer = api.endure(
        read(job),
        days=asked["days"],
        temperature_c=None if given is None else api.temperature_of(given),
        with_chances=asked["chances"],
    )
    if svg is not None:
        api.write_atomically(Path(svg), api.days_drawing(answer, units=units))
        click.echo(f"groundstrap: {svg} is written", err=True)
    text = api.endure_json(answer) if as_json else api.endure_text(answer, units=units, **frame())
    click.echo(text, nl=False)
    return answer.exit_status


@main.command(
    epilog=examples(
        "groundstrap new                      ask, and print the job file",
        "groundstrap new trailer.job.yaml     ask, and write it there",
    )
)
@click.argument("file", required=False, metavar="[FILE]")
@click.option("--force", is_flag=True, help="Write over a FILE that is there, without asking.")
def new(file: str | None, *, force: bool) -> None:
    """Ask for the main things and write a job file.

    Answers may be piped, one a line. A FILE that is there is not written over without asking.
    """
    if file is not None:
        _make_sure_of(Path(file), file, force=force)
    text = ask_for_job()
    if file is None:
        click.echo(text, nl=False)
        return
    api.write_atomically(Path(file), text)
    click.echo(f"{file} is written. Next: groundstrap plan {file}", err=True)


def _make_sure_of(path: Path, file: str, *, force: bool) -> None:
    """Refuse before the first question what could not be written after the last one."""
    if not path.parent.is_dir():
        raise CallError(f"{file} can't be written: there is no such folder", wanted="a folder that is there")
    if path.exists() and not force and not ask_whether(f"{file} is there. Write over it?"):
        raise CallError(f"{file} stays as it is; nothing was written", wanted="another FILE, or --force")


@main.command(
    epilog=examples("groundstrap tables                   their names", "groundstrap tables fuse_ratings")
)
@click.argument("name", required=False, metavar="[NAME]")
def tables(name: str | None) -> None:
    """Show the reference tables, or one with its rows.

    NAME is a name that the list shows; the table comes with its source and the conditions it holds for.
    """
    shown = frame()
    text = api.tables_text(**shown) if name is None else api.table_text(api.table(name), **shown)
    click.echo(text, nl=False)


@main.command(
    epilog=examples(
        "groundstrap explain                  all rules",
        "groundstrap explain PRT001",
        "groundstrap explain fuse-above-loop",
    )
)
@click.argument("rule", required=False, metavar="[RULE]")
def explain(rule: str | None) -> None:
    """Say what a rule wants, why, and on whose word.

    RULE is an id or a slug, as findings show them; without one all rules are listed.
    """
    shown = frame()
    text = api.rules_text(**shown) if rule is None else api.rule_text(api.explain(rule), **shown)
    click.echo(text, nl=False)


@main.command(
    epilog=examples(
        'eval "$(groundstrap completion bash)"     in ~/.bashrc',
        'eval "$(groundstrap completion zsh)"      in ~/.zshrc',
        "groundstrap completion fish | source      in config.fish",
    )
)
@click.argument("shell", type=click.Choice(["bash", "zsh", "fish"]))
def completion(shell: str) -> None:
    """Print what makes a shell complete commands and options."""
    found = get_completion_class(shell)
    if found is None:
        raise CallError(f"no completion for {shell}", wanted="bash, zsh or fish")
    click.echo(found(main, {}, "groundstrap", "_GROUNDSTRAP_COMPLETE").source())


main.add_command(bench)
main.add_command(locate)
main.add_command(measure)
main.add_command(shelf)
