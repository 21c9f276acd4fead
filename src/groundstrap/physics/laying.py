"""Laying: fill of a conduit, bore for a bundle, jamming, bend radius, diameter over a wall."""

import math
from collections.abc import Sequence

from groundstrap.errors import OutOfRangeError
from groundstrap.physics._numbers import Num
from groundstrap.physics._range import NOT_NEGATIVE, POSITIVE, within


@within(conductor_d_mm=POSITIVE, wall_mm=NOT_NEGATIVE)
def outer_diameter_mm(conductor_d_mm: Num, *, wall_mm: float) -> Num:
    """Diameter over the insulation. [mm]

    Source: geometry.

    Parameters
    ----------
    conductor_d_mm : float
        Diameter under the insulation. [mm]
    wall_mm : float
        Thickness of the insulation. [mm]

    Examples
    --------
    By hand: 2.2 + 2 * 0.35.

    >>> round(outer_diameter_mm(2.2, wall_mm=0.35), 2)
    2.9
    """
    return conductor_d_mm + 2 * wall_mm


@within(bore_mm=POSITIVE)
def conduit_fill_pct(outer_d_mm: Sequence[float], *, bore_mm: float) -> float:
    """Share of a conduit's bore that its cables fill; above 100 they can't lie in it. [%]

    Source: geometry, as nec-9-1 counts it: sum of the circles over the bore.

    Parameters
    ----------
    outer_d_mm : sequence of float
        Diameter of each cable over its insulation. [mm]
    bore_mm : float
        Inner diameter of the conduit. [mm]

    Examples
    --------
    By hand: 100 * 3 * 4^2 / 11^2.

    >>> round(conduit_fill_pct((4.0, 4.0, 4.0), bore_mm=11), 2)
    39.67
    """
    return 100 * _squares("conduit_fill_pct", outer_d_mm) / bore_mm**2


@within(fill_pct=(1.0, 100.0))
def least_bore_mm(outer_d_mm: Sequence[float], *, fill_pct: float) -> float:
    """Least bore of a conduit for its cables at a fill. [mm]

    Source: ``conduit_fill_pct`` solved for the bore.

    Parameters
    ----------
    outer_d_mm : sequence of float
        Diameter of each cable over its insulation. [mm]
    fill_pct : float
        Share of the bore that may be filled. [%]

    Examples
    --------
    By hand: sqrt(3 * 4^2 / 0.40).

    >>> round(least_bore_mm((4.0, 4.0, 4.0), fill_pct=40), 3)
    10.954
    """
    return math.sqrt(100 * _squares("least_bore_mm", outer_d_mm) / fill_pct)


def _squares(function: str, outer_d_mm: Sequence[float]) -> float:
    for diameter_mm in outer_d_mm:
        if not 0 < diameter_mm < math.inf:
            raise OutOfRangeError(function, "outer_d_mm", diameter_mm, 0, math.inf)
    if not outer_d_mm:
        raise OutOfRangeError(function, "number of cables", 0, 1, math.inf)
    return sum(diameter_mm**2 for diameter_mm in outer_d_mm)


@within(bore_mm=POSITIVE, outer_d_mm=POSITIVE)
def jam_ratio(bore_mm: Num, *, outer_d_mm: float) -> Num:
    """Bore over cable diameter; three cables can jam where it is about three. [1]

    Source: nec-9-1, note 2: from 2.8 to 3.2.

    Parameters
    ----------
    bore_mm : float
        Inner diameter of the conduit. [mm]
    outer_d_mm : float
        Diameter of one of three like cables. [mm]

    Examples
    --------
    >>> jam_ratio(12.0, outer_d_mm=4.0)
    3.0
    """
    return bore_mm / outer_d_mm


@within(outer_d_mm=POSITIVE, multiple=(1.0, 30.0))
def bend_radius_mm(outer_d_mm: Num, *, multiple: float) -> Num:
    """Least radius on the inside of a bend. [mm]

    Source: common-practice: so many times the outer diameter.

    Parameters
    ----------
    outer_d_mm : float
        Diameter of the cable over its insulation. [mm]
    multiple : float
        Radius over diameter, by the kind of cable. [1]

    Examples
    --------
    By hand: 8 * 12.5.

    >>> bend_radius_mm(12.5, multiple=8)
    100.0
    """
    return outer_d_mm * multiple
