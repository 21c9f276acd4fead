"""Starts: what each load takes when it is switched on, which start together, and whether fuses hold.

A written `inrush` counts as it is. Else the kind of the load says within which ends its start lies; the
middle of them decides, the upper end is told where it would decide otherwise. No motor starts with more
than it takes blocked: a written `stall` is the upper end then.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import lru_cache
from typing import Final

from groundstrap.assess.curves import fastest_at, opening_at
from groundstrap.assess.draws import lasts
from groundstrap.assess.lengthless import at_any_length
from groundstrap.assess.protection import Opening
from groundstrap.assess.start_results import FuseStart, LoadStart
from groundstrap.assess.wiring import Wiring
from groundstrap.model import Load, LoadKind, Part, PartKind, SupplyKind
from groundstrap.physics.fuse import slowest_opening_s
from groundstrap.physics.pulses import Pulse, element_time_constant_s, pulse_train
from groundstrap.physics.starting import Surge, holding_share, surge_swing
from groundstrap.records import dataclass, replace
from groundstrap.tables import (
    GateCurve,
    Inrush,
    NotTabled,
    continuous_share,
    fuse_element,
    inrush,
    pulse_share,
)

__all__ = [
    "Group",
    "fuse_starts",
    "given_at_most_a",
    "hardest",
    "holding_curve",
    "load_starts",
    "stands_starts",
    "starting_groups",
]

_LEFT_OF_DECAY: Final = 3.0
"""A start that lasts so and so long is over when 95 % of its surplus has gone: three time constants. A
written time is taken as the time constant itself, since nobody says where it ends. Own judgement."""

_MELTS_AT: Final = 1.2
"""Multiple of the rating that melts an element in the end, between 1.1 and 1.35; own judgement."""

_HOLDS_S: Final = 360_000.0
"""As long as the gates ask a fuse to hold its rating: 100 h; iso-8820-3."""

_HOLD_GATE_S: Final = 3600.0
"""A first gate of at least an hour is one that asks a fuse to hold; own judgement."""

_LIFE_H: Final = 3000.0
"""Hours of use in a vehicle's life, as classes of insulation are rated for; iso-6722."""

_USUAL_STARTS: Final = 10_000.0
"""Starts in the life of a load whose duty nobody wrote: three a day for nine years; own judgement."""

_CLOSING: Final = frozenset({PartKind.SWITCH, PartKind.RELAY})
"""What starts everything behind it at once. An isolator is not worked under load."""

_LIMITING: Final = frozenset({SupplyKind.DC_DC, SupplyKind.MAINS_CHARGER})
"""What folds back at its limit and has no battery behind it."""

_NO_START: Final = frozenset({LoadKind.STARTER})
"""Starters have their own question, and no fuse."""


def load_starts(wiring: Wiring) -> Mapping[str, LoadStart]:
    """Return how loads start that take more at their start than running, and whose current is known."""
    return at_any_length(wiring, "starts", _load_starts)


def _load_starts(wiring: Wiring) -> Mapping[str, LoadStart]:
    found = {}
    for name, load in wiring.installation.loads.items():
        draw = wiring.currents.draws.get(name)
        if draw is None or not draw.known or load.kind in _NO_START:
            continue
        # What a start that lasts takes is in the design current already; beside it the load runs as it does.
        middle_a = 0.5 * (draw.continuous_low_a + draw.continuous_high_a)
        start = _start(load, draw.drop_a if lasts(load) else middle_a)
        if start is not None:
            found[name] = _limited(wiring, start, draw.source)
    return found


