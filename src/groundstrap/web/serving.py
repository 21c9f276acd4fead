"""Runs a bench until it is interrupted."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import uvicorn

from groundstrap import api
from groundstrap.web.app import create_app
from groundstrap.web.settings import Settings
from groundstrap.web.starting import sure_to_listen

__all__ = ["serve"]


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
    config = uvicorn.Config(
        create_app(settings),
        host=settings.host,
        port=settings.port,
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
    _Server(config, ready).run()


class _Server(uvicorn.Server):
    """Tells when it answers."""

    def __init__(self, config: uvicorn.Config, ready: Callable[[], None] | None) -> None:
        super().__init__(config)
        self._ready = ready

    async def startup(self, sockets: Any = None) -> None:
        await super().startup(sockets)
        if self.started and self._ready is not None:
            self._ready()
