"""Job files on disk: read as UTF-8, written so that the old file is never torn."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from groundstrap.errors import CallError, CannotDoError, Fault, JobError
from groundstrap.job.reader import Job, read_job
from groundstrap.job.tree import LONGEST_TEXT

__all__ = ["decode_job", "read_job_file", "write_atomically", "write_folder"]

_NEW_FILE_MODE: Final = 0o666


def decode_job(data: bytes, file: str = "-") -> str:
    r"""Return the text of a job from its bytes; what is not UTF-8 is a fault with its place.

    >>> decode_job(b"title: \xff", "van.yaml")
    Traceback (most recent call last):
    groundstrap.errors.JobError: van.yaml:1:8: found '\xff' (the file is not written in UTF-8), wanted UTF-8
    """
    if len(data) > LONGEST_TEXT:
        raise JobError([_file_fault(file, "", "the text is too large", f"at most {LONGEST_TEXT} bytes")])
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8", "replace")
        line = before.count("\n") + 1
        column = len(before) - (before.rfind("\n") + 1) + 1
        found = data[error.start : error.start + 1].decode("latin-1")
        reason = "the file is not written in UTF-8"
        raise JobError([_file_fault(file, found, reason, "UTF-8", line, column)]) from None


def _file_fault(file: str, found: str, reason: str, wanted: str, line: int = 0, column: int = 0) -> Fault:
    return Fault(file=file, line=line, column=column, key="", found=found, wanted=wanted, reason=reason)


def read_job_file(path: Path, file: str | None = None) -> Job:
    """Read a job file from disk; other files that it names are looked for in its folder."""
    name = str(path) if file is None else file
    try:
        with path.open("rb") as opened:
            data = opened.read(LONGEST_TEXT + 1)
    except OSError as error:
        reason = f"can't read {name}: {(error.strerror or str(error)).lower()}"
        raise CallError(reason, wanted="the name of a job file that is there") from error
    return read_job(decode_job(data, name), name, folder=path.parent)


def write_atomically(path: Path, text: str) -> None:
    """Write a text so that the file holds either the old text or the new one, whatever happens meanwhile.

    The new text goes to a temporary file in the same folder, is forced to disk, and takes the old one's
    place and permissions. A link stays a link: what it points to is replaced.
    """
    # What it rests on takes longer to load than to use, and most calls only read.
    import tempfile  # noqa: PLC0415

    target = Path(os.path.realpath(path))
    temporary: str | None = None
    try:
        mode = _mode_of(target)
        handle, temporary = tempfile.mkstemp(prefix=f".{target.name}.", suffix=".tmp", dir=target.parent)
        with os.fdopen(handle, "wb") as opened:
            opened.write(text.encode("utf-8"))
            opened.flush()
            os.fsync(opened.fileno())
        Path(temporary).chmod(mode)
        Path(temporary).replace(target)
        temporary = None
        _sync_folder(target.parent)
    except OSError as error:
        reason = f"can't write {path}: {(error.strerror or str(error)).lower()}"
        next_step = "the old file is as it was; free some room or check its permissions"
        raise CannotDoError(reason, next_step=next_step) from error
    finally:
        if temporary is not None:
            with contextlib.suppress(OSError):
                Path(temporary).unlink()


def write_folder(folder: Path, texts: Mapping[str, str]) -> None:
    """Write texts under their names into a folder, which is made where it is not there; each as a whole."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        what = "it is a file" if folder.is_file() else (error.strerror or str(error)).lower()
        reason = f"can't write into {folder}: {what}"
        next_step = "name a folder that may be written to; nothing was written"
        raise CannotDoError(reason, next_step=next_step) from error
    for name, text in texts.items():
        write_atomically(folder / name, text)


def _mode_of(path: Path) -> int:
    """Return the permissions of a file, or those that a new one gets."""
    if path.exists():
        return path.stat().st_mode & 0o7777
    mask = os.umask(0)
    os.umask(mask)
    return _NEW_FILE_MODE & ~mask


def _sync_folder(folder: Path) -> None:
    """Force the new name to disk as well, where the system can do that."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
