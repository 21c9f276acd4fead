"""What goes wrong with added wiring, each as a small job of our own: the rule that should see it does.

The kinds of failure are those that the trade reports (common practice unless a line says otherwise); the
vehicles, names and figures are invented here.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from groundstrap.checks import Worst, worst
from tests.rules.judged import failed, judged, rules_failed


@dataclass(frozen=True)
class Found:
    """A job with the findings that must be among those it gets."""

    name: str
    job: str
    finds: tuple[tuple[str, str], ...]
    system: str = "12 V"
    silent: tuple[str, ...] = ()


CASES = (
    Found(
        "a thick plus, a thin old negative, and the fuse of the thick one",
        """
supplies: {battery: {kind: battery, at: engine bay}}
loads: {trailer charger: {kind: charger, at: trailer, claims: {current: 24 A}}}
circuits:
  charge line:
    path: [battery, length: 15 cm, {fuse: 30 A, family: regular blade}, trailer charger]
    return: [{wire: 18 AWG}, battery -]
    length: 6 m
    wire: 10 AWG
    insulation: 105 degC
""",
        (
            ("RET001", "trailer charger - to battery -"),
            ("PRT001", "charge line fuse"),
            ("THM001", "trailer charger - to battery -"),
        ),
    ),
    Found(
        "the fuse sits at the lamp and not at the battery",
        """
loads: {lamp: {kind: led, claims: {power: 60 W}}}
circuits:
  lamp:
    path: [battery, length: 2.5 m, {fuse: 10 A, family: regular blade}, lamp]
    length: 3 m
    wire: 2.5 mm2
""",
        (("PRT005", "lamp"),),
        silent=("PRT006", "PRT001"),
    ),
    Found(
        "no fuse at all",
        """
loads: {lamp: {kind: led, claims: {power: 60 W}}}
circuits: {lamp: {path: [battery, lamp], length: 3 m, wire: 2.5 mm2}}
""",
        (("PRT006", "lamp"), ("PRT013", "lamp")),
        silent=("PRT005",),
    ),
    Found(
        "a fuse made larger because the small one blew, on the thin lead of a dash switch",
        """
loads: {fans: {kind: fan, at: cabin, claims: {current: 18 A}}}
circuits:
  fans:
    path: [battery, length: 10 cm, {fuse: 25 A, family: regular blade}, switch: 10 A, fans]
    length: 2 m
    wire: 1 mm2
""",
        (("PRT001", "fans fuse"), ("GER001", "fans switch"), ("THM001", "fans - to battery -")),
    ),
    Found(
        "a dead end left live behind a panel",
        """
loads: {lamp: {kind: led, claims: {power: 60 W}}}
gear: {strip: {kind: block, at: cabin, state: existing}}
circuits:
  feed:
    path: [battery, length: 10 cm, {fuse: 20 A, family: regular blade}, strip]
    length: 1 m
    wire: 4 mm2
    insulation: PVC
    state: existing
  lamp: {path: [strip, {fuse: 10 A, family: regular blade}, lamp], length: 3 m, wire: 2.5 mm2}
  yellow wire: {path: [strip, wire: 2.5 mm2, unknown], insulation: PVC, state: existing}
""",
        (("EXI003", "yellow wire"), ("PRT001", "feed fuse")),
    ),
    Found(
        "12 V out of the middle of a 24 V pair, with an isolator in its negative",
        """
supplies:
  battery: {kind: battery, at: cabin, capacity: 180 Ah, bank: 2 in series}
  alternator: none
loads:
  radio: {kind: electronics, at: cabin, claims: {current: 7 A}}
  lamp: {kind: led, at: cabin, claims: {power: 48 W}}
circuits:
  radio:
    path: [battery 1 +, length: 10 cm, {fuse: 10 A, family: regular blade}, radio]
    return: chassis at cabin
    length: 4 m
    wire: 2.5 mm2
  lamp:
    path: [battery, length: 10 cm, {fuse: 10 A, family: regular blade}, lamp]
    return: chassis at cabin
    length: 4 m
    wire: 2.5 mm2
  earth: {path: [chassis at cabin, {wire: 35 mm2, length: 30 cm}, isolator: 250 A, battery -], length: 60 cm}
