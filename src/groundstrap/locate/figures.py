"""Figures that the search for a fault rests on and no reference table has.

Own judgement unless a line says otherwise: no rates of such faults are published.
"""

from __future__ import annotations

from typing import Final

from groundstrap.locate.segments import SegmentKind

__all__ = [
    "BATTERY_OHM_SPREAD",
    "BATTERY_V",
    "BODY_TIMES",
    "CONTACT_V",
    "DEAD_SHARE",
    "EFFORT_APART",
    "EFFORT_CLAMP",
    "EFFORT_OFF",
    "EFFORT_WHOLE",
    "FAULT_ODDS",
    "FITS",
    "HEALTHY",
    "LEAST_A",
    "LOAD_SHARES",
    "LOAD_SPREAD",
    "LOSSES_V",
    "MISSED",
    "NOTICED_SHARE",
    "OPEN_SHARE",
    "OWN_DRAW_SPREAD",
    "SAG_V",
    "SETPOINT_V",
    "SHAPE",
    "SURE",
    "UNKNOWN_A",
    "WEAK_BATTERY",
    "WHOLE_V",
    "WIRE_SPREAD",
    "WITHOUT_CAUSE",
]

FAULT_ODDS: Final = {
    SegmentKind.GROUND: 5.0,
    SegmentKind.JOINTS: 3.0,
    SegmentKind.FUSE: 3.0,
    SegmentKind.CONNECTOR: 4.0,
    SegmentKind.CONTACT: 2.0,
    SegmentKind.UNKNOWN: 3.0,
    SegmentKind.TIE: 2.0,
    SegmentKind.PART: 1.0,
    SegmentKind.BODY: 0.5,
    SegmentKind.LOAD: 2.0,
    SegmentKind.BATTERY: 2.0,
    SegmentKind.SUPPLY: 1.0,
}
"""How likely a place is to be the one, against others: grounds, crimps and plugs before contacts before parts
(common practice for the order). [1]"""

HEALTHY: Final = 0.15
"""Chance that a complaint has no fault in the wiring, the battery or the load. [1]"""

OPEN_SHARE: Final = 0.15
"""Of the faults of a place, those in which nothing flows any more. [1]"""

LOSSES_V: Final = (0.07, 10.0, 16)
"""Least and most volts that a bad joint takes at its sound current, and how many values between. [V]"""

LOAD_SHARES: Final = (0.9, 0.8, 0.7, 0.6, 0.5, 0.4, 0.3, 0.2)
"""Of its rating that a worn or wrong load may take, and one over them. [1]"""

WEAK_BATTERY: Final = (2.0, 3.5, 6.0, 11.0, 20.0, 36.0, 65.0, 120.0, 220.0, 400.0)
"""Times the resistance of a sound battery that a weak one has. [1]"""

WIRE_SPREAD: Final = 0.06
"""Standard uncertainty of a wire's resistance: length along its way, temperature, metal. [1]"""

OWN_DRAW_SPREAD: Final = 0.5
"""Of what the vehicle itself draws. [1]"""

BATTERY_V: Final = 0.25
"""Standard uncertainty of a 12 V battery's rested volts that nobody read. [V]"""

SETPOINT_V: Final = 0.20
"""Of the setpoint of a 12 V alternator or charger. [V]"""

SAG_V: Final = 0.03
"""By which a 12 V battery wanders between one reading and the next. [V]"""

CONTACT_V: Final = 0.003
"""Standard uncertainty of volts for the contact of two test leads: up to 5 mV. Common practice. [V]"""

BODY_TIMES: Final = 3.5
"""Times the spread of a body's resistance that it counts with: no part is known less. [1]"""

WITHOUT_CAUSE: Final = 0.25
"""Chance that somebody complains of a load though nothing is wrong with what can be measured. [1]"""

SHAPE: Final = 0.03
"""Of what a fault changes: how far its pattern is off, by what is drawn as a straight line. [1]"""

UNKNOWN_A: Final = 0.6
"""Standard uncertainty of what draws from a block or battery and nobody knows of. [A]"""

EFFORT_APART: Final = 1.2
"""Of a reading whose points lie in two places: a long lead. [1]"""

EFFORT_CLAMP: Final = 1.2
"""Of a clamp: the cable must be got at and the clamp zeroed. [1]"""

EFFORT_OFF: Final = 1.2
"""Of a reading with the load switched off. [1]"""

LEAST_A: Final = 0.02
"""Current from which something counts as flowing. [A]"""

LOAD_SPREAD: Final = 0.05
"""Least standard uncertainty of what a sound load takes. [1]"""

BATTERY_OHM_SPREAD: Final = 0.3
"""Least standard uncertainty of a sound battery's resistance, in its logarithm: charge, age, cold. [1]"""

NOTICED_SHARE: Final = 0.02
"""Of its sound volts or amps, by which a load is said to be weak. [1]"""

DEAD_SHARE: Final = 0.8
"""Of its sound volts or amps, by which a load is said to be dead. [1]"""

MISSED: Final = 0.03
"""Chance that a load is complained of though a fault does nothing to it. [1]"""

SURE: Final = 0.93
"""Chance from which a place stands and nothing more need be read. [1]"""

FITS: Final = 0.001
"""Chance of readings under the best story, below which none fits: a sheet fails beyond 99.9 %. [1]"""

EFFORT_WHOLE: Final = 1.5
"""Of a reading of most of the supply's volts, against one of what a piece loses: they sag meanwhile. [1]"""

WHOLE_V: Final = 4.0
"""From here on a reading is one of the supply's volts. [V]"""
