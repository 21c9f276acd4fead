"""Ratings that a fuse or breaker may have, and what share of one its family carries where it sits."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from groundstrap.model import PartKind
from groundstrap.records import dataclass
from groundstrap.tables import NotTabled, continuous_share, fuse_family, fuse_ratings

__all__ = ["Candidate", "candidates", "carries_share", "family_at"]

_LADDERS: Mapping[bool, tuple[tuple[str, float], ...]] = {
    False: (("regular blade", 40.0), ("high-current blade", 100.0), ("bolt-down strip 51 mm", 500.0)),
    # Above 32 V strips do not serve, and blades only in the make for 58 V.
    True: (("regular blade", 40.0), ("high-current blade", 80.0), ("class T", 400.0)),
}
_BREAKER_FAMILY = "thermal breaker"


@dataclass(frozen=True, slots=True)
class Candidate:
    """One standard rating of one family."""

    rating_a: float
    family: str


@lru_cache(maxsize=64)
def candidates(family: str | None, kind: PartKind, system_v: float) -> tuple[Candidate, ...]:
    """Return the ratings a part may have, ascending: of its family, or of those that usually serve."""
    if family is not None:
        return tuple(Candidate(rating, fuse_family(family).name) for rating in fuse_ratings(family))
    if kind is PartKind.BREAKER:
        return tuple(Candidate(rating, _BREAKER_FAMILY) for rating in fuse_ratings(_BREAKER_FAMILY))
    result: list[Candidate] = []
    for name, up_to_a in _LADDERS[system_v > 32.0]:
        above = result[-1].rating_a if result else 0.0
        result += [Candidate(r, name) for r in fuse_ratings(name) if above < r <= up_to_a]
    return tuple(result)


@lru_cache(maxsize=512)
def carries_share(family: str, ambient_c: float, *, short: bool = False) -> float | None:
    """Share of its rating that a family may carry in this air; None where no table says. [1]

    For hours, or by temperature alone where all behind it only makes short runs.
    """
    found = continuous_share(family, ambient_c)
    if isinstance(found, NotTabled):
        return None
    return found.re_rating if short else found.share


def family_at(ladder: tuple[Candidate, ...], rating_a: float) -> str:
    """Return the family of a ladder that serves at a rating: the first that reaches so far, else the last."""
    return next((c.family for c in ladder if c.rating_a >= rating_a * (1 - 1e-9)), ladder[-1].family)