""",
        (("SUP003", "radio"), ("SUP004", "earth isolator")),
        system="24 V",
    ),
    Found(
        "12 V between the plus of a 24 V pair and its middle: the upper battery alone",
        """
supplies:
  battery: {kind: battery, at: cabin, capacity: 180 Ah, bank: 2 in series}
  alternator: none
loads:
  radio: {kind: electronics, at: cabin, claims: {current: 7 A}}
  lamp: {kind: led, at: cabin, claims: {power: 48 W}}
circuits:
  radio:
    path: [battery +, length: 10 cm, {fuse: 10 A, family: regular blade}, radio]
    return: battery 1 +
    length: 4 m
    wire: 2.5 mm2
  lamp:
    path: [battery, length: 10 cm, {fuse: 10 A, family: regular blade}, lamp]
    return: battery -
    length: 4 m
    wire: 2.5 mm2
""",
        (("SUP003", "radio"),),
        system="24 V",
    ),
    Found(
        "the same by way of a block that comes back to the middle",
        """
supplies:
  battery: {kind: battery, at: cabin, capacity: 180 Ah, bank: 2 in series}
  alternator: none
gear: {return block: {kind: block, at: cabin, rating: 100 A}}
loads: {radio: {kind: electronics, at: cabin, claims: {current: 7 A}}}
circuits:
  radio:
    path: [battery +, length: 10 cm, {fuse: 10 A, family: regular blade}, radio]
    return: return block
    length: 4 m
    wire: 2.5 mm2
  middle: {path: [return block, {wire: 6 mm2, length: 30 cm}, battery 1 +]}
""",
        (("SUP003", "middle"),),
        system="24 V",
    ),
    Found(
        "a charger for the upper battery of the pair alone takes nothing out of it",
        """
supplies:
  battery: {kind: battery, at: cabin, capacity: 180 Ah, bank: 2 in series}
  charger: {kind: mains charger, at: cabin, current: 10 A, setpoint: 14.4 V}
  alternator: none
loads: {lamp: {kind: led, at: cabin, claims: {power: 48 W}}}
circuits:
  charge: {path: [charger, {fuse: 15 A, family: regular blade}, length: 10 cm, battery +], wire: 4 mm2,
           length: 2 m}
  charge minus: {path: [charger -, battery 1 +], wire: 4 mm2, length: 2 m}
  lamp:
    path: [battery, length: 10 cm, {fuse: 10 A, family: regular blade}, lamp]
    return: battery -
    length: 4 m
    wire: 2.5 mm2
""",
        (),
        system="24 V",
        silent=("SUP003",),
    ),
    Found(
        "a fridge at the end of cable that was sold by its outside diameter",
        """
loads: {fridge: {kind: compressor, at: cabin, claims: {current: 5 A}, works: 10.9..17 V}}
circuits:
  fridge:
    path: [battery, length: 10 cm, {fuse: 15 A, family: regular blade}, fridge]
    length: 6 m
    wire: 0.56 mm2
""",
        (("VDP002", "fridge"), ("VDP001", "fridge"), ("THM004", "fridge - to battery -")),
    ),
    Found(
        "clad aluminium out of a kit",
        """
loads: {amplifier: {kind: electronics, at: cabin, claims: {current: 20 A}}}
circuits:
  amplifier:
    path: [battery, length: 10 cm, {fuse: 30 A, family: regular blade}, amplifier]
    length: 4 m
    wire: 6 mm2
    material: copper-clad aluminium
    insulation: 70 degC
""",
        (("MAT001", "amplifier - to battery -"), ("THM001", "amplifier - to battery -")),
    ),
    Found(
        "a lighter plug as a power connector: 150 W for hours",
        """
loads: {kettle: {kind: heater, at: cabin, claims: {power: 150 W}, fitted: {plug: lighter}}}
circuits:
  kettle:
    path: [battery, length: 10 cm, {fuse: 15 A, family: regular blade}, kettle]
    length: 3 m
    wire: 4 mm2
""",
        (("LOD003", "kettle"),),
        silent=("LOD002",),
    ),
    Found(
        "500 W claimed of a heater with a lighter plug",
        """
