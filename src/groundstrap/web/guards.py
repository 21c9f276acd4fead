"""What a request has to pass before anything of ours looks at it: name, origin, token, size, pace."""

from __future__ import annotations

import asyncio
import ipaddress
import re
import time
from collections import OrderedDict
from collections.abc import Callable
from typing import Final

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from groundstrap.web.problems import Problem, send_problem
from groundstrap.web.settings import Limits, Settings
from groundstrap.web.visitors import Visitor, Visitors
from groundstrap.words import words

__all__ = ["BodyLimit", "NoForgery", "OurNames", "Pace", "Paces"]

_READS: Final = frozenset({"GET", "HEAD", "OPTIONS"})
_FORMS: Final = ("application/x-www-form-urlencoded", "multipart/form-data")
_IN_FORM: Final = re.compile(
    rb"\A(?:csrf=([0-9a-f]{40})(?:&|\Z)|"
    rb'--[^\r\n]{1,80}\r\nContent-Disposition: form-data; name="csrf"\r\n\r\n([0-9a-f]{40})\r\n)',
    re.IGNORECASE,
)
_HEAD_OF_FORM: Final = 400


def header(scope: Scope, name: bytes) -> str | None:
    """Return a header's value; None where it is missing or there are several."""
    found = [value for key, value in scope["headers"] if key == name]
    return found[0].decode("latin-1") if len(found) == 1 else None


class OurNames:
    """Answers only to our own names: another site's name that leads to this machine is turned away."""

    def __init__(self, app: ASGIApp, settings: Settings) -> None:
        """Keep the names."""
        self.app, self.settings = app, settings

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve what was asked of us by a name of ours."""
        if scope["type"] != "http" or self._ours(header(scope, b"host")):
            await self.app(scope, receive, send)
            return
        problem = Problem(
            status=421,
            kind="host",
            detail=words("the request names another host than this bench"),
            next_step=words("open the address that `groundstrap bench` prints"),
        )
        await send_problem(problem, scope, receive, send)

    def _ours(self, host: str | None) -> bool:
        if host is None:
            return False
        name = re.sub(r":\d{1,5}\Z", "", host).lower().removesuffix(".")
        return name in self.settings.names or (self.settings.shared and _is_address(name))


def _is_address(name: str) -> bool:
    """Whether it is an address in numbers, which nobody else's name server can point at us."""
    try:
        ipaddress.ip_address(name.removeprefix("[").removesuffix("]"))
    except ValueError:
        return False
    return True


