"""More of what goes wrong with added wiring, each as a small job of our own beside the same put right.

The kinds of failure are those that the trade reports (common practice unless a line says otherwise); the
vehicles, names and figures are invented here.
"""

from __future__ import annotations

import pytest

from tests.rules.judged import failed, judged
from tests.rules.test_found_in_the_field import Found

_FAN = """
loads: {{cooling fan: {{kind: fan, at: engine bay, claims: {{current: 25 A, voltage: 13.5 V}}}}}}
circuits:
  cooling fan:
    path: [battery, length: 15 cm, {{fuse: {fuse}, family: {family}}}, cooling fan]
    length: 1.5 m
    wire: 6 AWG
    insulation: 125 degC
"""
_SWAPPED = """
gear:
  fan relay: {{kind: relay, at: cabin, rating: 40 A, coil: 0.2 A}}
  dash switch: {{kind: switch, at: cabin, rating: 10 A}}
loads: {{fan: {{kind: fan, at: cabin, claims: {{current: 18 A}}}}}}
circuits:
  fan:
    path: [battery, length: 10 cm, {{fuse: 40 A, family: regular blade}}, fan relay, fan]
    length: 2 m
    wire: 10 mm2
  fan control:
    path: [battery, length: 10 cm, {{fuse: 3 A, family: regular blade}}, dash switch, fan relay coil]
    length: 2 m
    wire: 1 mm2
readings:
  - {{when: resting, using: [fan], values: [{{fan relay coil: {amps}, meter: handheld}}]}}
"""
_CORRODED = """
supplies: {{battery: {{kind: battery, at: engine bay, capacity: 70 Ah, cranking: 600 A EN}}}}
loads: {{starter: {{kind: starter, at: engine bay, claims: {{current: 200 A}}, works: 8..16 V}}}}
circuits:
  starter:
    path: [battery, {{joint: , resistance: {ohm}}}, starter]
    length: 1.5 m
    wire: 35 mm2
"""
_SOCKETS = """
gear:
  sockets: {{kind: block, at: cabin, rating: 30 A}}
  negative bar: {{kind: block, at: cabin}}
loads:
  fridge: {{kind: compressor, at: cabin, claims: {{current: 5 A, voltage: 12 V}}, works: 10.9..17 V}}
  lamps: {{kind: led, at: cabin, claims: {{power: 50 W}}}}
circuits:
  sockets feed:
    path: [battery, length: 15 cm, {{fuse: 20 A, family: regular blade}}, sockets]
    length: 7 m
    wire: {size}
  fridge: {{path: [sockets, {{fuse: 15 A, family: regular blade}}, fridge], length: 1 m, wire: {size},
           return: negative bar}}
  lamps: {{path: [sockets, {{fuse: 10 A, family: regular blade}}, lamps], length: 1 m, wire: {size},
          return: negative bar}}
  negative: {{path: [negative bar, battery -], length: 7 m, wire: {size}}}
"""
_INVERTER = """
basis: boat
supplies: {{battery: {{kind: battery, at: locker, chemistry: agm, capacity: 200 Ah}}, alternator: none}}
places: {{locker: battery box}}
loads: {{inverter: {{kind: inverter, at: locker, claims: {{power: 2000 W}}, efficiency: 85 %}}}}
circuits:
  inverter:
    path: [battery, length: 15 cm, {{fuse: {fuse}, family: class T}}, inverter]
    length: 1.5 m
    wire: {size}
    insulation: 105 degC
"""

CASES = (
    Found(
        "a 30 A blade in a holder on the lead of a 25 A fan: the holder cooks round a fuse that is whole",
        _FAN.format(fuse="30 A", family="regular blade"),
        (("TRM008", "cooling fan fuse"), ("PRT002", "cooling fan fuse")),
        silent=("THM001", "PRT001"),
    ),
    Found(
        "the same fan on a fuse that is bolted down",
        _FAN.format(fuse="60 A", family="bolt-down strip 30 mm"),
        (),
        silent=("TRM008", "PRT001", "PRT002"),
    ),
    Found(
        "coil and contact of a relay swapped: 23 A through what should take 0.2 A",
        _SWAPPED.format(amps="23 A"),
        (("LOD009", "fan relay coil"),),
    ),
    Found("the same relay wired as it is meant", _SWAPPED.format(amps="0.19 A"), (), silent=("LOD009",)),
    Found(
        "90 mohm of a corroded joint in the starter's circuit",
        _CORRODED.format(ohm="90 mohm"),
        (("VDP001", "starter"),),
    ),
    Found("the same joint cleaned", _CORRODED.format(ohm="0.3 mohm"), (), silent=("VDP001", "VDP002")),
    Found(
        "a fridge that cuts out on 16 AWG shared with lamps, while the battery's voltmeter looks fine",
        _SOCKETS.format(size="16 AWG"),
        (("VDP001", "fridge"), ("VDP002", "fridge")),
    ),
    Found(
        "the same on 8 AWG",
        _SOCKETS.format(size="8 AWG"),
        (),
        silent=("VDP002",),
    ),
    Found(
        "a 2000 W inverter on 4 AWG, as the thin one of two pages says (33 CFR 183.425: 160 A)",
        _INVERTER.format(fuse="300 A", size="4 AWG"),
        (("THM001", "battery + to inverter fuse in"), ("PRT001", "inverter fuse")),
    ),
    Found(
        "the same on 2/0 AWG (33 CFR 183.425: 330 A)",
        _INVERTER.format(fuse="250 A", size="2/0 AWG"),
        (),
        silent=("THM001", "VDP001"),
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_found(case: Found) -> None:
    found = failed(judged(case.job, system=case.system))
    assert set(case.finds) <= found, found
    assert not {rule for rule, _ in found} & set(case.silent), found
