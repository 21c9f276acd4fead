"""A bench that runs in this process for tests: a real server on a port of its own."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import httpx
import uvicorn

from groundstrap.web import Settings
from groundstrap.web.serving import server_config
from groundstrap.web.settings import Limits

ROOT = Path(__file__).resolve().parents[2]
PICKUP = (ROOT / "examples" / "hive-pickup.job.yaml").read_text(encoding="utf-8")
LAMP = """groundstrap: 1
title: Work light on the trailer  # of the farm
system: 12 V
loads:
  work light: {claims: {power: 60 W}}
circuits:
  work light: {length: 7 m}
"""
# A passphrase of the tests, hashed with as little work as the library takes: it guards nothing.
PASSPHRASE = "four words of the tests"
PLENTY = Limits(per_second=10_000.0, burst=100_000)


def free_port() -> int:
    """Return a port that nobody listens on."""
    with socket.socket() as tried:
        tried.bind(("127.0.0.1", 0))
        return int(tried.getsockname()[1])


def every_route(routes: Iterable[Any]) -> Iterator[tuple[str, str, bool]]:
    """Yield method and path of every route, and whether the API's description has it."""
    for route in routes:
        if hasattr(route, "original_router"):
            yield from every_route(route.original_router.routes)
        else:
            for method in sorted(route.methods or ()):
                yield method, route.path.replace(":path}", "}"), route.include_in_schema


@contextmanager
def running(folder: Path, *, head_seconds: float = 20.0, **given: Any) -> Iterator[str]:
    """Run a bench, and give its address."""
    port = free_port()
    values: dict[str, Any] = {
        "shelf": f"sqlite:///{folder / 'shelf.sqlite'}",
        "secret": b"a key of the tests, 32 bytes long",
        "workers": 1,
        "limits": PLENTY,
    }
    settings = Settings(**{**values, **given, "port": port})
    server = uvicorn.Server(server_config(settings, head_seconds=head_seconds))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    till = time.monotonic() + 90
    while not server.started:
        if not thread.is_alive() or time.monotonic() > till:
            raise RuntimeError("the bench did not start")
        time.sleep(0.02)
    try:
        yield f"http://127.0.0.1:{port}"
    finally:
        server.should_exit = True
        thread.join(20)


@contextmanager
def visitor(address: str) -> Iterator[httpx.Client]:
    """Come as somebody with a cookie and a token of that bench."""
    with httpx.Client(base_url=address, timeout=60, trust_env=False) as client:
        client.headers["X-CSRF-Token"] = client.get("/api/session").json()["token"]
        yield client
