"""The bench: the page and its JSON API, for people who never open a terminal.

`serve` runs it, `create_app` makes the application alone. A name is looked up when it is first used, so that
the command line loads no server until somebody asks for one.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from groundstrap.web.app import create_app
    from groundstrap.web.serving import serve
    from groundstrap.web.settings import Settings

__all__ = ["Settings", "create_app", "serve"]

_HOMES: Final = {
    "Settings": "groundstrap.web.settings",
    "create_app": "groundstrap.web.app",
    "serve": "groundstrap.web.serving",
}


def __getattr__(name: str) -> object:
    if name in _HOMES:
        return getattr(importlib.import_module(_HOMES[name]), name)
    raise AttributeError(f"groundstrap.web has no {name!r}; it has {', '.join(__all__)}")
