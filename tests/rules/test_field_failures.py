"""What one lost strap, one welded relay or a second battery does, each as a small job of our own.

The kinds of failure are those that the trade reports (common practice unless a line says otherwise); the
vehicles, names and figures are invented here.
"""

from __future__ import annotations

import pytest

from tests.rules.judged import failed, judged
from tests.rules.test_found_in_the_field import Found

ENGINE = """
supplies: {battery: {kind: battery, at: engine bay, capacity: 70 Ah}}
gear: {engine block: {kind: block, at: engine bay, state: existing}}
loads:
  starter: {kind: starter, at: engine bay, claims: {current: 180 A}, state: existing}
  glow heater: {kind: heater, at: engine bay, claims: {power: 900 W}}
  pump: {kind: pump, at: engine bay, claims: {current: 5 A}}
"""
STARTER = """
circuits:
  starter:
    path: [battery, starter]
    return: [engine block]
    length: 1 m
    wire: 35 mm2
    insulation: 105 degC
    state: existing
  engine strap: {path: [engine block, {wire: 35 mm2, length: 40 cm}, battery -]}
  glow heater:
    path: [battery, length: 10 cm, {fuse: 100 A, family: bolt-down strip 51 mm}, glow heater]
    return: [engine block]
    length: 1 m
    wire: 25 mm2
  pump:
    path: [battery, length: 10 cm, {fuse: 7.5 A, family: regular blade}, pump]
    return: [engine block]
    length: 1 m
    wire: 1.5 mm2
"""
LINKED = """
supplies:
  battery: {kind: battery, at: engine bay, capacity: 70 Ah}
  leisure: {kind: battery, at: cabin, capacity: 100 Ah}
"""
SPLIT = """
gear:
  split relay: {kind: relay, at: engine bay, rating: RATING, closes: 13.3 V, opens: 12.8 V}
loads: {starter: {kind: starter, at: engine bay, claims: {current: 250 A}, state: existing}}
circuits:
  starter: {path: [battery, starter], length: 1 m, wire: 50 mm2, insulation: 105 degC, state: existing}
  split:
    path: [battery, length: 15 cm, {fuse: FUSE, family: bolt-down strip 51 mm}, split relay,
           {fuse: FUSE, family: bolt-down strip 51 mm}, length: 15 cm, leisure]
    length: 4 m
    wire: WIRE
  leisure earth: {path: [chassis at cabin, {wire: 35 mm2, length: 40 cm}, leisure -]}
"""

