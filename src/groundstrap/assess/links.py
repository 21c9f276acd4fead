"""What a cable between two batteries lets through: the volts between them over its own resistance."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from groundstrap.assess.supplies import SupplyFigures
from groundstrap.model import Circuit, Installation, State, Supply, SupplyKind, Wire
from groundstrap.physics.conductor import ohm_per_m

__all__ = ["link_limit_a"]

_COPPER_OHM_MM2_PER_M, _COPPER_PER_K = 1.0 / 58.0, 0.00393


def link_limit_a(
    installation: Installation, figures: Mapping[str, SupplyFigures], battery: Supply
) -> float | None:
    """Most that flows into a battery through the cables that are drawn to it from other batteries. [A]

    None where something else charges it too, or where a cable's size is not written: then nothing is known
    that would hold the current below what the battery takes. Cold bare copper at 20 degC and no joints are
    reckoned with, so it is never too low. Source: iec-60028, resistivity of annealed copper.
    """
    kept = [c for c in installation.circuits.values() if c.state is not State.REMOVE]
    others = {
        s.plus: s
        for s in installation.supplies.values()
        if s.kind is SupplyKind.BATTERY and s is not battery and s.state is not State.REMOVE
    }
    ends = [(c, {c.start, c.end}) for c in kept]
    links = [(c, others[o]) for c, both in ends if battery.plus in both for o in both & others.keys()]
    sources = {s.plus for s in installation.supplies.values() if s.kind is not SupplyKind.BATTERY}
    drawn = any(battery.plus in both and both & sources for _, both in ends)
    tied = any(battery.plus in {tie.start, tie.end} for tie in installation.ties if tie.kind == "alternator")
    if not links or drawn or tied:
        return None
    total_a = 0.0
    back_ohm = _way_back_ohm(kept, battery)
    for link, source in links:
        ohm = _ohm(link.wires)
        if ohm is None or ohm <= 0.0:
            return None
        high_v = figures[source.name].high_v * source.series
        low_v = figures[battery.name].low_v * battery.series
        total_a += max(high_v - low_v, 0.0) / (ohm + back_ohm)
    return total_a


def _way_back_ohm(circuits: Iterable[Circuit], battery: Supply) -> float:
    """Least resistance of a single conductor drawn from the battery's minus; 0 where that is not known."""
    ways = [_ohm(c.wires) for c in circuits if battery.minus in {c.start, c.end} and not c.loads]
    return min((0.0 if ohm is None else ohm for ohm in ways), default=0.0)


def _ohm(wires: Iterable[Wire]) -> float | None:
    total = 0.0
    for wire in wires:
        if wire.area_mm2 is None:
            return None
        total += wire.length_m * ohm_per_m(
            wire.area_mm2,
            20.0,
            rho20_ohm_mm2_per_m=_COPPER_OHM_MM2_PER_M,
            alpha20_per_k=_COPPER_PER_K,
            lay_factor=1.0,
        )
    return total