def _limited(wiring: Wiring, start: LoadStart, source: str | None) -> LoadStart:
    """The same start behind a converter alone: that gives no more than its limit, however much is asked."""
    supply, found = wiring.installation.supplies.get(source or ""), wiring.supplies.get(source or "")
    if supply is None or supply.kind not in _LIMITING or found is None or found.limit_a is None:
        return start
    limit_a = max(found.limit_a, start.nominal.running_a)
    if start.most.peak_a <= limit_a:
        return start
    return replace(
        start,
        nominal=replace(start.nominal, peak_a=min(start.nominal.peak_a, limit_a)),
        most=replace(start.most, peak_a=limit_a),
        asks_a=start.nominal.peak_a,
        limited_by=supply.name,
    )


def given_at_most_a(wiring: Wiring, piece: str) -> float:
    """Return what all that passes a piece is given at most, behind one converter alone; inf elsewhere. [A]"""
    draws = [wiring.currents.draws[name] for name in wiring.tree.draws_of_piece.get(piece, ())]
    sources = {draw.source for draw in draws}
    source = next(iter(sources)) if len(sources) == 1 else None
    supply = wiring.installation.supplies.get(source or "")
    found = None if supply is None else wiring.supplies.get(supply.name)
    if supply is None or found is None or supply.kind not in _LIMITING or found.limit_a is None:
        return math.inf
    return found.limit_a


def _start(load: Load, running_a: float) -> LoadStart | None:
    kind = inrush(load.kind.value)
    written = load.inrush
    if written is not None:
        peak_a = max(written.current_a * load.count, running_a)
        time_s = written.time_s or _nominal_s(kind) or _nominal_s(inrush(LoadKind.OTHER.value))
        assert time_s is not None
        surge = Surge(peak_a=peak_a, running_a=running_a, time_s=time_s, ramp=kind.wave == "ramp")
        return LoadStart(
            load=load.name, nominal=surge, most=surge, written=True, source="", known="written in the job"
        )
    nominal_s = _nominal_s(kind)
    if nominal_s is None or kind.high <= 1.0 or running_a <= 0.0:
        return None
    ramp = kind.wave == "ramp"
    most_s = (kind.high_s or nominal_s) / (1.0 if ramp else _LEFT_OF_DECAY)
    blocked_a = max(running_a, _blocked_a(load))
    middle_a = min(math.sqrt(kind.low * kind.high) * running_a, blocked_a)
    most_a = min(kind.high * running_a, blocked_a)
    return LoadStart(
        load=load.name,
        nominal=Surge(peak_a=middle_a, running_a=running_a, time_s=nominal_s, ramp=ramp),
        most=Surge(peak_a=most_a, running_a=running_a, time_s=most_s, ramp=ramp),
        written=False,
        source=kind.source,
        known=kind.known,
    )


def _blocked_a(load: Load) -> float:
    """What a motor takes that stands still, as it does at the moment it starts; inf where nobody wrote it."""
    if load.stall is None or load.stall.current_a is None:
        return math.inf
    return load.stall.current_a * load.count


def _nominal_s(kind: Inrush) -> float | None:
    """Middle of how long a kind's start lasts, as a time constant or the time of a ramp. [s]"""
    if kind.low_s is None or kind.high_s is None:
        return None
    return math.sqrt(kind.low_s * kind.high_s) / (1.0 if kind.wave == "ramp" else _LEFT_OF_DECAY)


@dataclass(frozen=True, slots=True)
class Group:
    """Loads that one contact starts, as one fuse sees them."""

    starts: tuple[LoadStart, ...]
    switch: str | None
    rest_a: float
    """What else may flow through the fuse. [A]"""

    @property
    def written(self) -> bool:
        """Whether somebody wrote every start of it."""
        return all(start.written for start in self.starts)

    @property
    def nominal(self) -> tuple[Surge, ...]:
        """The starts as they are taken to be."""
        return tuple(start.nominal for start in self.starts)

    @property
    def peak_a(self) -> float:
        """Highest current through the fuse. [A]"""
        return self.rest_a + sum(surge.peak_a for surge in self.nominal)

    @property
    def most(self) -> tuple[Surge, ...]:
        """The starts at the upper end of their kinds."""
        return tuple(start.most for start in self.starts)


