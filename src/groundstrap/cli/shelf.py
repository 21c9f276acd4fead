"""The commands of the shelf."""

from __future__ import annotations

import getpass
import io
import os
import sys
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import click

from groundstrap import api
from groundstrap.cli.frame import frame
from groundstrap.cli.group import SHELF, Group, examples
from groundstrap.errors import INPUT_IS_WRONG, CallError, CannotDoError

if TYPE_CHECKING:
    from groundstrap.api.shelving import Clash, Saved, Shelf, Visit
    from groundstrap.api.visiting import AsBuilt

    Choice = Literal["mine", "theirs"]

__all__ = ["shelf"]

_TRIES = 5

_JSON = click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")
_WHO = click.option(
    "--who",
    metavar="NAME",
    envvar="GROUNDSTRAP_WHO",
    help="Who saves; left out, the name you are signed in by.",
)
_NOTE = click.option("--note", metavar="TEXT", default="", help="What there is to say of it.")
_JOB = click.argument("job", metavar="JOB")


@click.group(
    cls=Group,
    epilog=examples(
        "groundstrap shelf keep van.job.yaml            a new job on the shelf",
        "groundstrap shelf list bakery                  jobs that have this word",
        "groundstrap shelf keep van.job.yaml --as k3f9 --based-on 4",
    ),
)
def shelf() -> None:
    """Keep jobs with every revision.

    JOB is an id that `list` shows, its first signs, or a title. Two people who save the same job never write
    over each other: the second is told, and `--merge` puts the two together.
    """


@shelf.command(
    "list", epilog=examples("groundstrap shelf list", "groundstrap shelf list --vehicle 'panel van'")
)
@click.argument("search", nargs=-1, metavar="[WORDS]...")
@click.option("--vehicle", metavar="WORDS", default="", help="Words of the vehicle.")
@click.option("--removed", is_flag=True, help="The jobs that were removed.")
@click.option("--limit", type=click.IntRange(1, 500), default=50, show_default=True, help="How many.")
@SHELF
@_JSON
def list_jobs(
    search: tuple[str, ...], *, vehicle: str, removed: bool, limit: int, url: str | None, as_json: bool
) -> None:
    """List jobs, what was saved last first.

    With WORDS, those whose newest revision has all of them.
    """
    with api.open_shelf(url) as opened:
        found = opened.jobs(" ".join(search), limit, vehicle=vehicle, removed=removed)
    click.echo(api.shelf_json(found) if as_json else api.jobs_text(found, **frame()), nl=False)


@shelf.command(
    epilog=examples(
        "groundstrap shelf keep van.job.yaml",
        "groundstrap shelf keep van.job.yaml --as k3f9 --based-on 4 --note 'second battery'",
        "groundstrap shelf keep van.job.yaml --as k3f9 --based-on 4 --merge",
    )
)
@click.argument("file", metavar="FILE")
@click.option(
    "--as", "job", metavar="JOB", help="The job that it is the next revision of; left out, a new one."
)
@click.option("--based-on", type=int, metavar="N", help="The revision that it was written from.")
@click.option("--merge", is_flag=True, help="Where somebody saved meanwhile: keep both, also in FILE.")
@click.option(
    "--take", type=click.Choice(["mine", "theirs"]), help="With --merge: where both changed a value."
)
@_NOTE
@_WHO
@SHELF
@_JSON
def keep(file: str, *, job: str | None, based_on: int | None, as_json: bool, **wanted: Any) -> int:
    """Put the job file FILE on the shelf.

    Files that it names (stock, curves) are kept with it. A job with faults is kept too. `-` reads standard
    input.
    """
    if (job is None) != (based_on is None):
        raise CallError("--as and --based-on belong together", wanted="both, or none for a new job")
    text, files = _read(file)
    who, note = _who(wanted["who"]), wanted["note"]
    with api.open_shelf(wanted["url"]) as opened:
        if job is None or based_on is None:
            made = opened.new(text, who, note, files)
            return _told(api.Saved(job_id=made.job_id, number=made.number), file, as_json=as_json)
        job_id = opened.find(job).id
        found = opened.save(job_id, text, based_on, who, note, files=files)
        if isinstance(found, api.Clash) and wanted["merge"]:
            found = _merged(opened, found, file, who, note, wanted["take"])
    return _told(found, file, as_json=as_json)


