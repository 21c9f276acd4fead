"""What may be put on the shelf: texts that every database keeps as they are, names that hurt nobody."""

from __future__ import annotations

import hashlib
import re
import unicodedata
from collections.abc import Mapping
from typing import Final

from groundstrap.errors import CallError
from groundstrap.job.tree import LONGEST_TEXT
from groundstrap.words import words

__all__ = [
    "LARGEST_PHOTO",
    "MOST_FILES",
    "MOST_PHOTOS",
    "checked_files",
    "checked_line",
    "checked_text",
    "checked_who",
    "file_name",
    "fingerprint_of",
    "is_file_name",
    "picture_type",
]

MOST_FILES: Final = 50
"""Files beside one job."""
LARGEST_PHOTO: Final = 10_000_000
"""Bytes of one photo."""
MOST_PHOTOS: Final = 300
"""Photos of one job."""
_LONGEST_WHO: Final = 80
_LONGEST_LINE: Final = 1_000
_LONGEST_NAME: Final = 120
_RESERVED: Final = re.compile(r"(?i)^(con|prn|aux|nul|com\d|lpt\d)(\.|$)")
_ODD: Final = set('<>:"/\\|?*')


def checked_text(text: str, what: str = words("the job")) -> str:
    """Return a text that can be kept as it is; there are few that can't."""
    try:
        size = len(text.encode("utf-8"))
    except UnicodeEncodeError:
        raise CallError(
            words("{what} holds half a character", what=what), wanted=words("a text in UTF-8")
        ) from None
    if "\0" in text:
        raise CallError(words("{what} holds a NUL character", what=what), wanted=words("plain text"))
    if size > LONGEST_TEXT:
        raise CallError(
            words("{what} has {size} bytes", what=what, size=size),
            wanted=words("at most {count}", count=LONGEST_TEXT),
        )
    return text


def checked_files(files: Mapping[str, str]) -> Mapping[str, str]:
    """Return the files beside a job in the order of their names; names are those of one folder."""
    if len(files) > MOST_FILES:
        raise CallError(
            words("the job has {count} files beside it", count=len(files)),
            wanted=words("at most {count}", count=MOST_FILES),
        )
    for name, text in files.items():
        if not is_file_name(name):
            raise CallError(
                words("a file beside the job has a name that can't be one in every folder"),
                wanted=words("a plain name such as stock.csv"),
                given=name,
            )
        checked_text(text, words("the file {name}", name=name))
    folded = {name.casefold() for name in files}
    if len(folded) < len(files):
        raise CallError(
            words("two files beside the job have names that differ in capitals alone"), wanted=words("one")
        )
    return dict(sorted(files.items()))


def file_name(title: str, ending: str = ".job.yaml") -> str:
    """Return a name for the file of a job.

    >>> file_name("Beekeeper's pickup, hoist & bed"), file_name("///", ".zip")
    ('beekeepers-pickup-hoist-bed.job.yaml', 'job.zip')
    """
    plain = re.sub(r"[^a-z0-9]+", "-", title.casefold().replace("'", "")).strip("-")[:60].strip("-")
    name = f"{plain or 'job'}{ending}"
    return name if is_file_name(name) else f"job-{name}"


def is_file_name(name: str) -> bool:
    """Whether a name is that of a file in any folder of any machine, and leads nowhere else.

    >>> [is_file_name(name) for name in ("stock.csv", "../stock.csv", "C:stock.csv", ".", "con.csv", "a. ")]
    [True, False, False, False, False, False]
    """
    return (
        0 < len(name) <= _LONGEST_NAME
        and name.isprintable()
        and not _ODD & set(name)
        and not name.startswith((".", " "))
        and not name.endswith((".", " "))
        and _RESERVED.match(name) is None
    )


def checked_who(who: str) -> str:
    """Return who saves, in one line.

    >>> checked_who("  Ada   L. ")
    'Ada L.'
    """
    line = checked_line(who, words("the name of who saves"), _LONGEST_WHO)
    if not line:
        raise CallError(words("who saves is not said"), wanted=words("a name"))
    return line


def checked_line(text: str, what: str, longest: int = _LONGEST_LINE) -> str:
    """Return a text in one line; control characters become spaces."""
    checked_text(text, what)
    line = " ".join("".join(" " if unicodedata.category(c) == "Cc" else c for c in text).split())
    if len(line) > longest:
        raise CallError(
            words("{what} has {count} characters", what=what, count=len(line)),
            wanted=words("at most {count}", count=longest),
        )
    return line


def fingerprint_of(text: str, files: Mapping[str, str]) -> str:
    """Return what tells two states of a job apart: its text and what lies beside it."""
    found = hashlib.sha256(text.encode("utf-8"))
    for name, beside in sorted(files.items()):
        found.update(b"\0" + name.encode("utf-8") + b"\0" + beside.encode("utf-8"))
    return f"sha256:{found.hexdigest()[:32]}"


def picture_type(data: bytes) -> str:
    """Return the media type of a picture by its first bytes; what is none of those that are kept is refused.

    >>> picture_type(bytes.fromhex("ffd8ff") + bytes(20))
    'image/jpeg'
    """
    if len(data) > LARGEST_PHOTO:
        raise CallError(
            words("the photo has {count} bytes", count=len(data)),
            wanted=words("at most {count}", count=LARGEST_PHOTO),
        )
    if data.startswith(b"\xff\xd8\xff"):
        return "image/jpeg"
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return "image/png"
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return "image/webp"
    raise CallError(words("the photo is no picture that is kept here"), wanted=words("a JPEG, PNG or WebP"))