def starting_groups(wiring: Wiring, piece: str) -> tuple[Group, ...]:
    """Return what starts together through a fuse or any piece, with what else may flow through it then."""
    return at_any_length(wiring, ("starting together", piece), lambda bare: _starting_groups(bare, piece))


def _starting_groups(wiring: Wiring, piece: str) -> tuple[Group, ...]:
    carried = wiring.currents.pieces[piece]
    whole_a = carried.continuous_a if carried.continuous_a is not None else carried.known_a
    behind = wiring.tree.home_draws[piece]
    together = wiring.kept.once(("together", behind), lambda: _together(wiring, behind))
    return tuple(Group(each.starts, each.switch, max(0.0, whole_a - each.running_a)) for each in together)


@dataclass(frozen=True, slots=True)
class _Together:
    """Loads that one contact starts, wherever one looks at them."""

    starts: tuple[LoadStart, ...]
    switch: str | None
    running_a: float


def _together(wiring: Wiring, behind: frozenset[str]) -> tuple[_Together, ...]:
    switch_of = _switches(wiring)
    by_contact: dict[str, list[LoadStart]] = {}
    for name, start in load_starts(wiring).items():
        if name in behind and not lasts(wiring.installation.loads[name]):
            switch = switch_of.get(name)
            by_contact.setdefault(f"load {name}" if switch is None else switch, []).append(start)
    result = []
    for contact, members in by_contact.items():
        starts = _not_interlocked(wiring, members)
        running_a = sum(wiring.currents.draws[start.load].continuous_a for start in starts)
        result.append(_Together(starts, contact if len(starts) > 1 else None, running_a))
    return tuple(result)


def _not_interlocked(wiring: Wiring, members: list[LoadStart]) -> tuple[LoadStart, ...]:
    """Without loads that never run with a larger one of the same contact."""
    kept: list[LoadStart] = []
    for start in sorted(members, key=lambda found: -found.nominal.peak_a):
        shunned = wiring.installation.loads[start.load].never_with
        if not any(other.load in shunned for other in kept):
            kept.append(start)
    return tuple(kept)


def _switches(wiring: Wiring) -> Mapping[str, str]:
    """Load -> the contact nearest to it that switches it."""
    return wiring.tree.kept.once("switch of", lambda: _nearest_switches(wiring))


def _nearest_switches(wiring: Wiring) -> Mapping[str, str]:
    draws = wiring.tree.draws_of_piece
    contacts = [p.name for p in wiring.topology.pieces if p.part is not None and p.part.kind in _CLOSING]
    found: dict[str, str] = {}
    # The fewer loads hang behind a contact the nearer it is.
    for contact in sorted(contacts, key=lambda name: (len(draws[name]), name)):
        for load in draws[contact]:
            found.setdefault(load, contact)
    return found


def holding_curve(wiring: Wiring, part: Part, family: str, rating_a: float) -> GateCurve | NotTabled:
    """Return how long a fuse holds at least, from its rating up: that itself it holds for hours."""
    found = fastest_at(wiring, part, family, rating_a)
    return found if isinstance(found, NotTabled) else _from_rating(found)


@lru_cache(maxsize=1024)
def _from_rating(curve: GateCurve) -> GateCurve:
    """With a first gate at the rating where none is listed: breakers and makers' curves begin above it."""
    if curve.multiples[0] <= 1.0 or curve.times_s[0] >= _HOLD_GATE_S:
        return curve
    return GateCurve(
        multiples=(1.0, *curve.multiples),
        times_s=(max(_HOLDS_S, curve.times_s[0]), *curve.times_s),
        source=curve.source,
        known=curve.known,
    )


