"""How well a reading was read: a meter's accuracy as a standard uncertainty, and what its leads hold."""

from __future__ import annotations

import math
from typing import Final

from groundstrap.model import MeterSpec
from groundstrap.physics.uncertainty import meter_uncertainty, rectangular_uncertainty
from groundstrap.records import dataclass
from groundstrap.tables import Meter, MeterFunction, meter

__all__ = ["Accuracy", "LeadEnds", "accuracy_of", "lead_ends"]

_METER_CURRENT_A: Final = 10.0
"""Above this a current is taken with a clamp; the usual range of a handheld meter, common practice. [A]"""
_RANGE_COUNTS: Final = 4000
"""Counts of a range: above so many last digits the next coarser one shows the value; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Accuracy:
    """Standard uncertainty of a reading in its own unit: what the meter's readings share, and the rest."""

    gain: float
    own: float
    meter: str
    assumed: bool

    @property
    def standard(self) -> float:
        """Standard uncertainty of the reading."""
        return math.hypot(self.gain, self.own)


@dataclass(frozen=True, slots=True, kw_only=True)
class LeadEnds:
    """Least and most that a pair of test leads holds. [ohm]"""

    least_ohm: float
    most_ohm: float


def accuracy_of(
    quantity: str,
    value: float,
    spec: MeterSpec | None,
    *,
    last_digit: float,
    half_width: float | None = None,
) -> Accuracy:
    """Accuracy of a reading: what the meter's leaflet says, or what was written with it if that is wider.

    The leaflet's digits are those that the meter shows. What was written in coarser ones was rounded off, so
    it is off by half of the last one written besides (JCGM 100, F.2.2.1), not by all the leaflet's digits.
    """
    named = _named(spec, quantity, value)
    if named is None:
        assert spec is not None
        pct, digits, digit = spec.reading_pct or 0.0, spec.digits or 0.0, last_digit
    else:
        function = _function(named, quantity)
        pct, digits = function.reading_pct, function.digits
        digit = _shown(value, last_digit, function.resolution)
    found = meter_uncertainty(value, accuracy_pct=pct, digits=digits, digit=digit)
    standard = max(found.standard, rectangular_uncertainty(half_width or 0.0))
    own = math.sqrt(max(standard**2 - found.gain**2, 0.0))
    if digits == 0.0 or last_digit > digit:
        # A leaflet without digits still shows only whole last digits.
        own = math.hypot(own, rectangular_uncertainty(max(digit, last_digit) / 2))
    name = spec.text if spec is not None else (named.name if named is not None else "")
    return Accuracy(gain=found.gain, own=own, meter=name, assumed=spec is None)


def _shown(value: float, last_digit: float, resolution: float) -> float:
    """Return the last digit that a meter shows of a value: the one written, or a finer one of its range."""
    if last_digit == 0.0 or last_digit <= resolution:
        return last_digit or resolution
    finest = resolution
    while abs(value) >= _RANGE_COUNTS * finest and finest < last_digit:
        finest *= 10
    return min(finest, last_digit)


def _named(spec: MeterSpec | None, quantity: str, value: float) -> Meter | None:
    """Meter of the tables; None where its figures were written."""
    if spec is None:
        return meter("clamp" if quantity == "current" and value > _METER_CURRENT_A else "basic")
    return meter(spec.name) if spec.name is not None else None


def _function(named: Meter, quantity: str) -> MeterFunction:
    if quantity == "power":
        # Watts are made of both functions: their shares add, and the digits are those of the watts shown.
        return MeterFunction(
            reading_pct=named.voltage.reading_pct + named.current.reading_pct,
            digits=named.current.digits,
            resolution=named.current.resolution * 10,
            source=named.current.source,
            known=named.known,
        )
    return {"voltage": named.voltage, "current": named.current, "resistance": named.resistance}[quantity]


def lead_ends(spec: MeterSpec | None) -> LeadEnds:
    """Return what the leads of a meter hold; those of a basic one where its figures were written."""
    found = meter(spec.name if spec is not None and spec.name is not None else "basic")
    return LeadEnds(least_ohm=found.leads_least_ohm, most_ohm=found.leads_most_ohm)
