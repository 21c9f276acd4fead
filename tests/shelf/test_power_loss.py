"""A program or a server that is killed in the middle of saves: what was acknowledged is there."""

from __future__ import annotations

import random
import shutil
import sqlite3
from collections.abc import Iterator
from itertools import count
from pathlib import Path

import pytest
from sqlalchemy import text

from groundstrap.errors import CannotDoError
from groundstrap.shelf import open_shelf
from tests.support.postgres import Server
from tests.support.savers import check, files_of, kill_programs, kill_servers, new_job, saver, text_of

NUMBERS = count(1)


def test_a_program_killed_in_the_middle_of_saves_loses_nothing(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path}/shelf.sqlite"
    assert kill_programs(url, 25, random.Random(1)) > 25
    with sqlite3.connect(tmp_path / "shelf.sqlite") as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    connection.close()


def test_a_computer_without_power_finds_every_acknowledged_save(tmp_path: Path) -> None:
    """The files as they stand when a save was acknowledged, as a machine would find them that died then."""
    url = f"sqlite:///{tmp_path}/shelf.sqlite"
    with open_shelf(url) as shelf:
        job_id = shelf.new(text_of(1), "Ada", files=files_of(1)).job_id
        for number in range(1, 8):
            shelf.save(job_id, text_of(number + 1), number, "Ada", files=files_of(number + 1))
            copy = tmp_path / f"copy-{number}"
            copy.mkdir()
            for name in ("shelf.sqlite", "shelf.sqlite-wal"):
                shutil.copy(tmp_path / name, copy / name)
            with open_shelf(f"sqlite:///{copy}/shelf.sqlite") as found:
                assert check(found, job_id, number + 1) == number + 1


def test_every_commit_waits_for_the_disk(shelf_settings: dict[str, str]) -> None:
    assert shelf_settings in (
        # SQLite's FULL is 2.
        {"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1", "secure_delete": "1"},
        {"synchronous_commit": "on", "fsync": "on", "full_page_writes": "on"},
    )


@pytest.fixture
def shelf_settings(url: str) -> dict[str, str]:
    """What the database says of itself, asked on the connection of a save."""
    with open_shelf(url) as shelf:
        sqlite = shelf.database.sqlite
        names = (
            ("journal_mode", "synchronous", "foreign_keys", "secure_delete")
            if sqlite
            else ("synchronous_commit", "fsync", "full_page_writes")
        )
        word = "PRAGMA" if sqlite else "SHOW"
        return shelf.database.run(
            lambda session: {name: str(session.scalar(text(f"{word} {name}"))) for name in names}
        )


@pytest.fixture
def server_url(postgres: Server) -> Iterator[str]:
    """Address of a database on a server that a test may stop; afterwards it runs again."""
    yield postgres.new_database(f"kills_{next(NUMBERS)}")
    if postgres.process is None:
        postgres.start()


def test_a_server_killed_in_the_middle_of_saves_loses_nothing(postgres: Server, server_url: str) -> None:
    assert kill_servers(postgres, server_url, 3, random.Random(1)) > 3


def test_a_shelf_that_was_open_goes_on_once_the_server_is_back(postgres: Server, server_url: str) -> None:
    job_id = new_job(server_url)
    with open_shelf(server_url) as shelf:
        postgres.stop_at_once()
        with pytest.raises(CannotDoError, match="save again"):
            shelf.save(job_id, text_of(2), 1, "Ada")
        postgres.start()
        assert shelf.save(job_id, text_of(2), 1, "Ada").number == 2  # type: ignore[union-attr]
    postgres.kill()
    with pytest.raises(CannotDoError, match="runs and can be reached"):
        open_shelf(server_url)


def test_two_programs_save_and_one_is_killed(tmp_path: Path) -> None:
    """The lock of the dead one is gone with it: the other goes on."""
    url = f"sqlite:///{tmp_path}/shelf.sqlite"
    one, two = new_job(url), new_job(url)
    with saver(url, one) as first, saver(url, two) as second:
        first.kill()
        before = second.last
        second.listen(0.3)
        assert second.last > before
        second.kill()
    with open_shelf(url) as shelf:
        check(shelf, one, first.last)
        check(shelf, two, second.last)
