"""Which language somebody is spoken to in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from starlette.requests import Request

from groundstrap import api

__all__ = ["CHOICES", "choice", "speech"]

CHOICES: Final[Mapping[str, tuple[str, ...]]] = {
    "language": tuple(api.languages()),
    "units": ("metric", "us"),
    "theme": ("light", "dark"),
}
"""What is kept in a cookie of its name, and its values."""


def choice(request: Request, name: str) -> str:
    """Return what somebody chose of one of `CHOICES`; an empty text where nothing was."""
    given = request.cookies.get(f"groundstrap-{name}", "")
    return given if given in CHOICES[name] else ""


def speech(request: Request) -> str:
    """Return the language that somebody chose, else the first of the browser's that there is."""
    chosen = choice(request, "language")
    if chosen:
        return chosen
    wanted = (
        each.partition(";")[0].strip()[:2].lower()
        for each in request.headers.get("accept-language", "").split(",")
    )
    return next((code for code in wanted if code in CHOICES["language"]), "en")
