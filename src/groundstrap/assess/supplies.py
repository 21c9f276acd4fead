"""Supplies in figures: the ends of their volts, what they hold, how stiff they are, where they stop."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap.assess.figures import (
    ACCEPTANCE_PER_HOUR,
    STRONG_CHARGE_PCT,
    TAPER_PER_HOUR,
    Ends,
)
from groundstrap.model import Assumption, Basis, Installation, Situation, Span, State, Supply, SupplyKind
from groundstrap.records import dataclass, replace
from groundstrap.tables import (
    alternator_default,
    battery_resistance,
    cold_factor,
    converter_efficiency,
    rested_voltage_v,
    supply_ends,
    vehicle_draw,
)
from groundstrap.words import words

__all__ = ["USUAL_AH", "SupplyFigures", "figures_of", "own_draw_a", "supply_figures"]

USUAL_AH = 80.0
"""Capacity that a battery counts with where nobody wrote one; own judgement. [Ah]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyFigures:
    """One supply; of a bank in series everything is one battery's, with its parallel ones folded in."""

    name: str
    kind: SupplyKind
    low_v: float
    high_v: float
    emf_v: float
    """Rested, or the setpoint of a machine. [V]"""
    full_v: float
    ohm: Ends
    """Inner resistance or droop. [ohm]"""
    cold_ohm: float
    """Weak and cold. [ohm]"""
    charge_ohm: float
    """That a battery shows while it takes charge. [ohm]"""
    limit_a: float | None
    """Of a machine, on its output. [A]"""
    idle_limit_a: float | None
    efficiency: float
    idle_w: float
    accepts_a: float | None
    """That an empty battery takes. [A]"""
    assumptions: tuple[Assumption, ...] = ()


def supply_figures(installation: Installation) -> Mapping[str, SupplyFigures]:
    """Return the figures of every supply that stays."""
    highest = _highest_setpoint_share(installation)
    found = {
        name: figures_of(supply, highest_share=highest)
        for name, supply in installation.supplies.items()
        if supply.state is not State.REMOVE
    }
    for name, figures in found.items():
        assumed = _own_draw_assumed(installation, installation.supplies[name])
        if assumed:
            found[name] = replace(figures, assumptions=(*figures.assumptions, *assumed))
    return found


def _highest_setpoint_share(installation: Installation) -> float:
    """Highest setpoint of an alternator, as volts of a 12 V system."""
    shares = [
        supply.setpoint.high * 12.0 / supply.nominal_v
        for supply in installation.supplies.values()
        if supply.kind is SupplyKind.ALTERNATOR
        and supply.setpoint is not None
        and supply.state is not State.REMOVE
    ]
    return max(shares, default=0.0)


def figures_of(supply: Supply, *, highest_share: float = 0.0) -> SupplyFigures:
    """Return the figures of one supply."""
    if supply.kind is SupplyKind.BATTERY:
        return _battery(supply, highest_share)
    if supply.kind is SupplyKind.SOLAR:
        return _panel(supply)
    return _machine(supply)


def _battery(supply: Supply, highest_share: float) -> SupplyFigures:
    chemistry = supply.chemistry or "flooded"
    one_v = supply.nominal_v / supply.series
    scale = one_v / 12.0
    ends = supply_ends(chemistry, one_v)
    strong_v = rested_voltage_v(chemistry, STRONG_CHARGE_PCT[chemistry]) * scale
    emf_v = supply.rested_v if supply.rested_v is not None else strong_v
    inner, assumed = _battery_ohm(supply, chemistry, scale)
    capacity_ah = (supply.capacity_ah or USUAL_AH) * supply.parallel
    taper_a = TAPER_PER_HOUR * capacity_ah
    accepts_a = ACCEPTANCE_PER_HOUR[chemistry] * capacity_ah
    weak = inner[1] / supply.parallel
    return SupplyFigures(
        name=supply.name,
        kind=supply.kind,
        low_v=ends.low_v,
        high_v=max(ends.high_v, highest_share * scale),
        emf_v=emf_v,
        full_v=max(emf_v, strong_v),
        ohm=_shared(inner[0], supply.parallel),
        cold_ohm=weak,
        charge_ohm=max((14.4 * scale - strong_v) / taper_a, inner[0].typical / supply.parallel),
        limit_a=None,
        idle_limit_a=None,
        efficiency=1.0,
        idle_w=0.0,
        accepts_a=accepts_a if supply.limit_a is None else min(accepts_a, supply.limit_a),
        assumptions=assumed,
    )


