"""Places that are spelt nearly like another: each would be in the cabin, with nobody the wiser."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import Final

from groundstrap.job.equipment import Equipment
from groundstrap.job.faults import Spot
from groundstrap.records import replace
from groundstrap.words import words

__all__ = ["check_places"]

_LEAST_ALIKE: Final = 5
"""Letters from which a place named more than once can still be a slip; own judgement."""
_LEAST_ALONE: Final = 3
"""The same of a place that nothing else names; own judgement."""
_WANTED: Final = "a place that is listed; list it under places where it is one of its own"
_ALONE: Final = words(
    "a place without a zone is in the cabin; nothing else names it: is it spelt as it was meant?"
)


def check_places(equipment: Equipment, named: Iterable[tuple[str, Spot]]) -> None:
    """Refuse a place that is one letter away from one that is known, and note one that nothing else names.

    `named` are the ends of routes; where things are is in the equipment. A thing's place that is nearly the
    end of a route is told once, at the thing.
    """
    geography, ends = equipment.geography, list(named)
    used = Counter(place for place, _ in (*equipment.at, *ends))
    own = [name for name in equipment.declared if equipment.place_of(name) == name]
    known = {*geography.zone_of_place, *geography.zone_names, *own}
    met = {place for place, _ in ends}
    for place, spot in _first(equipment.at, known).items():
        slip = _misspelt(place, spot, known | met, alone=used[place] == 1)
        if not slip and used[place] == 1 and geography.by_name(place) is None:
            _note(equipment, place)
    several = {place for place in met if used[place] > 1}
    for place, spot in _first(ends, known | {place for place, _ in equipment.at}).items():
        _misspelt(place, spot, known | several, alone=used[place] == 1)


def _first(named: Iterable[tuple[str, Spot]], known: set[str]) -> dict[str, Spot]:
    """Where each place that is not known is named first."""
    first: dict[str, Spot] = {}
    for place, spot in named:
        if place not in known:
            first.setdefault(place, spot)
    return first


def _misspelt(place: str, spot: Spot, known: set[str], *, alone: bool) -> bool:
    """Tell that a place is nearly another one; whether it is."""
    nearest = spot.near(place, sorted(known - {place}))
    if nearest is None or not _one_slip(place, nearest, least=_LEAST_ALONE if alone else _LEAST_ALIKE):
        return False
    spot.fault(_WANTED, nearest=nearest, reason="no place of that name, and one that is spelt nearly so")
    return True


def _note(equipment: Equipment, place: str) -> None:
    """Put what is assumed of a place that nothing else names before all else that is assumed."""
    for number, each in enumerate(equipment.assumptions):
        if each.where == f"places.{place}":
            del equipment.assumptions[number]
            equipment.assumptions.insert(0, replace(each, why=_ALONE))
            return


def _one_slip(one: str, other: str, *, least: int) -> bool:
    """Whether one letter is wrong, missing, doubled or swapped; numbers and lone letters are no slips."""
    if min(len(one), len(other)) < least or abs(len(one) - len(other)) > 1:
        return False
    head = next(
        (i for i, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other))
    )
    rest_one, rest_other = one[head:], other[head:]
    swapped = rest_one[:2] == rest_other[:2][::-1] and rest_one[2:] == rest_other[2:]
    changed = rest_one[1:] == rest_other[1:] or rest_one[1:] == rest_other or rest_one == rest_other[1:]
    letters = (rest_one[:1] + rest_other[:1]).strip()
    words = {
        word
        for text in (one, other)
        for word in text.split()
        if word not in one.split() or word not in other.split()
    }
    lone = any(len(word) == 1 for word in words)
    return (swapped or changed) and letters.isalpha() and not lone
