"""A negative that nobody drew and that the work needs is drawn into it; the vehicle's own strap is not.

That every battery has its own cable back, as thick as its plus, is common practice; a builder of boats draws
every return since symbols hide wires that must be run (what practitioners ask of a plan).
"""

from __future__ import annotations

import pytest

from groundstrap.job import pin, read_job
from groundstrap.model import Installation, State
from groundstrap.units import parse_size

TWO = """groundstrap: 1
title: Camper with a second battery
system: 12 V
return: chassis
supplies:
  starter battery: {kind: battery, at: engine bay}
  house battery: {kind: battery, at: seat box STATE}
loads: {lamp: {kind: led, at: galley, claims: {power: 20 W}}}
circuits:
  lamp: {path: [house battery, fuse, lamp], length: 3 m}
"""
BOAT = """groundstrap: 1
title: Dinghy
system: 12 V
basis: boat
return: negative bus
supplies: {battery: {kind: battery, at: stern}}
gear: {negative bus: {kind: block, at: console STATE}, panel: {kind: block, at: console, ways: 2}}
loads: {lamp: {kind: led, at: console, claims: {power: 20 W}}}
circuits:
  panel feed: {path: [battery, length: 15 cm, fuse, panel], length: 4 m}
  lamp: {path: [panel 1, fuse, lamp], length: 1 m}
"""


def installed(text: str, state: str = "") -> Installation:
    return read_job(text.replace(" STATE", state)).installation


def drawn(installation: Installation) -> list[tuple[str, str, str, float]]:
    """Circuits of one cable without a place in the file."""
    return [(c.name, c.start, c.end, c.length_m) for c in installation.circuits.values() if not c.key]


def straps(installation: Installation) -> list[str]:
    return [tie.start for tie in installation.ties if tie.kind == "battery negative"]


def test_a_second_battery_gets_its_cable_to_the_body() -> None:
    found = installed(TWO)
    assert drawn(found) == [("house battery negative", "chassis at seat box", "house battery -", 0.5)]
    wire = found.circuits["house battery negative"].wires[0]
    assert (wire.size, wire.state, wire.name) == (None, State.NEW, "house battery negative wire 1")
    # the vehicle's own battery keeps its strap
    assert straps(found) == ["starter battery -"]
    assert any(a.where == "house battery negative" and "part of the work" in a.why for a in found.assumptions)


@pytest.mark.parametrize(
    "text",
    [
        TWO.replace(" STATE", ", state: existing"),
        TWO.replace(" STATE", "").replace("length: 3 m", "length: 3 m, state: existing"),
        TWO.replace(" STATE", "") + "  earth: {path: [chassis at seat box, house battery -]}\n",
    ],
    ids=["marked", "existing cable leads to it", "drawn"],
)
def test_what_is_there_already_or_drawn_is_not_drawn_again(text: str) -> None:
    assert drawn(read_job(text).installation) == []


def test_a_drawn_earth_of_no_length_does_not_look_worse_than_none() -> None:
    earth = "  earth: {path: [chassis at seat box, house battery -]}\n"
    length_m = installed(TWO + earth).circuits["earth"].length_m
    assert length_m <= installed(TWO).circuits["house battery negative"].length_m


def test_a_new_bus_gets_a_cable_as_long_as_the_plus() -> None:
    assert drawn(installed(BOAT)) == [("battery negative", "negative bus", "battery -", 4.0)]
    routed = BOAT.replace("gear:", "routes: [{from: stern, to: console, length: 3.2 m}]\ngear:")
    assert drawn(installed(routed))[0][3] == 3.2
    # an old bus has its cable, whatever it is
    assert drawn(installed(BOAT, ", state: existing")) == []
    assert straps(installed(BOAT, ", state: existing")) == ["battery -"]


def test_a_trailer_without_engine_needs_its_earth_where_things_return_on_the_body() -> None:
    trailer = TWO.replace("  starter battery: {kind: battery, at: engine bay}\n", "  alternator: none\n")
    assert drawn(installed(trailer)) == [
        ("house battery negative", "chassis at seat box", "house battery -", 0.5)
    ]
    assert drawn(installed(trailer.replace("return: chassis\n", ""))) == []


def test_its_name_is_free() -> None:
    taken = TWO.replace("loads: {", "loads: {house battery negative: {kind: led, claims: {power: 1 W}}, ")
    assert drawn(installed(taken))[0][0] == "house battery negative 2"


def test_numbers_are_those_of_a_drawn_one() -> None:
    earth = "  house battery negative: {path: [chassis at seat box, house battery -], length: 50 cm}\n"
    labels = [{c.name: c.label for c in installed(text).circuits.values()} for text in (TWO, TWO + earth)]
    assert labels[0] == labels[1]


def test_a_pin_draws_it() -> None:
    job = read_job(TWO.replace(" STATE", ""))
    pinned = pin(job, {"house battery negative wire 1": parse_size("16 mm2")}, {})
    path = "[chassis at seat box, wire: 16 mm2, house battery -]"
    assert pinned.splitlines()[-1] == f"  house battery negative: {{path: {path}, length: 0.5 m}}"
    again = read_job(pinned).installation
    assert drawn(again) == []
    assert again.circuits["house battery negative"].wires[0].length_m == 0.5


def test_an_alternator_comes_back_to_the_battery_that_it_is_drawn_to() -> None:
    # Common practice: an alternator's case stands on the engine, and that on the vehicle's own battery. Where
    # the house battery is listed first its negative would have had to carry what charges the other.
    swapped = TWO.replace("  starter battery: {kind: battery, at: engine bay}\n", "")
    swapped = swapped.replace(
        "loads:",
        "  starter battery: {kind: battery, at: engine bay}\n  alternator: {kind: alternator}\nloads:",
    )
    cable = "  charge: {path: [alternator, starter battery], length: 1 m, wire: 25 mm2}\n"
    for more, battery in ((cable, "starter battery"), ("", "house battery")):
        ties = {tie.start: tie.end for tie in installed(swapped + more).ties}
        assert ties["alternator -"] == f"{battery} -"
    starter = swapped.replace("loads: {", "loads: {starter: {kind: starter, claims: {current: 150 A}}, ")
    ties = {
        tie.start: tie.end
        for tie in installed(starter + "  start: {path: [starter battery, starter], length: 1 m}\n").ties
    }
    assert ties["alternator -"] == "starter battery -"
    assert ties["alternator +"] == "starter battery +"
