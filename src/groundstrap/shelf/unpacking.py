"""Archives from outside: looked at before anything of them is taken, and never unpacked to disk."""

from __future__ import annotations

import stat
import zipfile
import zlib
from pathlib import PurePosixPath
from typing import BinaryIO, Final

from groundstrap.errors import CallError
from groundstrap.job.tree import LONGEST_TEXT
from groundstrap.shelf.given import LARGEST_PHOTO, is_file_name
from groundstrap.words import words

__all__ = ["Archive"]

_MOST_MEMBERS: Final = 12_000
_MOST_BYTES: Final = 500_000_000
# The texts of jobs shrink to a third or a fifth; what shrinks to a twenty-fifth was made to.
_MOST_RATIO: Final = 25
_HARMLESS_BYTES: Final = 20_000_000
_ENCRYPTED: Final = 0x1
_WANTED: Final = words(
    "an archive that `groundstrap shelf export` made, or one of a job file and what lies beside it"
)


class Archive:
    """The members of a zip archive by their names, each read within a limit."""

    def __init__(self, file: BinaryIO, size: int) -> None:
        """Refuse what is no archive, or one that is made to do harm."""
        try:
            self._zip = zipfile.ZipFile(file)
        except (zipfile.BadZipFile, OSError, ValueError, EOFError, NotImplementedError) as error:
            raise CallError(words("the archive can't be read"), wanted=_WANTED) from error
        members = self._zip.infolist()
        if len(members) > _MOST_MEMBERS:
            raise _refused(
                words("the archive has {count} files", count=len(members)),
                words("at most {count}", count=_MOST_MEMBERS),
            )
        whole = sum(each.file_size for each in members)
        if whole > min(_MOST_BYTES, max(_HARMLESS_BYTES, _MOST_RATIO * size)):
            raise _refused(
                words("the archive of {size} bytes would become {whole}", size=size, whole=whole),
                words("one that is no bomb"),
            )
        self._members: dict[str, zipfile.ZipInfo] = {}
        self._folded: set[str] = set()
        for each in members:
            self._take(each)

    def _take(self, member: zipfile.ZipInfo) -> None:
        name = member.orig_filename
        if member.flag_bits & _ENCRYPTED:
            raise _refused(
                words("{name} is encrypted", name=_shown(name)), words("an archive without a password")
            )
        if stat.S_IFMT(member.external_attr >> 16) not in {0, stat.S_IFREG, stat.S_IFDIR}:
            raise _refused(words("{name} is a link or a device", name=_shown(name)), words("files alone"))
        pieces = name.removesuffix("/").split("/")
        # Folders that some machines add for themselves begin with a dot or with __: names all the same.
        if not all(is_file_name(piece.lstrip(".") or "/") and piece.strip(".") for piece in pieces):
            raise _refused(
                words("{name} leads out of its folder or is no name", name=_shown(name)), words("plain names")
            )
        if name.casefold() in self._folded:
            raise _refused(words("{name} is there twice", name=_shown(name)), words("each name once"))
        if not member.is_dir():
            self._members[name] = member
            self._folded.add(name.casefold())

    @property
    def names(self) -> tuple[str, ...]:
        """Every file of it, in the order in which they stand."""
        return tuple(self._members)

    def text(self, name: str, most: int = LONGEST_TEXT) -> str:
        """Return a member as a text."""
        data = self._read(name, most)
        try:
            return data.decode("utf-8")
        except UnicodeDecodeError:
            raise _refused(
                words("{name} is not written in UTF-8", name=_shown(name)), words("texts in UTF-8")
            ) from None

    def picture(self, name: str) -> bytes:
        """Return a member that is a picture."""
        return self._read(name, LARGEST_PHOTO)

    def _read(self, name: str, most: int) -> bytes:
        member = self._members.get(name)
        if member is None:
            raise _refused(
                words("the archive lacks {name}", name=_shown(name)), words("all that its list names")
            )
        if member.file_size > most:
            raise _refused(
                words("{name} has {count} bytes", name=_shown(name), count=member.file_size),
                words("at most {count}", count=most),
            )
        try:
            with self._zip.open(member) as opened:
                data = opened.read(most + 1)
        except (
            zipfile.BadZipFile,
            zlib.error,
            OSError,
            EOFError,
            ValueError,
            NotImplementedError,
            RuntimeError,
        ):
            raise _refused(words("{name} is damaged", name=_shown(name)), words("a sound archive")) from None
        if len(data) > most:
            raise _refused(
                words("{name} is longer than it says", name=_shown(name)),
                words("at most {count} bytes", count=most),
            )
        return data


def _shown(name: str) -> str:
    return repr(str(PurePosixPath(name[:60])))


def _refused(reason: str, wanted: str) -> CallError:
    return CallError(words("{reason}; nothing of it was taken", reason=reason), wanted=wanted)
