"""Figures that the search for a fault rests on and no reference table has.

Own judgement unless a line says otherwise: no rates of such faults are published.
"""

from __future__ import annotations

from typing import Final

from groundstrap.locate.segments import SegmentKind

__all__ = [
    "BATTERY_OHM_SPREAD",
    "BATTERY_V",
    "BLOWS_AT",
    "BODY_TIMES",
    "CHAFED_SHARE",
    "CLAD_TIMES",
    "COIL_OHM",
    "CONTACT_V",
    "DEAD_SHARE",
    "DRAINS_A",
    "EFFORT_APART",
    "EFFORT_CLAMP",
    "EFFORT_OFF",
    "EFFORT_POSTS",
    "EFFORT_WHOLE",
    "FAULT_ODDS",
    "FED_SHARE",
    "FITS",
    "HEALTHY",
    "HEALTHY_BESIDE",
    "LEAST_A",
    "LEAST_FUSE_V",
    "LEAST_LEAK_A",
    "LOAD_SHARES",
    "LOAD_SPREAD",
    "LOSSES_V",
    "MISSED",
    "MOST_LEAK_A",
    "MOST_WIRE_TIMES",
    "NOTICED_SHARE",
    "OPEN_SHARE",
    "OWN_DRAW_SPREAD",
    "SAG_V",
    "SETPOINT_V",
    "SHAPE",
    "SURE",
    "SWAPPED_SHARE",
    "UNKNOWN_A",
    "WEAK_BATTERY",
    "WHOLE_V",
    "WIRE_SPREAD",
    "WITHOUT_CAUSE",
    "WRONG_FUSE_SHARE",
    "Z_95",
    "Z_999",
]

Z_95: Final = 1.959964
"""Standard deviations to each side that hold 95 % of a normal distribution; jcgm-100, table G.1. [1]"""
Z_999: Final = 3.290527
"""Those that hold 99.9 %, which no table there prints: `normal_quantile` of 0.9995. [1]"""

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
    SegmentKind.BATTERY: 3.0,
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

UNKNOWN_A: Final = 0.8
"""Standard uncertainty of what draws from a block or battery and nobody knows of. [A]"""

EFFORT_APART: Final = 1.2
"""Of a reading whose points lie in two places: a long lead. [1]"""

EFFORT_POSTS: Final = 0.7
"""Of the volts at a battery's posts: nothing is easier to get at. [1]"""

EFFORT_CLAMP: Final = 1.2
"""Of a clamp: the cable must be got at and the clamp zeroed. [1]"""

EFFORT_OFF: Final = 1.2
"""Of a reading with all switched off. [1]"""

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

SURE: Final = 0.90
"""Chance from which a place stands and nothing more need be read. [1]"""

FITS: Final = 0.001
"""Chance of readings under the best story, below which none fits: a sheet fails beyond 99.9 %. [1]"""

EFFORT_WHOLE: Final = 1.5
"""Of a reading of most of the supply's volts, against one of what a piece loses: they sag meanwhile. [1]"""

WHOLE_V: Final = 4.0
"""From here on a reading is one of the supply's volts. [V]"""

CHAFED_SHARE: Final = 0.08
"""Of the odds of a cable: that it lets current to the body behind a fuse that holds. [1]"""

WRONG_FUSE_SHARE: Final = 0.10
"""Of the odds of a fuse with its holder: that one of another rating is in, lower or higher each. [1]"""

SWAPPED_SHARE: Final = 0.10
"""Of the odds of a relay: that its coil and its contact are swapped. [1]"""

COIL_OHM: Final = (50.0, 70.0, 90.0, 120.0)
"""Coils of 12 V relays; common practice: 1.2 to 2.9 W. [ohm]"""

BLOWS_AT: Final = 1.35
"""Times its rating from which a blade fuse opens within half an hour; below it may hold. ISO 8820-3, from
memory. [1]"""

LEAST_FUSE_V: Final = 0.004
"""Millivolts from which a fuse of another rating is told from its own, in volts. [V]"""

LEAST_LEAK_A: Final = 1.0
"""Least current to the body that is looked for beside a load that runs. [A]"""

MOST_LEAK_A: Final = 30.0
"""Most, where no fuse is known. [A]"""

DRAINS_A: Final = (0.03, 0.06, 0.12, 0.25, 0.5, 1.0, 2.0, 4.0, 8.0)
"""Drains at rest that are looked for: what empties a battery in weeks, up to what does in a night. [A]"""

FED_SHARE: Final = 0.5
"""Of the system's volts from which something counts as fed. [1]"""

HEALTHY_BESIDE: Final = 0.5
"""Chance that nothing is wrong beside a fault that stands, where more is looked for. [1]"""

CLAD_TIMES: Final = 1.59
"""Times copper's resistance that copper-clad aluminium of one size has: 0.0274 / 0.01724, ASTM B566. [1]"""

MOST_WIRE_TIMES: Final = 12.0
"""Times its planned resistance up to which a cable as such may be it; beyond, it is a joint. [1]"""
