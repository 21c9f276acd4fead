"""Where a load hangs: the nominal voltage of what feeds it, and the fuses that are in the vehicle already."""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping

from groundstrap.model import (
    FUSES,
    Element,
    Installation,
    Load,
    Part,
    Passage,
    State,
    Supply,
    SupplyKind,
)
from groundstrap.records import dataclass

__all__ = ["Feed", "Feeds"]

_LITHIUM = "lfp"
_REGULATED = frozenset({SupplyKind.DC_DC, SupplyKind.SOLAR_CHARGER, SupplyKind.MAINS_CHARGER})


@dataclass(frozen=True, slots=True, kw_only=True)
class Feed:
    """What stands before a load."""

    nominal_v: float
    regulated: bool
    """Behind a converter that alone holds the volts: one voltage, at rest as with the engine."""
    lithium: bool = False
    """Fed by a lithium iron phosphate battery, which rests higher."""
    fuses: tuple[Part, ...] = ()
    """Existing fuses and breakers of known rating between the load and its supply."""
    existing: bool = False
    """Whether the load hangs on a circuit that is in the vehicle already."""


@dataclass(frozen=True, slots=True)
class _Hop:
    """One element, or a connection that nobody drew, from a point to its neighbour."""

    to: str
    part: Part | None


class Feeds:
    """Looks up what feeds each load; the map of points is made once for an installation."""

    def __init__(self, installation: Installation) -> None:
        self._installation = installation
        self._hops = _hops(installation)
        self._posts = _posts(installation)
        self._existing = frozenset(
            name
            for circuit in installation.circuits.values()
            if circuit.state is State.EXISTING
            for name in circuit.loads
        )

    def of(self, load: Load) -> Feed:
        """Return what feeds a load: the nearest battery that hangs on it, else the nearest other supply.

        A charger on the same busbar raises the volts of the battery there and feeds nothing at rest.
        """
        nearest = self._nearest(load.plus)
        battery = self._nearest(load.plus, SupplyKind.BATTERY)
        found = nearest if battery is None else battery
        existing = load.name in self._existing or load.state is State.EXISTING
        if found is None or nearest is None:
            return Feed(nominal_v=self._installation.system_v, regulated=False, existing=existing)
        post, parts = found
        # Only a fuse that stands before the nearest supply too bounds all that the load can be fed with.
        passed = [part for part in parts if part in nearest[1]]
        supply, potential_v = self._posts[post]
        low = self._nearest(load.minus, supply.kind)
        low_v = (
            self._posts[low[0]][1] if low is not None and self._posts[low[0]][0].name == supply.name else 0.0
        )
        nominal_v = potential_v - low_v
        return Feed(
            nominal_v=nominal_v if nominal_v > 0.0 else self._installation.system_v,
            regulated=supply.kind in _REGULATED,
            lithium=supply.chemistry == _LITHIUM,
            fuses=tuple(part for part in passed if _is_known_fuse(part)),
            existing=existing,
        )

    def _nearest(self, start: str, kind: SupplyKind | None = None) -> tuple[str, tuple[Part, ...]] | None:
        """The nearest post of a supply, of one kind if named, with the parts between; no part twice."""
        seen = {start}
        queue: deque[tuple[str, tuple[Part, ...]]] = deque([(start, ())])
        while queue:
            point, parts = queue.popleft()
            if point in self._posts and kind in {None, self._posts[point][0].kind}:
                return point, parts
            for hop in self._hops.get(point, ()):
                if hop.to not in seen:
                    seen.add(hop.to)
                    queue.append((hop.to, parts if hop.part is None else (*parts, hop.part)))
        return None


def _is_known_fuse(part: Part) -> bool:
    return part.kind in FUSES and part.state is State.EXISTING and part.rating_a is not None


def _hops(installation: Installation) -> Mapping[str, list[_Hop]]:
    hops: dict[str, list[_Hop]] = {}

    def join(start: str, end: str, part: Part | None) -> None:
        hops.setdefault(start, []).append(_Hop(end, part))
        hops.setdefault(end, []).append(_Hop(start, part))

    for circuit in installation.circuits.values():
        if circuit.state is State.REMOVE:
            continue
        element: Element
        for element in (*circuit.path, *circuit.back):
            if not isinstance(element, Passage):
                join(element.start, element.end, element if isinstance(element, Part) else None)
    for tie in installation.ties:
        join(tie.start, tie.end, None)
    return hops


def _posts(installation: Installation) -> Mapping[str, tuple[Supply, float]]:
    """Every terminal of a supply with its nominal volts above that supply's own negative."""
    posts: dict[str, tuple[Supply, float]] = {}
    for supply in installation.supplies.values():
        if supply.kind is SupplyKind.SOLAR:
            continue
        posts[supply.minus] = (supply, 0.0)
        posts[supply.plus] = (supply, supply.nominal_v)
        for place, tap in enumerate(supply.taps, start=1):
            posts[tap] = (supply, supply.nominal_v * place / max(supply.series, 1))
    return posts
