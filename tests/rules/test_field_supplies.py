"""What goes wrong between batteries and what charges them, each as a small job of our own.

The kinds of failure are those that the trade reports (common practice unless a line says otherwise); the
vehicles, names and figures are invented here.
"""

from __future__ import annotations

import pytest

from tests.rules.judged import failed, judged
from tests.rules.test_found_in_the_field import Found

_LAMP = """
loads: {lamp: {kind: led, at: cabin, claims: {power: 20 W}}}
circuits:
  lamp:
    path: [house battery, length: 10 cm, {fuse: 5 A, family: regular blade}, lamp]
    length: 2 m
    wire: 1.5 mm2
"""
_LINK = """
gear: {split relay: {kind: relay, at: engine bay, rating: 120 A, closes: 13.3 V, opens: 12.8 V}}
"""
_LINKED = """
  link:
    path: [starter battery, length: 10 cm, {fuse: 100 A, family: high-current blade}, split relay,
           {fuse: 100 A, family: high-current blade}, length: 10 cm, house battery]
    length: 4 m
    wire: 35 mm2
"""

CASES = (
    Found(
        "lithium on a relay beside the starting battery, under the bonnet, driven in frost",
        f"""
supplies:
  starter battery: {{kind: battery, at: engine bay, chemistry: flooded, capacity: 70 Ah}}
  house battery: {{kind: battery, at: engine bay, chemistry: lfp, capacity: 100 Ah}}
  alternator: {{kind: alternator, at: engine bay, rating: 120 A, setpoint: 14.8 V}}
day:
  - {{driving: 2 h, using: all, temperature: -8 degC}}
{_LINK}{_LAMP}{_LINKED}
""",
        (
            ("SUP010", "house battery"),
            ("SUP011", "house battery"),
            ("SUP014", "house battery"),
            ("SUP015", "house battery"),
            ("SUP020", "house battery"),
        ),
        silent=("SUP009", "SUP012", "SUP013"),
    ),
    Found(
        "the same through a charging converter that works with the engine, in the warm",
        f"""
supplies:
  starter battery: {{kind: battery, at: engine bay, chemistry: flooded, capacity: 70 Ah}}
  house battery: {{kind: battery, at: cabin, chemistry: lfp, capacity: 100 Ah}}
  alternator: {{kind: alternator, at: engine bay, rating: 120 A, setpoint: 14.4 V}}
  charger: {{kind: dc-dc, at: cabin, current: 30 A, setpoint: 14.4 V, when: engine}}
day:
  - {{driving: 2 h, using: all, temperature: 10 degC}}
{_LAMP}
  charger in:
    path: [starter battery, length: 10 cm, {{fuse: 50 A, family: high-current blade}}, charger]
    length: 3 m
    wire: 16 mm2
  charger out:
    path: [charger, {{fuse: 40 A, family: high-current blade}}, length: 10 cm, house battery]
    length: 1 m
    wire: 10 mm2
""",
        (),
        silent=tuple(f"SUP{number:03d}" for number in (9, 10, 11, 12, 13, 14, 15, 18, 20, 21)),
    ),
    Found(
        "a converter for radios as a charger, whose signal wire nobody joined",
        f"""
supplies:
  starter battery: {{kind: battery, at: engine bay, chemistry: flooded, capacity: 70 Ah}}
  house battery: {{kind: battery, at: cabin, chemistry: agm, capacity: 100 Ah}}
  converter: {{kind: dc-dc, at: cabin, current: 20 A, setpoint: 13.2 V}}
{_LAMP}
  converter in:
    path: [starter battery, length: 10 cm, {{fuse: 40 A, family: high-current blade}}, converter]
    length: 3 m
    wire: 10 mm2
  converter out:
    path: [converter, {{fuse: 30 A, family: high-current blade}}, length: 10 cm, house battery]
    length: 1 m
    wire: 6 mm2
""",
        (("SUP018", "converter"), ("SUP012", "house battery")),
        silent=("SUP011", "SUP013", "SUP014"),
    ),
    Found(
        "one lithium battery in place of the starting battery: its protection is a load dump",
        """
supplies:
  battery: {kind: battery, at: cabin, chemistry: lfp, capacity: 60 Ah, limit: 100 A, temperature: 15 degC}
  alternator: {kind: alternator, at: engine bay, rating: 90 A, setpoint: 14.4 V}
loads: {lamp: {kind: led, at: cabin, claims: {power: 20 W}}}
circuits:
  lamp:
    path: [battery, length: 10 cm, {fuse: 5 A, family: regular blade}, lamp]
    length: 2 m
    wire: 1.5 mm2
""",
        (("SUP009", "alternator"), ("SUP015", "battery")),
        silent=("SUP010", "SUP020"),
    ),
    Found(
        "a panel straight on a gel battery in the cabin, beside a vented one that nothing charges",
        """
supplies:
  house battery: {kind: battery, at: bench, chemistry: gel, capacity: 100 Ah}
  spare battery: {kind: battery, at: bench, chemistry: flooded, capacity: 80 Ah}
  charger: {kind: mains charger, at: bench, current: 10 A, setpoint: 14.8 V}
  panel: {kind: solar, at: roof, power: 100 W, voltage: 18 V}
  alternator: none
places: {bench: cabin}
loads: {lamp: {kind: led, at: bench, claims: {power: 20 W}}}
circuits:
  lamp:
    path: [spare battery, length: 10 cm, {fuse: 5 A, family: regular blade}, lamp]
    length: 2 m
    wire: 1.5 mm2
  panel:
    path: [panel, {fuse: 10 A, family: regular blade}, length: 10 cm, house battery]
    length: 4 m
    wire: 4 mm2
  charge:
    path: [charger, {fuse: 15 A, family: regular blade}, length: 10 cm, house battery]
    length: 1 m
    wire: 4 mm2
""",
        (
            ("SUP016", "panel"),
            ("SUP017", "panel"),
            ("SUP011", "house battery"),
            ("SUP013", "spare battery"),
            ("SUP021", "spare battery"),
        ),
        silent=("SUP014", "SUP018"),
    ),
    Found(
        "a tracker and an alarm that never sleep on a small battery: 0.45 A against 44 Ah",
        """
supplies: {battery: {kind: battery, at: engine bay, chemistry: agm, capacity: 44 Ah, standing: 50 mA}}
loads:
  tracker: {kind: electronics, at: cabin, claims: {current: 1 A}, asleep: 0.15 A}
  amplifier: {kind: electronics, at: cabin, claims: {current: 5 A}, asleep: 0.25 A}
circuits:
  tracker:
    path: [battery, length: 10 cm, {fuse: 3 A, family: regular blade}, tracker]
    length: 3 m
    wire: 1.5 mm2
  amplifier:
    path: [battery, length: 10 cm, {fuse: 10 A, family: regular blade}, amplifier]
    length: 3 m
    wire: 2.5 mm2
""",
        (("SUP019", "battery"),),
    ),
    Found(
        "the same behind a switch that is turned off",
        """
supplies: {battery: {kind: battery, at: engine bay, chemistry: agm, capacity: 44 Ah, standing: 50 mA}}
gear: {night switch: {kind: switch, at: cabin, rating: 16 A}}
loads: {amplifier: {kind: electronics, at: cabin, claims: {current: 5 A}, asleep: 0.25 A}}
circuits:
  amplifier:
    path: [battery, length: 10 cm, {fuse: 10 A, family: regular blade}, night switch, amplifier]
    length: 3 m
    wire: 2.5 mm2
""",
        (),
        silent=("SUP019",),
    ),
    Found(
        "a boat whose cabin light hangs on the battery past every isolator",
        """
basis: boat
return: negative bus
supplies: {bank: {kind: battery, at: battery box, chemistry: agm, capacity: 100 Ah, cranking: 600 A EN}}
gear:
  negative bus: {kind: block, at: cabin}
  main isolator: {kind: isolator, at: battery box, rating: 100 A, ignition_protected: yes}
  panel: {kind: block, at: cabin}
loads:
  cabin light: {kind: led, at: cabin, claims: {power: 10 W}}
  radio: {kind: electronics, at: cabin, claims: {power: 20 W}}
circuits:
  negative: {path: [negative bus, wire: 16 mm2, bank -], length: 1 m}
  feed: {path: [bank, length: 10 cm, {fuse: 40 A, family: class T}, main isolator, panel], length: 2 m}
  radio: {path: [panel, {fuse: 5 A, family: regular blade}, radio], length: 2 m}
  cabin light: {path: [bank, length: 10 cm, {fuse: 5 A, family: regular blade}, cabin light], length: 2 m}
""",
        (("BOA006", "bank"),),
    ),
    Found(
        "the same with the light on the panel, and a bilge pump past the isolator",
        """
basis: boat
return: negative bus
supplies: {bank: {kind: battery, at: battery box, chemistry: agm, capacity: 100 Ah, cranking: 600 A EN}}
gear:
  negative bus: {kind: block, at: cabin}
  main isolator: {kind: isolator, at: battery box, rating: 100 A, ignition_protected: yes}
  panel: {kind: block, at: cabin}
loads:
  cabin light: {kind: led, at: cabin, claims: {power: 10 W}}
  bilge pump: {kind: pump, at: bilge, claims: {current: 4 A}}
circuits:
  negative: {path: [negative bus, wire: 16 mm2, bank -], length: 1 m}
  feed: {path: [bank, length: 10 cm, {fuse: 40 A, family: class T}, main isolator, panel], length: 2 m}
  bilge pump: {path: [bank, length: 10 cm, {fuse: 10 A, family: regular blade}, bilge pump], length: 2 m}
  cabin light: {path: [panel, {fuse: 5 A, family: regular blade}, cabin light], length: 2 m}
""",
        (),
        silent=("BOA006",),
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_the_rules_find_it(case: Found) -> None:
    found = failed(judged(case.job, title=case.name.split(":")[0].replace(",", ""), system=case.system))
    assert set(case.finds) <= found, found
    assert not set(case.silent) & {rule for rule, _ in found}, found


def test_how_long_sleepers_leave_the_battery_half_of_its_charge() -> None:
    """By hand: 0.05 + 0.15 + 0.25 A on 44 Ah; 22 Ah / 0.45 A = 48.9 h, 2.04 days."""
    job = next(case.job for case in CASES if case.name.startswith("a tracker and an alarm"))
    found = judged(job).of("SUP019")[0]
    assert (found.value, found.limit) == (pytest.approx(2.037, abs=0.001), 14.0)


def test_an_alternator_that_is_only_assumed_fails_nothing() -> None:
    """Where nobody lists what charges a lithium battery, that is asked for and no failure."""
    job = """
supplies: {battery: {kind: battery, at: cabin, chemistry: lfp, capacity: 60 Ah, temperature: 15 degC}}
loads: {lamp: {kind: led, at: cabin, claims: {power: 20 W}}}
circuits:
  lamp:
    path: [battery, length: 10 cm, {fuse: 5 A, family: regular blade}, lamp]
    length: 2 m
    wire: 1.5 mm2
"""
    found = judged(job)
    assert not {"SUP009", "SUP015"} & {rule for rule, _ in failed(found)}
    assert [(f.outcome.value, f.level.value) for f in found.of("SUP015")] == [("unknown", "note")]


def test_what_a_label_says_is_for_12_v_on_a_net_of_24() -> None:
    """Own judgement: straight on it a stop; behind a converter whose volts nobody wrote, one that may be."""
    found = judged(
        """
supplies:
  battery: {kind: battery, at: cabin, chemistry: agm, capacity: 100 Ah}
  converter: {kind: dc-dc, at: cabin, current: 10 A}
loads:
  lamp: {kind: lamp, at: cabin, claims: {power: 55 W, voltage: 12 V}}
  radio: {kind: electronics, at: cabin, claims: {current: 8 A, voltage: 13.8 V}}
  pump: {kind: pump, at: cabin, claims: {current: 3 A, voltage: 28 V}}
  fan: {kind: fan, at: cabin, claims: {current: 3 A, voltage: 12 V}, works: 10..32 V}
circuits:
  lamp: {path: [battery, fuse, lamp], length: 2 m}
  pump: {path: [battery, fuse, pump], length: 2 m}
  fan: {path: [battery, fuse, fan], length: 2 m}
  converter: {path: [battery, fuse, converter], length: 2 m}
  radio: {path: [converter, fuse, radio], length: 2 m}
""",
        system="24 V",
    )
    told = {(f.where, f.outcome.value, f.level.value) for f in found.of("VDP005")}
    assert told == {("lamp", "fail", "stop"), ("radio", "unknown", "stop")}
