"""A pack on disk: the whole old one or the whole new one, and nothing of the user's ever lost.

The new pack is written beside the old one, forced to disk, and then takes its name. Not every system can swap
two folders, so for an instant the old pack stands under a name of its own; whoever is stopped in that instant
finds it taken back by the next run, and what a stopped run had begun taken away.
"""

from __future__ import annotations

import contextlib
import glob
import hashlib
import json
import os
import shutil
import time
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from groundstrap.errors import CallError, CannotDoError

__all__ = ["LISTING", "write_pack"]

LISTING: Final = "pack.json"
"""Names the files of a pack with their hashes, so that the next one knows which are its own."""
_ASKS: Final = os.name == "posix"
"""Whether a process can be asked for without harm: elsewhere signal 0 is a Ctrl-C that ends it."""
_WRITES_S: Final = 3600.0
"""Age from which on a pack that was begun counts as left, where nobody can be asked; own judgement. [s]"""
_SCHEMA: Final = "groundstrap.pack/1"


def write_pack(folder: Path, files: Mapping[str, bytes], fingerprint: str) -> None:
    """Write a pack under a folder's name, in place of an older one there.

    Files that are no pack's own are taken along as they are. A file of the old pack that somebody has changed
    is never written over.

    Parameters
    ----------
    folder : Path
        Made where it is not there; the folder above it has to be.
    files : Mapping of str to bytes
        File name -> content.
    fingerprint : str
        Of the plan that the pack was made from; stands in the listing.

    Raises
    ------
    CallError
        The name is taken by something that is no folder, or a file of another kind would be written over.
    CannotDoError
        No room, or not allowed to; the old pack is as it was.
    """
    target = folder.absolute()
    before = target.with_name(f".{target.name}.before")
    written: Path | None = None
    try:
        _take_back(target, before)
        kept = _others(target, files)
        written = target.with_name(f".{target.name}.{os.getpid()}.new")
        written.mkdir()
        _fill(written, files, fingerprint)
        for name in kept:
            _copy(target / name, written / name)
        written.chmod(target.stat().st_mode & 0o7777 if target.exists() else 0o777 & ~_mask())
        _swap(written, target, before)
        written = None
    except OSError as error:
        reason = f"can't write the pack into {folder}: {(error.strerror or str(error)).lower()}"
        next_step = "nothing there was changed; free some room, or name a folder that may be written to"
        raise CannotDoError(reason, next_step=next_step) from error
    finally:
        if written is not None:
            shutil.rmtree(written, ignore_errors=True)


def _take_back(target: Path, before: Path) -> None:
    """Put right what a run that was stopped has left: between its two renames, or while it wrote."""
    for begun in target.parent.glob(f".{glob.escape(target.name)}.*.new"):
        number = begun.name.split(".")[-2]
        if number.isdigit() and not _runs(int(number), begun):
            shutil.rmtree(begun)
    if before.is_dir() and not target.exists():
        before.rename(target)
    elif before.is_dir():
        shutil.rmtree(before)


def _runs(process: int, begun: Path) -> bool:
    """Whether a process is there that may still write what it has begun; one of somebody else counts."""
    if process == os.getpid():
        return False
    if not _ASKS:
        return time.time() - begun.stat().st_mtime < _WRITES_S
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True


def _others(target: Path, files: Mapping[str, bytes]) -> tuple[str, ...]:
    """Names in the old folder that no pack has made; refuses where one of them is in the way."""
    if target.is_symlink() or (target.exists() and not target.is_dir()):
        raise CallError(f"{target} is there and is no folder", wanted="another name for the pack's folder")
    if not target.exists():
        return ()
    if Path.cwd().is_relative_to(target.resolve()):
        raise CallError(
            f"{target} is the folder you are in, or holds it", wanted="a folder for the pack alone"
        )
    own = _listed(target)
    if not own and any(target.iterdir()):
        raise CallError(
            f"{target} holds other files and no pack; nothing was written",
            wanted="a new folder, or that of an older pack",
        )
    found = sorted(path.name for path in target.iterdir() if path.name != LISTING)
    changed = [name for name in found if name in own and _hash_of(target / name) != own[name]]
    in_the_way = [name for name in found if name in files and (name not in own or name in changed)]
    if in_the_way:
        what = ", ".join(in_the_way)
        raise CallError(
            f"{what} in {target} was changed since, or is no pack's own; nothing was written",
            wanted="another folder, or that file moved away first",
        )
    return tuple(name for name in found if name not in own or name in changed)


def _listed(target: Path) -> Mapping[str, str]:
    """The files that the listing of an older pack names, with their hashes; none without a listing."""
    try:
        listing = json.loads((target / LISTING).read_text(encoding="utf-8"))
    except (FileNotFoundError, UnicodeDecodeError, json.JSONDecodeError):
        return {}
    named = listing.get("files") if isinstance(listing, dict) else None
    return named if isinstance(named, dict) else {}


def _hash_of(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else ""


def _fill(folder: Path, files: Mapping[str, bytes], fingerprint: str) -> None:
    hashes = {name: hashlib.sha256(content).hexdigest() for name, content in files.items()}
    listing = {"schema": _SCHEMA, "fingerprint": fingerprint, "files": hashes}
    told = json.dumps(listing, indent=2, ensure_ascii=False) + "\n"
    for name, content in (*files.items(), (LISTING, told.encode())):
        with (folder / name).open("wb") as opened:
            opened.write(content)
            opened.flush()
            os.fsync(opened.fileno())
    _sync(folder)


def _copy(source: Path, to: Path) -> None:
    if source.is_dir() and not source.is_symlink():
        shutil.copytree(source, to, symlinks=True)
    else:
        shutil.copy2(source, to, follow_symlinks=False)


def _swap(written: Path, target: Path, before: Path) -> None:
    there = target.exists()
    if there:
        target.rename(before)
    try:
        written.rename(target)
    except OSError:
        if there:
            before.rename(target)
        raise
    _sync(target.parent)
    if there:
        shutil.rmtree(before, ignore_errors=True)


def _mask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _sync(folder: Path) -> None:
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
