"""Rested volts that no battery has: of a bank they are one battery's, and often read across the whole."""

from __future__ import annotations

from functools import cache

from groundstrap.job.faults import Spot
from groundstrap.model import Supply
from groundstrap.tables import rested_curve

__all__ = ["check_rested"]

_CHEMISTRIES = ("flooded", "agm", "gel", "lfp")


@cache
def _ends_v() -> tuple[float, float]:
    """Lowest and highest volts that a 12 V battery of any chemistry rests at, flat and full. [V]"""
    curves = [rested_curve(chemistry).volts_v for chemistry in _CHEMISTRIES]
    return min(map(min, curves)), max(map(max, curves))


def check_rested(supply: Supply, spot: Spot) -> None:
    """Refuse a rested voltage that no battery of its nominal volts can have, and say what it may be of."""
    rested_v = supply.rested_v
    if rested_v is None:
        return
    one_v = supply.nominal_v / supply.series
    low_v, high_v = (end * one_v / 12.0 for end in _ends_v())
    if low_v <= rested_v <= high_v:
        return
    each_v = rested_v / supply.series
    nearest, whole = None, ""
    if supply.series > 1 and low_v <= each_v <= high_v:
        nearest = f"{each_v:.4g} V"
        whole = f"; across the whole bank it is {nearest} for each of {supply.series}"
    spot.fault(
        f"the rested volts of one battery, {low_v:.3g} V to {high_v:.3g} V",
        nearest=nearest,
        reason=f"of one battery of {one_v:g} V it can not be{whole}",
    )
