"""Loads rated: the volts that stand at each while it runs, and what it takes at them."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap.assess.dropbase import settled
from groundstrap.assess.drops import DropRows, drop_of_load
from groundstrap.assess.results import CircuitAssessment, LoadAssessment, SituationAssessment
from groundstrap.assess.wiring import Wiring
from groundstrap.model import Load, LoadEstimate, Situation, Uncertain

__all__ = ["assess_loads"]


_ROUNDING_V = 1e-3
"""Volts of nothing. [V]"""


def assess_loads(
    wiring: Wiring,
    circuits: Mapping[str, CircuitAssessment],
    situations: Mapping[Situation, SituationAssessment],
    solved: DropRows,
) -> Mapping[str, LoadAssessment]:
    """Return every load that the network has, by its name."""
    return {
        name: _load(wiring, load, circuits, situations, solved)
        for name, load in wiring.installation.loads.items()
        if name in wiring.topology.index
    }


def _load(
    wiring: Wiring,
    load: Load,
    circuits: Mapping[str, CircuitAssessment],
    situations: Mapping[Situation, SituationAssessment],
    solved: DropRows,
) -> LoadAssessment:
    draw = wiring.currents.draws[load.name]
    holding = [n for n in circuits if load.name in wiring.installation.circuits[n].loads]
    working = _working(wiring, load.name, situations)
    if working is not None and draw.source is None and abs(working[1]) < _ROUNDING_V:
        # Nothing feeds it: where its terminals float is a matter of the arithmetic.
        working = None
    each_v = (_lowest_v(wiring, circuits[name], solved, load.name) for name in holding)
    lowest = min((least_v for least_v in each_v if least_v is not None), default=None)
    volts = working[1] if working is not None else None
    unknown = [] if draw.known else ["power_w", "current_a", "continuous_a"]
    if working is None:
        unknown.append("working_v")
    return LoadAssessment(
        name=load.name,
        known=draw.known,
        source=draw.source,
        circuits=tuple(holding),
        power_w=_power(wiring.estimates.get(load.name), volts),
        current_a=_current(wiring.estimates.get(load.name), volts),
        working_v=volts,
        working_in=working[0] if working is not None else None,
        lowest_v=lowest,
        highest_each_v=solved.highest_v,
        continuous_a=draw.continuous_a if draw.known else None,
        drop_a=draw.drop_a if draw.known else None,
        unknown=tuple(unknown),
    )


def _lowest_v(wiring: Wiring, found: CircuitAssessment, solved: DropRows, load: str) -> float | None:
    """Volts at a load by the drop of a circuit, also where another load of that circuit loses more. [V]"""
    if found.drop.load == load:
        return found.drop.load_v
    return drop_of_load(wiring, solved, wiring.installation.circuits[found.name], load).load_v


_WORKING_ORDER = (
    Situation.DRIVING,
    Situation.IDLING,
    Situation.RESTING,
    Situation.MAINS,
    Situation.CRANKING,
)


def _working(
    wiring: Wiring, name: str, situations: Mapping[Situation, SituationAssessment]
) -> tuple[Situation, float] | None:
    """Situation and volts that a load is described at; None where its volts hang on something unknown."""
    if not settled(wiring, name):
        return None
    for situation in _WORKING_ORDER:
        found = situations.get(situation)
        if found is not None and name in found.running and name in found.loads_v:
            return situation, found.loads_v[name]
    return None


def _current(estimate: LoadEstimate | None, volts: float | None) -> Uncertain | None:
    if estimate is None or estimate.power_w is None or volts is None or volts <= 0.0 or not estimate.known:
        return None
    each = (estimate.power_w.value, estimate.power_w.low, estimate.power_w.high)
    value, low, high = (estimate.current_a(volts, power) for power in each)
    return Uncertain(value, low, high)


def _power(estimate: LoadEstimate | None, volts: float | None) -> Uncertain | None:
    amps = _current(estimate, volts)
    if amps is None or volts is None:
        return None
    return Uncertain(amps.value * volts, amps.low * volts, amps.high * volts)
