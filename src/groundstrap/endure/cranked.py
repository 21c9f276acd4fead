"""What is left at loads that are on while the engine cranks, by the starts of a run."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Final

import numpy as np

from groundstrap.assess import Case, Wiring, parameters
from groundstrap.assess.positions import alternatives
from groundstrap.assess.topology import PieceKind, UnionFind
from groundstrap.endure.results import Cranked, Endurance, SpanRun, Start
from groundstrap.endure.starts import need_of
from groundstrap.model import Load, LoadKind, Situation, State
from groundstrap.records import dataclass, replace
from groundstrap.solve import Law, solve_one
from groundstrap.tables import starting_profile

__all__ = ["with_cranked"]

_PROFILE: Final = "II"
"""Of the standard's starting profiles the one that counts where nobody knows better; own judgement."""

_SYSTEMS_V: Final = frozenset({12.0, 24.0})
"""Of which the standard has profiles. [V]"""

_HELD_OHM: Final = 1e-5
"""Behind the posts of the battery that cranks, whose volts are those of the start. [ohm]"""

_NOT_ASKED: Final = frozenset({LoadKind.STARTER, LoadKind.COIL})


@dataclass(frozen=True, slots=True, kw_only=True)
class _Moment:
    """Starts with the same loads on, as one: the lowest volts of each battery count."""

    battery: str
    posts_v: float | None
    """Of the battery that cranks; None where nobody knows. [V]"""
    starter_a: float
    others_v: Mapping[str, float]
    on: frozenset[str]
    known: bool


def with_cranked(wiring: Wiring, run: Endurance) -> Endurance:
    """Return the run with what is left at each load that is on at a start, of its starts the worst.

    Source: own-computation on the network with every relay as it is while cranking; iso-16750-2, profile II,
    for the volts that are held where the starter's current or the battery's rating is not written.

    Parameters
    ----------
    wiring : Wiring
        That was run.
    run : Endurance
        With its starts.
    """
    found: dict[str, Cranked] = {}
    for moment in _moments(wiring, run):
        for each in _at(wiring, moment):
            before = found.get(each.load)
            if before is None or _key(each) < _key(before):
                found[each.load] = each
    return replace(run, cranked=tuple(found.values()))


def _key(one: Cranked) -> float:
    return -math.inf if one.volts_v is None else one.volts_v


def _moments(wiring: Wiring, run: Endurance) -> Iterable[_Moment]:
    """Starts that go, by what is on; where what the engine asks is a guess, all of them."""
    groups: dict[frozenset[str], list[Start]] = {}
    for start in run.starts:
        if start.can or not _known(wiring, start):
            groups.setdefault(_on(wiring, run, start), []).append(start)
    for on, starts in groups.items():
        worst = min(starts, key=lambda each: each.volts_v)
        known = _known(wiring, worst)
        yield _Moment(
            battery=worst.battery,
            posts_v=worst.volts_v
            if known
            else _floor_v(wiring.installation.supplies[worst.battery].nominal_v),
            starter_a=min(worst.asks_a, worst.holds_a) if known else 0.0,
            others_v={
                name: min(float(course.volts_v[_before(run, each)]) for each in starts)
                for name, course in run.course.supplies.items()
                if name in run.supplies and name != worst.battery
            },
            on=on,
            known=known,
        )


def _known(wiring: Wiring, start: Start) -> bool:
    """Whether a start's volts are no guess: the starter's current and the battery's rating are written."""
    return start.asks_known and wiring.installation.supplies[start.battery].cranking_a is not None


def _floor_v(nominal_v: float) -> float | None:
    """What the standard's profile holds while the engine turns. [V]"""
    return starting_profile(nominal_v, _PROFILE).held_v if nominal_v in _SYSTEMS_V else None


def _before(run: Endurance, start: Start) -> int:
    """Place in the course of the moment before a start."""
    return int(np.searchsorted(run.course.times_s, start.at_s, side="left"))


def _on(wiring: Wiring, run: Endurance, start: Start) -> frozenset[str]:
    """Loads that are switched on through a start: before and after it, and those that are critical."""
    loads, after = wiring.installation.loads, _span_after(run, start)
    if after.situation is Situation.CRANKING:
        through = set(after.using)
    else:
        going = {name for name, course in run.course.loads.items() if course.on[_before(run, start)]}
        through = going.intersection(_span_before(run, start).using, after.using)
        through |= {name for name, load in loads.items() if load.critical}
        through = {n for n in through if not loads[n].runs_written or Situation.CRANKING in loads[n].runs}
    return frozenset(name for name in through if _is_asked(loads[name]))


