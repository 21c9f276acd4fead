"""Who is there: signed cookies, sign-ins that end, and the token that every change has to bring along."""

from __future__ import annotations

import hashlib
import hmac
import secrets
import time
from collections import OrderedDict
from collections.abc import Callable
from typing import Final

from starlette.datastructures import MutableHeaders
from starlette.requests import HTTPConnection
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from groundstrap.records import dataclass, replace
from groundstrap.web.problems import Problem, send_problem, wants_page
from groundstrap.web.settings import Settings
from groundstrap.words import words

__all__ = ["Visitor", "Visitors", "WhoIsThere"]

_MOST_SIGNED_IN: Final = 2000
_OPEN: Final = frozenset({"/sign-in", "/api/session", "/api/openapi.json"})
_OPEN_BELOW: Final = ("/static/",)


@dataclass(frozen=True, slots=True, kw_only=True)
class Visitor:
    """One browser, as the bench knows it."""

    id: str
    token: str
    """Has to come with every change: in the header `X-CSRF-Token`, or as the first field of a form."""
    who: str = ""
    """The name that saves are kept under."""
    signed_in: bool = False
    new: bool = False
    """Whether it came without a cookie of ours."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _SignIn:
    who: str
    began: float
    used: float


class Visitors:
    """Makes and reads the cookies, and knows who is signed in; sign-ins end with the bench itself."""

    def __init__(self, settings: Settings, clock: Callable[[], float] = time.monotonic) -> None:
        """Keep the key and the limits."""
        self.cookie = f"groundstrap-{settings.port}"
        self.name_cookie = f"groundstrap-name-{settings.port}"
        self._settings, self._clock = settings, clock
        self._signed_in: OrderedDict[str, _SignIn] = OrderedDict()

    def of(self, connection: HTTPConnection) -> Visitor:
        """Return who a request comes from; one without a valid cookie is somebody new."""
        id_ = self._opened(connection.cookies.get(self.cookie, ""))
        if id_ is None:
            return self._visitor(secrets.token_urlsafe(18), new=True)
        signed = self._current(id_)
        given = connection.cookies.get(self.name_cookie, "")
        who = signed.who if signed is not None else _decoded(given)
        return replace(self._visitor(id_), who=who, signed_in=signed is not None)

    def sign_in(self, who: str) -> Visitor:
        """Return a visitor of a new id who is signed in: an id from before is worth nothing."""
        visitor = self._visitor(secrets.token_urlsafe(18), new=True)
        now = self._clock()
        self._signed_in[visitor.id] = _SignIn(who=who, began=now, used=now)
        while len(self._signed_in) > _MOST_SIGNED_IN:
            self._signed_in.popitem(last=False)
        return replace(visitor, who=who, signed_in=True)

    def sign_out(self, visitor: Visitor) -> None:
        """Forget a sign-in; its cookie is worth nothing from then on."""
        self._signed_in.pop(visitor.id, None)

    def set_cookie(self, headers: MutableHeaders, visitor: Visitor) -> None:
        """Write the cookie of a visitor."""
        value = f"{visitor.id}.{self._mark('cookie', visitor.id)}"
        age = int(self._settings.limits.session_seconds)
        headers.append(
            "set-cookie", f"{self.cookie}={value}; Path=/; HttpOnly; SameSite=Strict; Max-Age={age}"
        )

    def set_name(self, headers: MutableHeaders, who: str) -> None:
        """Write the cookie with the name that saves are kept under."""
        value = who.encode().hex()
        headers.append(
            "set-cookie", f"{self.name_cookie}={value}; Path=/; HttpOnly; SameSite=Strict; Max-Age=31536000"
        )

    def right_token(self, visitor: Visitor, given: str) -> bool:
        """Whether a token is the visitor's own."""
        return hmac.compare_digest(visitor.token.encode(), given.encode("utf-8", "replace"))

    def _visitor(self, id_: str, *, new: bool = False) -> Visitor:
        return Visitor(id=id_, token=self._mark("token", id_), new=new)

    def _mark(self, what: str, id_: str) -> str:
        return hmac.new(self._settings.secret, f"{what}:{id_}".encode(), hashlib.sha256).hexdigest()[:40]

    def _opened(self, value: str) -> str | None:
        id_, _, mark = value.partition(".")
        right = hmac.compare_digest(self._mark("cookie", id_).encode(), mark.encode("utf-8", "replace"))
        return id_ if id_ and right else None

    def _current(self, id_: str) -> _SignIn | None:
        found, now = self._signed_in.get(id_), self._clock()
        if found is None:
            return None
        limits = self._settings.limits
        if now - found.used > limits.idle_seconds or now - found.began > limits.session_seconds:
            del self._signed_in[id_]
            return None
        self._signed_in[id_] = replace(found, used=now)
        self._signed_in.move_to_end(id_)
        return self._signed_in[id_]


def _decoded(value: str) -> str:
    """The name in a cookie: hexadecimal, because a cookie takes no letters beyond ASCII."""
    try:
        return bytes.fromhex(value).decode()[:80]
    except ValueError:
        return ""


class WhoIsThere:
    """Puts the visitor into the request, and lets nobody further who should sign in first."""

    def __init__(self, app: ASGIApp, visitors: Visitors, *, shared: bool) -> None:
        """Keep what is inside."""
        self.app, self.visitors, self.shared = app, visitors, shared

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve, or answer that one has to sign in."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        visitor = self.visitors.of(HTTPConnection(scope))
        scope.setdefault("state", {})["visitor"] = visitor
        path: str = scope["path"]

        async def with_cookie(message: Message) -> None:
            if message["type"] == "http.response.start" and visitor.new and not path.startswith("/static/"):
                headers = MutableHeaders(scope=message)
                if not any(
                    value.startswith(f"{self.visitors.cookie}=") for value in headers.getlist("set-cookie")
                ):
                    self.visitors.set_cookie(headers, visitor)
            await send(message)

        if self.shared and not visitor.signed_in and path not in _OPEN and not path.startswith(_OPEN_BELOW):
            await self._turned_away(scope, receive, with_cookie)
            return
        await self.app(scope, receive, with_cookie)

    @staticmethod
    async def _turned_away(scope: Scope, receive: Receive, send: Send) -> None:
        if wants_page(scope) and scope["method"] == "GET":
            await send(
                {"type": "http.response.start", "status": 303, "headers": [(b"location", b"/sign-in")]}
            )
            await send({"type": "http.response.body", "body": b""})
            return
        problem = Problem(
            status=401,
            kind="sign-in",
            detail=words("this bench is shared, and nobody is signed in here"),
            next_step=words("sign in at /sign-in, or with POST /api/session"),
        )
        await send_problem(problem, scope, receive, send)