def _read(file: str) -> tuple[str, Mapping[str, str]]:
    """The text of a job file, and the files that it names."""
    if file == "-":
        text = api.decode_job(sys.stdin.buffer.read(), "-")
        return text, api.files_beside(text, Path.cwd())
    text = api.decode_job(_bytes(file), file)
    return text, api.files_beside(text, Path(file).parent)


def _bytes(file: str) -> bytes:
    try:
        return Path(file).read_bytes()
    except OSError as error:
        reason = f"can't read {file}: {(error.strerror or str(error)).lower()}"
        raise CallError(reason, wanted="the name of a file that is there") from error


def _merged(
    opened: Shelf, clash: Clash, file: str, who: str, note: str, take: Choice | None
) -> Saved | Clash:
    """Save both together; whoever was quicker once more is taken in too."""
    for _ in range(_TRIES):
        merged = api.settled(clash, take) if take is not None else clash
        if merged.merged is None or merged.merged_files is None:
            return merged
        found = opened.save(
            clash.theirs.job_id,
            merged.merged,
            clash.theirs.number,
            who,
            note,
            files=merged.merged_files,
        )
        if not isinstance(found, api.Clash):
            _put(file, merged.merged)
            return found
        clash = found
    return clash


def _put(file: str, text: str) -> None:
    """What both together came to, where mine was: another save of mine alone would undo theirs."""
    if file == "-":
        click.echo(text, nl=False, err=False)
    else:
        api.write_atomically(Path(file), text)
        click.echo(f"groundstrap: {file} now holds both", err=True)


def _told(found: Saved | Clash, file: str, *, as_json: bool) -> int:
    status = INPUT_IS_WRONG if isinstance(found, api.Clash) else 0
    if as_json:
        click.echo(api.shelf_json(found), nl=False)
    elif isinstance(found, api.Clash):
        click.echo(api.clash_text(found, **frame()), nl=False, err=True)
    else:
        new = "" if found.new else " (it was there already)"
        again = f"groundstrap shelf keep {file} --as {found.job_id} --based-on {found.number}"
        click.echo(
            f"groundstrap: revision {found.number} of {found.job_id} is kept{new}; the next: {again}",
            err=True,
        )
    return status


@shelf.command(
    epilog=examples("groundstrap shelf show k3f9 > van.job.yaml", "groundstrap shelf show k3f9 --revision 2")
)
@_JOB
@click.option("--revision", type=int, metavar="N", help="An earlier one; left out, the newest.")
@SHELF
@_JSON
def show(job: str, *, revision: int | None, url: str | None, as_json: bool) -> None:
    """Print the job file of JOB."""
    with api.open_shelf(url) as opened:
        found = opened.revision(opened.find(job).id, revision)
    click.echo(api.shelf_json(found) if as_json else found.text, nl=False)
    if not as_json:
        again = f"--as {found.job_id} --based-on {found.number}"
        click.echo(
            f"groundstrap: revision {found.number} by {found.who}; keep the next with {again}", err=True
        )


@shelf.command(epilog=examples("groundstrap shelf history k3f9"))
@_JOB
@SHELF
@_JSON
def history(job: str, *, url: str | None, as_json: bool) -> None:
    """List the revisions of JOB: who, when and why."""
    with api.open_shelf(url) as opened:
        found = opened.revisions(opened.find(job).id)
    click.echo(api.shelf_json(found) if as_json else api.history_text(found, **frame()), nl=False)


@shelf.command(epilog=examples("groundstrap shelf restore k3f9 2     also brings a removed job back"))
@_JOB
@click.argument("number", type=int, metavar="N")
@_NOTE
@_WHO
@SHELF
@_JSON
def restore(job: str, number: int, *, note: str, who: str | None, url: str | None, as_json: bool) -> int:
    """Bring revision N of JOB back as its newest.

    What came after N stays in the history.
    """
    with api.open_shelf(url) as opened:
        job_id = opened.find(job).id
        found = opened.restore(job_id, number, _who(who), note)
    return _told(found, "FILE", as_json=as_json)