def _is_asked(load: Load) -> bool:
    return load.kind not in _NOT_ASKED and load.state is not State.REMOVE


def _span_after(run: Endurance, start: Start) -> SpanRun:
    """The span that a start begins; after the morning at the end the day begins anew."""
    return next((span for span in run.spans if span.begins_s >= start.at_s), run.spans[0])


def _span_before(run: Endurance, start: Start) -> SpanRun:
    """The span before a start; before the first one the day has ended as it does."""
    return next((span for span in reversed(run.spans) if span.begins_s < start.at_s), run.spans[-1])


def _at(wiring: Wiring, moment: _Moment) -> Iterable[Cranked]:
    """What each load that is on has left, as far as something feeds it then and it says what it needs."""
    loads, index = wiring.installation.loads, wiring.topology.index
    starters = frozenset(n for n, load in loads.items() if load.kind is LoadKind.STARTER and n in index)
    asleep = {name for name, load in loads.items() if load.asleep_a and _is_asked(load)}
    fed = _fed(wiring, parameters(wiring, _case(wiring, moment.on | starters)), moment.on | asleep)
    asked = [name for name in fed if _needs_v(loads[name]) > 0.0]
    if not asked:
        return
    values = parameters(wiring, _case(wiring, moment.on.intersection(fed) | starters))
    for name in starters:
        values[index[name]] = _starter_values(wiring, index[name], moment)
    point = None
    if moment.posts_v is not None:
        _hold(wiring, values, moment, moment.posts_v)
        point = solve_one(wiring.network, values, heat=False)
    for name in asked:
        volts = point.branch_v[index[name]] if point is not None and point.found else None
        yield Cranked(load=name, volts_v=volts, known=moment.known)


def _case(wiring: Wiring, running: frozenset[str]) -> Case:
    return Case(situation=Situation.CRANKING, running=running, open=alternatives(wiring.topology)[0])


def _needs_v(load: Load) -> float:
    """Lowest volts that somebody wrote that it works from; 0 where nobody did. [V]"""
    return 0.0 if load.works is None else load.works.low


def _fed(wiring: Wiring, values: list[tuple[float, ...]], names: Iterable[str]) -> tuple[str, ...]:
    """Loads whose both ends come to one source with every relay as it is while cranking."""
    topology = wiring.topology
    sets = UnionFind(len(topology.nodes))
    for piece, value in zip(topology.pieces, values, strict=True):
        gives = piece.kind is PieceKind.BATTERY or (piece.kind is PieceKind.MACHINE and value[1] > 0.0)
        if gives or (piece.conducts and value[0] < math.inf):
            sets.join(piece.start, piece.end)
    pieces = {name: topology.pieces[topology.index[name]] for name in names if name in topology.index}
    return tuple(name for name, one in pieces.items() if sets.root(one.start) == sets.root(one.end))


def _starter_values(wiring: Wiring, number: int, moment: _Moment) -> tuple[float, ...]:
    """Parameters with which a starter takes what the engine asks; of one that nobody knows none."""
    need = need_of(wiring)
    law, amps = wiring.network.branches[number].law, moment.starter_a
    loop_ohm = 0.0 if need is None else need.loop_ohm
    at_v = max((moment.posts_v or 0.0) - amps * loop_ohm, 0.1)
    if law is Law.RESISTOR:
        return (at_v / amps if amps > 0.0 else math.inf,)
    if law is Law.CONSTANT_POWER:
        return (amps * at_v,)
    return (amps,) if law is Law.CONSTANT_CURRENT else (amps, at_v, 1.0)


def _hold(wiring: Wiring, values: list[tuple[float, ...]], moment: _Moment, posts_v: float) -> None:
    """Put the batteries at their volts: the one that cranks as hard as its posts, others as they are."""
    pieces = [
        (n, one.supply) for n, one in enumerate(wiring.topology.pieces) if one.kind is PieceKind.BATTERY
    ]
    for number, supply in pieces:
        assert supply is not None
        count = sum(other is supply for _, other in pieces)
        if supply.name == moment.battery:
            values[number] = (posts_v / count, _HELD_OHM, _HELD_OHM)
        elif supply.name in moment.others_v:
            found = wiring.supplies[supply.name]
            ohm = found.ohm.typical
            values[number] = (moment.others_v[supply.name] / count, ohm, max(found.charge_ohm, ohm))
