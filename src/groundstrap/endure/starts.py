"""Whether the engine starts: what the battery holds against what the engine asks for."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess import Case, Wiring, parameters
from groundstrap.endure.battery import Air, Batteries, Block
from groundstrap.model import Assumption, Load, LoadKind, Situation, State, Supply, SupplyKind
from groundstrap.physics.storage import (
    KNOWN_HEAD,
    NEAR_EMPTY,
    along,
    cranking_asked_a,
    cranking_held_a,
    cranking_resistance_at_ohm,
)
from groundstrap.records import dataclass
from groundstrap.solve import solve_one
from groundstrap.tables import battery_resistance
from groundstrap.tables.batteries import cranking_curve, engine_cranking, freezing_curve
from groundstrap.tables.table import table
from groundstrap.words import words

__all__ = [
    "Cranking",
    "Need",
    "cold_assumed",
    "cranking_of",
    "freezes_below_c",
    "need_of",
    "rating_assumed",
]

Floats = NDArray[np.float64]

_WARM_C: Final = 27.0
_RATED_C: Final = -18.0
_EMF_V: Final = 12.5
_SAE_V: Final = 7.2
_PARTS_V: Final = 10.0
"""At which the protection of a lithium battery that nobody rated for starting parts it, of 10 to 11.2 V the
lowest, since a start lasts but seconds; common practice."""
_NEXT_TO_NOTHING: Final = 1e-9
"""Share of its current that stands for none, so that the posts fall to where the starter gives up. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """What is asked of which battery."""

    supply: str
    asked_a: float
    at_c: float
    """Temperature that it is asked at. [degC]"""
    written: bool
    loop_ohm: float
    """Between the battery's posts and the starter, out and back; 0 where nothing is drawn. [ohm]"""
    assumptions: tuple[Assumption, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cranking:
    """A start, row by row."""

    asks_a: Floats
    holds_a: Floats
    volts_v: Floats
    temp_c: Floats
    state: Floats
    frozen: NDArray[np.bool_]

    @property
    def can(self) -> NDArray[np.bool_]:
        """Whether it goes."""
        found: NDArray[np.bool_] = (self.holds_a >= self.asks_a) & ~self.frozen
        return found


def need_of(wiring: Wiring) -> Need | None:
    """Return what the engine asks for; None where nothing is to be started."""
    installation = wiring.installation
    staying = [s for s in installation.supplies.values() if s.state is not State.REMOVE]
    starter = next(
        (
            load
            for load in installation.loads.values()
            if load.kind is LoadKind.STARTER and load.state is not State.REMOVE
        ),
        None,
    )
    if starter is None and all(s.kind is not SupplyKind.ALTERNATOR for s in staying):
        return None
    batteries = [s for s in staying if s.kind is SupplyKind.BATTERY]
    rated = [s for s in batteries if s.cranking_a is not None]
    if not batteries:
        return None
    supply = installation.vehicle_battery or (rated or batteries)[0]
    found = None if starter is None else _claimed(starter, supply.nominal_v)
    if found is not None and starter is not None:
        return Need(
            supply=supply.name,
            asked_a=found.amps,
            at_c=found.at_c,
            written=True,
            loop_ohm=_loop_ohm(wiring, starter, supply),
            assumptions=found.why,
        )
    return _usual_need(supply)


def _loop_ohm(wiring: Wiring, starter: Load, supply: Supply) -> float:
    """Resistance of everything between a battery's posts and the starter, by what the network says."""
    if starter.name not in wiring.topology.index:
        return 0.0
    case = Case(situation=Situation.CRANKING, running=frozenset({starter.name}))
    point = solve_one(wiring.network, parameters(wiring, case))
    load = wiring.index(starter.name)
    if not point.found or point.branch_a[load] <= 0.0:
        return 0.0
    posts = point.node_v[wiring.node(supply.plus)] - point.node_v[wiring.node(supply.minus)]
    return max(posts - point.branch_v[load], 0.0) / point.branch_a[load]


def _usual_need(supply: Supply) -> Need:
    """What an engine of usual size asks for."""
    usual = engine_cranking("any")
    asked_a = usual.typical * 12.0 / max(supply.nominal_v, 12.0)
    why = words(
        "an engine of usual size, {low} to {high} A at 12 V; nobody wrote what it asks for",
        low=f"{usual.low:g}",
        high=f"{usual.high:g}",
    )
    where = words("{name}: start asks for", name=supply.name)
    assumed = Assumption(where, f"{asked_a:g} A", why)
    return Need(
        supply=supply.name,
        asked_a=asked_a,
        at_c=_WARM_C,
        written=False,
        loop_ohm=0.0,
        assumptions=(assumed,),
    )


@dataclass(frozen=True, slots=True)
class _Claimed:
    amps: float
    at_c: float
    why: tuple[Assumption, ...]


def _claimed(starter: Load, nominal_v: float) -> _Claimed | None:
    for claim in starter.claims:
        amps = claim.current_a
        if amps is None and claim.power_w is not None:
            amps = claim.power_w / nominal_v
        if not amps:
            continue
        if claim.temperature_c is not None:
            return _Claimed(amps, claim.temperature_c, ())
        where = words("{name}: asked for at", name=starter.name)
        return _Claimed(amps, _WARM_C, (Assumption(where, f"{_WARM_C:g} degC", words("none is written")),))
    return None


def _asks_pct(temp_c: Floats) -> Floats:
    """Middle of what an engine asks for at a temperature; beyond the table its last value. [%]"""
    curve = cranking_curve()
    keys = curve.temperature_c
    held = np.clip(temp_c, keys[0], keys[-1])
    found: Floats = 0.5 * (
        along(held, keys=keys, values=curve.asks_low_pct) + along(held, keys=keys, values=curve.asks_high_pct)
    )
    return found


def cranking_of(
    batteries: Batteries, wells: Floats, air: Air, need: Need, parted: NDArray[np.bool_] | None = None
) -> Cranking:
    """Return what the battery holds and the engine asks for; of a bank in series its weakest decides.

    A lithium battery that its own protection has parted holds nothing until something charges it.

    Source: rating's definition by sae-j537 and EN 50342-1 at -18 degC, other temperatures by
    handbook-cranking, the state as the inner resistance; below a fifth, where handbooks give none any more,
    a straight line to nothing at empty (own judgement): there a twentieth of the capacity in an hour already
    pulls the posts to the end of the capacity (iec-60095-1), and a start asks ten times that and more.
    """
    chosen = [n for n, block in enumerate(batteries.blocks) if block.supply.name == need.supply]
    rows = wells.shape[-1]
    head = batteries.head(wells, air)
    emf = batteries.emf_v(head, air)[:, 0]
    state = batteries.state(wells)[:, 0]
    loop_ohm = need.loop_ohm / len(chosen)
    each = [_held(batteries, air, number, emf, _Left(head[:, 0], state), loop_ohm) for number in chosen]
    holds = np.min([one.amps for one in each], axis=0)
    if parted is not None and batteries.blocks[chosen[0]].lithium:
        away = parted[chosen].any(axis=0)
        holds, emf = np.where(away, 0.0, holds), np.where(away, 0.0, emf)
    temp = np.broadcast_to(air.temp_c[chosen[0], 0], (rows,))
    claimed = float(_asks_pct(np.array([need.at_c]))[0])
    asked = np.full(rows, need.asked_a)
    asks = cranking_asked_a(asked, asks_pct=_asks_pct(temp), claimed_asks_pct=np.full(rows, claimed))
    flows = np.minimum(asks, holds)
    volts = np.sum([emf[n] - flows * one.ohm for n, one in zip(chosen, each, strict=True)], axis=0)
    lowest = state[chosen].min(axis=0)
    frozen = np.zeros(rows, dtype=bool)
    if not batteries.blocks[chosen[0]].lithium:
        frozen = temp < freezes_below_c(lowest)
    return Cranking(
        asks_a=np.broadcast_to(asks, (rows,)),
        holds_a=np.broadcast_to(np.where(lowest > 0.0, holds, 0.0), (rows,)),
        volts_v=np.broadcast_to(volts, (rows,)),
        temp_c=temp,
        state=lowest,
        frozen=frozen,
    )


def freezes_below_c(state: Floats) -> Floats:
    """Temperature below which a lead battery's electrolyte freezes at a rested state. [degC]"""
    curve = freezing_curve()
    held = np.clip(100.0 * state, curve.keys[0], curve.keys[-1])
    return along(held, keys=curve.keys, values=curve.typical)


def _turns(block: Block, state: Floats) -> Floats:
    """Share of its cranking current that an emptying battery still has; lithium keeps it all to empty. [1]"""
    known = _NEXT_TO_NOTHING if block.lithium else KNOWN_HEAD
    found: Floats = np.clip(state / known, _NEXT_TO_NOTHING, 1.0)
    return found


@dataclass(frozen=True, slots=True, eq=False)
class _Left:
    """What is left in all batteries: in the well at the plates, and in all of it."""

    head: Floats
    state: Floats


@dataclass(frozen=True, slots=True, eq=False)
class _Held:
    amps: Floats
    ohm: Floats


def _held(batteries: Batteries, air: Air, number: int, emf: Floats, left: _Left, loop_ohm: float) -> _Held:
    """What a battery holds at the starter, and its own resistance."""
    block = batteries.blocks[number]
    rating = _rating(block)
    rating_a, end_v = rating.rating_a, rating.end_v
    curve = cranking_curve()
    temp = air.temp_c[number, 0]
    held_c = np.clip(temp, curve.temperature_c[0], curve.temperature_c[-1])
    has = along(held_c, keys=curve.temperature_c, values=curve.has_pct)
    rated_has = float(np.interp(_RATED_C, curve.temperature_c, curve.has_pct))
    full_v = block.curve.volts_v[-1] * block.scale + air.shift_v[number, 0]
    ohm = cranking_resistance_at_ohm(
        rating_a, has_pct=has, rated_has_pct=rated_has, full_v=full_v, end_v=end_v * block.scale
    )
    most_a = np.inf
    if block.lithium:
        ohm = np.full_like(has, (block.curve.volts_v[-2] - end_v) * block.scale / rating_a)
        end_v = end_v if block.supply.cranking_a is not None else _PARTS_V
        most_a = (block.supply.limit_a or np.inf) * block.supply.parallel
    aged = batteries.full_ohm[number, 0] / block.full_ohm
    head = left.head[number]
    bend = batteries.ohm_bend[number, 0] * (1.0 - head) / (np.maximum(head, 0.0) + NEAR_EMPTY)
    ohm = ohm * aged * (1.0 + bend) / _turns(block, left.state[number])
    held_a = cranking_held_a(
        np.maximum(emf[number], 0.1), end_v=end_v * block.scale, resistance_ohm=ohm + loop_ohm
    )
    return _Held(np.minimum(held_a, most_a), ohm)


@dataclass(frozen=True, slots=True)
class _Rating:
    rating_a: float
    end_v: float


def _rating(block: Block) -> _Rating:
    """Cold cranking current of a battery, and the volts that it is held at. [A, V of 12]"""
    supply = block.supply
    row = table("cranking_ratings").find("standard", supply.cranking_standard or "EN")
    end_v = row.number("volts") if row is not None else _SAE_V
    if supply.cranking_a is not None:
        return _Rating(supply.cranking_a * supply.parallel, end_v)
    found = battery_resistance(block.chemistry, capacity_ah=block.capacity_ah / supply.parallel)
    cold = (found.cold_low_ohm * found.cold_high_ohm) ** 0.5
    return _Rating((_EMF_V - _SAE_V) / cold * supply.parallel, _SAE_V)


def rating_assumed(batteries: Batteries, need: Need) -> tuple[Assumption, ...]:
    """Return the cold cranking current that nobody wrote of the battery that starts; none where it is."""
    block = next(one for one in batteries.blocks if one.supply.name == need.supply)
    if block.supply.cranking_a is not None:
        return ()
    rating_a = _rating(block).rating_a / block.supply.parallel
    where = words("{name}: cold cranking current", name=need.supply)
    why = words("usual for its kind and size, held at {volts} V; none is written", volts=f"{_SAE_V:g}")
    return (Assumption(where, f"{rating_a:.3g} A", why),)


def cold_assumed(
    batteries: Batteries, need: Need, temperatures_c: Iterable[float | None]
) -> tuple[Assumption, ...]:
    """Return what a start is taken as that is colder than anything printed; none where none is."""
    number = next(n for n, one in enumerate(batteries.blocks) if one.supply.name == need.supply)
    coldest_c = min(float(batteries.air(each).temp_c[number].min()) for each in set(temperatures_c))
    end_c = float(cranking_curve().temperature_c[0])
    if coldest_c >= end_c:
        return ()
    where = words("{name}: start at {temp}", name=need.supply, temp=f"{coldest_c:g} degC")
    why = words("power of battery and engine as there: for colder nothing is printed, and it is worse")
    return (Assumption(where, f"{end_c:g} degC", why),)
