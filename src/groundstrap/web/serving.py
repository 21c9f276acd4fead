"""Runs a bench until it is interrupted."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any

import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol, RequestResponseCycle

from groundstrap import api
from groundstrap.web.app import create_app
from groundstrap.web.settings import Settings
from groundstrap.web.starting import sure_to_listen

__all__ = ["serve", "server_config"]


def serve(settings: Settings, *, ready: Callable[[], None] | None = None) -> None:
    """Serve a bench until it is interrupted.

    Parameters
    ----------
    settings : Settings
        Where it listens, who may come in, what it keeps.
    ready : callable or None
        Called once it answers.

    Raises
    ------
    CannotDoError
        The port is taken.
    """
    sure_to_listen(settings)
    # Opened once before: what stands against the shelf is told as any other error.
    api.open_shelf(settings.shelf).close()
    _Server(server_config(settings), ready).run()


def server_config(settings: Settings, *, head_seconds: float = 20.0) -> uvicorn.Config:
    """Return how the server is run.

    Parameters
    ----------
    settings : Settings
        Where it listens, who may come in, what it keeps.
    head_seconds : float
        A request whose head takes longer to arrive is given up.
    """
    return uvicorn.Config(
        create_app(settings),
        host=settings.host,
        port=settings.port,
        http=type("Impatient", (_Impatient,), {"head_seconds": head_seconds}),
        log_level="warning",
        access_log=False,
        server_header=False,
        proxy_headers=False,
        ws="none",
        lifespan="on",
        timeout_keep_alive=30,
        timeout_graceful_shutdown=5,
        limit_concurrency=600,
        h11_max_incomplete_event_size=32 * 1024,
    )


class _Impatient(H11Protocol):
    """Closes a connection on which no request begins, or whose head comes drop by drop."""

    head_seconds: float
    _patience: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Begin to wait for the first request."""
        super().connection_made(transport)
        self._wait()

    def data_received(self, data: bytes) -> None:
        """Take what came; where it is no whole head yet, the wait goes on."""
        super().data_received(data)
        # Before its first request a connection has no cycle, which its types do not say.
        cycle: RequestResponseCycle | None = self.cycle
        if cycle is None or cycle.response_complete:
            self._wait()
        else:
            self._rest()

    def connection_lost(self, exc: Exception | None) -> None:
        """Wait no more."""
        self._rest()
        super().connection_lost(exc)

    def _wait(self) -> None:
        if self._patience is None:
            self._patience = self.loop.call_later(self.head_seconds, self.transport.close)

    def _rest(self) -> None:
        if self._patience is not None:
            self._patience.cancel()
            self._patience = None


class _Server(uvicorn.Server):
    """Tells when it answers."""

    def __init__(self, config: uvicorn.Config, ready: Callable[[], None] | None) -> None:
        super().__init__(config)
        self._ready = ready

    async def startup(self, sockets: Any = None) -> None:
        await super().startup(sockets)
        if self.started and self._ready is not None:
            self._ready()