@shelf.command(
    epilog=examples(
        "groundstrap shelf export k3f9 -o van.zip         with revisions and photos",
        "groundstrap shelf export k3f9 -o van.job.yaml    the job file, and what it names beside it",
    )
)
@_JOB
@click.option("-o", "--output", metavar="FILE", required=True, help="What ends in .zip is an archive.")
@click.option("--force", is_flag=True, help="Write over files that are there.")
@SHELF
def export(job: str, *, output: str, force: bool, url: str | None) -> None:
    """Write JOB into FILE: the job file, or an archive with everything."""
    path = Path(output)
    with api.open_shelf(url) as opened:
        found = opened.find(job)
        if path.suffix.lower() == ".zip":
            _refuse_what_is_there([path], force=force)
            _archive(opened, found.id, path)
        else:
            latest = opened.revision(found.id)
            texts = {**latest.files, path.name: latest.text}
            _refuse_what_is_there([path.with_name(name) for name in texts], force=force)
            api.write_folder(path.parent, texts)
    click.echo(f"groundstrap: {output} holds revision {found.latest} of {found.id}", err=True)


def _refuse_what_is_there(paths: list[Path], *, force: bool) -> None:
    there = [str(path) for path in paths if path.exists()]
    if there and not force:
        raise CallError(
            f"{', '.join(there)} is there; nothing was written", wanted="another FILE, or --force"
        )


def _archive(opened: Shelf, job_id: str, path: Path) -> None:
    """Write the archive beside its place first: a broken one never stands there."""
    beside = path.with_name(f".{path.name}.{os.getpid()}.tmp")
    try:
        with beside.open("xb") as file:
            api.export_job(opened, job_id, file)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except OSError as error:
        reason = f"can't write {path}: {(error.strerror or str(error)).lower()}"
        raise CannotDoError(reason, next_step="free some room, or write elsewhere") from error
    finally:
        beside.unlink(missing_ok=True)


@shelf.command("import", epilog=examples("groundstrap shelf import van.zip"))
@click.argument("file", metavar="FILE")
@_NOTE
@_WHO
@SHELF
@_JSON
def import_file(file: str, *, note: str, who: str | None, url: str | None, as_json: bool) -> None:
    """Take the archive or job file FILE in as a new job.

    An archive from another shelf keeps its revisions; who and when are what it tells.
    """
    data = _bytes(file)
    with api.open_shelf(url) as opened:
        found = api.import_job(opened, io.BytesIO(data), _who(who), note)
    if as_json:
        click.echo(api.shelf_json(found), nl=False)
        return
    left = f"; left out: {', '.join(found.left_out)}" if found.left_out else ""
    click.echo(f"groundstrap: {found.job.id} holds it, {found.job.latest} revision(s){left}", err=True)


@shelf.command(epilog=examples("groundstrap shelf remove k3f9", "groundstrap shelf remove k3f9 --for-good"))
@_JOB
@click.option("--for-good", is_flag=True, help="Forget a removed job with its revisions and photos.")
@_WHO
@SHELF
def remove(job: str, *, for_good: bool, who: str | None, url: str | None) -> None:
    """Take JOB off the list.

    It is kept, and `restore` brings it back; with --for-good a removed job is forgotten.
    """
    with api.open_shelf(url) as opened:
        job_id = opened.find(job).id
        if for_good:
            opened.erase(job_id)
            click.echo(f"groundstrap: {job_id} is gone for good", err=True)
        else:
            latest = opened.remove(job_id, _who(who)).latest
            again = f"groundstrap shelf restore {job_id} {latest}"
            click.echo(f"groundstrap: {job_id} is removed; to have it back: {again}", err=True)


