"""Templates filled in a language: texts are said by its catalogue, pictures stand in the page as they are."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

from jinja2 import Environment, FileSystemLoader
from markupsafe import Markup

from groundstrap import api
from groundstrap.records import dataclass
from groundstrap.web.pages import phrases
from groundstrap.web.pages.writing import ends, faulty

__all__ = ["Look", "filled", "said", "slug"]

_TEMPLATES: Final = Path(__file__).parent.parent / "templates"
_NO_WORD: Final = re.compile(r"[^\w]+")
_REFERENCE: Final = re.compile(r"(?<![\w-])-(?=[A-Z]+\d)")
_PROLOGUE: Final = re.compile(r"^\s*<\?xml[^>]*\?>\s*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How somebody wants to be shown things, and where in the bench that is."""

    code: str = "en"
    """Language, as ISO 639-1 has it."""
    units: str | None = None
    """`metric` or `us`; none for the job's own."""
    at: str = ""
    """Address that links to parts of the job begin with."""
    write: bool = False
    """Whether forms stand beside it."""
    wide: bool = True
    """Whether there is room for drawings as wide as a sheet."""


def filled(template: str, look: Look, /, **values: object) -> str:
    """Return a template filled in a language.

    Parameters
    ----------
    template : str
        Its file name.
    look : Look
        How it is shown.
    **values
        What it is filled with.
    """
    environment = _environment(look.code)
    return environment.get_template(template).render(
        code=look.code, at=look.at, write=look.write, units=look.units or "", **values
    )


def said(text: str, code: str) -> str:
    """Return a text in a language, with the signs of print."""
    return api.language(code).in_print.text(text)


def slug(name: str) -> str:
    """Return a name as part of an id.

    >>> slug("work light 2, rear")
    'work-light-2-rear'
    """
    return _NO_WORD.sub("-", name).strip("-").lower()


class _Said:
    """The pages' own texts in one language, by name; one that something goes into is called."""

    def __init__(self, text: Callable[[str], str]) -> None:
        """Say all that nothing goes into."""
        self._text = text
        self._plain = {name: text(each) for name, each in phrases.PLAIN.items()}

    def __getattr__(self, name: str) -> str | Callable[..., str]:
        if name in self._plain:
            return self._plain[name]
        if name not in phrases.TOLD:
            raise AttributeError(f"the pages have no text {name!r}")
        template = phrases.TOLD[name]
        return lambda **fields: self._text(template(**fields))


@lru_cache(maxsize=8)
def _environment(code: str) -> Environment:
    # By type too: a name that somebody gave may read like a word of ours.
    text = lru_cache(maxsize=4096, typed=True)(api.language(code).in_print.text)
    environment = Environment(
        loader=FileSystemLoader(_TEMPLATES), autoescape=True, trim_blocks=True, lstrip_blocks=True
    )
    environment.filters.update(
        say=lambda each: "" if each is None else _unbroken(text(each)),
        svg=_picture,
        slug=slug,
        begun=lambda each: each[:1].upper() + each[1:],
        path=environment.filters["urlencode"],
        ends=ends,
        fault=lambda each: text(api.fault_said(each)),
        faulty=faulty,
    )
    environment.globals.update(
        p=_Said(text),
        levels=_all(phrases.LEVELS, text),
        kinds=_all(phrases.KINDS, text),
        papers=list(_all(phrases.PAPERS, text).items()),
        sides=_all(phrases.SIDES, text),
        ways=[(way, text(name)) for way, name in phrases.WAYS.items()],
        languages=[(each, phrases.LANGUAGES.get(each, each)) for each in api.languages()],
    )
    return environment


def _all(texts: Mapping[str, str], text: Callable[[str], str]) -> dict[str, Any]:
    return {name: text(each) for name, each in texts.items()}


def _unbroken(text: str) -> str:
    """A text in which no line ends behind the hyphen that a reference begins with: -F6."""
    return _REFERENCE.sub("-\N{WORD JOINER}", text) if "-" in text else text


def _picture(svg: str) -> Markup:
    """An SVG that the program itself drew, which holds neither script nor style."""
    return Markup(_PROLOGUE.sub("", svg))