class BodyLimit:
    """Refuses a body that is too large before it is read, and one that comes too slowly while it is."""

    def __init__(self, app: ASGIApp, limits: Limits) -> None:
        """Keep the limits."""
        self.app, self.limits = app, limits

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve with a body that can be counted on."""
        if scope["type"] != "http" or scope["method"] in {"GET", "HEAD"}:
            await self.app(scope, receive, send)
            return
        most = self._most(scope["path"])
        told = header(scope, b"content-length")
        if told is not None and (not told.isdecimal() or len(told) > 12 or int(told) > most):
            await send_problem(_too_large(most), scope, receive, send)
            return
        body, answered = _Body(receive, most, self.limits.body_seconds), False

        async def unless_refused(message: Message) -> None:
            # Whatever the framework makes of a body that stopped coming, the answer says why it did.
            nonlocal answered
            if body.refused is None:
                await send(message)
            elif not answered:
                answered = True
                await send_problem(body.refused, scope, receive, send)

        try:
            await self.app(scope, body.receive, unless_refused)
        except _BodyRefusedError as refused:
            if not answered:
                await send_problem(refused.problem, scope, receive, send)

    def _most(self, path: str) -> int:
        if path.endswith("/photos"):
            return self.limits.photo_bytes
        return self.limits.import_bytes if path.endswith("/import") else self.limits.body_bytes


def _too_large(most: int) -> Problem:
    return Problem(
        status=413,
        kind="too-large",
        detail=words(
            "more than {size} were sent, and that is the most that is taken here", size=f"{most // 1024} KiB"
        ),
        next_step=words("send less, or send it in parts"),
    )


class _BodyRefusedError(Exception):
    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        super().__init__(problem.detail)


class _Body:
    """Counts what comes in, and looks at the clock."""

    def __init__(self, receive: Receive, most: int, seconds: float) -> None:
        self._receive, self._most = receive, most
        self._till = time.monotonic() + seconds
        self._taken, self._whole = 0, False
        self.refused: Problem | None = None

    async def receive(self) -> Message:
        if self._whole:
            return await self._receive()
        try:
            message = await asyncio.wait_for(self._receive(), max(0.0, self._till - time.monotonic()))
        except TimeoutError:
            raise self._refusal(_TOO_SLOW) from None
        self._taken += len(message.get("body", b""))
        self._whole = not message.get("more_body", False)
        if self._taken > self._most:
            raise self._refusal(_too_large(self._most))
        return message

    def _refusal(self, problem: Problem) -> _BodyRefusedError:
        self.refused = problem
        return _BodyRefusedError(problem)


_TOO_SLOW: Final = Problem(
    status=408,
    kind="too-slow",
    detail=words("the body of the request did not arrive in time"),
    next_step=words("try again with a better connection"),
)


class NoForgery:
    """Takes a change only from our own pages: the origin must be ours, and the token the visitor's."""

    def __init__(self, app: ASGIApp, visitors: Visitors) -> None:
        """Keep who knows the tokens."""
        self.app, self.visitors = app, visitors

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve, or answer why the change is not taken."""
        if scope["type"] != "http" or scope["method"] in _READS:
            await self.app(scope, receive, send)
            return
        if not _from_here(scope):
            await self._refuse(words("it comes from another site"), scope, receive, send)
            return
        visitor: Visitor = scope["state"]["visitor"]
        given = header(scope, b"x-csrf-token")
        if given is None and (header(scope, b"content-type") or "").lower().startswith(_FORMS):
            given, receive = await _token_of_form(receive)
        if given is None or not self.visitors.right_token(visitor, given):
            await self._refuse(words("its token is missing or not this visitor's"), scope, receive, send)
            return
        await self.app(scope, receive, send)

    @staticmethod
    async def _refuse(why: str, scope: Scope, receive: Receive, send: Send) -> None:
        problem = Problem(
            status=403,
            kind="forgery",
            detail=words("the change was not taken: {why}", why=why),
            next_step=words(
                "load the page again; a program sends the token of GET /api/session as X-CSRF-Token"
            ),
        )
        await send_problem(problem, scope, receive, send)


def _from_here(scope: Scope) -> bool:
    """Whether a browser says that the request comes from our own pages; a program says nothing at all."""
    if (header(scope, b"sec-fetch-site") or "same-origin") not in {"same-origin", "none"}:
        return False
    origins = [value for key, value in scope["headers"] if key == b"origin"]
    if not origins:
        return True
    host = header(scope, b"host")
    return len(origins) == 1 and origins[0].decode("latin-1").lower() in {f"http://{host}", f"https://{host}"}


async def _token_of_form(receive: Receive) -> tuple[str | None, Receive]:
    """The first field of a form, and what gives its body again from the beginning."""
    taken: list[Message] = []
    head = b""
    while len(head) < _HEAD_OF_FORM:
        message = await receive()
        taken.append(message)
        head += message.get("body", b"")
        if message["type"] != "http.request" or not message.get("more_body", False):
            break

    async def again() -> Message:
        return taken.pop(0) if taken else await receive()

    found = _IN_FORM.match(head)
    return ((found[1] or found[2]).decode().lower() if found else None), again


class Paces:
    """How many things each of many may do in a time: a bucket that fills evenly and empties by use."""

    def __init__(self, per_second: float, burst: int, clock: Callable[[], float] = time.monotonic) -> None:
        """Keep the pace."""
        self._per_second, self._burst, self._clock = per_second, burst, clock
        self._left: OrderedDict[str, tuple[float, float]] = OrderedDict()

    def wait_s(self, key: str, *, take: float = 1.0) -> float:
        """Take one, or return how many seconds there are none; 0 where it was taken."""
        now = self._clock()
        left, then = self._left.pop(key, (float(self._burst), now))
        left = min(float(self._burst), left + (now - then) * self._per_second)
        waits = 0.0 if left >= take else (take - left) / self._per_second
        self._left[key] = (left if waits else left - take, now)
        while len(self._left) > 10_000:
            self._left.popitem(last=False)
        return waits


class Pace:
    """Holds each visitor to a pace: whoever is signed in by the sign-in, everybody else by the address."""

    def __init__(self, app: ASGIApp, settings: Settings) -> None:
        """Keep the pace."""
        self.app, self.shared = app, settings.shared
        self.paces = Paces(settings.limits.per_second, settings.limits.burst)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve, or answer when to come again."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        visitor: Visitor = scope["state"]["visitor"]
        known = visitor.signed_in or not (self.shared or visitor.new)
        waits = self.paces.wait_s(visitor.id if known else address_of(scope))
        if waits:
            await send_problem(too_many(waits), scope, receive, send)
            return
        await self.app(scope, receive, send)


def address_of(scope: Scope) -> str:
    """Return where a request comes from; of a long address the part that a household is given."""
    client = scope.get("client")
    host = client[0] if client else ""
    try:
        address = ipaddress.ip_address(host)
    except ValueError:
        return str(host)
    return str(address) if address.version == 4 else str(ipaddress.ip_network((address, 64), strict=False))


def too_many(waits_s: float) -> Problem:
    """Return the answer to somebody who is too quick."""
    seconds = max(1, int(waits_s + 0.999))
    return Problem(
        status=429,
        kind="pace",
        detail=words("more was asked than the bench answers at once"),
        next_step=words("try again in {time}", time=f"{seconds} s"),
        headers={"Retry-After": str(seconds)},
    )
