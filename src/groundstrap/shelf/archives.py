"""Jobs out of the shelf and into it, as an archive with all that belongs to them.

The archive is also of use by itself: unpacked, the job file in it finds what lies beside it.
"""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from collections.abc import Callable, Iterator, Mapping
from datetime import UTC, datetime
from typing import Any, BinaryIO, Final

from sqlalchemy import select
from sqlalchemy.orm import Session

from groundstrap.errors import CallError
from groundstrap.job import decode_job
from groundstrap.job.tree import LONGEST_TEXT
from groundstrap.records import replace
from groundstrap.shelf import rows
from groundstrap.shelf.given import (
    MOST_PHOTOS,
    checked_line,
    checked_who,
    file_name,
    picture_type,
)
from groundstrap.shelf.pictures import clean_photo
from groundstrap.shelf.records import Imported, Revision, Visit
from groundstrap.shelf.schema import PhotoRow
from groundstrap.shelf.shelf import Shelf
from groundstrap.shelf.unpacking import Archive
from groundstrap.shelf.visits import MOST_VISITS, put_visit, told_visit, visit_told, visits_of
from groundstrap.words import Name, words

__all__ = ["export_job", "file_name", "import_job"]

_SCHEMA: Final = "groundstrap.shelf-archive/1"
_INDEX: Final = "shelf.json"
_LARGEST_INDEX: Final = 10_000_000
_MOST_REVISIONS: Final = 10_000
_JOB_ENDS: Final = (".job.yaml", ".job.yml", ".yaml", ".yml")
_PICTURE_ENDS: Final = (".jpg", ".jpeg", ".png", ".webp")
_ENDS: Final = {"image/jpeg": "jpg", "image/png": "png", "image/webp": "webp"}


def export_job(shelf: Shelf, job_id: str, into: BinaryIO) -> None:
    """Write a job with its files, revisions and photos into a zip archive; the same job gives the same bytes.

    Parameters
    ----------
    shelf : Shelf
        Where it is.
    job_id : str
        The job.
    into : BinaryIO
        A file that is open for writing.
    """
    with zipfile.ZipFile(into, "w", zipfile.ZIP_DEFLATED) as archive:
        shelf.database.read(lambda session: _write(session, job_id, archive))


def _write(session: Session, job_id: str, archive: zipfile.ZipFile) -> None:
    job = rows.job_of(rows.job_row(session, job_id))
    lines = rows.lines_of(session, job_id)
    put = _Writer(archive, max(line.when_utc for line in lines))
    newest = rows.revision_of(session, job_id)
    name = file_name(job.title)
    put(name if name not in newest.files else "job.job.yaml", newest.text)
    for each, text in newest.files.items():
        # The index has one name; a file of that name is in `files/` all the same.
        if each != _INDEX:
            put(each, text)
    listed = []
    for line in reversed(lines):
        listed.append(_listed(rows.revision_of(session, job_id, line.number), put))
        # A long history is not held as a whole.
        session.expunge_all()
    photos = _photos(session, job_id, put)
    index = {
        "schema": _SCHEMA,
        "title": job.title,
        "revisions": listed,
        "photos": list(photos),
        "visits": [visit_told(each) for each in visits_of(session, job_id)],
    }
    put(_INDEX, json.dumps(index, ensure_ascii=False, indent=2) + "\n")


class _Writer:
    """Puts members into an archive, each once, all of one time."""

    def __init__(self, archive: zipfile.ZipFile, when: datetime) -> None:
        self.archive = archive
        # An archive can't be older than its format.
        self.time = max(when, datetime(1980, 1, 1, tzinfo=UTC)).timetuple()[:6]
        self.written: set[str] = set()

    def __call__(self, name: str, data: str | bytes, *, stored: bool = False) -> None:
        """Put one in, where it is not there yet."""
        if name in self.written:
            return
        self.written.add(name)
        member = zipfile.ZipInfo(name, self.time)
        member.compress_type = zipfile.ZIP_STORED if stored else zipfile.ZIP_DEFLATED
        member.external_attr = 0o644 << 16
        self.archive.writestr(member, data)


