"""What charges over days: an alternator's curve, its regulator by heat or by the engine computer, the sun."""

from __future__ import annotations

from itertools import accumulate
from typing import TYPE_CHECKING

from groundstrap.errors import UnknownNameError
from groundstrap.records import dataclass
from groundstrap.tables._points import Curve, array_of, default_of, line_of, row_of
from groundstrap.tables._remember import remembered
from groundstrap.tables.supplies import Default
from groundstrap.tables.table import table

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


__all__ = [
    "StartingProfile",
    "alternator_by_control",
    "alternator_curve",
    "alternator_hot_curve",
    "regulator_curve",
    "solar_default",
    "starting_profile",
]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StartingProfile:
    """Supply volts while an engine is started: down, lowest, up to what is held, back.

    As a course for `physics.storage.along`: `times_s` from the beginning of the fall, `volts_v` there. Ripple
    on what is held is left out.
    """

    lowest_v: float
    held_v: float
    fall_s: float
    lowest_s: float
    rise_s: float
    held_s: float
    back_s: float
    times_s: NDArray[np.float64]
    volts_v: NDArray[np.float64]
    source: str
    known: str


@remembered
def alternator_curve() -> Curve:
    """Share of an alternator's rated current by shaft speed in 1/min, as points. [1]

    Source: handbook-motor-vehicle, typical curve, from memory; iso-8854 rates at 6000 1/min.

    >>> curve = alternator_curve()
    >>> float(curve.keys[0]), float(curve.typical[2])
    (1200.0, 0.5)
    """
    data = table("alternator_share")
    return line_of(data, "shaft_rpm", data.numbers("share"))


@remembered
def alternator_hot_curve() -> Curve:
    """Hot output of an alternator over its cold output, by shaft speed in 1/min. [1]

    Source: handbook-workshop: one small marine alternator, two speeds.

    >>> [round(share, 2) for share in alternator_hot_curve().typical.tolist()]
    [0.67, 0.82]
    """
    data = table("alternator_hot_share")
    return line_of(data, "shaft_rpm", (row.number("hot_a") / row.number("cold_a") for row in data))


@remembered
def regulator_curve(market: str = "R1") -> Curve:
    """Regulated volts of a 12 V alternator by the temperature of its regulator in degC. [V]

    Source: handbook-workshop: the limits of one manual for two markets; typical is their middle.

    >>> curve = regulator_curve()
    >>> float(curve.keys[1]), float(curve.low[1]), float(curve.high[1])
    (20.0, 13.7, 14.6)
    """
    data = table("regulator_by_temperature")
    rows = [row for row in data if row.text("market") == market]
    if not rows:
        raise UnknownNameError("market", market, list(dict.fromkeys(row.text("market") for row in data)))
    low, high = (tuple(row.number(column) for row in rows) for column in ("low_v", "high_v"))
    return Curve(
        keys=array_of(row.number("temperature_c") for row in rows),
        low=array_of(low),
        typical=array_of((a + b) / 2 for a, b in zip(low, high, strict=True)),
        high=array_of(high),
        source=data.source,
        known=data.known,
    )


@remembered
def alternator_by_control(when: str) -> Default:
    """Volts of a 12 V alternator that the engine computer sets: ``cruise``, ``overrun``, ``idling``.

    Source: handbook-workshop. Also ``held state`` in per cent and ``share of driving on overrun``.

    >>> alternator_by_control("overrun").typical, alternator_by_control("held state").typical
    (15.0, 80.0)
    """
    return _row_as_default("alternator_by_control", "when", when)


@remembered
def solar_default(item: str) -> Default:
    """Return what is taken of a panel and its regulator, such as ``power per K`` or ``regulator PWM``.

    >>> solar_default("regulator MPPT").typical
    0.96
    """
    return _row_as_default("solar_defaults", "item", item)


def _row_as_default(name: str, column: str, text: str) -> Default:
    data = table(name)
    row = row_of(data, column, text, column)
    return default_of(data, row, row.text("unit"))


@remembered
def starting_profile(system_v: float, profile: str) -> StartingProfile:
    """Supply volts while an engine is started, by ISO 16750-2.

    Source: iso-16750-2, 2010 and 2012 editions, from memory.

    Parameters
    ----------
    system_v : float
        12 or 24. [V]
    profile : str
        ``I`` to ``IV``.

    Examples
    --------
    >>> starting_profile(12, "II").lowest_v, starting_profile(12, "II").held_s
    (4.5, 10.0)
    """
    data, system = table("starting_profiles_iso_16750_2"), f"{system_v:g} V"
    for row in data:
        if (row.text("system"), row.text("profile")) == (system, profile):
            lowest, held = row.number("lowest_v"), row.number("held_v")
            fall, low, rise, back = (
                row.number(column) / 1000 for column in ("fall_ms", "lowest_ms", "rise_ms", "back_ms")
            )
            steps = (0.0, fall, low, rise, row.number("held_s"), back)
            return StartingProfile(
                lowest_v=lowest,
                held_v=held,
                fall_s=fall,
                lowest_s=low,
                rise_s=rise,
                held_s=row.number("held_s"),
                back_s=back,
                times_s=array_of(accumulate(steps)),
                volts_v=array_of((system_v, lowest, lowest, held, held, system_v)),
                source=data.source,
                known=data.known,
            )
    known = [f"{row.text('system')} {row.text('profile')}" for row in data]
    raise UnknownNameError("starting profile", f"{system} {profile}", known)