def stands_starts(
    wiring: Wiring, part: Part, family: str, rating_a: float, groups: tuple[Group, ...]
) -> bool:
    """Tell whether a fuse of this rating holds through every start; of unknown gates it counts as held."""
    curve = holding_curve(wiring, part, family, rating_a)
    if isinstance(curve, NotTabled):
        return True
    hot_a = _hot_a(wiring, part, family, rating_a)
    return all(_share(group.nominal, hot_a, group.rest_a, curve) < 1.0 for group in groups)


def hardest(wiring: Wiring, part: Part, family: str, rating_a: float, groups: tuple[Group, ...]) -> Group:
    """Return the start that a fuse of this rating holds worst."""
    curve = holding_curve(wiring, part, family, rating_a)
    if isinstance(curve, NotTabled):
        return groups[0]
    hot_a = _hot_a(wiring, part, family, rating_a)
    return max(groups, key=lambda group: _share(group.nominal, hot_a, group.rest_a, curve))


def _hot_a(wiring: Wiring, part: Part, family: str, rating_a: float) -> float:
    """Rating in the hottest air of its place, without any margin. [A]"""
    found = continuous_share(family, wiring.installation.zones[part.zone].high_c)
    return rating_a if isinstance(found, NotTabled) else rating_a * found.re_rating


@lru_cache(maxsize=16384)
def _share(surges: tuple[Surge, ...], hot_a: float, rest_a: float, curve: GateCurve) -> float:
    return holding_share(
        surges, rating_a=hot_a, rest_a=rest_a, gate_multiples=curve.multiples, gate_least_s=curve.times_s
    )


def fuse_starts(wiring: Wiring, part: Part, family: str, rating_a: float) -> tuple[FuseStart, ...]:
    """Return every start through a fuse of this rating, the one that it holds worst first."""
    curve = holding_curve(wiring, part, family, rating_a)
    hot_a = _hot_a(wiring, part, family, rating_a)
    groups = starting_groups(wiring, part.name)
    slow = opening_at(wiring, part, family, rating_a, part.zone)
    usual = None if isinstance(curve, NotTabled) or isinstance(slow, NotTabled) else _middle(curve, slow)
    fuse = _Fuse(family, rating_a, hot_a, curve, usual)
    found = [_fuse_start(wiring, group, fuse) for group in groups]
    return tuple(sorted(found, key=lambda each: (-(each.share or 0.0), -each.peak_a, each.loads)))


@dataclass(frozen=True, slots=True)
class _Fuse:
    """A fuse where it sits, with its fastest curve and the middle of its band."""

    family: str
    rating_a: float
    hot_a: float
    fastest: GateCurve | NotTabled
    usual: GateCurve | None

    @property
    def gates(self) -> GateCurve | None:
        """Its fastest curve, where some gate says it."""
        return None if isinstance(self.fastest, NotTabled) else self.fastest


@lru_cache(maxsize=1024)
def _middle(fast: GateCurve, slow: Opening) -> GateCurve:
    """Middle of a fuse's band in logarithms: when a fuse of its type usually opens."""
    gates = [(_MELTS_AT, _HOLDS_S)]
    for multiple, least_s in zip(fast.multiples, fast.times_s, strict=True):
        if multiple >= max(slow.multiples[0], _MELTS_AT * (1 + 1e-9)):
            most = slowest_opening_s(multiple, gate_multiples=slow.multiples, gate_most_s=slow.times_s)
            gates.append((multiple, math.sqrt(least_s * most.chord_s)))
    return GateCurve(
        multiples=tuple(m for m, _ in gates),
        times_s=tuple(t for _, t in gates),
        source=fast.source,
        known=fast.known,
    )


