"""Places, the zones they are in, and the measured routes between them."""

from __future__ import annotations

import heapq
import re
from collections.abc import Iterable
from dataclasses import field
from typing import Final

from groundstrap.model import Stretch
from groundstrap.records import dataclass, replace

__all__ = ["CABIN", "SAME_PLACE_M", "Geography", "Leg", "cut", "scaled"]

CABIN: Final = "cabin"
_BY_THE_ENGINE: Final = re.compile(
    r"(?:.*\b(?:under|in|behind)\s+)?(?:the\s+)?bonnet|.*\bunder(?:\s+the)?\s+hood"
    r"|engine (?:compartment|room|space|box)|motorraum|unter der (?:motor)?haube",
    re.IGNORECASE,
)
"""What people call the air around the engine: the hottest of a vehicle, never the cabin's."""
SAME_PLACE_M: Final = 0.2
"""Cable between two things in one place: the contract of the job file."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """One measured route between two places."""

    name: str
    start: str
    end: str
    length_m: float
    laid: str | None = None
    others: int = 0


@dataclass(slots=True)
class Geography:
    """Where things are, and how cable gets from one place to another."""

    zone_names: frozenset[str]
    zone_of_place: dict[str, str] = field(default_factory=dict)
    legs: list[Leg] = field(default_factory=list)
    assumed_places: dict[str, str] = field(default_factory=dict)
    _ways: dict[tuple[str, str], tuple[Leg, ...] | None] = field(default_factory=dict)

    def zone(self, place: str) -> str:
        """Return the zone of a place: as listed, its own name, by the engine, else the cabin."""
        listed = self.zone_of_place.get(place)
        if listed is not None:
            return listed
        return place if place in self.zone_names else self.by_name(place) or CABIN

    def by_name(self, place: str) -> str | None:
        """Return the zone around the engine where a place that nobody listed is called by it.

        >>> Geography(frozenset({"cabin", "engine bay"})).by_name("under the bonnet")
        'engine bay'
        """
        if _BY_THE_ENGINE.fullmatch(place.strip()) is None:
            return None
        return next((zone for zone in ("engine space", "engine bay") if zone in self.zone_names), None)

    def listed(self, place: str) -> bool:
        """Whether somebody said in which zone a place is."""
        return place in self.zone_of_place or place in self.zone_names

    def route(self, start: str, end: str) -> tuple[Leg, ...] | None:
        """Return the shortest way along routes, each leg in its direction; None where there is none."""
        if (start, end) not in self._ways:
            self._ways[start, end] = self._shortest(start, end)
        return self._ways[start, end]

    def _shortest(self, start: str, end: str) -> tuple[Leg, ...] | None:
        neighbours: dict[str, list[Leg]] = {}
        for leg in self.legs:
            neighbours.setdefault(leg.start, []).append(leg)
            neighbours.setdefault(leg.end, []).append(replace(leg, start=leg.end, end=leg.start))
        # Names decide between ways of the same length, so that the order of entries doesn't.
        waiting: list[tuple[float, tuple[str, ...], tuple[Leg, ...]]] = [(0.0, (start,), ())]
        done: set[str] = set()
        while waiting:
            length_m, places, way = heapq.heappop(waiting)
            here = places[-1]
            if here == end:
                return way
            if here in done:
                continue
            done.add(here)
            for number, leg in enumerate(neighbours.get(here, ())):
                if leg.end not in done:
                    step = (*places, f"{leg.name} {number}", leg.end)
                    heapq.heappush(waiting, (length_m + leg.length_m, step, (*way, leg)))
        return None

    def along(self, way: Iterable[Leg]) -> list[Stretch]:
        """Return the stretches of a way; a leg between two zones lies half in each."""
        stretches: list[Stretch] = []
        for leg in way:
            for zone in (self.zone(leg.start), self.zone(leg.end)):
                stretches.append(
                    Stretch(
                        zone=zone,
                        length_m=leg.length_m / 2,
                        laid=leg.laid,
                        route=leg.name,
                        route_m=leg.length_m,
                        others=leg.others,
                    )
                )
        return joined(stretches)

    def across(self, start: str, end: str, length_m: float) -> list[Stretch]:
        """Return the stretches of cable that follows no measured route: half in the zone of each end."""
        half_m = length_m / 2
        return joined(
            [Stretch(zone=self.zone(place), length_m=half_m) for place in (start, end)],
        )


def joined(stretches: Iterable[Stretch]) -> list[Stretch]:
    """Join neighbours that differ in nothing but their length."""
    made: list[Stretch] = []
    for stretch in stretches:
        last = made[-1] if made else None
        if last is not None and replace(last, length_m=stretch.length_m) == stretch:
            made[-1] = replace(last, length_m=last.length_m + stretch.length_m)
        else:
            made.append(stretch)
    return made


def scaled(stretches: Iterable[Stretch], length_m: float) -> list[Stretch]:
    """Return the same stretches at another length in whole."""
    several = list(stretches)
    whole_m = sum(stretch.length_m for stretch in several)
    if whole_m <= 0 or whole_m == length_m:
        return several
    return [replace(stretch, length_m=stretch.length_m * length_m / whole_m) for stretch in several]


def cut(stretches: Iterable[Stretch], from_m: float, to_m: float) -> list[Stretch]:
    """Return the part of the stretches between two distances from their start."""
    made: list[Stretch] = []
    at_m = 0.0
    for stretch in stretches:
        low_m, high_m = max(at_m, from_m), min(at_m + stretch.length_m, to_m)
        at_m += stretch.length_m
        # Rounding leaves slivers at the borders; they are no stretch of cable.
        if high_m - low_m > 1e-9:
            made.append(replace(stretch, length_m=high_m - low_m))
    return made
