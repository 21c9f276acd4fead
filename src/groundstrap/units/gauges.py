"""Gauge numbers to copper: the American wire gauge by its formula, the SAE gauge by its own table.

The two share their numbers and not their copper: an SAE cable has 3 to 11 % less metal than an AWG one of the
same number.
"""

import math
from typing import Final

from groundstrap.errors import OutOfRangeError, UnknownNameError
from groundstrap.records import dataclass

CIRCULAR_MIL_MM2: Final = math.pi / 4 * 0.0254**2
"""Area of a circle of one thousandth of an inch across, by definition. [mm2]"""

# Name of every gauge that a wire of this trade may have, thinnest first, with the n of the formula.
_NUMBERS: Final = {str(n): n for n in range(22, 0, -1)} | {"1/0": 0, "2/0": -1, "3/0": -2, "4/0": -3}
_STRAND_NUMBERS: Final = {str(n): n for n in range(36, 22, -1)}
_IN_NOUGHTS: Final = {"0": "1/0", "00": "2/0", "000": "3/0", "0000": "4/0"}

# Least copper of each SAE gauge in circular mils: SAE J1127 and J1128, as listed beside the AWG areas in
# published conductor tables for boats (ABYC E-11); read in a secondary copy.
_SAE_CIRCULAR_MILS: Final = {
    "18": 1537,
    "16": 2336,
    "14": 3702,
    "12": 5833,
    "10": 9343,
    "8": 14_810,
    "6": 24_538,
    "4": 37_360,
    "2": 62_450,
    "1": 77_790,
    "1/0": 98_980,
    "2/0": 125_100,
    "3/0": 158_600,
    "4/0": 205_500,
}

AWG_GAUGES: Final = tuple(_NUMBERS)
"""Gauges that a conductor may have, thinnest first: 22 to 4/0."""

AWG_ON_SALE: Final = tuple(gauge for gauge, n in _NUMBERS.items() if n < 2 or n % 2 == 0)
"""Gauges that cable is commonly sold in, thinnest first: the even ones, then 1 and 1/0 to 4/0."""

_PRINTED_ROUNDED: Final = 5e-3
"""Areas of gauges are printed with three figures: nearer than this share, an area is the gauge's own."""

SAE_GAUGES: Final = tuple(_SAE_CIRCULAR_MILS)
"""Gauges of the SAE cable standards, thinnest first: 18 to 4/0."""


def awg_diameter_mm(gauge: str) -> float:
    """Diameter of a solid wire of an AWG gauge, 36 to 4/0. [mm]

    Source: ASTM B258, the defining formula: 36 is 0.005 in, 4/0 is 0.46 in, and 38 equal ratios lie between.

    Parameters
    ----------
    gauge : str
        `36` to `1`, `1/0` to `4/0`, or `0` to `0000`.

    Examples
    --------
    By hand: 36 is 0.005 in of 25.4 mm; 4/0 is 0.46 in.

    >>> awg_diameter_mm("36"), round(awg_diameter_mm("4/0"), 9)
    (0.127, 11.684)
    """
    name = _IN_NOUGHTS.get(gauge, gauge)
    number = _NUMBERS.get(name, _STRAND_NUMBERS.get(name))
    if number is None:
        raise UnknownNameError("AWG gauge", gauge, AWG_GAUGES)
    return float(0.127 * 92 ** ((36 - number) / 39))


def awg_area_mm2(gauge: str) -> float:
    """Copper area of an AWG gauge, that of the solid wire. [mm2]

    Source: ASTM B258, the defining formula; a stranded conductor of the gauge has the same metal (ASTM B8).

    Parameters
    ----------
    gauge : str
        `36` to `1`, `1/0` to `4/0`, or `0` to `0000`.

    Examples
    --------
    By hand: 4/0 is 460 mil across, so 460**2 = 211 600 circular mils.

    >>> round(awg_area_mm2("4/0") / CIRCULAR_MIL_MM2, 6)
    211600.0
    """
    return math.pi / 4 * awg_diameter_mm(gauge) ** 2


def sae_area_mm2(gauge: str) -> float:
    """Least copper area of an SAE gauge. [mm2]

    Source: SAE J1127 and J1128, minimum circular mils, read in a secondary copy.

    Parameters
    ----------
    gauge : str
        `18` to `1` as far as the standard has them, `1/0` to `4/0`, or `0` to `0000`.

    Examples
    --------
    By hand: 12 is 5833 circular mils of 0.000506707 mm2.

    >>> round(sae_area_mm2("12"), 3)
    2.956
    """
    mils = _SAE_CIRCULAR_MILS.get(_IN_NOUGHTS.get(gauge, gauge))
    if mils is None:
        raise UnknownNameError("SAE gauge", gauge, SAE_GAUGES)
    return mils * CIRCULAR_MIL_MM2


def gauge_name(gauge: str) -> str:
    """Return the usual name of a gauge that may be written in noughts.

    >>> gauge_name("00"), gauge_name("10")
    ('2/0', '10')
    """
    return _IN_NOUGHTS.get(gauge, gauge)


@dataclass(frozen=True, slots=True)
class Neighbours:
    """Gauges on sale between which a copper area lies; both are the same one where it is that gauge's own."""

    thinner: str | None
    """None where the area is below the thinnest gauge here."""
    thicker: str | None
    """None where the area is above the thickest gauge here."""


def awg_neighbours(area_mm2: float) -> Neighbours:
    """Name the AWG gauges on sale next to an area, for display beside it: never for a choice.

    Source: common-practice; cable is sold in the even gauges and in 1 to 4/0.

    Parameters
    ----------
    area_mm2 : float
        Copper area. [mm2]

    Examples
    --------
    By hand: 6 mm2 lies between 5.26 mm2 of 10 AWG and 8.37 mm2 of 8 AWG.

    >>> awg_neighbours(6.0)
    Neighbours(thinner='10', thicker='8')
    """
    if not 0.0 < area_mm2 < math.inf:
        raise OutOfRangeError("awg_neighbours", "area_mm2", area_mm2, 0.0, math.inf)
    areas = {gauge: awg_area_mm2(gauge) for gauge in AWG_ON_SALE}
    for gauge, exact_mm2 in areas.items():
        if math.isclose(exact_mm2, area_mm2, rel_tol=_PRINTED_ROUNDED):
            return Neighbours(gauge, gauge)
    thinner = [gauge for gauge, exact_mm2 in areas.items() if exact_mm2 < area_mm2]
    thicker = [gauge for gauge, exact_mm2 in areas.items() if exact_mm2 > area_mm2]
    return Neighbours(thinner[-1] if thinner else None, thicker[0] if thicker else None)
