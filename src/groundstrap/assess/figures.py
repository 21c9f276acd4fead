"""Figures that `assess` needs and no reference table has; each is listed in the assumptions where it is used.

All of them are own judgement unless the line says otherwise. Resistances are low, typical and high ends.
"""

from __future__ import annotations

from typing import Final

from groundstrap.records import dataclass

__all__ = [
    "ACCEPTANCE_PER_HOUR",
    "BATTERY_NEGATIVE_OHM",
    "BEST_INSULATION",
    "DIODE_DROP_V",
    "EXISTING_FEED_OHM",
    "HELD_OHM",
    "IDLE_SHARE",
    "LASTING_H",
    "LASTING_MARGIN_K",
    "MACHINE_CABLE_OHM",
    "MOST_START_S",
    "REFERENCE_RISE_K",
    "SHORT_RUN_S",
    "SOLAR_MARGIN",
    "STAND_IN_AREA_MM2",
    "STAND_IN_A_PER_MM2",
    "STAND_IN_THICK",
    "STAND_IN_THIN",
    "STRONG_CHARGE_PCT",
    "SUN_H_PER_DAY",
    "TAPER_PER_HOUR",
    "Ends",
]


@dataclass(frozen=True, slots=True)
class Ends:
    """Low end, typical value and high end of one figure, in the unit that its name says."""

    low: float
    typical: float
    high: float

    def at(self, end: str) -> float:
        """Return the value at `low`, `typical` or `high`.

        >>> Ends(1.0, 2.0, 5.0).at("high")
        5.0
        """
        return {"low": self.low, "typical": self.typical, "high": self.high}[end]


BATTERY_NEGATIVE_OHM: Final = Ends(0.0001, 0.0003, 0.001)
"""A short strap from a battery's negative post to body or bus that nobody drew. [ohm]"""

BEST_INSULATION: Final = "125 degC"
"""The best that is usual (cross-linked): what existing cable may have whose insulation nobody wrote."""

MACHINE_CABLE_OHM: Final = Ends(0.001, 0.002, 0.004)
"""An alternator's own cable to the battery, one way, that nobody drew. [ohm]"""

EXISTING_FEED_OHM: Final = Ends(0.002, 0.005, 0.015)
"""The maker's own cable to an existing fuse box that nobody drew. [ohm]"""

DIODE_DROP_V: Final = Ends(0.3, 0.6, 1.0)
"""Across a conducting diode, low for the Schottky sort; taken as a resistance at its design current. [V]"""

HELD_OHM: Final = 1e-5
"""Between a supply whose terminals are held at a voltage and its posts: 1 mV at 100 A. [ohm]"""

REFERENCE_RISE_K: Final = 15.0
"""Rise above the air at which the thermal resistance behind `kappa` is taken: wires that are sized well run
near it, and at larger rises the true resistance is smaller. [K]"""

ACCEPTANCE_PER_HOUR: Final = {"flooded": 0.25, "agm": 0.35, "gel": 0.25, "lfp": 0.5}
"""Share of its capacity in Ah that an empty battery takes as current, by chemistry. [1/h]"""

TAPER_PER_HOUR: Final = 0.1
"""Share of its capacity in Ah that a battery which is nearly full still takes as current at 14.4 V. [1/h]"""

STRONG_CHARGE_PCT: Final = {"flooded": 100.0, "agm": 100.0, "gel": 100.0, "lfp": 98.33}
"""Charge that a battery rests at where nobody wrote its volts; for lfp the end of its flat stretch. [%]"""

IDLE_SHARE: Final = 0.30
"""A conductor that carries no more than this share of its rating among the others does not count as loaded.
Source: iec-60364-5-52, from memory. [1]"""

LASTING_MARGIN_K: Final = 20.0
"""Kept below the class by what runs round the clock: with half the life for every 10 K the 3,000 h of a class
of ISO 6722 become 12,000 h; own judgement. [K]"""

LASTING_H: Final = 24.0
"""What a battery feeds for so long from full may be on round the clock; own judgement. [h]"""

SUN_H_PER_DAY: Final = 5.0
"""Hours of full sun that a good day comes to; own judgement. [h]"""

SHORT_RUN_S: Final = 600.0
"""A load that runs so long at most, by its written duty, is no continuous one to a fuse. [s]"""

MOST_START_S: Final = 10.0
"""A written start that lasts longer is a run at its current: fuse and wire carry it as they do a load. [s]"""

SOLAR_MARGIN: Final = 1.25
"""Times a panel's rated current, which bright sun on a cold panel exceeds. Common practice."""

STAND_IN_A_PER_MM2: Final = 3.0
"""Current density that a wire of unknown size stands in with, so that the rest can be solved; what
hangs on it stays unknown. [A/mm2]"""

STAND_IN_THIN: Final = (8.0, 0.75)
"""The thinnest that a wire of unknown size may be: current density, least area. [A/mm2, mm2]"""

STAND_IN_THICK: Final = (1.0, 10.0)
"""The thickest: current density, least area. [A/mm2, mm2]"""

STAND_IN_AREA_MM2: Final = 2.5
"""Least area that stands in. [mm2]"""