loads:
  defroster: {kind: ptc heater, at: cabin, claims: {power: 500 W, by: seller}, fitted: {plug: lighter}}
circuits:
  defroster:
    path: [battery, length: 10 cm, {fuse: 15 A, family: regular blade}, defroster]
    length: 3 m
    wire: 4 mm2
""",
        (("LOD002", "defroster"),),
        silent=("LOD001",),
    ),
    Found(
        "a claim that a clamp and a meter do not find",
        """
loads:
  warmer:
    kind: heater
    at: cabin
    claims: {power: 250 W, by: seller}
    measured: [{current: 12 A, voltage: 12.6 V, meter: handheld}]
circuits:
  warmer:
    path: [battery, length: 10 cm, {fuse: 25 A, family: regular blade}, warmer]
    length: 3 m
    wire: 10 mm2
""",
        (("LOD001", "warmer"),),
        silent=("LOD002",),
    ),
    Found(
        "a clean ground on the post, past the battery's sensor",
        """
loads: {lamp: {kind: led, claims: {power: 60 W}}}
circuits:
  battery earth:
    path: [chassis at inner wing, wire: 25 mm2, sensor, battery -]
    length: 40 cm
    state: existing
  lamp:
    path: [battery, length: 10 cm, {fuse: 10 A, family: regular blade}, lamp]
    return: battery -
    length: 3 m
    wire: 2.5 mm2
""",
        (("RET004", "lamp"),),
    ),
    Found(
        "more lamps than the alternator feeds at idle",
        """
supplies:
  battery: {kind: battery, at: engine bay}
  alternator: {kind: alternator, at: engine bay, rating: 60 A, setpoint: 14.2 V, idle: 40 %}
loads: {lamps: {kind: led, at: roof, count: 8, claims: {power: 100 W}}}
circuits:
  lamps:
    path: [battery, length: 10 cm, {fuse: 150 A, family: bolt-down strip 51 mm}, lamps]
    length: 3 m
    wire: 35 mm2
    insulation: 125 degC
""",
        (("SUP002", "idling"), ("SUP002", "driving")),
    ),
    Found(
        "an inverter on jump-lead cable behind a relay",
        """
loads:
  inverter:
    kind: inverter
    at: cabin
    claims: {power: 1500 W}
    efficiency: 90 %
    inrush: {current: 300 A, time: 20 ms}
gear: {inverter relay: {kind: relay, at: cabin, rating: 100 A}}
circuits:
  inverter:
    path: [battery, length: 10 cm, {fuse: 150 A, family: bolt-down strip 51 mm}, inverter relay, inverter]
    length: 12 m
    wire: 6 mm2
""",
        (
            ("SUP005", "inverter"),
            ("LOD005", "inverter"),
            ("PRT010", "inverter fuse"),
            ("GER001", "inverter relay"),
            ("PRT001", "inverter fuse"),
        ),
    ),
    Found(
        "three circuits with fuses come back through one thin wire",
        """
return: return stud
gear: {return stud: {kind: block, at: cabin}}
loads:
  red lamp: {kind: led, at: cabin, claims: {power: 60 W}}
  blue lamp: {kind: led, at: cabin, claims: {power: 60 W}}
  green lamp: {kind: led, at: cabin, claims: {power: 60 W}}
circuits:
  common: {path: [return stud, wire: 2.5 mm2, battery -], length: 2 m}
  red lamp:
    path: [battery, length: 10 cm, {fuse: 10 A, family: regular blade}, red lamp]
    length: 2 m
    wire: 2.5 mm2
  blue lamp:
    path: [battery, length: 10 cm, {fuse: 10 A, family: regular blade}, blue lamp]
    length: 2 m
    wire: 2.5 mm2
  green lamp:
    path: [battery, length: 10 cm, {fuse: 10 A, family: regular blade}, green lamp]
    length: 2 m
    wire: 2.5 mm2
""",
        (("RET002", "return stud to battery -"),),
        silent=("PRT001",),
    ),
    Found(
        "thick cable that goes on thin behind the same fuse",
        """
loads: {lamp: {kind: led, at: cabin, claims: {power: 60 W}}}
circuits:
  lamp:
    path:
      [battery, length: 10 cm, {fuse: 30 A, family: regular blade}, {wire: 10 mm2, length: 3 m}, joint,
       wire: 2.5 mm2, lamp]
    length: 4 m
