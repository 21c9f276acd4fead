"""What goes wrong at starts, at stalls and with fuses in series, each as a small job of our own.

The kinds of failure are those that the trade reports (common practice unless a line says otherwise); the
vehicles, names and figures are invented here.
"""

from __future__ import annotations

import pytest

from tests.rules.judged import failed, judged
from tests.rules.test_found_in_the_field import Found

CASES = (
    Found(
        "a winch whose written start, 60 A for half a second, is more than a 15 A blade holds for sure",
        """
loads: {tail lift: {kind: motor, at: cabin, claims: {current: 9 A}, inrush: {current: 60 A, time: 500 ms}}}
circuits:
  tail lift:
    path: [battery, length: 10 cm, {fuse: 15 A, family: regular blade}, tail lift]
    length: 3 m
    wire: 4 mm2
""",
        (("STA001", "tail lift fuse"),),
    ),
    Found(
        "the same start behind a slow type",
        """
loads: {tail lift: {kind: motor, at: cabin, claims: {current: 9 A}, inrush: {current: 60 A, time: 500 ms}}}
circuits:
  tail lift:
    path: [battery, length: 10 cm, {fuse: 30 A, family: high-current blade}, tail lift]
    length: 3 m
    wire: 10 mm2
""",
        (),
        silent=("STA001",),
    ),
    Found(
        "six work lamps on one relay, whose cold filaments take 10 to 15 times (handbook for electricians)",
        """
loads:
  lamps left: {kind: lamp, at: cabin, count: 3, claims: {power: 55 W}}
  lamps right: {kind: lamp, at: cabin, count: 3, claims: {power: 55 W}}
gear: {lamp relay: {kind: relay, at: cabin, rating: 40 A, coil: 0.15 A}}
circuits:
  lamps:
    path: [battery, length: 10 cm, {fuse: 40 A, family: regular blade}, lamp relay, lamps left, lamps right]
    length: 3 m
    wire: 10 mm2
""",
        (),
        silent=("STA001",),
    ),
    Found(
        "a horn pump that runs every two minutes and hits its fuse hard each time",
        """
loads:
  ram:
    kind: motor
    at: cabin
    claims: {current: 20 A}
    duty: {run: 4 s, every: 2 min}
    inrush: {current: 90 A, time: 150 ms}
circuits:
  ram:
    path: [battery, length: 10 cm, {fuse: 30 A, family: regular blade}, ram]
    length: 3 m
    wire: 10 mm2
""",
        (("STA002", "ram fuse"),),
    ),
    Found(
        "a receiver on the cable of a winch",
        """
supplies: {battery: {kind: battery, at: cabin, capacity: 60 Ah}}
loads:
  winch:
    kind: motor
    at: cabin
    claims: {current: 60 A}
    duty: {run: 40 s, every: 10 min}
    inrush: {current: 300 A, time: 300 ms}
  receiver: {kind: electronics, at: cabin, claims: {current: 0.5 A}, works: 10.5..16 V}
gear: {rear block: {kind: block, at: cabin, rating: 150 A}}
circuits:
  rear feed:
    path: [battery, length: 10 cm, {fuse: 125 A, family: bolt-down strip 51 mm}, rear block]
    length: 4 m
    wire: 25 mm2
  winch: {path: [rear block, {fuse: 100 A, family: bolt-down strip 51 mm}, winch], length: 1 m, wire: 25 mm2}
  receiver: {path: [rear block, {fuse: 3 A, family: regular blade}, receiver], length: 1 m, wire: 1.5 mm2}
""",
        (("STA003", "receiver"),),
        silent=("VDP002",),
    ),
    Found(
        "the receiver fed from the battery by itself",
        """
supplies: {battery: {kind: battery, at: cabin, capacity: 200 Ah}}
loads:
  winch:
    kind: motor
    at: cabin
    claims: {current: 60 A}
    duty: {run: 40 s, every: 10 min}
    inrush: {current: 200 A, time: 300 ms}
  receiver: {kind: electronics, at: cabin, claims: {current: 0.5 A}, works: 10..16 V}
circuits:
  winch:
    path: [battery, length: 10 cm, {fuse: 100 A, family: bolt-down strip 51 mm}, winch]
    return: battery -
    length: 4 m
    wire: 25 mm2
  receiver:
    path: [battery, length: 10 cm, {fuse: 3 A, family: regular blade}, receiver]
    return: battery -
    length: 4 m
    wire: 1.5 mm2
""",
        (),
        silent=("STA003",),
    ),
    Found(
        "a blocked wiper motor behind a slow fuse that may take minutes",
        """
loads: {wiper: {kind: motor, at: cabin, claims: {current: 12 A}, stall: {current: 60 A, survives: no}}}
circuits:
  wiper:
    path: [battery, length: 10 cm, {breaker: 30 A, family: thermal breaker}, wiper]
    length: 3 m
    wire: 10 mm2
""",
        (("STA004", "wiper"),),
        silent=("LOD004",),
    ),
    Found(
        "the same motor behind a blade",
        """
loads: {wiper: {kind: motor, at: cabin, claims: {current: 12 A}, stall: {current: 60 A, survives: no}}}
circuits:
  wiper:
    path: [battery, length: 10 cm, {fuse: 20 A, family: regular blade}, wiper]
    length: 3 m
    wire: 6 mm2
""",
        (),
        silent=("STA004", "LOD004"),
    ),
    Found(
        "two blades of nearly one rating in series, so that a short at the lamp puts the radio out",
        """
loads:
  lamp: {kind: led, at: cabin, claims: {power: 90 W}}
  radio: {kind: electronics, at: cabin, claims: {current: 4 A}}
gear: {dash block: {kind: block, at: cabin, rating: 60 A}}
circuits:
  dash feed:
    path: [battery, length: 10 cm, {fuse: 20 A, family: regular blade}, dash block]
    length: 3 m
    wire: 6 mm2
  lamp: {path: [dash block, {fuse: 15 A, family: regular blade}, lamp], length: 2 m, wire: 4 mm2}
  radio: {path: [dash block, {fuse: 7.5 A, family: regular blade}, radio], length: 2 m, wire: 2.5 mm2}
""",
        (("SEL001", "dash feed fuse"),),
    ),
    Found(
        "a slow type of three times the rating before it",
        """
loads:
  lamp: {kind: led, at: cabin, claims: {power: 90 W}}
  radio: {kind: electronics, at: cabin, claims: {current: 4 A}}
gear: {dash block: {kind: block, at: cabin, rating: 60 A}}
circuits:
  dash feed:
    path: [battery, length: 10 cm, {fuse: 50 A, family: high-current blade}, dash block]
    length: 3 m
    wire: 16 mm2
  lamp: {path: [dash block, {fuse: 15 A, family: regular blade}, lamp], length: 2 m, wire: 4 mm2}
  radio: {path: [dash block, {fuse: 7.5 A, family: regular blade}, radio], length: 2 m, wire: 2.5 mm2}
""",
        (),
        silent=("SEL001", "SEL002"),
    ),
    Found(
        "a class T, of which no gate says how long it holds, close above a strip",
        """
supplies: {battery: {kind: battery, at: cabin, capacity: 200 Ah}}
loads:
  inverter: {kind: inverter, at: cabin, claims: {power: 900 W}}
  heater: {kind: heater, at: cabin, claims: {power: 300 W}}
gear: {main block: {kind: block, at: cabin, rating: 250 A}}
circuits:
  main feed:
    path: [battery, length: 10 cm, {fuse: 150 A, family: class T}, main block]
    length: 1 m
    wire: 70 mm2
  inverter:
    path: [main block, {fuse: 125 A, family: bolt-down strip 51 mm}, inverter]
    length: 1 m
    wire: 50 mm2
  heater: {path: [main block, {fuse: 30 A, family: regular blade}, heater], length: 2 m, wire: 10 mm2}
""",
        (("SEL002", "main feed fuse"),),
        silent=("SEL001",),
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_rules_find_it(case: Found) -> None:
    judgement = judged(case.job, title=case.name, system=case.system)
    found = failed(judgement)
    missing = {each for each in case.finds if each not in found}
    assert not missing, sorted(found)
    assert not {rule for rule, _ in found} & set(case.silent), sorted(found)
