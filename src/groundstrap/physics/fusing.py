"""The current that melts a wire: a description of the wire as a fuse, never a protection limit."""

import math
from typing import Final

from groundstrap.physics._range import POSITIVE, within
from groundstrap.physics.conductor import MM2_PER_CIRCULAR_MIL

PREECE_COPPER_A_PER_MM15: Final = 10244 / 25.4**1.5
"""Preece's factor for copper, 10244 with the diameter in inches. [A/mm^1.5]"""
PREECE_ALUMINIUM_A_PER_MM15: Final = 7585 / 25.4**1.5
"""Preece's factor for aluminium, 7585 with the diameter in inches. [A/mm^1.5]"""
COPPER_MELTS_C: Final = 1083.0
"""Melting point as Onderdonk's form has it. [degC]"""


@within(diameter_mm=(0.02, 30.0), factor_a_per_mm15=POSITIVE)
def preece_current_a(diameter_mm: float, *, factor_a_per_mm15: float) -> float:
    r"""Current that at last melts a bare round wire in free air. [A]

    Source: Preece 1888, I = a d^(3/2).

    .. math:: I = a\, d^{3/2}

    Parameters
    ----------
    diameter_mm : float
        Diameter of the solid wire. [mm]
    factor_a_per_mm15 : float
        Preece's factor of the metal; 80.0 for copper. [A/mm^1.5]

    Examples
    --------
    By hand: 10244 * 0.0457^1.5 with 0.0457 in = 1.16078 mm; the table prints 100 A.

    >>> round(preece_current_a(1.16078, factor_a_per_mm15=PREECE_COPPER_A_PER_MM15), 1)
    100.1
    """
    return factor_a_per_mm15 * math.pow(diameter_mm, 1.5)


@within(current_a=POSITIVE, factor_a_per_mm15=POSITIVE)
def preece_diameter_mm(current_a: float, *, factor_a_per_mm15: float) -> float:
    """Diameter of the bare wire that a current at last melts. [mm]

    Source: Preece 1888, solved for the diameter.

    Parameters
    ----------
    current_a : float
        Melting current. [A]
    factor_a_per_mm15 : float
        Preece's factor of the metal. [A/mm^1.5]

    Examples
    --------
    >>> round(preece_diameter_mm(100, factor_a_per_mm15=80.0), 3)
    1.16
    """
    return math.pow(current_a / factor_a_per_mm15, 2 / 3)


@within(area_mm2=POSITIVE, time_s=(1e-6, 10.0), start_c=(-60.0, 400.0))
def onderdonk_current_a(area_mm2: float, time_s: float, *, start_c: float) -> float:
    r"""Current that melts a copper wire in a time of up to 10 s. [A]

    Source: Onderdonk 1928, from memory, with 234 + start in the divisor (a copy of the form that goes about
    has 234 - start). No heat gets away, hence the limit of 10 s.

    .. math:: I = A_{CM} \sqrt{\log_{10}\left(\frac{1083 - \theta}{234 + \theta} + 1\right) / (33 t)}

    Parameters
    ----------
    area_mm2 : float
        Metal cross-section. [mm2]
    time_s : float
        Time to melting. [s]
    start_c : float
        Temperature before. [degC]

    Examples
    --------
    By hand: 4106.8 circular mils (2.081 mm2) * sqrt(log10(1058 / 259 + 1) / 33) at 25 degC in 1 s.

    >>> round(onderdonk_current_a(2.081, 1, start_c=25), 0)
    601.0
    """
    circular_mils = area_mm2 / MM2_PER_CIRCULAR_MIL
    return circular_mils * math.sqrt(_onderdonk_span(start_c) / time_s)


@within(area_mm2=POSITIVE, current_a=POSITIVE, start_c=(-60.0, 400.0))
def onderdonk_time_s(area_mm2: float, current_a: float, *, start_c: float) -> float:
    """Time in which a current melts a copper wire; true up to about 10 s, later too early. [s]

    Source: Onderdonk 1928, from memory, solved for the time.

    Parameters
    ----------
    area_mm2 : float
        Metal cross-section. [mm2]
    current_a : float
        The current. [A]
    start_c : float
        Temperature before. [degC]

    Examples
    --------
    >>> round(onderdonk_time_s(2.081, 600.8, start_c=25), 2)
    1.0
    """
    circular_mils = area_mm2 / MM2_PER_CIRCULAR_MIL
    return _onderdonk_span(start_c) * (circular_mils / current_a) ** 2


def _onderdonk_span(start_c: float) -> float:
    return math.log10((COPPER_MELTS_C - start_c) / (234 + start_c) + 1) / 33
