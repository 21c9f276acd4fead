"""What a bench is started with: where it listens, who may come in, what it keeps, how much it takes."""

from __future__ import annotations

import platform
from typing import Final

from groundstrap.records import dataclass

__all__ = ["LOOPBACK_NAMES", "Limits", "Settings", "machine_names"]

LOOPBACK_NAMES: Final = frozenset({"localhost", "127.0.0.1", "[::1]"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """How much a bench takes of anything before it says no."""

    body_bytes: int = 2 * 1024 * 1024
    """Body of a request that is neither a photo nor a file to be taken in."""
    photo_bytes: int = 24 * 1024 * 1024
    import_bytes: int = 64 * 1024 * 1024
    body_seconds: float = 60.0
    """A body that takes longer to arrive is given up."""
    plan_seconds: float = 20.0
    """A plan that takes longer is ended."""
    days_seconds: float = 40.0
    """A run of days that takes longer is ended."""
    pack_seconds: float = 180.0
    waiting: int = 200
    """Plans that may wait at once; above that, callers are asked to come again."""
    answers_kept: int = 64
    packs_kept: int = 12
    per_second: float = 40.0
    """Requests a second of one visitor, kept up; `burst` of them may come at once."""
    burst: int = 160
    refusals: int = 5
    """Wrong passphrases from one address within `refusal_seconds`, before it has to wait."""
    refusal_seconds: float = 300.0
    idle_seconds: float = 12 * 3600.0
    """A sign-in ends so long after its last use, and in any case after `session_seconds`."""
    session_seconds: float = 7 * 86400.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """Settings of one bench; the passphrase is only ever known by its hash."""

    shelf: str | None = None
    """Address of the shelf; none for the file in the user's data folder."""
    host: str = "127.0.0.1"
    port: int = 8412
    secret: bytes
    """Key that sessions are signed with."""
    passphrase_hash: str | None = None
    """Argon2id hash; with one, whoever comes has to sign in."""
    names: frozenset[str] = LOOPBACK_NAMES
    """Names in the Host header that are ours; addresses in numbers are ours as well where it is shared."""
    workers: int = 2
    limits: Limits = Limits()

    @property
    def shared(self) -> bool:
        """Whether others on the network may come in."""
        return self.passphrase_hash is not None


def machine_names() -> frozenset[str]:
    """Return the names that this machine goes by on its own network."""
    name = platform.node().lower()
    short = name.partition(".")[0]
    ends = ("", ".local", ".lan", ".home", ".home.arpa")
    return frozenset({name, *(short + end for end in ends)} - {""} if short else set())
