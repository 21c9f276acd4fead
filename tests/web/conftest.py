"""One bench for all tests of its API: bringing the workers up takes most of the time."""

from __future__ import annotations

from collections.abc import Iterator

import httpx
import pytest

from tests.support.bench import running, visitor


@pytest.fixture(scope="session")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with running(tmp_path_factory.mktemp("bench"), head_seconds=1.0) as address:
        yield address


@pytest.fixture(scope="session")
def api(bench: str) -> Iterator[httpx.Client]:
    with visitor(bench) as client:
        yield client
