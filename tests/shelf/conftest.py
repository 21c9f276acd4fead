"""Shelves to test with: each test that asks for `url` runs on SQLite and on PostgreSQL."""

from __future__ import annotations

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


@pytest.fixture(params=["sqlite", "postgresql"])
def url(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Address of a shelf that nothing is on."""
    if request.param == "sqlite":
        return f"sqlite:///{tmp_path}/shelf.sqlite"
    found: str = request.getfixturevalue("postgres_url")
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