def _battery_ohm(
    supply: Supply, chemistry: str, scale: float
) -> tuple[tuple[Ends, float], tuple[Assumption, ...]]:
    if supply.resistance_ohm is not None:
        ohm = supply.resistance_ohm
        return (Ends(ohm, ohm, ohm), ohm), ()
    found = battery_resistance(
        chemistry,
        capacity_ah=supply.capacity_ah,
        cranking_a=supply.cranking_a,
        standard=supply.cranking_standard or "EN",
    )
    ends = Ends(found.low_ohm * scale, found.typical_ohm * scale, found.high_ohm * scale)
    cold_ohm = found.cold_high_ohm * scale
    ends, cooler = _cooled(supply, chemistry, ends)
    if cooler:
        cold_ohm = max(cold_ohm, ends.high)
    assumed = Assumption(
        words("{name}: resistance", name=supply.name), f"{ends.typical:.2g} ohm", found.why + cooler
    )
    return (ends, cold_ohm), (assumed,)


def _cooled(supply: Supply, chemistry: str, warm: Ends) -> tuple[Ends, str]:
    """Inner resistance at a written temperature, and what was done in words.

    The low end stays that of a warm battery, which a fault may find. What is printed is of lead-acid.
    """
    if supply.temperature_c is None or chemistry == "lfp":
        return warm, ""
    found = cold_factor(supply.temperature_c)
    middle = (found.low * found.high) ** 0.5
    counts = (
        ""
        if found.at_c == supply.temperature_c
        else words(", which counts as {at}", at=f"{found.at_c:g} degC")
    )
    said = words(
        "; x {times} at {at}{counts}",
        times=f"{middle:.2f}",
        at=f"{supply.temperature_c:g} degC",
        counts=counts,
    )
    return Ends(warm.low, warm.typical * middle, warm.high * found.high), said


def _shared(ends: Ends, parallel: int) -> Ends:
    return Ends(ends.low / parallel, ends.typical / parallel, ends.high / parallel)


def _setpoint(supply: Supply) -> Span:
    if supply.setpoint is not None:
        return supply.setpoint
    if supply.kind is SupplyKind.ALTERNATOR:
        usual = alternator_default("setpoint").typical * supply.nominal_v / 12.0
        return Span(usual, usual)
    return Span(supply.nominal_v, supply.nominal_v)


def _machine(supply: Supply) -> SupplyFigures:
    span = _setpoint(supply)
    middle = (span.low + span.high) / 2.0
    droop = alternator_default("droop")
    limit_a, idle_a, assumed = _limits(supply)
    efficiency, why = _efficiency(supply)
    return SupplyFigures(
        name=supply.name,
        kind=supply.kind,
        low_v=span.low,
        high_v=span.high,
        emf_v=middle,
        full_v=span.high,
        ohm=Ends(droop.low, droop.typical, droop.high),
        cold_ohm=droop.high,
        charge_ohm=droop.typical,
        limit_a=limit_a,
        idle_limit_a=idle_a,
        efficiency=efficiency,
        idle_w=(supply.idle_a or 0.0) * supply.nominal_v if supply.kind is not SupplyKind.ALTERNATOR else 0.0,
        accepts_a=None,
        assumptions=assumed + why,
    )