""",
        (("PRT007", "lamp joint out to lamp +"), ("PRT001", "lamp fuse")),
    ),
    Found(
        "a fuse above what the radio's maker allows, and more volts than it stands",
        """
loads:
  radio: {kind: electronics, at: cabin, claims: {current: 4 A}, largest_fuse: 10 A, works: 11..14 V}
circuits:
  radio:
    path: [battery, length: 10 cm, {fuse: 20 A, family: regular blade}, radio]
    length: 2 m
    wire: 6 mm2
""",
        (("PRT003", "radio"), ("VDP003", "radio")),
    ),
    Found(
        "a fuse that suits the cable and not the pump's own lead, and a stall that opens nothing",
        """
loads:
  pump:
    kind: pump
    at: cabin
    claims: {current: 5 A}
    fitted: {wire: 1 mm2, length: 1 m}
    stall: {current: 22 A, survives: no}
circuits:
  pump: {path: [battery, length: 10 cm, {fuse: 20 A, family: regular blade}, pump], length: 2 m, wire: 6 mm2}
""",
        (("PRT004", "pump"), ("LOD004", "pump")),
    ),
    Found(
        "a camera on the fuse of the brake lamps",
        """
gear: {fuse box: {kind: block, at: cabin, ways: [F1, F2], when: ignition, state: existing}}
loads:
  brake lamps: {kind: lamp, at: cabin, claims: {power: 42 W}, critical: yes}
  camera: {kind: electronics, at: cabin, claims: {current: 1 A}}
circuits:
  brake lamps: {path: [fuse box F1, fuse: 10 A, wire: 1.5 mm2, brake lamps], length: 4 m, state: existing}
  camera: {path: [brake lamps fuse out, {fuse: 3 A, holder: tap}, camera], length: 2 m, wire: 1 mm2}
""",
        (("EXI001", "camera"),),
    ),
    Found(
        "a hoist motor through the body",
        """
return: chassis
loads: {hoist: {kind: motor, at: cabin, claims: {current: 80 A}, duty: {run: 30 s, every: 10 min}}}
circuits:
  hoist:
    path: [battery, length: 10 cm, {fuse: 125 A, family: bolt-down strip 51 mm}, hoist]
    length: 4 m
    wire: 25 mm2
""",
        (("RET003", "hoist"),),
    ),
    Found(
        "two batteries linked with one fuse, and a charger's fuse at the charger",
        """
supplies:
  start battery: {kind: battery, at: cabin}
  second battery: {kind: battery, at: cabin, chemistry: agm}
  charger: {kind: mains charger, at: cabin, current: 20 A, setpoint: 14.4 V}
loads: {lamp: {kind: led, at: cabin, claims: {power: 20 W}}}
circuits:
  link:
    path: [start battery, length: 15 cm, {fuse: 60 A, family: high-current blade}, second battery]
    length: 4 m
    wire: 25 mm2
  charge:
    path: [charger, length: 10 cm, {fuse: 30 A, family: regular blade}, second battery]
    length: 1.5 m
    wire: 1.5 mm2
  lamp:
    path: [second battery, length: 10 cm, {fuse: 5 A, family: regular blade}, lamp]
    length: 2 m
    wire: 1.5 mm2
""",
        (("PRT011", "link"), ("PRT012", "charge"), ("SUP007", "charge")),
        silent=("PRT006", "PRT005"),
    ),
    Found(
        "a boat with its bilge pump on the panel, a light through the hull and sparks beside petrol",
        """
basis: boat
body: steel
return: negative bus
zones: {engine space: {ambient: 0..50 degC, vapour: petrol}}
supplies: {bank: {kind: battery, at: cabin, capacity: 100 Ah, cranking: 600 A EN}}
gear:
  negative bus: {kind: block, at: cabin}
  panel: {kind: block, at: cabin}
  main isolator: {kind: isolator, at: engine space, rating: 100 A, ignition_protected: no}
loads:
  bilge pump: {kind: pump, at: bilge, claims: {current: 4 A}, critical: yes}
  cabin light: {kind: led, at: cabin, claims: {power: 10 W}}
