"""What goes wrong at switches, relays, plugs and terminals, each as a small job of our own.

The kinds of failure are those that the trade reports (common practice unless a line says otherwise); the
vehicles, names and figures are invented here.
"""

from __future__ import annotations

import pytest

from tests.rules.judged import failed, judged
from tests.rules.test_found_in_the_field import Found

CASES = (
    Found(
        "a winch motor on a lamp switch: three times its current at 24 V (FAA AC 43.13-1B, table 11-4)",
        """
supplies: {battery: {kind: battery, at: cabin, bank: 2 in series, capacity: 100 Ah}, alternator: none}
loads: {awning: {kind: motor, at: cabin, claims: {current: 8 A, voltage: 24 V}}}
gear: {awning switch: {kind: switch, at: cabin, rating: 16 A}}
circuits:
  awning:
    path: [battery, length: 10 cm, {fuse: 15 A, family: regular blade}, awning switch, awning]
    length: 4 m
    wire: 4 mm2
""",
        (("SWI001", "awning switch"),),
        system="24 V",
        silent=("GER001",),
    ),
    Found(
        "the same motor on a switch that is rated for motors",
        """
supplies: {battery: {kind: battery, at: cabin, bank: 2 in series, capacity: 100 Ah}, alternator: none}
loads: {awning: {kind: motor, at: cabin, claims: {current: 8 A, voltage: 24 V}}}
gear: {awning switch: {kind: switch, at: cabin, rating: 16 A, rated_for: motor}}
circuits:
  awning:
    path: [battery, length: 10 cm, {fuse: 15 A, family: regular blade}, awning switch, awning]
    length: 4 m
    wire: 4 mm2
""",
        (),
        system="24 V",
        silent=("SWI001",),
    ),
    Found(
        "a split relay whose pump runs on the second battery: it switches charging current, no motor",
        """
supplies:
  battery: {kind: battery, at: engine bay, capacity: 70 Ah}
  leisure: {kind: battery, at: cabin, capacity: 40 Ah}
gear: {split relay: {kind: relay, at: engine bay, rating: 40 A, closes: 13.3 V, opens: 12.8 V}}
loads: {pump: {kind: pump, at: cabin, claims: {current: 15 A}}}
circuits:
  split:
    path: [battery, length: 15 cm, {fuse: 40 A, family: bolt-down strip 51 mm}, split relay,
           {fuse: 40 A, family: bolt-down strip 51 mm}, length: 15 cm, leisure]
    length: 4 m
    wire: 16 mm2
  pump:
    path: [leisure, length: 10 cm, {fuse: 20 A, family: regular blade}, pump]
    length: 1 m
    wire: 4 mm2
""",
        (),
        silent=("SWI001",),
    ),
    Found(
        "a relay for a small heater that its own switch would carry",
        """
loads: {mirror heater: {kind: heater, at: cabin, claims: {power: 40 W}}}
gear:
  mirror relay: {kind: relay, at: cabin, rating: 30 A, coil: 0.15 A}
  mirror switch: {kind: switch, at: cabin, rating: 16 A}
circuits:
  mirror heater:
    path: [battery, length: 10 cm, {fuse: 7.5 A, family: regular blade}, mirror relay, mirror heater]
    length: 3 m
    wire: 1.5 mm2
  mirror control:
    path: [battery, length: 10 cm, {fuse: 3 A, family: regular blade}, mirror switch, mirror relay coil]
    length: 3 m
    wire: 0.75 mm2
""",
        (("SWI002", "mirror relay"),),
        silent=("SWI003", "SWI004", "SWI005"),
    ),
    Found(
        "a fuel pump relay in the heat of an engine bay, on a weak battery while cranking",
        """
supplies:
  battery: {kind: battery, at: engine bay, capacity: 40 Ah, cranking: 300 A EN, temperature: -15 degC}
loads:
  starter: {kind: starter, at: engine bay, claims: {current: 180 A, temperature: 20 degC}}
  fuel pump: {kind: pump, at: cabin, critical: yes, claims: {current: 6 A}, runs: [idling, driving, cranking]}
gear: {fuel relay: {kind: relay, at: engine bay, rating: 30 A, coil: 0.16 A}}
circuits:
  starter: {path: [battery, starter], length: 1 m, wire: 35 mm2}
  fuel pump:
    path: [battery, length: 10 cm, {fuse: 15 A, family: regular blade}, fuel relay, fuel pump]
    length: 3 m
    wire: 2.5 mm2
  fuel control:
    path: [battery, length: 10 cm, {fuse: 3 A, family: regular blade}, {switch: 10 A, when: ignition},
           fuel relay coil]
    length: 2 m
    wire: 0.75 mm2
""",
        (("SWI003", "fuel relay"),),
    ),
    Found(
        "a transistor for 30 A before a fan that starts with 70 A",
        """
loads: {fan: {kind: fan, at: cabin, claims: {current: 12 A}, inrush: {current: 70 A, time: 300 ms}}}
gear: {fan driver: {kind: relay, at: cabin, rating: 30 A, solid_state: yes, when: ignition}}
circuits:
  fan:
    path: [battery, length: 10 cm, {fuse: 20 A, family: regular blade}, fan driver, fan]
    length: 3 m
    wire: 4 mm2
""",
        (("SWI009", "fan driver"),),
        silent=("SWI001", "SWI005"),
    ),
    Found(
        "a bare coil beside a radio",
        """
loads:
  radio: {kind: electronics, at: cabin, claims: {current: 2 A}}
  lamp: {kind: led, at: cabin, claims: {power: 60 W}}
gear: {lamp relay: {kind: relay, at: cabin, rating: 30 A, coil: 0.15 A, suppressor: none}}
circuits:
  radio:
    path: [battery, length: 10 cm, {fuse: 3 A, family: regular blade}, radio]
    length: 2 m
    wire: 1 mm2
  lamp:
    path: [battery, length: 10 cm, {fuse: 10 A, family: regular blade}, lamp relay, lamp]
    length: 3 m
    wire: 2.5 mm2
  lamp control:
    path: [battery, length: 10 cm, {fuse: 3 A, family: regular blade}, switch: 10 A, lamp relay coil]
    length: 3 m
    wire: 0.75 mm2
""",
        (("SWI004", "lamp relay"),),
        silent=("SWI002", "SWI003"),
    ),
    Found(
        "a split-charge relay that opens at 12.0 V",
        """
supplies:
  battery: {kind: battery, at: engine bay, capacity: 70 Ah}
  leisure: {kind: battery, at: cabin, capacity: 100 Ah}
gear: {split relay: {kind: relay, at: engine bay, rating: 120 A, closes: 13.3 V, opens: 12.0 V}}
circuits:
  split:
    path: [battery, length: 15 cm, {fuse: 100 A, family: bolt-down strip 51 mm}, split relay,
           {fuse: 100 A, family: bolt-down strip 51 mm}, length: 15 cm, leisure]
    length: 4 m
    wire: 35 mm2
""",
        (("SWI006", "split relay"),),
        silent=("SWI005",),
    ),
    Found(
        "a relay at 48 V with the rating of 12 V",
        """
supplies: {battery: {kind: battery, at: cabin, chemistry: lfp, capacity: 100 Ah}, alternator: none}
loads: {stove: {kind: heater, at: cabin, claims: {power: 1000 W}}}
circuits:
  stove:
    path: [battery, length: 10 cm, {fuse: 40 A, family: class T}, {relay: 60 A, rated_at: 14 V, when: hand},
           stove]
    length: 3 m
    wire: 10 mm2
""",
        (("GER003", "stove relay"),),
        system="48 V",
    ),
    Found(
        "a relay at 24 V with the rating of 12 V (data sheets give one for each voltage)",
        """
supplies: {battery: {kind: battery, at: cabin, bank: 2 in series, capacity: 100 Ah}, alternator: none}
loads: {stove: {kind: heater, at: cabin, claims: {power: 360 W}}}
circuits:
  stove:
    path: [battery, length: 10 cm, {fuse: 25 A, family: regular blade},
           {relay: 40 A, rated_at: 14 V, when: hand}, stove]
    length: 3 m
    wire: 6 mm2
""",
        (("GER003", "stove relay"),),
        system="24 V",
    ),
    Found(
        "the same with its rating at 28 V",
        """
supplies: {battery: {kind: battery, at: cabin, bank: 2 in series, capacity: 100 Ah}, alternator: none}
loads: {stove: {kind: heater, at: cabin, claims: {power: 360 W}}}
circuits:
  stove:
    path: [battery, length: 10 cm, {fuse: 25 A, family: regular blade},
           {relay: 40 A, rated_at: 28 V, when: hand}, stove]
    length: 3 m
    wire: 6 mm2
""",
        (),
        system="24 V",
        silent=("GER003",),
    ),
    Found(
        "24 A through contacts of size 16, and a plug under spray that is not sealed",
        """
loads: {deck heater: {kind: heater, at: outside, claims: {power: 290 W}}}
gear:
  deck plug: {kind: connector, at: outside, plug: sealed size 16}
  deck socket: {kind: connector, at: outside, plug: lighter}
circuits:
  deck heater:
    path: [battery, length: 10 cm, {fuse: 40 A, family: regular blade}, deck plug, deck socket, deck heater]
    length: 3 m
    wire: 6 mm2
""",
        (
            ("PLU001", "deck plug"),
            ("PLU001", "deck socket"),
            ("PLU003", "deck socket"),
            ("TRM008", "deck heater fuse"),
        ),
        silent=("PLU002", "PLU004"),
    ),
    Found(
        "a trailer's fridge on the pin of the stop lamps (ISO 11446)",
        """
loads: {fridge: {kind: compressor, at: trailer, claims: {power: 60 W}}}
gear: {trailer socket: {kind: connector, at: outside, plug: ISO 11446, ways: 13}}
circuits:
  fridge:
    path: [battery, length: 10 cm, {fuse: 10 A, family: regular blade}, trailer socket 6, fridge]
    length: 6 m
    wire: 2.5 mm2
""",
        (("PLU002", "trailer socket 6"),),
        silent=("PLU003",),
    ),
    Found(
        "a fridge fed over pin 9 that comes back over the lamps' return (ISO 11446: pin 13)",
        """
loads: {fridge: {kind: compressor, at: trailer, claims: {power: 60 W}}}
gear: {trailer socket: {kind: connector, at: outside, plug: ISO 11446, ways: 13}}
circuits:
  fridge:
    path: [battery, length: 10 cm, {fuse: 10 A, family: regular blade}, trailer socket 9, fridge]
    return: [trailer socket 3, battery -]
    length: 6 m
    wire: 2.5 mm2
""",
        (("PLU002", "trailer socket 9"),),
    ),
    Found(
        "6 mm2 into contacts of size 16",
        """
loads: {lamp: {kind: led, at: cabin, claims: {power: 60 W}}}
gear: {roof plug: {kind: connector, at: cabin, plug: sealed size 16}}
circuits:
  lamp:
    path: [battery, length: 10 cm, {fuse: 10 A, family: regular blade}, roof plug, lamp]
    length: 8 m
    wire: 6 mm2
""",
        (("TRM003", "roof plug out to lamp +"),),
        silent=("PLU001",),
    ),
    Found(
        "a lamp on the pin of the stop lamps",
        """
loads: {stop lamp: {kind: led, at: trailer, claims: {power: 10 W}}}
gear: {trailer socket: {kind: connector, at: outside, plug: ISO 11446, ways: 13}}
circuits:
  stop lamp:
    path: [battery, length: 10 cm, {fuse: 3 A, family: regular blade}, trailer socket 6, stop lamp]
    length: 6 m
    wire: 1.5 mm2
""",
        (),
        silent=("PLU002", "PLU003"),
    ),
    Found(
        "a heater on a plug at 48 V with a fuse alone before it",
        """
supplies: {battery: {kind: battery, at: cabin, chemistry: lfp, capacity: 100 Ah}, alternator: none}
loads: {stove: {kind: heater, at: cabin, claims: {power: 1000 W}}}
circuits:
  stove:
    path: [battery, length: 10 cm, {fuse: 40 A, family: class T}, connector: 50 A, stove]
    length: 3 m
    wire: 10 mm2
""",
        (("PLU004", "stove connector"),),
        system="48 V",
    ),
    Found(
        "a heavy cable on a thin stud, a thin wire on a thick one, and 10 mm2 on a tab",
        """
supplies: {battery: {kind: battery, at: cabin, capacity: 100 Ah, stud: M10}, alternator: none}
gear:
  panel: {kind: block, at: cabin, ways: 6, stud: M5}
  lamp relay: {kind: relay, at: cabin, rating: 30 A, stud: 6.3 mm, when: hand}
loads:
  lamp: {kind: led, at: cabin, claims: {power: 60 W}}
  clock: {kind: electronics, at: cabin, claims: {current: 0.1 A}}
circuits:
  panel feed:
    path: [battery, length: 15 cm, {fuse: 80 A, family: bolt-down strip 51 mm}, panel]
    length: 2 m
    wire: 35 mm2
  lamp: {path: [panel 1, {fuse: 10 A, family: regular blade}, lamp relay, lamp], length: 5 m, wire: 10 mm2}
  clock:
    path: [battery, length: 10 cm, {fuse: 3 A, family: regular blade}, clock]
    length: 2 m
    wire: 1 mm2
""",
        (
            ("TRM001", "panel feed fuse out to panel"),
            ("TRM002", "battery + to clock fuse in"),
            ("TRM003", "lamp relay out to lamp +"),
        ),
        silent=("TRM004", "TRM005"),
    ),
    Found(
        "everything on one post, and five rings on one stud",
        """
gear: {return stud: {kind: block, at: cabin, stud: M8, ways: 1}}
return: return stud
loads:
  a: {kind: led, claims: {power: 6 W}}
  b: {kind: led, claims: {power: 6 W}}
  c: {kind: led, claims: {power: 6 W}}
  d: {kind: led, claims: {power: 6 W}}
  e: {kind: led, claims: {power: 6 W}}
circuits:
  a: {path: [battery, length: 10 cm, {fuse: 2 A, family: regular blade}, a], length: 2 m, wire: 2.5 mm2}
  b: {path: [battery, length: 10 cm, {fuse: 2 A, family: regular blade}, b], length: 2 m, wire: 2.5 mm2}
  c: {path: [battery, length: 10 cm, {fuse: 2 A, family: regular blade}, c], length: 2 m, wire: 2.5 mm2}
  d: {path: [battery, length: 10 cm, {fuse: 2 A, family: regular blade}, d], length: 2 m, wire: 2.5 mm2}
  e: {path: [battery, length: 10 cm, {fuse: 2 A, family: regular blade}, e], length: 2 m, wire: 2.5 mm2}
  negative: {path: [return stud, battery -], length: 1 m, wire: 16 mm2}
""",
        (("TRM004", "return stud"), ("TRM005", "battery")),
    ),
    Found(
        "cable for 125 degC that is used to the full brings its heat to the holder",
        """
loads: {heater: {kind: heater, at: cabin, claims: {power: 330 W}}}
circuits:
  heater:
    path: [battery, length: 10 cm, {fuse: 40 A, family: regular blade}, heater]
    length: 1 m
    wire: 2.5 mm2
    insulation: 125 degC
""",
        (("TRM006", "heater fuse out to heater +"), ("TRM007", "heater fuse"), ("TRM008", "heater fuse")),
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_found(case: Found) -> None:
    judgement = judged(case.job, system=case.system)
    found = failed(judgement)
    assert set(case.finds) <= found, found
    assert not {rule for rule, _ in found} & set(case.silent)


def test_nothing_that_works_a_relay_is_asked_for_once() -> None:
    judgement = judged("""
loads: {lamp: {kind: led, claims: {power: 60 W}}}
circuits:
  lamp:
    path: [battery, length: 10 cm, {fuse: 10 A, family: regular blade}, relay: 30 A, lamp]
    length: 3 m
    wire: 2.5 mm2
""")
    asked = judgement.of("SWI005")
    assert [(f.outcome.value, f.level.value, f.where) for f in asked] == [("unknown", "note", "lamp relay")]


@pytest.mark.parametrize("chemistry", ["flooded", "agm", "gel", "lfp"])
def test_a_guard_that_opens_above_a_rested_battery_is_well_set(chemistry: str) -> None:
    """Batteries' books: at rest and full no chemistry stands above 13.4 V; lithium only while it charges."""
    judgement = judged(f"""
supplies:
  battery: {{kind: battery, at: engine bay, capacity: 70 Ah, chemistry: {chemistry}}}
  leisure: {{kind: battery, at: cabin, capacity: 100 Ah, chemistry: agm}}
gear: {{split relay: {{kind: relay, at: engine bay, rating: 120 A, closes: 13.8 V, opens: 13.41 V}}}}
circuits:
  split:
    path: [battery, length: 15 cm, {{fuse: 100 A, family: bolt-down strip 51 mm}}, split relay,
           {{fuse: 100 A, family: bolt-down strip 51 mm}}, length: 15 cm, leisure]
    length: 4 m
    wire: 35 mm2
""")
    assert judgement.of("SWI006") == ()


def test_lamp_pins_of_a_trailer_ask_nothing() -> None:
    judgement = judged("""
loads: {stop lamp: {kind: led, at: trailer, claims: {power: 10 W}}}
gear: {trailer socket: {kind: connector, at: outside, plug: ISO 11446, ways: 13}}
circuits:
  stop lamp:
    path: [battery, length: 10 cm, {fuse: 3 A, family: regular blade}, trailer socket 6, stop lamp]
    length: 6 m
    wire: 1.5 mm2
""")
    assert [f.rule for f in judgement.findings if f.rule[:3] in {"PLU", "TRM", "SWI"}] == []
