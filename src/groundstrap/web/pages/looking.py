"""What can be looked up, who is there, and how somebody wants to be shown things."""

from __future__ import annotations

from typing import Final

from fastapi import APIRouter
from starlette.datastructures import MutableHeaders
from starlette.requests import Request
from starlette.responses import Response

from groundstrap import api
from groundstrap.records import dataclass
from groundstrap.web.asked import settings_of, visitor_of, visitors_of
from groundstrap.web.pages import explained
from groundstrap.web.pages.context import look_of, page, to
from groundstrap.web.pages.rendering import said
from groundstrap.web.problems import Refused
from groundstrap.web.signing import admitted
from groundstrap.web.speech import CHOICES
from groundstrap.words import term, words

__all__ = ["router"]

router = APIRouter(include_in_schema=False)
_A_YEAR: Final = 31_536_000


@dataclass(frozen=True, slots=True, kw_only=True)
class _Term:
    key: str
    word: str
    text: str


@router.get("/terms")
async def terms(request: Request) -> Response:
    """Explain each term once."""
    look = look_of(request)
    told = [
        _Term(key=key, word=said(word, look.code), text=said(text, look.code))
        for key, (word, text) in explained.TERMS.items()
    ]
    return page(request, "terms.html", look, terms=told)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Said:
    """A text, and the language that it stands in where that is not the page's."""

    text: str
    lang: str = ""


def _said(text: str, code: str) -> _Said:
    told = said(text, code)
    return _Said(text=told, lang="en" if code != "en" and told == said(text, "en") else "")


@router.get("/rules")
async def rules(request: Request) -> Response:
    """List all rules."""
    look = look_of(request)
    every = sorted(api.rules(), key=lambda each: each.id)
    told = [(each.id, _said(term(each.statement), look.code)) for each in every]
    return page(request, "rules.html", look, rules=told)


@router.get("/rules/{name}")
async def rule(request: Request, name: str) -> Response:
    """Explain a rule."""
    found, look = api.explain(name), look_of(request)
    told = [
        _Chapter(
            heading=said(each.heading, look.code),
            lines=tuple(_said(line, look.code) for line in each.lines),
            items=tuple(_said(line, look.code) for line in each.items),
        )
        for each in api.rule_told(found)
    ]
    return page(request, "rule.html", look, rule=found, chapters=told)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Chapter:
    """What a rule says under one heading."""

    heading: str
    lines: tuple[_Said, ...]
    items: tuple[_Said, ...]


def _inside(address: str) -> str:
    """An address of our own to go back to; any other becomes the bench's first page."""
    return address if address.startswith("/") and not address.startswith(("//", "/\\")) else "/"


@router.post("/choices")
async def choices(request: Request) -> Response:
    """Keep how somebody wants to be shown things, and the name that is saved under."""
    form = await request.form()
    response = to(_inside(str(form.get("back") or "/")))
    for name, values in CHOICES.items():
        value = str(form.get(name) or "")
        kept = value if value in values else ""
        response.set_cookie(f"groundstrap-{name}", kept, max_age=_A_YEAR, httponly=True, samesite="strict")
    if not visitor_of(request).signed_in:
        who = "".join(sign for sign in str(form.get("who") or "").strip()[:80] if sign.isprintable())
        visitors_of(request).set_name(MutableHeaders(raw=response.raw_headers), who)
    return response


@router.get("/sign-in")
async def ask_in(request: Request) -> Response:
    """Ask for the passphrase of a bench that is shared."""
    if not settings_of(request).shared or visitor_of(request).signed_in:
        return to("/")
    return page(request, "sign_in.html", look_of(request))


@router.post("/sign-in")
async def sign_in(request: Request) -> Response:
    """Sign in."""
    form = await request.form()
    try:
        visitor = await admitted(
            request, str(form.get("passphrase") or "")[:400], str(form.get("who") or "")[:80]
        )
    except Refused as refused:
        problem = refused.problem
        look = look_of(request)
        told = said(words("{what}; {next}", what=problem.detail, next=problem.next_step), look.code)
        return page(request, "sign_in.html", look, status=problem.status, problem=told)
    response = to("/")
    visitors_of(request).set_cookie(MutableHeaders(raw=response.raw_headers), visitor)
    return response


@router.post("/sign-out")
async def sign_out(request: Request) -> Response:
    """Sign out."""
    visitors_of(request).sign_out(visitor_of(request))
    return to("/sign-in")