@shelf.command(
    epilog=examples(
        "groundstrap shelf photo k3f9                        list them",
        "groundstrap shelf photo k3f9 box.jpg --caption 'fuse box as found'",
    )
)
@_JOB
@click.argument("file", required=False, metavar="[FILE]")
@click.option("--caption", metavar="TEXT", default="", help="What it shows.")
@_WHO
@SHELF
@_JSON
def photo(
    job: str, *, file: str | None, caption: str, who: str | None, url: str | None, as_json: bool
) -> None:
    """List the photos of JOB, or add the picture FILE.

    It is made anew: at most 2000 pixels a side, without place and serial number.
    """
    with api.open_shelf(url) as opened:
        job_id = opened.find(job).id
        if file is not None:
            opened.add_photo(job_id, api.clean_photo(_bytes(file)), caption, _who(who))
        found = opened.photos(job_id)
    click.echo(api.shelf_json(found) if as_json else api.photos_text(found, **frame()), nl=False)


@shelf.command(
    epilog=examples(
        "groundstrap shelf accept k3f9 --note 'handed over'",
        "groundstrap shelf accept k3f9 --mended 'pump return 1' --note 'new lug'",
    )
)
@_JOB
@click.option(
    "--mended", multiple=True, metavar="PLACE", help="A place that was mended since: it begins anew."
)
@click.option("--even-so", is_flag=True, help="As built although readings fail.")
@_NOTE
@_WHO
@SHELF
@_JSON
def accept(
    job: str, *, mended: tuple[str, ...], even_so: bool, note: str, url: str | None, **wanted: Any
) -> int:
    """Accept the readings of JOB's newest visit.

    The first visit is how the vehicle was built; later ones are compared with it. What was chosen for its
    cables and fuses is pinned in the job, so that it stays as it was fitted.
    """
    today = date.today().isoformat()
    with api.open_shelf(url) as opened:
        newest = opened.revision(opened.find(job).id)
        made = api.as_built_of(newest, today, mended=mended)
        who = _who(wanted["who"])
        found = api.accept_visit(opened, newest.job_id, made, newest.number, who, note, even_so=even_so)
        if isinstance(found, api.Clash):
            return _told(found, "FILE", as_json=wanted["as_json"])
        every = opened.visits(newest.job_id)
    if wanted["as_json"]:
        click.echo(api.shelf_json(found), nl=False)
        return 0
    _tell_accepted(found, made)
    click.echo(api.visits_text(every, api.compare_visits(every), **frame()), nl=False)
    return 0


def _tell_accepted(found: Visit, made: AsBuilt) -> None:
    told = [f"revision {found.revision} of {found.job_id} holds the visit of {found.day}"]
    told += [f"{made.pinned} cables and fuses are pinned"] if made.pinned else []
    told += [f"left open for their stops: {', '.join(made.left_open)}"] if made.left_open else []
    told += [f"sound work does not read this: {', '.join(made.fails)}"] if made.fails else []
    told += [f"says nothing of a joint: {', '.join(made.left_out)}"] if made.left_out else []
    for each in told:
        click.echo(f"groundstrap: {each}", err=True)


@shelf.command(
    epilog=examples(
        "groundstrap shelf visits k3f9                       what has grown since it was built",
        "groundstrap shelf visits k3f9 --forget 2026-11-28",
    )
)
@_JOB
@click.option("--forget", metavar="DAY", help="Take a visit off; its readings stay in the job's revisions.")
@SHELF
@_JSON
def visits(job: str, *, forget: str | None, url: str | None, as_json: bool) -> None:
    """Compare the visits of JOB: which joint has grown since it was built.

    By how much, how sure that is, and when it comes to its limit where several visits bear that.
    """
    with api.open_shelf(url) as opened:
        job_id = opened.find(job).id
        if forget is not None:
            opened.forget_visit(job_id, forget)
        found = opened.visits(job_id)
    if as_json:
        click.echo(api.visits_json(found), nl=False)
        return
    click.echo(api.visits_text(found, api.compare_visits(found), **frame()), nl=False)


def _who(who: str | None) -> str:
    if who:
        return who
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        raise CallError("who saves is not known", wanted="--who NAME, or GROUNDSTRAP_WHO") from None
