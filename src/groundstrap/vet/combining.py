"""All evidence about one load, combined into one power: readings first, claims where nobody measured.

Readings are combined by generalised least squares with the covariance of the errors that they share, and
tested by chi-square. A claim never counts against a reading.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.model import Uncertain
from groundstrap.physics.loads import power_at_voltage_w
from groundstrap.physics.uncertainty import combine, coverage_factor, rectangular_uncertainty
from groundstrap.records import dataclass
from groundstrap.vet.claims import ClaimFigure, label_uncertainty_w
from groundstrap.vet.feed import Feed
from groundstrap.vet.knowledge import Behaviour
from groundstrap.vet.readings import PowerReading
from groundstrap.vet.results import Consistency

__all__ = ["AGREED", "Mean", "combine_claims", "combine_readings", "covariance_of", "reference_v"]

DISAGREES_BELOW: Final = 0.05
"""Chance under which evidence is said to disagree with itself; own judgement."""

_LEAST_OWN: Final = 1e-6
"""Relative own part that every reading keeps, so that two that share all else can still be weighed."""

AGREED: Final = Consistency(flag=True, chi2=0.0, degrees=0, p=1.0)
"""A single piece of evidence, or none, has nothing to disagree with."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mean:
    """Combined power at one voltage. [W]"""

    power_w: Uncertain
    standard_uncertainty_w: float
    weights: tuple[float, ...]
    consistent: Consistency


def reference_v(
    readings: Sequence[PowerReading], figures: Sequence[ClaimFigure], feed: Feed, *, measured: bool
) -> float:
    """Return the voltage that a load's evidence is compared at. [V]

    That of the surest reading whose volts were read, so that the law adds least; else that of a claim that
    names one; else the nominal voltage.
    """
    read = [reading for reading in readings if reading.power_w is not None and reading.own_volts]
    if measured and read:
        surest = min(read, key=lambda reading: reading.relative)
        return surest.at_v or feed.nominal_v
    written = [figure.at_v for figure in figures if figure.voltage_written]
    return written[0] if written and not measured else feed.nominal_v


def power_at_w(reading: PowerReading, at_v: float, behaviour: Behaviour) -> float:
    """Return what a reading says of the power at another voltage. [W]"""
    assert reading.power_w is not None
    assert reading.at_v is not None
    return power_at_voltage_w(reading.power_w, at_v=reading.at_v, to_v=at_v, exponent=behaviour.exponent)


def covariance_of(readings: Sequence[PowerReading], at_v: float, behaviour: Behaviour) -> NDArray[np.float64]:
    """Return the covariance of readings as powers at one voltage: errors of one name are shared. [W2]"""
    power_w = _common_power_w(readings, at_v, behaviour)
    keys: dict[tuple[str, ...], int] = {}
    rows: list[dict[int, float]] = []
    for reading in readings:
        row: dict[int, float] = {}
        for key, part in (reading.parts or {}).items():
            row[keys.setdefault(key, len(keys))] = part * power_w
        law = rectangular_uncertainty(behaviour.exponent_doubt)
        row[keys.setdefault(("law",), len(keys))] = (
            law * float(np.log(at_v / (reading.at_v or at_v))) * power_w
        )
        rows.append(row)
    loadings = np.zeros((len(rows), len(keys)))
    for place, row in enumerate(rows):
        loadings[place, list(row)] = list(row.values())
    own_w = np.full(len(rows), _LEAST_OWN * power_w)
    return np.asarray(loadings @ loadings.T + np.diag(np.square(own_w)), dtype=np.float64)


def _common_power_w(readings: Sequence[PowerReading], at_v: float, behaviour: Behaviour) -> float:
    """Power that relative errors are taken of: one for all, else the smaller reading would weigh more. [W]"""
    shares = [1 / max(reading.relative, _LEAST_OWN) ** 2 for reading in readings]
    powers = [power_at_w(reading, at_v, behaviour) for reading in readings]
    return sum(s * p for s, p in zip(shares, powers, strict=True)) / sum(shares)


def combine_readings(readings: Sequence[PowerReading], at_v: float, behaviour: Behaviour) -> Mean:
    """Combine readings to one power. [W]

    Source: JCGM 100, 5.2.2; intervals of 95 % by the normal distribution. Where the readings disagree with
    each other the interval spans all of them, since nobody knows which is wrong.
    """
    values = [power_at_w(reading, at_v, behaviour) for reading in readings]
    covariance = covariance_of(readings, at_v, behaviour)
    found = combine(values, covariance)
    consistent = _consistent(found.chi2, found.degrees, found.p)
    cover = coverage_factor(0.95, degrees=float("inf"))
    low = found.value - cover * found.standard_uncertainty
    high = found.value + cover * found.standard_uncertainty
    if not consistent.flag:
        shares = np.sqrt(np.diag(covariance)) / _common_power_w(readings, at_v, behaviour)
        low = min(value * (1 - cover * float(share)) for value, share in zip(values, shares, strict=True))
        high = max(value * (1 + cover * float(share)) for value, share in zip(values, shares, strict=True))
    return Mean(
        power_w=Uncertain(found.value, low, high),
        standard_uncertainty_w=found.standard_uncertainty,
        weights=found.weights,
        consistent=consistent,
    )


def combine_claims(figures: Sequence[ClaimFigure], at_v: float, behaviour: Behaviour) -> Mean:
    """Combine claims to one power; the interval spans the ends of all of them. [W]

    Where they disagree the largest counts, so that nothing is built too thin; own judgement.
    """
    found = [figure.at(at_v, behaviour.exponent) for figure in figures]
    values = [moved.value for moved in found]
    common_w = sum(values) / len(values)
    deviations = [label_uncertainty_w(figure) / figure.power_w * common_w for figure in figures]
    mean = combine(values, np.diag(np.square(deviations)))
    agree = _consistent(mean.chi2, mean.degrees, mean.p)
    value = mean.value if agree.flag else max(values)
    weights = mean.weights
    if not agree.flag:
        weights = tuple(float(place == values.index(value)) for place in range(len(values)))
    return Mean(
        power_w=Uncertain(value, min(moved.low for moved in found), max(moved.high for moved in found)),
        standard_uncertainty_w=mean.standard_uncertainty,
        weights=weights,
        consistent=agree,
    )


def _consistent(chi2: float, degrees: int, p: float) -> Consistency:
    return Consistency(flag=degrees == 0 or p >= DISAGREES_BELOW, chi2=chi2, degrees=degrees, p=p)