circuits:
  negative: {path: [negative bus, wire: 16 mm2, bank -], length: 30 cm}
  feed:
    path: [bank, length: 20 cm, {fuse: 40 A, family: high-current blade}, main isolator, panel]
    length: 2 m
    wire: 10 mm2
  bilge pump: {path: [panel, {fuse: 10 A, family: regular blade}, bilge pump], length: 3 m, wire: 2.5 mm2}
  cabin light:
    path: [panel, {fuse: 10 A, family: regular blade}, cabin light]
    return: chassis at cabin
    length: 3 m
    wire: 0.75 mm2
""",
        (
            ("BOA001", "cabin light"),
            ("BOA002", "bilge pump"),
            ("BOA003", "main isolator"),
            ("BOA004", "feed fuse"),
            ("PRT005", "feed"),
            ("THM004", "cabin light - to chassis at cabin"),
        ),
    ),
    Found(
        "a strip for 32 V in a 48 V cart",
        """
supplies:
  alternator: none
  traction battery: {kind: battery, at: cabin, capacity: 170 Ah, bank: 4 in series}
loads: {heater: {kind: heater, at: cabin, claims: {power: 1500 W}}}
circuits:
  heater:
    path:
      [traction battery, length: 10 cm, {fuse: 50 A, family: bolt-down strip 51 mm}, switch: 60 A, heater]
    length: 2 m
    wire: 16 mm2
""",
        (("PRT015", "heater fuse"),),
        system="48 V",
    ),
    Found(
        "two wires side by side behind one fuse",
        """
loads: {amplifier: {kind: electronics, at: cabin, claims: {current: 30 A}}}
circuits:
  amplifier:
    path:
      [battery, length: 10 cm, {fuse: 60 A, family: high-current blade}, {wire: 10 mm2, parallel: 2},
       amplifier]
    length: 3 m
""",
        (("PRT009", "amplifier fuse out to amplifier +"),),
    ),
    Found(
        "17 A measured on a cooker that came with a 15 A fuse",
        """
loads:
  cooker:
    kind: heater
    at: cabin
    measured: [{current: 17 A, voltage: 12.6 V, meter: handheld}]
    fitted: {wire: 14 AWG, length: 1 m, fuse: 15 A}
circuits:
  cooker:
    path: [battery, length: 10 cm, {fuse: 30 A, family: regular blade}, cooker]
    length: 3 m
    wire: 6 mm2
""",
        (("LOD007", "cooker"),),
    ),
    Found(
        "a heater's ohms read with the leads of a cheap meter in them",
        """
loads: {pad: {kind: heater, at: cabin, measured: [{resistance: 2.4 ohm, meter: basic}]}}
circuits:
  pad:
    path: [battery, length: 10 cm, {fuse: 10 A, family: regular blade}, pad]
    length: 3 m
    wire: 2.5 mm2
""",
        (("LOD008", "pad"),),
    ),
    Found(
        "a 40 A fuse over 1 mm2 that was spliced to cable which nobody can read",
        """
loads: {lamp: {kind: led, at: cabin, claims: {power: 60 W}}}
circuits:
  lamp:
    path:
      - battery
      - length: 10 cm
      - {fuse: 40 A, family: regular blade}
      - {wire: unknown, length: 1 m}
      - joint
      - {wire: 1 mm2, length: 2 m}
      - lamp
    return: chassis at cabin
    state: existing
    insulation: PVC
""",
        (("PRT001", "lamp fuse"),),
    ),
    Found(
        "a 7.5 A plug behind 30 A on cable that nobody can read",
        """
gear: {hitch plug: {kind: connector, at: cabin, rating: 7.5 A, state: existing}}
loads: {lamp: {kind: led, at: cabin, claims: {power: 40 W}}}
circuits:
  lamp:
    path: [battery, length: 10 cm, {fuse: 30 A, family: regular blade}, hitch plug, lamp]
    return: chassis at cabin
    length: 4 m
    state: existing
