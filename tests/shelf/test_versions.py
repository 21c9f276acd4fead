"""A shelf of any earlier version is brought up to today's tables, with everything that is on it."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Iterator
from datetime import UTC, datetime
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlalchemy import Engine, text

from groundstrap.errors import CannotDoError
from groundstrap.shelf import open_shelf, versions
from groundstrap.shelf.database import Database
from groundstrap.shelf.location import address
from groundstrap.shelf.schema import Base
from groundstrap.shelf.versions import VERSION_TABLE, bring_up, steps

NUMBERS = count(1)
STEPS = steps()
WHEN = datetime(2026, 3, 1, 12, tzinfo=UTC)

# What a shelf of each version held: rows as they were written then, never changed afterwards.
JOB = {
    "id": "abc", "title": "Bakery van", "vehicle": "Panel van", "latest": 2, "who": "Ada",
    "begun_utc": WHEN, "changed_utc": WHEN, "removed_utc": None, "removed_by": "",
}  # fmt: skip
REVISION = {
    "job_id": "abc", "number": 1, "text": "title: Bakery van\n", "who": "Ada", "when_utc": WHEN,
    "note": "first", "fingerprint": "sha256:0", "title": "Bakery van", "vehicle": "Panel van",
    "based_on": None,
    "restored_from": None,
}  # fmt: skip
PHOTO = {
    "id": "p1", "job_id": "abc", "caption": "fuse box", "who": "Ada", "when_utc": WHEN,
    "media_type": "image/jpeg", "size_bytes": 3, "data": b"\xff\xd8\xff",
}  # fmt: skip
VISIT = {
    "job_id": "abc", "day": "2026-03-01", "revision": 2, "who": "Ada", "when_utc": WHEN, "note": "as built",
}  # fmt: skip
VISIT_PLACE = {
    "job_id": "abc", "day": "2026-03-01", "red": "lamp -", "black": "chassis", "place": "lamp return 1",
    "ohm": 0.002, "standard_ohm": 0.0004, "usual_ohm": 0.0023, "limit_ohm": None, "current_a": 4.0,
    "read": "8 mV", "mended": False,
}  # fmt: skip
ROWS: dict[str, list[tuple[str, dict[str, Any]]]] = {
    "0001": [
        ("shelf_job", JOB),
        ("shelf_revision", REVISION),
        ("shelf_revision", {**REVISION, "number": 2, "text": "title: Bakery van\nloads: {Lamp 50%: {}}\n"}),
        ("shelf_file", {"sha256": "f", "text": "kind\n"}),
        ("shelf_revision_file", {"job_id": "abc", "number": 2, "name": "stock.csv", "sha256": "f"}),
    ],
    "0002": [("shelf_photo", PHOTO)],
    "0003": [],
    "0004": [("shelf_visit", VISIT), ("shelf_visit_place", VISIT_PLACE)],
}


@pytest.fixture(params=["sqlite", "postgresql"])
def new_url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """Address of a database without any tables."""
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path}/{next(NUMBERS)}.sqlite"
    else:
        yield request.getfixturevalue("postgres").new_database(f"versions_{next(NUMBERS)}")


def old_shelf(url: str, version: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Make a shelf as a program of an earlier version left it."""
    with monkeypatch.context() as patched:
        patched.setattr("groundstrap.shelf.database.newest", lambda: version)
        patched.setattr(
            "groundstrap.shelf.database.bring_up", lambda connection: bring_up(connection, version)
        )
        database = Database(address(url))

    def fill(session: Any) -> None:
        for step in STEPS[: STEPS.index(version) + 1]:
            for table, row in ROWS[step]:
                bound = {
                    key: value.replace(tzinfo=None)
                    if database.sqlite and isinstance(value, datetime)
                    else value
                    for key, value in row.items()
                }
                names = ", ".join(bound)
                places = ", ".join(f":{name}" for name in bound)
                session.execute(text(f"INSERT INTO {table} ({names}) VALUES ({places})"), bound)

    database.run(fill)
    database.close()


def differences(engine: Engine) -> list[Any]:
    with engine.connect() as connection:
        context = MigrationContext.configure(
            connection, opts={"version_table": VERSION_TABLE, "compare_type": True}
        )
        return list(compare_metadata(context, Base.metadata))


def test_rows_of_every_version_are_at_hand() -> None:
    assert tuple(ROWS) == STEPS == tuple(sorted(STEPS))
    assert versions.newest() == STEPS[-1]


@pytest.mark.parametrize("version", STEPS)
def test_a_shelf_of_every_version_is_brought_up(
    new_url: str, version: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    old_shelf(new_url, version, monkeypatch)
    with open_shelf(new_url) as shelf:
        job = shelf.job("abc")
        assert (job.title, job.latest, job.who, job.changed_utc) == ("Bakery van", 2, "Ada", WHEN)
        found = shelf.revision("abc")
        assert (found.number, found.when_utc, dict(found.files)) == (2, WHEN, {"stock.csv": "kind\n"})
        assert shelf.revision("abc", 1).text == "title: Bakery van\n"
        if version < "0003":
            assert [each.id for each in shelf.jobs("lamp 50%", vehicle="panel")] == ["abc"]
        assert [each.caption for each in shelf.photos("abc")] == (["fuse box"] if version >= "0002" else [])
        days = [(each.day, each.places[0].ohm) for each in shelf.visits("abc")]
        assert days == ([("2026-03-01", 0.002)] if version >= "0004" else [])
        assert shelf.save("abc", "title: Mill van\n", 2, "Bob").number == 3  # type: ignore[union-attr]
        assert differences(shelf.database.engine) == []
    with open_shelf(new_url) as shelf:
        assert [each.id for each in shelf.jobs("mill")] == ["abc"]


def test_a_new_shelf_has_the_tables_that_the_program_knows(new_url: str) -> None:
    with open_shelf(new_url) as shelf:
        assert differences(shelf.database.engine) == []


def test_many_may_open_a_new_shelf_at_once(new_url: str) -> None:
    failed: list[BaseException] = []

    def work() -> None:
        try:
            with open_shelf(new_url) as shelf:
                shelf.new("title: x\n", "Ada")
        except BaseException as error:
            failed.append(error)

    threads = [threading.Thread(target=work) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not failed
    with open_shelf(new_url) as shelf:
        assert len(shelf.jobs()) == 4


def test_a_shelf_of_a_later_program_is_left_alone(new_url: str) -> None:
    with open_shelf(new_url) as shelf:
        shelf.database.run(
            lambda session: session.execute(text(f"UPDATE {VERSION_TABLE} SET version_num = '9999'"))
        )
    with pytest.raises(CannotDoError, match=r"later Groundstrap.*update"):
        open_shelf(new_url)


def test_a_step_that_fails_leaves_the_shelf_as_it_was(new_url: str, monkeypatch: pytest.MonkeyPatch) -> None:
    old_shelf(new_url, "0001", monkeypatch)
    with monkeypatch.context() as patched:
        patched.setattr("groundstrap.shelf.facts.folded", _fail)
        with pytest.raises(ZeroDivisionError):
            open_shelf(new_url)
    with open_shelf(new_url) as shelf:
        assert shelf.revision("abc").number == 2


def _fail(_: str) -> str:
    raise ZeroDivisionError


def test_the_steps_run_from_a_folder_with_an_odd_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    there = tmp_path / "50% off: a b"
    shutil.copytree(versions._FOLDER, there)
    monkeypatch.setattr(versions, "_FOLDER", there)
    assert steps() == STEPS