def _listed(revision: Revision, put: _Writer) -> Mapping[str, object]:
    text = f"revisions/{revision.number:04d}.job.yaml"
    put(text, revision.text)
    files = {}
    for name, content in revision.files.items():
        files[name] = f"files/{hashlib.sha256(content.encode('utf-8')).hexdigest()[:32]}.txt"
        put(files[name], content)
    return {
        "number": revision.number,
        "who": revision.who,
        "when_utc": revision.when_utc.isoformat(),
        "note": revision.note,
        "based_on": revision.based_on,
        "restored_from": revision.restored_from,
        "text": text,
        "files": files,
    }


def _photos(session: Session, job_id: str, put: _Writer) -> Iterator[Mapping[str, object]]:
    wanted = select(PhotoRow.id).where(PhotoRow.job_id == job_id).order_by(PhotoRow.when_utc, PhotoRow.id)
    for number, photo_id in enumerate(session.scalars(wanted).all(), 1):
        row = session.get_one(PhotoRow, photo_id)
        name = f"photos/{number:03d}.{_ENDS[row.media_type]}"
        put(name, row.data, stored=True)
        yield {"file": name, "caption": row.caption, "who": row.who, "when_utc": row.when_utc.isoformat()}
        session.expunge(row)


def import_job(
    shelf: Shelf,
    file: BinaryIO,
    who: str,
    note: str = "",
    *,
    clean: Callable[[bytes], bytes] = clean_photo,
) -> Imported:
    """Take a job in from a job file or from an archive, always as a new job.

    Names and moments of its revisions are those that the archive tells. Photos are made anew.

    Parameters
    ----------
    shelf : Shelf
        Where it goes.
    file : BinaryIO
        A file that is open for reading, and can be read again from its beginning.
    who : str
        Who takes it in, for what the archive does not say.
    note : str
        What there is to say of it, likewise.
    clean : callable
        Makes a photo anew; a server has it done in another process.
    """
    file.seek(0, io.SEEK_END)
    size = file.tell()
    file.seek(0)
    if file.read(2) != b"PK":
        file.seek(0)
        text = decode_job(file.read(LONGEST_TEXT + 1), "the job file")
        return Imported(job=shelf.job(shelf.new(text, who, note).job_id))
    archive = Archive(file, size)
    drafts, photos, visits, left_out = (
        _of_shelf(archive) if _INDEX in archive.names else _of_folder(archive, who, note)
    )
    # All pictures are made anew before the first is kept: one that is none stops everything.
    pictures = [(each, clean(archive.picture(each["file"]))) for each in photos[:MOST_PHOTOS]]
    left_out += tuple(each["file"] for each in photos[MOST_PHOTOS:])

    def work(session: Session) -> Imported:
        row = rows.insert_job(session, drafts[0])
        for each in drafts[1:]:
            rows.insert_revision(session, row, each, each.files or {})
        session.add_all([_photo_row(row.id, told, data, who) for told, data in pictures])
        session.flush()
        for visit in visits:
            put_visit(session, row.id, visit)
        return Imported(job=rows.job_of(row), left_out=left_out)

    return shelf.database.run(work)


_Taken = tuple[list[rows.Draft], list[dict[str, Any]], list[Visit], tuple[str, ...]]


def _of_folder(archive: Archive, who: str, note: str) -> _Taken:
    """A job file with what lies beside it; anything else is named as left out."""
    names = [name for name in archive.names if not _of_the_machine(name)]
    jobs = [name for name in names if name.lower().endswith(_JOB_ENDS[:2])]
    jobs = jobs or [name for name in names if name.lower().endswith(_JOB_ENDS)]
    if len(jobs) != 1:
        raise CallError(
            words("the archive has {count} job files", count=len(jobs)),
            wanted=words("an archive with one .job.yaml"),
        )
    folder = jobs[0].rpartition("/")[0]
    inside = [name for name in names if name.rpartition("/")[0] == folder]
    beside = {name.rpartition("/")[2]: name for name in inside if name.lower().endswith(".csv")}
    files = {short: archive.text(name) for short, name in beside.items()}
    photos = [name for name in names if name.lower().endswith(_PICTURE_ENDS)]
    taken = {jobs[0], *beside.values(), *photos}
    left_out = tuple(name for name in archive.names if name not in taken)
    captions = [{"file": name, "caption": name.rpartition("/")[2].rpartition(".")[0]} for name in photos]
    return [rows.draft(archive.text(jobs[0]), files, who, note)], captions, [], left_out