""",
        (("PRT001", "lamp fuse"),),
    ),
)

BRANCHES = """
return: return stud
gear: {{return stud: {{kind: block, at: cabin}}, panel: {{kind: block, at: cabin}}}}
loads:
  red lamp: {{kind: led, at: cabin, claims: {{power: 40 W}}}}
  blue lamp: {{kind: led, at: cabin, claims: {{power: 40 W}}}}
  green lamp: {{kind: led, at: cabin, claims: {{power: 40 W}}}}
  horn: {{kind: led, at: cabin, claims: {{power: 40 W}}}}
circuits:
  common: {{path: [return stud, wire: 10 mm2, battery -], length: 2 m}}
  feed:
    path: [battery, length: 10 cm, {{fuse: {feeder}, family: high-current blade}}, panel]
    length: 1 m
    wire: 10 mm2
  red lamp: {{path: [panel, {{fuse: 10 A, family: regular blade}}, red lamp], length: 2 m, wire: 2.5 mm2}}
  blue lamp: {{path: [panel, {{fuse: 10 A, family: regular blade}}, blue lamp], length: 2 m, wire: 2.5 mm2}}
  green lamp: {{path: [panel, {{fuse: 10 A, family: regular blade}}, green lamp], length: 2 m, wire: 2.5 mm2}}
  horn:
    path: [battery, length: 10 cm, {{fuse: 10 A, family: regular blade}}, horn]
    length: 2 m
    wire: 2.5 mm2
"""

CLEAN = """
return: negative bus
supplies:
  battery: {kind: battery, at: cabin, chemistry: agm, capacity: 90 Ah, cranking: 700 A EN}
  alternator: {kind: alternator, at: cabin, rating: 90 A, setpoint: 14.2 V}
gear:
  negative bus: {kind: block, at: cabin, rating: 150 A}
  panel: {kind: block, at: cabin, rating: 100 A}
loads:
  work light:
    kind: led
    at: cabin
    claims: {power: 40 W, voltage: 12.6 V}
    measured: [{current: 3.8 A, voltage: 12.6 V, meter: bench}]
    works: 9..16 V
  pump:
    kind: pump
    at: cabin
    claims: {current: 4 A, voltage: 12.6 V}
    measured: [{current: 4.7 A, voltage: 12.6 V, meter: bench}]
    duty: {run: 1 min, every: 20 min}
    stall: {current: unknown, survives: yes}
circuits:
  negative: {path: [negative bus, wire: 16 mm2, battery -], length: 40 cm}
  feed:
    path: [battery, length: 15 cm, {fuse: 40 A, family: high-current blade, breaks: 5 kA}, panel]
    length: 2 m
    wire: 16 mm2
  work light:
    path: [panel, {fuse: 10 A, family: regular blade, breaks: 3 kA}, switch: 16 A, work light]
    length: 2 m
    wire: 2.5 mm2
  pump:
    path: [panel, {fuse: 15 A, family: regular blade, breaks: 3 kA}, switch: 16 A, pump]
    length: 2 m
    wire: 4 mm2
"""


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_it_is_found(case: Found) -> None:
    judgement = judged(case.job, system=case.system)
    assert set(case.finds) <= failed(judgement)
    assert not set(case.silent) & rules_failed(judgement)


@pytest.mark.parametrize(("feeder", "together_a"), [("20 A", 30.0), ("60 A", 40.0)])
def test_branches_count_in_a_shared_return_no_more_than_their_feeder(feeder: str, together_a: float) -> None:
    # By hand: three branches of 10 A behind 20 A count 20 A, behind 60 A they count 30 A; the horn adds 10 A.
    job = BRANCHES.format(feeder=feeder).replace("wire: 10 mm2, battery -", "wire: 1.5 mm2, battery -")
    [finding] = judged(job).of("RET002")
    assert finding.value == pytest.approx(together_a)


def test_a_clean_job_finds_nothing() -> None:
    judgement = judged(CLEAN)
    assert not failed(judgement)
    assert not judgement.findings
    assert worst(judgement) is Worst.CLEAR
    assert judgement.counts.passed > 60


def test_every_finding_says_where_why_and_what_next() -> None:
    for case in CASES:
        for finding in judged(case.job, system=case.system).findings:
            assert finding.text
            assert finding.where
            assert finding.source
            assert finding.weight
            if finding.outcome.value == "fail":
                assert finding.remedy
            if finding.margin_pct is not None:
                assert finding.margin_pct < 0