CASES = (
    Found(
        "a second thin way from the engine to the battery, beside its strap",
        ENGINE + STARTER + "  pump earth: {path: [engine block, {wire: 1.5 mm2, length: 1 m}, battery -]}\n",
        (("RET007", "engine block to battery -"), ("RET006", "engine block to battery -")),
    ),
    Found(
        "the strap alone",
        ENGINE + STARTER,
        (),
        silent=("RET006", "RET007"),
    ),
    Found(
        "two straps, each of which carries the starter",
        ENGINE + STARTER + "  second strap: {path: [engine block, {wire: 35 mm2, length: 1 m}, battery -]}\n",
        (),
        silent=("RET006", "RET007"),
    ),
    Found(
        "a hoist with nothing but its solenoid",
        """
loads: {hoist: {kind: motor, at: cabin, claims: {current: 40 A}}}
circuits:
  hoist:
    path: [battery, length: 10 cm, {fuse: 60 A, family: high-current blade}, relay: 100 A, hoist]
    length: 3 m
    wire: 16 mm2
""",
        (("SWI007", "hoist relay"),),
    ),
    Found(
        "a heater that hangs on the second battery, whatever its split relay does (common practice)",
        LINKED
        + """
gear: {split relay: {kind: relay, at: engine bay, rating: 100 A}}
loads: {heater: {kind: heater, at: cabin, claims: {power: 40 W}}}
circuits:
  split:
    path: [battery, length: 15 cm, {fuse: 100 A, family: bolt-down strip 51 mm}, split relay,
           {fuse: 100 A, family: bolt-down strip 51 mm}, length: 15 cm, leisure]
    length: 4 m
    wire: 35 mm2
  leisure earth: {path: [chassis at cabin, {wire: 35 mm2, length: 40 cm}, leisure -]}
  heater:
    path: [leisure, length: 10 cm, {fuse: 7.5 A, family: regular blade}, heater]
    length: 1 m
    wire: 1.5 mm2
""",
        (),
        silent=("SWI007",),
    ),
    Found(
        "the same heater behind the relay alone",
        LINKED
        + """
loads: {heater: {kind: heater, at: cabin, claims: {power: 40 W}}}
circuits:
  leisure earth: {path: [chassis at cabin, {wire: 35 mm2, length: 40 cm}, leisure -]}
  heater:
    path: [leisure, length: 10 cm, {fuse: 7.5 A, family: regular blade}, relay: 30 A, heater]
    length: 1 m
    wire: 1.5 mm2
""",
        (("SWI007", "heater relay"),),
    ),
    Found(
        "a hoist behind an isolator",
        """
loads: {hoist: {kind: motor, at: cabin, claims: {current: 40 A}}}
circuits:
  hoist:
    path: [battery, length: 10 cm, {fuse: 60 A, family: high-current blade}, isolator: 100 A, relay: 100 A,
           hoist]
    length: 3 m
    wire: 16 mm2
""",
        (),
        silent=("SWI007",),
    ),
    Found(
        "cable for short pulls before a fuse for the pulls: it holds 180 A without end",
        """
loads:
  winch: {kind: motor, at: cabin, claims: {current: 180 A}, duty: {run: 60 s, every: 10 min}}
circuits:
  winch:
    path: [battery, length: 20 cm, {fuse: 200 A, family: bolt-down strip 51 mm}, isolator: 300 A,
           relay: 300 A, winch]
    length: 4 m
    wire: 25 mm2
""",
        (("SWI007", "winch relay"),),
    ),
    Found(
        "the same before a fuse that 180 A open in less than a minute (makers: 2 times within 50 s)",
        """
loads:
  winch: {kind: motor, at: cabin, claims: {current: 180 A}, duty: {run: 60 s, every: 10 min}}
circuits:
  winch:
    path: [battery, length: 20 cm, {fuse: 80 A, family: high-current blade}, isolator: 300 A,
           relay: 300 A, winch]
    length: 4 m
    wire: 25 mm2
""",
        (),
        silent=("SWI007",),
    ),
    Found(
        "a split-charge relay for 30 A that is still closed at the next start",
        LINKED + SPLIT.replace("RATING", "30 A").replace("FUSE", "40 A").replace("WIRE", "10 mm2"),
        (("SWI008", "split relay"),),
    ),
    Found(
        "the same with cable, fuses and relay for what a start takes from the second battery",
        LINKED + SPLIT.replace("RATING", "200 A").replace("FUSE", "200 A").replace("WIRE", "70 mm2"),
        (),
        silent=("SWI008",),
    ),
    Found(
        "a radio and a lamp on the middle of a 24 V pair whose common earth is lost",
        """
supplies:
  battery: {kind: battery, at: cabin, capacity: 180 Ah, bank: 2 in series}
  alternator: none
gear: {earth bar: {kind: block, at: cabin}}
return: earth bar
loads:
  radio: {kind: electronics, at: cabin, claims: {current: 1 A, voltage: 12 V}}
  lamp: {kind: led, at: cabin, claims: {power: 240 W, voltage: 24 V}}
circuits:
  radio:
    path: [battery 1 +, length: 10 cm, {fuse: 3 A, family: regular blade}, radio]
    length: 2 m
    wire: 1.5 mm2
  lamp:
    path: [battery, length: 10 cm, {fuse: 15 A, family: regular blade}, lamp]
    length: 2 m
    wire: 4 mm2
  bank earth: {path: [earth bar, {wire: 10 mm2, length: 50 cm}, battery -]}
""",
        (("VDP004", "radio"),),
        system="24 V",
    ),
    Found(
        "a second battery without a fuse on the block that a fused link leads to",
        LINKED
        + """
gear:
  split relay: {kind: relay, at: engine bay, rating: 120 A, closes: 13.3 V, opens: 12.8 V}
  bus: {kind: block, at: cabin}
loads: {lamp: {kind: led, at: cabin, claims: {power: 60 W}}}
circuits:
  split:
    path: [battery, length: 15 cm, {fuse: 100 A, family: bolt-down strip 51 mm}, split relay, bus]
    length: 4 m
    wire: 35 mm2
  house: {path: [leisure, bus], length: 1 m, wire: 35 mm2}
  lamp:
    path: [bus, length: 10 cm, {fuse: 10 A, family: regular blade}, lamp]
    length: 2 m
    wire: 2.5 mm2
""",
        (("PRT016", "split"), ("PRT006", "house")),
    ),
    Found(
        "the same with a fuse at the second battery",
        LINKED
        + """
gear:
  split relay: {kind: relay, at: engine bay, rating: 120 A, closes: 13.3 V, opens: 12.8 V}
  bus: {kind: block, at: cabin}
loads: {lamp: {kind: led, at: cabin, claims: {power: 60 W}}}
circuits:
  split:
    path: [battery, length: 15 cm, {fuse: 100 A, family: bolt-down strip 51 mm}, split relay, bus]
    length: 4 m
    wire: 35 mm2
  house:
    path: [leisure, length: 15 cm, {fuse: 100 A, family: bolt-down strip 51 mm}, bus]
    length: 1 m
    wire: 35 mm2
  lamp:
    path: [bus, length: 10 cm, {fuse: 10 A, family: regular blade}, lamp]
    length: 2 m
    wire: 2.5 mm2
""",
        (),
        silent=("PRT016", "PRT005", "PRT006"),
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_found(case: Found) -> None:
    judgement = judged(case.job, system=case.system)
    found = failed(judgement)
    assert set(case.finds) <= found, found
    assert not {rule for rule, _ in found} & set(case.silent), found
