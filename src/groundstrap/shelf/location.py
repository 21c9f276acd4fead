"""Where a shelf is: the user's own data folder, a file, or the address of a database."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Final

from sqlalchemy import URL, make_url
from sqlalchemy.exc import ArgumentError

from groundstrap.errors import CallError, CannotDoError

__all__ = ["FILE_NAME", "address", "data_folder", "shown_address"]

FILE_NAME: Final = "shelf.sqlite"
_WANTED: Final = "sqlite:///FILE or postgresql://USER@HOST/DATABASE"
_POSTGRES: Final = {"postgres", "postgresql", "postgresql+psycopg"}


def data_folder() -> Path:
    """Return the folder in which this user's programs keep their data, made where it is not there.

    `GROUNDSTRAP_DATA` names another one.
    """
    folder = _folder()
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise CannotDoError(
            f"can't make the folder {folder}: {(error.strerror or str(error)).lower()}",
            next_step="set GROUNDSTRAP_DATA to a folder that may be written to",
        ) from error
    return folder


def _folder() -> Path:
    own = os.environ.get("GROUNDSTRAP_DATA")
    if own:
        return Path(own).expanduser()
    home = Path.home()
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local") / "groundstrap"
    if sys.platform == "darwin":
        return home / "Library" / "Application Support" / "groundstrap"
    return Path(os.environ.get("XDG_DATA_HOME") or home / ".local" / "share") / "groundstrap"


def address(url: str | None) -> URL:
    """Return the address of a shelf, complete; without one, that of the file in the user's data folder.

    >>> address("postgres://workshop@db/jobs").render_as_string()
    'postgresql+psycopg://workshop@db/jobs'
    >>> address("oracle://db")
    Traceback (most recent call last):
    groundstrap.errors.CallError: a shelf is no 'oracle'; wanted sqlite:///FILE or postgresql://USER@HOST/DATABASE
    """
    if url is None:
        return URL.create("sqlite", database=str(data_folder() / FILE_NAME))
    try:
        made = make_url(url)
    except ArgumentError:
        # The text may hold a password: it is not repeated.
        raise CallError("the address of the shelf can't be read", wanted=_WANTED) from None
    if made.drivername in _POSTGRES:
        return made.set(drivername="postgresql+psycopg")
    if made.drivername != "sqlite":
        raise CallError(f"a shelf is no {made.drivername!r}", wanted=_WANTED)
    if made.query or made.database in {None, "", ":memory:"}:
        raise CallError("a shelf that is kept nowhere is none", wanted=_WANTED)
    return made


def shown_address(url: URL) -> str:
    """Return an address as it may be shown: a password in it is left out."""
    if url.drivername == "sqlite":
        return str(url.database)
    return url.render_as_string(hide_password=True)
