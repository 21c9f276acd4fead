"""Headers on every response: what a page may load, who may frame it, what may be kept."""

from __future__ import annotations

from typing import Final

from starlette.types import ASGIApp, Message, Receive, Scope, Send

__all__ = ["SECURITY", "SecurityHeaders"]

POLICY: Final = (
    "default-src 'self'; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; "
    "img-src 'self' blob:"
)

SECURITY: Final = (
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"x-frame-options", b"DENY"),
    # Not 'no-referrer': a browser would then send 'Origin: null' with our own forms.
    (b"referrer-policy", b"same-origin"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"permissions-policy", b"camera=(), microphone=(), geolocation=(), interest-cohort=()"),
)


class SecurityHeaders:
    """Puts the headers on whatever goes out; a response that has its own stricter one keeps it."""

    def __init__(self, app: ASGIApp) -> None:
        """Keep what is inside."""
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve, with the headers put on the response's start."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                given = message.setdefault("headers", [])
                there = {name.lower() for name, _ in given}
                own = [pair for pair in SECURITY if pair[0] not in there]
                if b"cache-control" not in there:
                    own.append((b"cache-control", b"no-store"))
                message["headers"] = [*given, *own]
            await send(message)

        await self.app(scope, receive, with_headers)
