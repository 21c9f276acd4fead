"""Air for a battery's space against hydrogen."""

from groundstrap.physics._numbers import Num
from groundstrap.physics._range import NOT_NEGATIVE, POSITIVE, within


@within(capacity_ah=POSITIVE, cells=(1.0, 1000.0), gassing_ma_per_ah=NOT_NEGATIVE)
def vent_flow_m3_per_h(capacity_ah: Num, *, cells: float, gassing_ma_per_ah: float) -> Num:
    """Air that keeps the hydrogen of a charging battery thin enough. [m3/h]

    Source: iec-62485-2: Q = 0.05 n I C / 1000, from memory; the gassing currents were read.

    Parameters
    ----------
    capacity_ah : float
        Capacity of one string, and of strings in parallel their sum. [Ah]
    cells : float
        Cells in series: 6 for 12 V of lead-acid. [1]
    gassing_ma_per_ah : float
        Gassing current for each ampere hour. [mA/Ah]

    Examples
    --------
    By hand: 0.05 * 6 * 20 * 100 / 1000.

    >>> round(vent_flow_m3_per_h(100.0, cells=6, gassing_ma_per_ah=20), 6)
    0.6
    """
    return capacity_ah * (0.05 * cells * gassing_ma_per_ah / 1000)


@within(flow_m3_per_h=NOT_NEGATIVE)
def vent_opening_cm2(flow_m3_per_h: Num) -> Num:
    """Area of each of two openings, low and high, that gives a flow by itself. [cm2]

    Source: iec-62485-2: A = 28 Q, from memory.

    Parameters
    ----------
    flow_m3_per_h : float
        Air that is needed. [m3/h]

    Examples
    --------
    By hand: 28 * 0.6.

    >>> round(vent_opening_cm2(0.6), 6)
    16.8
    """
    return flow_m3_per_h * 28
