"""A database that keeps what it was given: how it is opened, how its transactions run, what its errors mean.

SQLite writes ahead into a log and waits for the disk at each commit; PostgreSQL is told to wait likewise.
A transaction that writes takes the lock of SQLite when it begins, so that it can't lose it half-way.
"""

from __future__ import annotations

import contextlib
import random
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final, TypeVar

from sqlalchemy import URL, Connection, Engine, create_engine, event, text
from sqlalchemy.exc import DBAPIError, IntegrityError, SQLAlchemyError
from sqlalchemy.orm import Session

from groundstrap.errors import CallError, CannotDoError
from groundstrap.shelf.location import shown_address
from groundstrap.shelf.versions import bring_up, newest, state_of

__all__ = ["Database"]

_BUSY_S: Final = 5.0
_PATIENCE_S: Final = 15.0
# Any number, the same in every program that keeps a shelf: who opens one holds it while tables are made.
_OPENING: Final = 7_236_450_017
# A page has a thread for each request that waits: each may have a connection.
_POOL: Final[dict[str, Any]] = {"pool_size": 10, "max_overflow": 30}
_RETRIED_STATES: Final = {"40001", "40P01", "55P03"}

_T = TypeVar("_T")


class Database:
    """Engine and transactions of one shelf."""

    def __init__(self, url: URL) -> None:
        """Connect, and bring the tables to where this program wants them."""
        self.url = url
        self.shown = shown_address(url)
        self.engine = _engine(url)
        # Writers of one process wait in line here: SQLite lets them look in again every so often.
        self._one_writer = threading.Lock()
        with contextlib.ExitStack() as otherwise:
            otherwise.callback(self.close)
            if self.read(lambda session: state_of(session.connection())) != newest():
                self.run(lambda session: bring_up(session.connection()), opening=True)
            otherwise.pop_all()

    @property
    def sqlite(self) -> bool:
        """Whether the shelf is a file."""
        return self.engine.dialect.name == "sqlite"

    def close(self) -> None:
        """Give back every connection."""
        self.engine.dispose()

    def read(self, work: Callable[[Session], _T]) -> _T:
        """Run what only reads, on one state of the shelf."""
        return self._patiently(lambda: self._once(work, writes=False))

    def run(self, work: Callable[[Session], _T], *, opening: bool = False) -> _T:
        """Run what writes in one transaction: when this returns, it is on disk.

        Where another writer was in the way, all of it is run again for a while.
        """

        def locked(session: Session) -> _T:
            if opening and not self.sqlite:
                session.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": _OPENING})
            return work(session)

        if not self.sqlite:
            return self._patiently(lambda: self._once(locked, writes=True))
        if not self._one_writer.acquire(timeout=_PATIENCE_S):
            raise CannotDoError(f"the shelf {self.shown} is busy", next_step=_BUSY_NEXT)
        try:
            return self._patiently(lambda: self._once(locked, writes=True))
        finally:
            self._one_writer.release()

    def _once(self, work: Callable[[Session], _T], *, writes: bool) -> _T:
        with self._connection(writes=writes) as connection, Session(connection) as session:
            found = work(session)
            session.commit()
            return found

    @contextmanager
    def _connection(self, *, writes: bool) -> Iterator[Connection]:
        options: dict[str, Any] = {"shelf_writes": writes}
        if not self.sqlite and not writes:
            options["isolation_level"] = "REPEATABLE READ"
        with self.engine.connect() as connection:
            yield connection.execution_options(**options)

    def _patiently(self, work: Callable[[], _T]) -> _T:
        until = time.monotonic() + _PATIENCE_S
        tried = 0
        while True:
            tried += 1
            try:
                return work()
            except SQLAlchemyError as error:
                if not _may_be_tried_again(error) or time.monotonic() > until:
                    raise self._told(error) from error
            # Two that were in each other's way must not come back at the same moment.
            time.sleep(min(0.2, 0.005 * 2**tried) * random.uniform(0.5, 1.0))

    def _told(self, error: SQLAlchemyError) -> CannotDoError:
        """What a database's error means to whoever wanted something from the shelf."""
        said = " ".join(str(getattr(error, "orig", None) or error).split())
        reason = f"the shelf {self.shown} can't be used: {said}"
        return CannotDoError(reason, next_step=_next_step(said, sqlite=self.sqlite))


_BUSY_NEXT: Final = "another program is writing into it: save again, or close that program"
_NEXT_STEPS: Final = {
    "is full": "free some room on the disk and save again; what was saved before is there",
    "no space left": "free some room on the disk and save again; what was saved before is there",
    "readonly": "give yourself the right to write to the file and its folder, or name another one",
    "unable to open": "name a file in a folder that is there and may be written to",
    "not a database": "name the file of a shelf, or one that is not there yet",
    "malformed": "take the last copy of the file; `groundstrap shelf export` may still read single jobs",
    "locked": _BUSY_NEXT,
    "busy": _BUSY_NEXT,
    "deadlock": _BUSY_NEXT,
    "authentication": "check user and password of the address",
    "password": "check user and password of the address",
    "permission denied": "give the user of the address the right to make tables and to write",
    "does not exist": "make the database first, or check its name",
}


def _next_step(said: str, *, sqlite: bool) -> str:
    lowered = said.lower()
    for sign, next_step in _NEXT_STEPS.items():
        if sign in lowered:
            return next_step
    if sqlite:
        return "check the disk and save again; what was saved before is there"
    return "see that the database runs and can be reached, and save again: nothing is kept twice by that"


def _may_be_tried_again(error: SQLAlchemyError) -> bool:
    """Whether another writer was in the way, and nothing else."""
    if isinstance(error, IntegrityError):
        return True
    if not isinstance(error, DBAPIError) or error.orig is None:
        return False
    state = getattr(error.orig, "sqlstate", None)
    code = getattr(error.orig, "sqlite_errorcode", None)
    # SQLITE_BUSY and SQLITE_LOCKED, with whatever stands in the upper bits.
    return state in _RETRIED_STATES or (code is not None and code & 0xFF in {5, 6})


def _engine(url: URL) -> Engine:
    try:
        if url.drivername == "sqlite":
            _private_file(Path(str(url.database)))
            engine = create_engine(url, connect_args={"timeout": _BUSY_S}, **_POOL)
            event.listen(engine, "connect", _prepare_sqlite)
            event.listen(engine, "begin", _begin_sqlite)
            return engine
        return create_engine(
            url,
            pool_pre_ping=True,
            **_POOL,
            connect_args={"connect_timeout": 10, "options": "-c synchronous_commit=on -c timezone=UTC"},
        )
    except ImportError:
        raise CallError(
            "a shelf in PostgreSQL needs its driver", wanted="pip install 'groundstrap[bench,postgres]'"
        ) from None


def _private_file(path: Path) -> None:
    """Make a new file that only its owner reads: jobs name customers."""
    with contextlib.suppress(OSError):
        path.touch(mode=0o600, exist_ok=True)


def _prepare_sqlite(connection: Any, _: object) -> None:
    # Transactions are begun below, not by Python's driver in the middle of them.
    connection.isolation_level = None
    cursor = connection.cursor()
    for pragma in (
        "journal_mode=WAL",
        "synchronous=FULL",
        "fullfsync=ON",
        "foreign_keys=ON",
        "secure_delete=ON",
    ):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def _begin_sqlite(connection: Connection) -> None:
    writes = connection.get_execution_options().get("shelf_writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
