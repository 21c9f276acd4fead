"""A job with its lengths out of sight, and what rules said of it, kept from one plan to the next.

Most of what rules ask hangs on no length: what joins what, which size carries which current, what a fuse
protects. An edit of a length, which is the commonest, then changes a tenth of the answers. Nobody lists which
those are. Every rule is asked of a copy of the job in which the lengths are not there, nor anything that was
solved with them: what looks there all the same fails at once, and is asked of the job itself. What could be
said of the copy holds for each job whose copy is the same.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields
from functools import lru_cache
from operator import attrgetter
from typing import Any, Final, TypeVar

from groundstrap.assess.part_results import CoilAssessment, PartAssessment, SwitchAssessment
from groundstrap.assess.results import (
    Assessment,
    CircuitAssessment,
    DropAssessment,
    FuseAssessment,
    LoadAssessment,
    SituationAssessment,
    StretchAmpacity,
    SupplyAssessment,
    Unprotected,
    WireAssessment,
)
from groundstrap.assess.start_results import Selectivity, StartAssessment
from groundstrap.checks.facts import Facts
from groundstrap.model import Circuit, Fitted, Installation, Load, Part, Stretch, Wire

__all__ = ["Unmeasured", "unmeasured"]

Answer = TypeVar("Answer")

_HIDDEN: Final[Mapping[type, tuple[str, ...]]] = {
    Installation: ("assumptions",),
    Circuit: ("length_m",),
    Wire: ("length_m",),
    Stretch: ("length_m", "route_m"),
    Part: ("distance_m",),
    Fitted: ("length_m",),
    Assessment: ("path", "laying", "unfused_m"),
    CircuitAssessment: ("length_m", "clearing_s", "fault_least_a", "fault_best_a", "fault_most_a"),
    WireAssessment: ("length_m",),
    StretchAmpacity: ("length_m",),
    FuseAssessment: ("distance_m", "fault_most_a", "fault_sure_a"),
    DropAssessment: ("drop_v", "drop_pct", "load_v", "source_v", "low_v", "high_v", "elements"),
    Unprotected: ("length_m",),
    LoadAssessment: ("power_w", "current_a", "working_v", "lowest_v", "highest_each_v"),
    CoilAssessment: ("lowest_v", "cranking_v"),
    SituationAssessment: ("volts_v", "circuits_a", "loads_a", "loads_v", "supplies_a"),
    StartAssessment: ("dips",),
    Selectivity: ("most_a",),
    SupplyAssessment: ("fault_a",),
}
"""What hangs on lengths wherever it stands. A field more here costs nothing but that rules which look at it
are asked each time; one that is missing makes copies differ that might be the same, and no answer wrong."""

_WITHIN: Final[Mapping[type, tuple[str, ...]]] = {
    Installation: ("circuits", "loads", "supplies", "gear", "places", "zones"),
    Circuit: ("path", "back"),
    Wire: ("stretches",),
    Load: ("fitted",),
    Assessment: ("circuits", "loads", "supplies", "situations", "parts", "starting"),
    CircuitAssessment: ("wires", "fuses", "drop", "unprotected"),
    WireAssessment: ("stretches",),
    PartAssessment: ("switch",),
    SwitchAssessment: ("coil",),
    StartAssessment: ("series",),
}
"""Fields with records that have such fields in them, and mappings whose order counts."""


Eye = Callable[[Any], object]


def _names(of: type) -> tuple[list[str], tuple[str, ...]]:
    """Fields of a record that are seen as they are, and those that are looked into."""
    within = _WITHIN.get(of, ())
    aside = {*_HIDDEN.get(of, ()), *within}
    return [each.name for each in fields(of) if each.name not in aside], within


def _seer(of: type) -> Eye:
    plain, within = _names(of)
    see = attrgetter(*plain)
    if not within:
        return see
    into = attrgetter(*within)
    if len(within) == 1:
        return lambda thing: (see(thing), _seen(into(thing)))
    return lambda thing: (see(thing), [_seen(each) for each in into(thing)])


def _copier(of: type) -> Eye:
    plain, within = _names(of)
    see, put = attrgetter(*plain), [getattr(of, name).__set__ for name in plain]
    inner = [(getattr(of, name), getattr(of, name).__set__) for name in within]

    def copy(thing: object) -> object:
        made: Any = object.__new__(of)
        for one, value in zip(put, see(thing), strict=True):
            one(made, value)
        for slot, one in inner:
            one(made, _copied(slot.__get__(thing)))
        return made

    return copy


_RECORDS: Final = (*_HIDDEN, *(of for of in _WITHIN if of not in _HIDDEN))
_SEERS: Final[Mapping[type, Eye]] = {
    **{of: _seer(of) for of in _RECORDS},
    dict: lambda some: (tuple(some), [_seen(each) for each in some.values()]),
    tuple: lambda some: [_seen(each) for each in some],
}
_COPIERS: Final[Mapping[type, Eye]] = {
    **{of: _copier(of) for of in _RECORDS},
    dict: lambda some: {key: _copied(each) for key, each in some.items()},
    tuple: lambda some: tuple(map(_copied, some)),
}


def _seen(thing: object) -> object:
    """All of a thing but what is hidden, to be compared: a mapping with its order."""
    see = _SEERS.get(thing.__class__)
    return thing if see is None else see(thing)


def _copied(thing: Any) -> Any:
    """A copy without what is hidden: to look at that raises AttributeError."""
    copy = _COPIERS.get(thing.__class__)
    return thing if copy is None else copy(thing)


class _Job:
    """What rules judge, alike where nothing but what is hidden differs."""

    __slots__ = ("_hash", "_seen")

    def __init__(self, facts: Facts) -> None:
        """Look at all of it once."""
        circuits, loads = facts.assessment.circuits.values(), facts.vetting.loads.values()
        # What people change most, and what is chosen for it.
        powers = tuple([load.estimate.power_w.value for load in loads if load.estimate.power_w is not None])
        areas = tuple([wire.area_mm2 for circuit in circuits for wire in circuit.wires.values()])
        self._hash = hash((facts.installation.title, powers, areas))
        self._seen = (facts.vetting, _seen(facts.installation), _seen(facts.assessment))

    def __hash__(self) -> int:
        """By some of it."""
        return self._hash

    def __eq__(self, other: object) -> bool:
        """By all that can be seen."""
        return isinstance(other, _Job) and self._hash == other._hash and self._seen == other._seen


class Unmeasured:
    """A job without what is hidden, and what was found of it."""

    def __init__(self, facts: Facts) -> None:
        """Copy a job; nothing is found yet."""
        self.facts = Facts(_copied(facts.installation), facts.vetting, _copied(facts.assessment))
        self._found: Any = None

    def once(self, find: Callable[[], Answer]) -> Answer:
        """Return what one question comes to, found the first time that it is asked."""
        if self._found is None:
            self._found = find()
        answer: Answer = self._found
        return answer


class _Room:
    """Where a job without what is hidden is kept as soon as it comes a second time."""

    __slots__ = ("bare", "known")

    def __init__(self) -> None:
        """Nobody came by yet."""
        self.known = False
        self.bare: Unmeasured | None = None


def unmeasured(facts: Facts) -> Unmeasured | None:
    """Return a job without what hangs on lengths: the same one for all jobs that are alike but for that.

    None for the first of them: a copy costs half of what asking does, and pays only where more of them come.
    """
    room = _room(_Job(facts))
    if room.known and room.bare is None:
        room.bare = Unmeasured(facts)
    room.known = True
    return room.bare


@lru_cache(maxsize=16)
def _room(job: _Job) -> _Room:
    del job
    return _Room()
