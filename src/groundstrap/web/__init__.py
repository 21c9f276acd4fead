"""The bench: the page and its JSON API, for people who never open a terminal.

`serve` runs it, `create_app` makes the application alone. A name is looked up when it is first used, so that
the command line loads no server until somebody asks for one.
"""

from __future__ import annotations

import importlib
from types import ModuleType
from typing import TYPE_CHECKING, Final

from groundstrap.errors import CallError

if TYPE_CHECKING:
    from groundstrap.web.app import create_app
    from groundstrap.web.serving import serve
    from groundstrap.web.settings import Settings
    from groundstrap.web.starting import has_passphrase, keep_passphrase, lan_address, on_the_shelf, prepared

__all__ = [
    "Settings",
    "create_app",
    "has_passphrase",
    "keep_passphrase",
    "lan_address",
    "on_the_shelf",
    "prepared",
    "serve",
]

_HOMES: Final = {
    "groundstrap.web.app": ("create_app",),
    "groundstrap.web.serving": ("serve",),
    "groundstrap.web.settings": ("Settings",),
    "groundstrap.web.starting": (
        "has_passphrase",
        "keep_passphrase",
        "lan_address",
        "on_the_shelf",
        "prepared",
    ),
}
# What only the bench needs, by the name that it is imported under.
_PACKAGES: Final = frozenset({
    "alembic", "argon2", "fastapi", "jinja2", "markupsafe", "PIL", "pydantic", "python_multipart",
    "sqlalchemy", "starlette", "uvicorn",
})  # fmt: skip


def __getattr__(name: str) -> object:
    for home, names in _HOMES.items():
        if name in names:
            return getattr(_loaded(home), name)
    raise AttributeError(f"groundstrap.web has no {name!r}; it has {', '.join(__all__)}")


def _loaded(home: str) -> ModuleType:
    try:
        return importlib.import_module(home)
    except ModuleNotFoundError as error:
        if (error.name or "").partition(".")[0] not in _PACKAGES:
            raise
        raise CallError(
            "the bench is not installed with this Groundstrap", wanted="pip install 'groundstrap[bench]'"
        ) from None
