"""What goes wrong where circuits begin, come back, stand or are written down, each as a small job of ours.

The kinds of failure are those that the trade reports (common practice unless a line says otherwise); the
vehicles, names and figures are invented here.
"""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from groundstrap.checks import About
from groundstrap.checks.needs import NEEDS
from tests.rules.judged import failed, judged
from tests.rules.test_found_in_the_field import Found

_FOUND = """
gear: {fuse box: {kind: block, at: cabin, rating: 100 A, state: existing}}
loads:
  socket load: {kind: electronics, at: cabin, claims: {current: 2 A}, state: existing}
  camera: {kind: electronics, at: cabin, claims: {current: 1 A}}
circuits:
  socket feed:
    path: [fuse box, {fuse: 15 A, family: regular blade}, socket load]
    wire: 1.5 mm2
    length: 2 m
    state: existing
"""

CASES = (
    Found(
        "a fuse tap the wrong way round, with a fuse that its lead does not carry",
        f"""{_FOUND}
  camera:
    path: [socket feed fuse out, {{fuse: 15 A, family: regular blade, holder: tap}}, camera]
    length: 2 m
    wire: 2.5 mm2
""",
        (("TAP001", "camera"), ("TAP002", "camera")),
        silent=("EXI001", "EXI004"),
    ),
    Found(
        "the tap the right way round, with a small fuse",
        f"""{_FOUND}
  camera:
    path: [socket feed fuse in, {{fuse: 3 A, family: regular blade, holder: tap}}, camera]
    length: 2 m
    wire: 1 mm2
""",
        (),
        silent=("TAP001", "TAP002", "EXI004"),
    ),
    Found(
        "a camera on the block of the airbags",
        """
gear: {airbag block: {kind: block, at: cabin, rating: 30 A, state: existing}}
loads: {camera: {kind: electronics, at: cabin, claims: {current: 1 A}}}
circuits:
  camera: {path: [airbag block, {fuse: 3 A, family: regular blade}, camera], length: 2 m, wire: 1 mm2}
""",
        (("EXI004", "camera"),),
    ),
    Found(
        "a tracker within the circuit of the fuel pump, which nobody marked as critical",
        """
gear: {fuse box: {kind: block, at: cabin, rating: 100 A, state: existing}}
loads:
  fuel pump: {kind: pump, at: cabin, claims: {current: 5 A}, state: existing}
  tracker: {kind: electronics, at: cabin, claims: {current: 0.5 A}}
circuits:
  pump feed:
    path: [fuse box, {fuse: 15 A, family: regular blade}, fuel pump]
    wire: 2.5 mm2
    length: 3 m
    state: existing
  tracker:
    path: [pump feed fuse out, {fuse: 2 A, family: regular blade}, tracker]
    length: 2 m
    wire: 1 mm2
""",
        (("EXI004", "tracker"),),
        silent=("EXI001", "TAP001"),
    ),
    Found(
        "an old and a new feed to one block, of other size and length",
        """
gear: {rear block: {kind: block, at: cabin, rating: 100 A}}
loads: {lamp: {kind: led, at: cabin, claims: {power: 60 W}}}
circuits:
  old feed:
    path: [battery, length: 10 cm, {fuse: 60 A, family: high-current blade}, rear block]
    length: 5 m
    wire: 10 mm2
  new feed:
    path: [battery, length: 10 cm, {fuse: 60 A, family: high-current blade}, rear block]
    length: 4 m
    wire: 25 mm2
  lamp: {path: [rear block, {fuse: 7.5 A, family: regular blade}, lamp], length: 2 m, wire: 1.5 mm2}
""",
        (("TAP003", "new feed"),),
    ),
    Found(
        "a fridge and a heater on one lighter socket",
        """
gear: {rear socket: {kind: connector, at: cabin, rating: 20 A}}
loads:
  fridge: {kind: electronics, at: cabin, claims: {current: 6 A}, fitted: {plug: lighter}}
  foot warmer: {kind: heater, at: cabin, claims: {power: 90 W, voltage: 12 V}, fitted: {plug: lighter}}
circuits:
  socket feed:
    path: [battery, length: 10 cm, {fuse: 20 A, family: regular blade}, rear socket, fridge, foot warmer]
    length: 4 m
    wire: 4 mm2
""",
        (("TAP004", "rear socket"),),
        silent=("GER001",),
    ),
    Found(
        "six wires on the starter's post",
        """
loads:
  starter: {kind: starter, at: engine bay, claims: {current: 150 A}}
  front lamp: {kind: led, at: engine bay, claims: {power: 20 W}}
  rear lamp: {kind: led, at: engine bay, claims: {power: 20 W}}
  left lamp: {kind: led, at: engine bay, claims: {power: 20 W}}
  right lamp: {kind: led, at: engine bay, claims: {power: 20 W}}
circuits:
  starter: {path: [battery, starter], length: 1 m, wire: 35 mm2}
  front lamp: {path: [starter +, {fuse: 3 A, family: regular blade}, front lamp], length: 2 m, wire: 1.5 mm2}
  rear lamp: {path: [starter +, {fuse: 3 A, family: regular blade}, rear lamp], length: 2 m, wire: 1.5 mm2}
  left lamp:
    path: [starter +, length: 10 cm, {fuse: 3 A, family: regular blade}, left lamp]
    length: 2 m
    wire: 1.5 mm2
  right lamp:
    path: [starter +, length: 10 cm, {fuse: 3 A, family: regular blade}, right lamp]
    length: 2 m
    wire: 1.5 mm2
  more: {path: [starter +, length: 10 cm, {fuse: 3 A, family: regular blade}, left lamp], length: 2 m}
  still more: {path: [starter +, length: 10 cm, {fuse: 3 A, family: regular blade}, right lamp], length: 2 m}
""",
        (("TAP005", "starter"),),
    ),
    Found(
        "trailer lamps whose current comes back through the hitch",
        """
return: chassis
loads: {tail lamps: {kind: lamp, at: trailer, claims: {power: 42 W}}}
places: {trailer: outside}
circuits:
  tail lamps:
    path: [battery, length: 10 cm, {fuse: 10 A, family: regular blade}, tail lamps]
    length: 8 m
    wire: 2.5 mm2
""",
        (("NEG001", "tail lamps"),),
    ),
    Found(
        "an isolator in the negative past which a lamp comes back, a fuse and a switch behind that lamp",
        """
loads:
  work lamp: {kind: led, at: cabin, claims: {power: 60 W}}
  radio: {kind: electronics, at: cabin, claims: {current: 3 A}}
gear: {lamp switch: {kind: switch, at: cabin, rating: 10 A}}
circuits:
  earth: {path: [chassis at cabin, {wire: 35 mm2, length: 40 cm}, isolator: 250 A, battery -], length: 80 cm}
  work lamp:
    path: [battery, work lamp]
    return: [lamp switch, {fuse: 10 A, family: regular blade}, battery -]
    length: 3 m
    wire: 2.5 mm2
  radio:
    path: [battery, length: 10 cm, {fuse: 5 A, family: regular blade}, radio]
    return: chassis at cabin
    length: 2 m
    wire: 1.5 mm2
""",
        (
            ("NEG002", "earth isolator"),
            ("NEG003", "work lamp fuse"),
            ("NEG004", "lamp switch"),
            ("SUP022", "earth isolator"),
        ),
    ),
    Found(
        "an alternator that is joined behind the isolator",
        """
supplies:
  battery: {kind: battery, at: engine bay, capacity: 70 Ah, cranking: 600 A EN}
  alternator: {kind: alternator, at: engine bay, rating: 70 A, setpoint: 14.2 V}
gear:
  main isolator: {kind: isolator, at: engine bay, rating: 300 A}
  stud: {kind: block, at: engine bay}
loads: {lamp: {kind: led, at: cabin, claims: {power: 60 W}}}
circuits:
  feed: {path: [battery, main isolator, stud], length: 80 cm, wire: 35 mm2}
  charge: {path: [alternator, stud], length: 1 m, wire: 16 mm2}
  lamp: {path: [stud, {fuse: 7.5 A, family: regular blade}, lamp], length: 3 m, wire: 1.5 mm2}
""",
        (("SUP022", "main isolator"),),
        silent=("NEG002",),
    ),
    Found(
        "a fuse where the bilge water stands, a bare holder under the floor, an inverter beside the engine",
        """
zones: {sump: {ambient: 0..40 degC, wet: submerged}}
loads:
  drain pump: {kind: pump, at: sump, claims: {current: 4 A}}
  inverter: {kind: inverter, at: engine bay, claims: {power: 150 W}}
  step lamp: {kind: led, at: underbody, claims: {power: 10 W}}
circuits:
  drain pump:
    path: [battery, length: 10 cm, {fuse: 10 A, family: regular blade}, switch: 10 A, drain pump]
    length: 3 m
    wire: 2.5 mm2
  sump lead:
    path: [drain pump +, {fuse: 5 A, family: regular blade}, step lamp]
    length: 2 m
    wire: 1.5 mm2
  inverter:
    path: [battery, length: 10 cm, {fuse: 20 A, family: regular blade}, inverter]
    length: 1 m
    wire: 6 mm2
""",
        (("PLC001", "sump lead fuse"), ("PLC003", "inverter")),
    ),
    Found(
        "a holder that is not sealed on the frame",
        """
loads: {step lamp: {kind: led, at: cabin, claims: {power: 10 W}}}
supplies: {battery: {kind: battery, at: underbody}}
circuits:
  step lamp:
    path: [battery, length: 10 cm, {fuse: 5 A, family: regular blade, holder: in-line}, step lamp]
    length: 2 m
    wire: 1.5 mm2
""",
        (("PLC002", "step lamp fuse"),),
    ),
    Found(
        "a navigation light in a lighter socket, on the fuse of the radio",
        """
basis: boat
return: negative bus
supplies: {bank: {kind: battery, at: cabin, chemistry: agm, capacity: 100 Ah, cranking: 600 A EN}}
gear: {negative bus: {kind: block, at: cabin}}
loads:
  anchor light: {kind: led, at: cabin, claims: {power: 5 W}, critical: yes, fitted: {plug: lighter}}
  radio: {kind: electronics, at: cabin, claims: {current: 2 A}}
circuits:
  negative: {path: [negative bus, wire: 16 mm2, bank -], length: 30 cm}
  aft: {path: [bank, length: 10 cm, {fuse: 5 A, family: regular blade}, anchor light, radio], length: 4 m}
""",
        (("SAF001", "anchor light"), ("SAF002", "anchor light")),
    ),
    Found(
        "a load that nobody drew a circuit to, and one number on two circuits",
        """
loads:
  lamp: {kind: led, at: cabin, claims: {power: 10 W}}
  fan: {kind: fan, at: cabin, claims: {current: 2 A}}
  horn: {kind: other, at: cabin, claims: {current: 5 A}}
circuits:
  lamp:
    path: [battery, length: 10 cm, {fuse: 3 A, family: regular blade}, lamp]
    length: 2 m
    wire: 1 mm2
    label: "7"
  fan:
    path: [battery, length: 10 cm, {fuse: 5 A, family: regular blade}, fan]
    length: 2 m
    wire: 1.5 mm2
    label: "7"
""",
        (("REC004", "horn"), ("REC001", "fan")),
    ),
    Found(
        "a negative bus and a feed that were never joined to the battery",
        """
supplies:
  battery: {kind: battery, at: engine bay}
  converter: {kind: dc-dc, at: cabin, current: 10 A, setpoint: 13.6 V, when: ignition, isolated: yes}
gear:
  rear negative: {kind: block, at: cabin, rating: 60 A}
  rear panel: {kind: block, at: cabin, rating: 60 A}
loads:
  fridge: {kind: compressor, at: cabin, claims: {current: 4 A}, works: 10..16 V}
  fan: {kind: fan, at: cabin, claims: {current: 2 A}}
  horn: {kind: other, at: cabin, claims: {current: 4 A}}
circuits:
  fridge:
    path: [battery, length: 10 cm, {fuse: 10 A, family: regular blade}, fridge]
    return: rear negative
    length: 2 m
    wire: 2.5 mm2
  fan:
    path: [rear panel, {fuse: 5 A, family: regular blade}, fan]
    return: battery -
    length: 2 m
    wire: 1.5 mm2
  horn:
    path: [battery, length: 10 cm, {fuse: 10 A, family: regular blade}, {switch: 10 A}, horn]
    return: battery -
    length: 2 m
    wire: 2.5 mm2
  converter in:
    path: [battery, length: 10 cm, {fuse: 15 A, family: regular blade}, converter]
    return: rear negative
    length: 2 m
    wire: 4 mm2
""",
        tuple(("NEG005", name) for name in ("fridge", "fan")),
        silent=("REC004", "VDP003"),
    ),
    Found(
        "readings that nobody signed, taken with a meter that nobody named",
        """
loads: {lamp: {kind: led, at: cabin, claims: {power: 60 W}}}
circuits:
  lamp:
    path: [battery, length: 10 cm, {fuse: 7.5 A, family: regular blade}, lamp]
    length: 2 m
    wire: 1.5 mm2
readings:
  - when: resting
    using: [lamp]
    values:
      - lamp: 4.8 A
""",
        (("REC002", "readings"), ("REC003", "readings")),
    ),
    Found(
        "two petrol engines whose starters come back to one bank, joined by a thin strap",
        """
basis: boat
return: negative bus
supplies: {bank: {kind: battery, at: cabin, chemistry: agm, capacity: 100 Ah, cranking: 900 A EN}}
gear:
  negative bus: {kind: block, at: cabin}
  port engine: {kind: chassis, at: engine space}
  starboard engine: {kind: chassis, at: engine space}
loads:
  port starter: {kind: starter, at: engine space, claims: {current: 180 A}}
  starboard starter: {kind: starter, at: engine space, claims: {current: 180 A}}
circuits:
  negative: {path: [negative bus, wire: 70 mm2, bank -], length: 30 cm}
  port crank: {path: [bank, port starter], return: port engine, length: 2 m, wire: 70 mm2}
  starboard crank: {path: [bank, starboard starter], return: starboard engine, length: 2 m, wire: 70 mm2}
  port negative: {path: [port engine, negative bus], length: 2 m, wire: 70 mm2}
  starboard negative: {path: [starboard engine, negative bus], length: 2 m, wire: 70 mm2}
  strap: {path: [port engine, starboard engine], length: 1 m, wire: 10 mm2}
""",
        (("BOA007", "port starter"), ("BOA007", "starboard starter")),
    ),
    Found(
        "a panel feed past the compass, its negative by another way",
        """
basis: boat
return: negative bus
supplies: {bank: {kind: battery, at: locker, chemistry: agm, capacity: 100 Ah, cranking: 600 A EN}}
places: {locker: cabin, helm: cabin}
gear:
  negative bus: {kind: block, at: locker}
  helm panel: {kind: block, at: helm}
  compass lamp switch: {kind: switch, at: helm, rating: 5 A}
loads:
  compass lamp: {kind: led, at: helm, claims: {power: 2 W}}
  searchlight: {kind: led, at: helm, claims: {power: 120 W}}
circuits:
  negative: {path: [negative bus, wire: 16 mm2, bank -], length: 30 cm}
  helm feed:
    path: [bank, length: 10 cm, {fuse: 40 A, family: high-current blade}, isolator: 100 A, helm panel]
    length: 4 m
    wire: 10 mm2
  compass lamp:
    path: [helm panel, {fuse: 3 A, family: regular blade}, compass lamp switch, compass lamp]
    length: 1 m
    wire: 1 mm2
  searchlight:
    path: [helm panel, {fuse: 20 A, family: regular blade}, searchlight]
    length: 1 m
    wire: 4 mm2
""",
        (("BOA008", "helm feed"),),
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_the_rules_find_it(case: Found) -> None:
    found = failed(judged(case.job, title=case.name.split(":")[0].replace(",", ""), system=case.system))
    assert set(case.finds) <= found, found
    assert not set(case.silent) & {rule for rule, _ in found}, found


def test_what_a_tapped_circuit_carries_is_asked_for_once() -> None:
    """Nobody measured the host: a note that says how, and nothing of a failure."""
    job = next(case.job for case in CASES if case.name.startswith("the tap the right way"))
    found = judged(job).of("EXI005")
    assert [(f.outcome.value, f.level.value, f.where) for f in found] == [("unknown", "note", "camera")]
    read = job.replace(
        "claims: {current: 2 A}",
        "claims: {current: 2 A}, measured: [{current: 1.8 A, voltage: 12.4 V, meter: basic}]",
    )
    assert not judged(read).of("EXI005")


def test_a_bus_joined_to_nothing_is_named_and_joined_it_feeds() -> None:
    """Common practice: a circuit is closed only where its negative comes back to the battery it began at."""
    job = next(case.job for case in CASES if case.name.startswith("a negative bus and a feed"))
    told = judged(job)
    said = {f.where: f.text for f in told.of("NEG005") if f.outcome.value == "fail"}
    # one bus that is joined to nothing is one fault, however many circuits end at it
    assert said.keys() == {"fridge", "fan"}
    assert "rear negative leads to no battery's minus: nothing feeds fridge, converter" in said["fridge"]
    assert "rear panel leads to no battery's plus" in said["fan"]
    assert not [f for f in told.of("VDP003") if f.where == "fridge" and f.outcome.value == "unknown"]
    cables = """  rear cable: {path: [rear negative, battery -], length: 3 m, wire: 6 mm2}
  feed:
    path: [battery, length: 10 cm, {fuse: 20 A, family: regular blade}, rear panel]
    length: 2 m
    wire: 6 mm2
"""
    joined = job + cables
    assert "NEG005" not in {rule for rule, _ in failed(judged(joined))}
    # What a bus in the vehicle already is joined to, nobody drew.
    old = job.replace("rating: 60 A}", "rating: 60 A, state: existing}")
    assert "NEG005" not in {rule for rule, _ in failed(judged(old))}


def test_a_signed_record_and_a_twisted_pair_are_silent() -> None:
    signed = next(case.job for case in CASES if case.name.startswith("readings"))
    about = "about: {date: 2026-05-02, by: J. Marsh}\n"
    told = judged(about + signed.replace("using: [lamp]", "using: [lamp]\n    meter: handheld"))
    assert not {"REC002", "REC003"} & {rule for rule, _ in failed(told)}
    single = next(case.job for case in CASES if "compass" in case.name)
    pair = single + "  helm negative: {path: [helm panel minus, negative bus], length: 4 m, wire: 10 mm2}\n"
    pair = pair.replace("gear:\n", "gear:\n  helm panel minus: {kind: block, at: helm}\n")
    assert "BOA008" not in {rule for rule, _ in failed(judged(pair))}


def test_ten_amps_half_a_metre_from_a_compass_turn_it_by_eleven_degrees() -> None:
    """By hand: 2e-7 T m/A x 10 A / 0.5 m = 4 uT across 20 uT of the earth's; atan 0.2 = 11.3 degrees."""
    subject = SimpleNamespace(found=SimpleNamespace(continuous_a=10.0))
    assert NEEDS[About.CIRCUIT]["turns_compass_deg"](subject) == pytest.approx(11.31, abs=0.005)


def test_how_far_two_cables_side_by_side_lie_apart() -> None:
    """By hand, copper at one resistivity: 5 m of 10 mm2 against 4 m of 25 mm2 is 0.5 to 0.16, 212 % more."""
    job = next(case.job for case in CASES if case.name.startswith("an old and a new feed"))
    found = judged(job).of("TAP003")
    assert found[0].value == pytest.approx(212.5, rel=0.03), (
        "sizes are nominal: the real strands differ a little"
    )