def _fuse_start(wiring: Wiring, group: Group, fuse: _Fuse) -> FuseStart:
    pulses, pulses_written = _pulses(wiring, group)
    limit = pulse_share(pulses)
    melting_a2s = _melting_a2s(fuse.family, fuse.rating_a, fuse.gates)
    tau_s = None if melting_a2s is None else _tau_s(melting_a2s, fuse.hot_a)
    return FuseStart(
        loads=tuple(start.load for start in group.starts),
        switch=group.switch,
        rest_a=group.rest_a,
        peak_a=group.peak_a,
        running_a=group.rest_a + sum(surge.running_a for surge in group.nominal),
        time_s=max(surge.time_s for surge in group.nominal),
        written=group.written,
        share=_held(group.nominal, group, fuse, fuse.gates),
        usual_share=_held(group.nominal, group, fuse, fuse.usual),
        most_share=_held(group.most, group, fuse, fuse.gates),
        swing=None if melting_a2s is None or tau_s is None else _swing(group.nominal, melting_a2s, tau_s),
        swing_limit=None if isinstance(limit, NotTabled) else limit,
        pulses=pulses,
        pulses_written=pulses_written,
        cycling=_cycling(wiring, group, melting_a2s, tau_s),
        why=fuse.fastest.why if isinstance(fuse.fastest, NotTabled) else "",
    )


def _held(surges: tuple[Surge, ...], group: Group, fuse: _Fuse, curve: GateCurve | None) -> float | None:
    """Share of its holding time that a start takes; whatever stays within its rating takes none."""
    if group.rest_a + sum(surge.peak_a for surge in surges) <= fuse.hot_a:
        return 0.0
    return None if curve is None else _share(surges, fuse.hot_a, group.rest_a, curve)


def _tau_s(melting_a2s: float, hot_a: float) -> float:
    return element_time_constant_s(melting_a2s, melts_at_a=_MELTS_AT * hot_a)


@lru_cache(maxsize=4096)
def _swing(surges: tuple[Surge, ...], melting_a2s: float, tau_s: float) -> float:
    bound = sum(surge.peak_a for surge in surges) ** 2 * max(surge.ends_s for surge in surges) / melting_a2s
    # Most starts are so far below any limit that the bound without loss tells enough.
    return bound if bound < 1e-3 else surge_swing(surges, melting_a2s=melting_a2s, time_constant_s=tau_s)


@lru_cache(maxsize=1024)
def _melting_a2s(family: str, rating_a: float, curve: GateCurve | None) -> float | None:
    """Melting integral as tabled, else the least that the last gate allows. [A2 s]"""
    tabled = fuse_element(family, rating_a).melting_a2s
    if tabled is not None:
        return tabled
    if curve is None:
        return None
    return curve.times_s[-1] * (curve.multiples[-1] * rating_a) ** 2


def _pulses(wiring: Wiring, group: Group) -> tuple[float, bool]:
    """Starts in a life, and whether a written duty says so."""
    periods = [wiring.installation.loads[start.load].duty.every_s for start in group.starts]
    known = [every_s for every_s in periods if every_s is not None]
    return (_LIFE_H * 3600.0 / min(known), True) if known else (_USUAL_STARTS, False)


def _cycling(wiring: Wiring, group: Group, melting_a2s: float | None, tau_s: float | None) -> float | None:
    """Highest share of melting where one load runs in a written rhythm, its start included."""
    if len(group.starts) != 1 or melting_a2s is None or tau_s is None:
        return None
    start = group.starts[0]
    duty = wiring.installation.loads[start.load].duty
    if duty.run_s is None or duty.every_s is None or duty.every_s <= duty.run_s or start.nominal.ramp:
        return None
    return _train(start.nominal, duty.run_s, duty.every_s, group.rest_a, melting_a2s, tau_s)


@lru_cache(maxsize=1024)
def _train(
    surge: Surge, run_s: float, every_s: float, rest_a: float, melting_a2s: float, tau_s: float
) -> float:
    pulse = Pulse(
        peak_a=rest_a + surge.peak_a, steady_a=rest_a + surge.running_a, decay_s=surge.time_s, run_s=run_s
    )
    return pulse_train(
        pulse, every_s=every_s, rest_a=rest_a, melting_a2s=melting_a2s, time_constant_s=tau_s
    ).peak_share