def _of_the_machine(name: str) -> bool:
    """Whether a machine put a member beside the person's own when it packed a folder.

    They have the names and endings of what they belong to, and other contents.

    >>> [_of_the_machine(name) for name in ("__extra/._van.job.yaml", "van/.thumbs/a.jpg", "van/a.jpg")]
    [True, True, False]
    """
    return any(piece.startswith((".", "__")) for piece in name.split("/"))


def _of_shelf(archive: Archive) -> _Taken:
    """What an export has written, with every line of its index looked at."""
    try:
        index = json.loads(archive.text(_INDEX, _LARGEST_INDEX))
        if index["schema"] != _SCHEMA:
            raise CallError(
                words("the archive is of another kind or of a later Groundstrap"), wanted=Name(_SCHEMA)
            )
        listed, photos = list(index["revisions"]), [_photo(each) for each in index["photos"]]
        if not 0 < len(listed) <= _MOST_REVISIONS:
            raise CallError(
                words("the archive has {count} revisions", count=len(listed)),
                wanted=words("1 to {most}", most=_MOST_REVISIONS),
            )
        drafts = [_draft(archive, each, number) for number, each in enumerate(listed, 1)]
        # An archive of before there were visits has none.
        visits = [_visit(each, len(drafts)) for each in list(index.get("visits", []))[:MOST_VISITS]]
    except (KeyError, TypeError, ValueError, AttributeError, RecursionError, OverflowError) as error:
        wanted = words("one that `groundstrap shelf export` made and nobody changed")
        raise CallError(
            words("the archive's {file} can't be read", file=Name(_INDEX)), wanted=wanted
        ) from error
    return drafts, photos, visits, ()


def _visit(told: dict[str, Any], revisions: int) -> Visit:
    return told_visit(told, _moment(told["when_utc"]), revisions)


def _photo(told: dict[str, Any]) -> dict[str, Any]:
    return {
        "file": str(told["file"]),
        "caption": checked_line(str(told["caption"]), words("a caption"), 200),
        "who": checked_who(str(told["who"])),
        "when_utc": _moment(told["when_utc"]),
    }


def _draft(archive: Archive, told: dict[str, Any], number: int) -> rows.Draft:
    if told["number"] != number:
        raise CallError(
            words("revision {told} stands where {number} should", told=str(told["number"]), number=number),
            wanted=words("all revisions in order"),
        )
    files = {str(name): archive.text(str(where)) for name, where in dict(told["files"]).items()}
    made = rows.draft(archive.text(str(told["text"])), files, str(told["who"]), str(told["note"]))
    return replace(
        made,
        when_utc=_moment(told["when_utc"]),
        based_on=_earlier(told["based_on"], number),
        restored_from=_earlier(told["restored_from"], number),
    )


def _earlier(told: object, number: int) -> int | None:
    return told if isinstance(told, int) and 0 < told < number else None


def _moment(told: object) -> datetime:
    found = datetime.fromisoformat(str(told))
    # UTC where it says nothing: that is what an export writes.
    return found.replace(tzinfo=UTC) if found.tzinfo is None else found.astimezone(UTC)


def _photo_row(job_id: str, told: dict[str, Any], data: bytes, who: str) -> PhotoRow:
    return PhotoRow(
        id=rows.new_id(),
        job_id=job_id,
        caption=checked_line(told["caption"], words("a caption"), 200),
        who=checked_who(told.get("who", who)),
        when_utc=told.get("when_utc") or datetime.now(UTC),
        media_type=picture_type(data),
        size_bytes=len(data),
        data=data,
    )
