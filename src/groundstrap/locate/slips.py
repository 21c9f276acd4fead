"""A reading that would fit in another unit: volts typed for millivolts, milliamps for amps."""

from __future__ import annotations

from typing import Final

from groundstrap.locate.probes import ProbeKind

__all__ = ["other_unit"]

_THOUSAND: Final = 1000.0
_OPEN: Final = (0.7, 1.3)
"""Shares of the system's volts between which an open place has them across it; own judgement. [1]"""
_SURELY_A: Final = 10.0
"""From here on amps where next to none flow are asked about too; own judgement. [A]"""


def other_unit(measured: float, kind: ProbeKind, low: float, high: float, system_v: float) -> float | None:
    """Return times what it would fit: a thousandth or a thousand; None where it fits, or neither does.

    Not asked about are a supply's whole volts where little is lost, as an open place has them, and next to
    nothing where a sound one may have none: both are what faults read.

    Parameters
    ----------
    measured : float
        What was written. [V, A]
    kind : ProbeKind
        Volts or amps.
    low, high : float
        Ends of what sound work reads. [V, A]
    system_v : float
        Nominal volts of the job. [V]

    Examples
    --------
    A holder that loses 4 to 12 mV, and a pump of 8 A whose milliamps were typed:

    >>> volts, amps = ProbeKind.VOLTS, ProbeKind.AMPS
    >>> other_unit(6.0, volts, 0.004, 0.012, 12.0), other_unit(8600.0, amps, 7.0, 9.0, 12.0)
    (0.001, 0.001)
    >>> other_unit(0.0086, amps, 7.0, 9.0, 12.0), other_unit(12.4, volts, 0.004, 0.0125, 12.0)
    (1000.0, None)
    """
    turned = low + high < 0.0
    least, most, size = (-high, -low, -measured) if turned else (low, high, measured)
    if least <= size <= most or size <= 0.0:
        return None
    if max(least, 0.0) <= size / _THOUSAND <= most:
        whole = kind is ProbeKind.VOLTS and _OPEN[0] * system_v <= size <= _OPEN[1] * system_v
        told = least > 0.0 or (kind is ProbeKind.AMPS and size > _SURELY_A)
        return 1.0 / _THOUSAND if told and not whole else None
    return _THOUSAND if 0.0 < least <= size * _THOUSAND <= most else None