def _limits(supply: Supply) -> tuple[float | None, float | None, tuple[Assumption, ...]]:
    if supply.kind is not SupplyKind.ALTERNATOR:
        return supply.current_a, supply.current_a, ()
    assumed: list[Assumption] = []
    rating = supply.rating_a
    if rating is None:
        item = "rating at 24 V" if supply.nominal_v > 18.0 else "rating at 12 V"
        rating = alternator_default(item).typical
        assumed.append(
            Assumption(
                words("{name}: rating", name=supply.name),
                f"{rating:g} A",
                words("usual alternator; none is written"),
            )
        )
    if supply.idle_a is not None:
        idle = supply.idle_a
    elif supply.idle_pct is not None:
        idle = rating * supply.idle_pct / 100.0
    else:
        share = alternator_default("idle share").typical
        idle = rating * share
        where = words("{name}: idle", name=supply.name)
        assumed.append(Assumption(where, f"{100 * share:g} %", words("usual share at idle")))
    return rating, idle, tuple(assumed)


def _efficiency(supply: Supply) -> tuple[float, tuple[Assumption, ...]]:
    if supply.kind is SupplyKind.ALTERNATOR:
        return 1.0, ()
    if supply.efficiency_pct is not None:
        return supply.efficiency_pct / 100.0, ()
    usual = converter_efficiency(supply.kind.value).typical
    return usual / 100.0, (
        Assumption(
            words("{name}: efficiency", name=supply.name),
            f"{usual:g} %",
            words("usual of its kind; none is written"),
        ),
    )


def _panel(supply: Supply) -> SupplyFigures:
    volts = supply.voltage_v or supply.nominal_v
    amps = None if supply.power_w is None else supply.power_w / volts
    droop = alternator_default("droop")
    return SupplyFigures(
        name=supply.name,
        kind=supply.kind,
        low_v=volts,
        high_v=volts,
        emf_v=volts,
        full_v=volts,
        ohm=Ends(droop.low, droop.typical, droop.high),
        cold_ohm=droop.high,
        charge_ohm=droop.typical,
        limit_a=amps,
        idle_limit_a=amps,
        efficiency=1.0,
        idle_w=0.0,
        accepts_a=None,
    )


def own_draw_a(installation: Installation, supply: Supply, situation: Situation) -> float:
    """Return what the vehicle itself draws at a battery's posts: written, or on the road the usual. [A]"""
    engine = situation in {Situation.IDLING, Situation.DRIVING}
    written = supply.running_a if engine else supply.standing_a
    if written is not None:
        return written
    return _usual_draw_a(installation, supply, situation)


def _usual_draw_a(installation: Installation, supply: Supply, situation: Situation) -> float:
    """What a vehicle usually draws at this battery; none off the road, or while it cranks. [A]"""
    staying = [s for s in installation.supplies.values() if s.state is not State.REMOVE]
    first = next((s for s in staying if s.kind is SupplyKind.BATTERY), None)
    own = installation.vehicle_battery or first
    engine = situation in {Situation.IDLING, Situation.DRIVING}
    if installation.basis is not Basis.ROAD or own is not supply or situation is Situation.CRANKING:
        return 0.0
    if engine and all(s.kind is not SupplyKind.ALTERNATOR for s in staying):
        return 0.0  # no engine of its own: a trailer, or an electric cart
    # In amps at 12 V; a 24 V vehicle of the same kind needs half.
    return vehicle_draw(engine_running=engine).typical * 12.0 / max(supply.nominal_v, 12.0)


def _own_draw_assumed(installation: Installation, supply: Supply) -> tuple[Assumption, ...]:
    """What the vehicle itself is taken to draw where nobody wrote it: its alternator gives that too."""
    running_a, standing_a = (
        0.0 if written is not None else _usual_draw_a(installation, supply, situation)
        for written, situation in (
            (supply.running_a, Situation.DRIVING),
            (supply.standing_a, Situation.RESTING),
        )
    )
    where = words("{name}: the vehicle itself takes", name=supply.name)
    assumed = []
    if running_a:
        why = words("usual with the engine running; `running` is not written")
        assumed.append(Assumption(where, f"{running_a:.3g} A", why))
    if standing_a:
        why = words("usual at rest; `standing` is not written")
        assumed.append(Assumption(where, f"{standing_a:.3g} A", why))
    return tuple(assumed)
