"""The passphrase: hashed with argon2id, checked a few at a time, and slower for whoever keeps guessing."""

from __future__ import annotations

import asyncio

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError
from starlette.requests import Request

from groundstrap.errors import CallError
from groundstrap.web.asked import settings_of, visitors_of
from groundstrap.web.guards import Paces, address_of, too_many
from groundstrap.web.problems import Problem, Refused
from groundstrap.web.settings import Settings
from groundstrap.web.visitors import Visitor
from groundstrap.words import words

__all__ = ["Door", "admitted", "hashed"]

LEAST_LETTERS = 10


def hashed(passphrase: str) -> str:
    """Return what is kept of a passphrase; too short a one is refused.

    Parameters
    ----------
    passphrase : str
        As it was typed.
    """
    if len(passphrase.strip()) < LEAST_LETTERS:
        raise CallError(
            "the passphrase is too short", wanted=f"at least {LEAST_LETTERS} characters, such as four words"
        )
    return PasswordHasher().hash(passphrase)


class Door:
    """Checks passphrases; wrong ones from one address empty its bucket, and then it has to wait."""

    def __init__(self, settings: Settings) -> None:
        """Keep the hash."""
        limits = settings.limits
        self._hash = settings.passphrase_hash
        self._wrong = Paces(limits.refusals / limits.refusal_seconds, limits.refusals)
        self._at_once = asyncio.Semaphore(2)

    async def opens(self, address: str, passphrase: str) -> bool:
        """Whether a passphrase is the right one."""
        # The try is taken before the answer is known, so that many at once are no way round.
        waits = self._wrong.wait_s(address)
        if waits:
            raise Refused(too_many(waits))
        async with self._at_once:
            right = await asyncio.to_thread(_is_right, self._hash or "", passphrase)
        if right:
            self._wrong.wait_s(address, take=-1.0)
        return right


def _is_right(hash_: str, passphrase: str) -> bool:
    try:
        return PasswordHasher().verify(hash_, passphrase)
    except (VerificationError, InvalidHashError):
        return False


async def admitted(request: Request, passphrase: str, who: str) -> Visitor:
    """Sign somebody in, or refuse.

    Parameters
    ----------
    request : Request
        Whose it is.
    passphrase : str
        As it was typed.
    who : str
        The name that saves are kept under.
    """
    if not settings_of(request).shared:
        raise Refused(
            Problem(
                status=409,
                kind="not-shared",
                detail=words("this bench is not shared, so nobody signs in"),
                next_step=words("go on without"),
            )
        )
    door: Door = request.app.state.door
    if not await door.opens(address_of(request.scope), passphrase):
        raise Refused(
            Problem(
                status=401,
                kind="passphrase",
                detail=words("that is not the passphrase"),
                next_step=words("type it again"),
            )
        )
    visitors = visitors_of(request)
    visitors.sign_out(request.state.visitor)
    return visitors.sign_in(who.strip())
