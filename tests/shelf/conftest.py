"""Shelves to test with: each test that asks for `url` runs on SQLite and on PostgreSQL."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import create_engine

from groundstrap.shelf import Shelf, open_shelf
from groundstrap.shelf.schema import Base
from tests.support.postgres import Server, programs, server


@pytest.fixture(scope="session")
def postgres() -> Iterator[Server]:
    """A PostgreSQL server of this test run."""
    found = programs()
    if found is None:
        pytest.skip(
            "PostgreSQL is not installed (Debian package postgresql): the shelf is tested on SQLite alone"
        )
    with server(found) as running:
        yield running


@pytest.fixture(scope="session")
def postgres_url(postgres: Server) -> str:
    """Address of a shelf in PostgreSQL whose tables are there."""
    found = postgres.new_database("shelf")
    open_shelf(found).close()
    return found


@pytest.fixture(scope="session")
def new_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shelf in a file whose tables are there: to make them takes longer than most tests."""
    path = tmp_path_factory.mktemp("shelf") / "shelf.sqlite"
    open_shelf(f"sqlite:///{path}").close()
    return path


@pytest.fixture
def sqlite_url(new_file: Path, tmp_path: Path) -> str:
    """Address of a shelf in a file that nothing is on."""
    shutil.copy(new_file, tmp_path)
    return f"sqlite:///{tmp_path / new_file.name}"


@pytest.fixture(params=["sqlite", "postgresql"])
def url(request: pytest.FixtureRequest) -> str:
    """Address of a shelf that nothing is on."""
    found: str
    if request.param == "sqlite":
        found = request.getfixturevalue("sqlite_url")
        return found
    found = request.getfixturevalue("postgres_url")
    engine = create_engine(found)
    with engine.begin() as connection:
        for table in reversed(Base.metadata.sorted_tables):
            connection.execute(table.delete())
    engine.dispose()
    return found


@pytest.fixture
def shelf(url: str) -> Iterator[Shelf]:
    """A shelf that nothing is on, open."""
    with open_shelf(url) as opened:
        yield opened
