"""The voltages that a load is looked at: resting, charging, or the one that a converter holds."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from groundstrap.model import LoadEstimate, Uncertain
from groundstrap.physics.loads import power_at_voltage_w
from groundstrap.records import dataclass
from groundstrap.tables import rested_voltage_v
from groundstrap.vet.claims import ClaimFigure
from groundstrap.vet.feed import Feed
from groundstrap.vet.results import AtVoltage

__all__ = ["RunningVolts", "at_voltages", "moved", "running_volts"]

RESTING_V: Final = 12.6
"""A rested full battery of 12 V; common practice: 12.6 to 12.7 V. [V]"""
CHARGING_V: Final = 14.4
"""The same while it is charged; common practice: 13.5 to 14.5 V. [V]"""

_LITHIUM_SOC_PCT: Final = 90.0
"""A lithium battery rests on its plateau; the last tenth holds its charging volts for minutes only. [%]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunningVolts:
    """Between which voltages a load runs for long; both the same behind a converter. [V]"""

    resting_v: float
    charging_v: float


def running_volts(feed: Feed) -> RunningVolts:
    """Return the voltages that a load runs at for long, by the nominal voltage of what feeds it.

    >>> running_volts(Feed(nominal_v=24.0, regulated=False))
    RunningVolts(resting_v=25.2, charging_v=28.8)
    """
    if feed.regulated:
        return RunningVolts(resting_v=feed.nominal_v, charging_v=feed.nominal_v)
    scale = feed.nominal_v / 12.0
    resting_v = rested_voltage_v("lfp", _LITHIUM_SOC_PCT) if feed.lithium else RESTING_V
    return RunningVolts(resting_v=resting_v * scale, charging_v=CHARGING_V * scale)


def moved(estimate: LoadEstimate, to_v: float, exponent_doubt: float) -> Uncertain:
    """Return the power of an estimate at another voltage, wider by what is not known of its law. [W]"""
    assert estimate.power_w is not None
    scale = power_at_voltage_w(1.0, at_v=estimate.at_v, to_v=to_v, exponent=estimate.exponent)
    spread = math.exp(exponent_doubt * abs(math.log(to_v / estimate.at_v)))
    power_w = estimate.power_w
    return Uncertain(power_w.value * scale, power_w.low * scale / spread, power_w.high * scale * spread)


def at_voltages(
    estimate: LoadEstimate, feed: Feed, figures: Sequence[ClaimFigure], exponent_doubt: float
) -> tuple[AtVoltage, ...]:
    """Return an estimate at resting, at charging and at each claim's own voltage; none twice."""
    if estimate.power_w is None:
        return ()
    found: dict[float, AtVoltage] = {}
    for what, at_v in _wanted(feed, figures):
        power_w = moved(estimate, at_v, exponent_doubt)
        current_a = Uncertain(power_w.value / at_v, power_w.low / at_v, power_w.high / at_v)
        found.setdefault(at_v, AtVoltage(what=what, at_v=at_v, power_w=power_w, current_a=current_a))
    return tuple(found.values())


def _wanted(feed: Feed, figures: Sequence[ClaimFigure]) -> Iterator[tuple[str, float]]:
    running = running_volts(feed)
    if feed.regulated:
        yield "regulated", running.resting_v
    else:
        yield "resting", running.resting_v
        yield "charging", running.charging_v
    for figure in figures:
        yield "claim", figure.at_v
