"""The drop that each circuit is allowed, written or by the basis."""

from __future__ import annotations

from groundstrap.model import Circuit, GearKind, Installation, Load, LoadKind, State, SupplyKind
from groundstrap.records import dataclass
from groundstrap.tables import allowed_drop, load_kind

__all__ = ["DropLimit", "drop_limit", "is_charging", "is_feeder"]


@dataclass(frozen=True, slots=True, kw_only=True)
class DropLimit:
    """Allowed drop out and back, with the reason; `limit_v` counts at the source's nominal voltage."""

    limit_v: float
    limit_pct: float
    source: str
    why: str


def is_feeder(installation: Installation, circuit: Circuit) -> bool:
    """Tell whether a circuit feeds a block and nothing else."""
    if circuit.loads or circuit.converter is not None:
        return False
    gear = installation.gear.get(circuit.end)
    return gear is not None and gear.kind is GearKind.BLOCK


def is_charging(installation: Installation, circuit: Circuit) -> bool:
    """Tell whether a circuit brings a supply's current to a battery, or to a block that one hangs on."""
    kept = [s for s in installation.supplies.values() if s.state is not State.REMOVE]
    batteries = {supply.plus for supply in kept if supply.kind is SupplyKind.BATTERY}
    plus = {supply.plus for supply in kept}
    if circuit.start in plus and circuit.end in batteries:
        return True
    return (
        circuit.start in plus - batteries
        and is_feeder(installation, circuit)
        and any(
            circuit.end in ends and ends & batteries
            for other in installation.circuits.values()
            if other.state is not State.REMOVE
            for ends in [{other.start, other.end}]
        )
    )


def drop_limit(installation: Installation, circuit: Circuit, nominal_v: float) -> DropLimit:
    """Return the drop that a circuit is allowed. [V, %]"""
    if circuit.drop_v is not None:
        pct = 100.0 * circuit.drop_v / nominal_v
        return DropLimit(limit_v=circuit.drop_v, limit_pct=pct, source="", why="written")
    if circuit.drop_pct is not None:
        limit_v = nominal_v * circuit.drop_pct / 100.0
        return DropLimit(limit_v=limit_v, limit_pct=circuit.drop_pct, source="", why="written")
    loads = [installation.loads[name] for name in circuit.loads if name in installation.loads]
    found = allowed_drop(
        installation.basis.value,
        critical=any(load.critical for load in loads),
        charging=is_charging(installation, circuit),
        feeder=is_feeder(installation, circuit),
        duty_minutes=_minutes(loads),
    )
    return DropLimit(
        limit_v=nominal_v * found.pct / 100.0, limit_pct=found.pct, source=found.source, why=found.why
    )


def _minutes(loads: list[Load]) -> float | None:
    """Longest run of the loads of a circuit; None where one of them runs without end. [min]"""
    if not loads:
        return None
    longest = 0.0
    for load in loads:
        if load.duty.run_s is not None:
            longest = max(longest, load.duty.run_s / 60.0)
            continue
        usual = load_kind(load.kind.value).usual_run_min if load.kind is LoadKind.STARTER else None
        if usual is None:
            return None
        longest = max(longest, usual)
    return longest
