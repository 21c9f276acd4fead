"""Mistakes with switches, relays, studs and holders; the kinds are common practice, the figures invented."""

from __future__ import annotations

from tests.rules.flawed import flaw
from tests.rules.sound_jobs import Draft


@flaw("GER001", "SWI001")
def heater_on_a_small_switch(draft: Draft) -> None:
    name = draft.add("heater", watts=draft.volts * 15.0)
    draft.circuits[name]["path"] = [*draft.start(30), {"switch": "10 A"}, name]


@flaw("GER002", "GER004")
def block_that_is_full(draft: Draft) -> None:
    draft.gear["small block"] = {"kind": "block", "at": "cabin", "rating": "20 A", "spare": "30 %"}
    draft.circuits["block cable"] = {
        "path": [*draft.start(40), "small block"],
        "length": "1 m",
        "wire": "10 mm2",
    }
    for amps in (9.0, draft.rng.choice((8.0, 13.0))):
        name = draft.add("heater", watts=draft.volts * amps)
        draft.circuits[name]["path"] = ["small block", {"fuse": "20 A", "family": "regular blade"}, name]


@flaw("GER003", on=("cart",))
def relay_for_14_v_at_48_v(draft: Draft) -> None:
    name = draft.add("heater", watts=600)
    draft.circuits[name]["path"] = [
        *draft.start(25),
        {"relay": "40 A", "rated_at": "14 V", "when": "hand"},
        name,
    ]


@flaw("GER004")
def no_room_for_growth(draft: Draft) -> None:
    draft.gear["tight block"] = {"kind": "block", "at": "cabin", "rating": "20 A", "spare": "50 %"}
    draft.circuits["tight cable"] = {
        "path": [*draft.start(25), "tight block"],
        "length": "1 m",
        "wire": "6 mm2",
    }
    name = draft.add("heater", watts=draft.volts * 12.0)
    draft.circuits[name]["path"] = ["tight block", {"fuse": "25 A", "family": "regular blade"}, name]


@flaw("SWI001")
def motor_on_a_lamp_switch(draft: Draft) -> None:
    name = draft.add("motor", watts=draft.volts * 8.0)
    draft.circuits[name]["path"] = [*draft.start(15), {"switch": "10 A"}, name]


@flaw("SWI002")
def relay_that_nobody_needs(draft: Draft) -> None:
    draft.gear["spare relay"] = {"kind": "relay", "at": "cabin", "rating": "30 A", "coil": "0.15 A"}
    draft.gear["stout switch"] = {"kind": "switch", "at": "cabin", "rating": "20 A"}
    name = draft.add("heater", watts=draft.volts * 3.0)
    draft.circuits[name]["path"] = [*draft.start(7.5), "spare relay", name]
    draft.circuits["spare control"] = {
        "path": [*draft.start(3), "stout switch", "spare relay coil"],
        "length": "2 m",
        "wire": "1 mm2",
    }


@flaw("SWI003", on=("car",))
def hot_coil_on_a_weak_battery(draft: Draft) -> None:
    draft.supplies["battery"] |= {"capacity": "40 Ah", "cranking": "300 A EN", "temperature": "-15 degC"}
    draft.job["places"]["hot wall"] = "engine bay"
    draft.loads["crank"] = {
        "kind": "starter",
        "at": "hot wall",
        "claims": {"current": "180 A", "temperature": "20 degC"},
    }
    draft.circuits["crank"] = {"path": ["battery", "crank"], "length": "1 m", "wire": "35 mm2"}
    draft.gear["fuel relay"] = {"kind": "relay", "at": "hot wall", "rating": "30 A", "coil": "0.16 A"}
    name = draft.add("pump", name="fuel pump", watts=70)
    draft.loads[name] |= {"critical": "yes", "runs": ["idling", "driving", "cranking"]}
    draft.circuits[name]["path"] = [*draft.start(15), "fuel relay", name]
    draft.circuits["fuel control"] = {
        "path": [*draft.start(3), {"switch": "10 A", "when": "ignition"}, "fuel relay coil"],
        "length": "2 m",
        "wire": "0.75 mm2",
    }


@flaw("SWI004")
def bare_coil_beside_a_radio(draft: Draft) -> None:
    draft.add("electronics")
    draft.gear["bare relay"] = {
        "kind": "relay",
        "at": "cabin",
        "rating": "40 A",
        "coil": "0.15 A",
        "suppressor": "none",
    }
    name = draft.add("lamp", watts=draft.volts * 8.0)
    draft.circuits[name]["path"] = [*draft.start(15), "bare relay", name]
    draft.circuits["bare control"] = {
        "path": [*draft.start(3), {"switch": "10 A"}, "bare relay coil"],
        "length": "2 m",
        "wire": "1 mm2",
    }


@flaw("SWI005")
def relay_that_nothing_works(draft: Draft) -> None:
    name = draft.add("lamp", watts=draft.volts * 6.0)
    draft.circuits[name]["path"] = [*draft.start(15), {"relay": "40 A"}, name]


@flaw("SWI006", "SWI008", on=("car", "van"))
def guard_that_never_opens(draft: Draft) -> None:
    second = draft.second_battery()
    draft.loads["cranker"] = {
        "kind": "starter",
        "at": "engine bay",
        "claims": {"current": "250 A"},
        "state": "existing",
    }
    draft.circuits["cranker"] = {
        "path": ["battery", "cranker"],
        "length": "1 m",
        "wire": "50 mm2",
        "insulation": "105 degC",
        "state": "existing",
    }
    opens = draft.rng.choice(("12.0 V", "12.8 V"))
    draft.gear["guard"] = {
        "kind": "relay",
        "at": "engine bay",
        "rating": "30 A",
        "closes": "13.3 V",
        "opens": opens,
    }
    fuse = {"fuse": "40 A", "family": "high-current blade"}
    draft.circuits["guard link"] = {
        "path": ["battery", {"length": "12 cm"}, fuse, "guard", fuse, {"length": "12 cm"}, second],
        "length": "4 m",
        "wire": "10 mm2",
    }


@flaw("SWI007")
def hoist_with_nothing_but_its_solenoid(draft: Draft) -> None:
    name = draft.add("motor", name="hoist motor", watts=draft.volts * 40.0)
    fuse = {"fuse": "80 A", "family": "class T" if draft.volts > 24 else "marine terminal-mounted"}
    draft.circuits[name] |= {
        "path": [draft.battery, {"length": "12 cm"}, fuse, {"relay": "150 A", "rated_for": "motor"}, name],
        "wire": "25 mm2",
    }


@flaw("SWI009")
def transistor_for_the_running_current(draft: Draft) -> None:
    draft.gear["solid switch"] = {"kind": "switch", "at": "cabin", "rating": "10 A", "solid_state": "yes"}
    name = draft.add("lamp", watts=draft.volts * 8.0)
    draft.loads[name]["inrush"] = {"current": "60 A", "time": "40 ms"}
    draft.circuits[name]["path"] = [*draft.start(15), "solid switch", name]


@flaw("SWI010")
def switch_behind_a_fuse_for_three_of_it(draft: Draft) -> None:
    draft.gear["small switch"] = {"kind": "switch", "at": "cabin", "rating": "5 A"}
    name = draft.add("led", watts=draft.volts * 3.0)
    draft.circuits[name]["path"] = [*draft.start(15), "small switch", name]


@flaw("NEG004")
def switch_in_the_way_back(draft: Draft) -> None:
    name = draft.one()
    draft.circuits[name]["return"] = [{"switch": "20 A"}, f"{draft.battery} -"]


@flaw("TRM001")
def heavy_cable_on_a_thin_stud(draft: Draft) -> None:
    draft.gear["thin stud"] = {"kind": "block", "at": "cabin", "rating": "100 A", "stud": "M5"}
    fuse = {"fuse": "80 A", "family": "class T" if draft.volts > 24 else "marine terminal-mounted"}
    draft.circuits["thick cable"] = {
        "path": [draft.battery, {"length": "12 cm"}, fuse, "thin stud"],
        "length": "2 m",
        "wire": "35 mm2",
    }


@flaw("TRM002")
def clock_wire_on_the_battery_post(draft: Draft) -> None:
    draft.supplies[draft.battery]["stud"] = "M10"
    name = draft.add("electronics", watts=draft.volts * 0.2)
    draft.circuits[name] |= {
        "path": [draft.battery, {"length": "12 cm"}, {"fuse": "3 A", "family": "regular blade"}, name],
        "wire": "1 mm2",
    }


@flaw("TRM003")
def thick_cable_on_a_tab(draft: Draft) -> None:
    draft.gear["tab relay"] = {
        "kind": "relay",
        "at": "cabin",
        "rating": "30 A",
        "stud": "6.3 mm",
        "when": "hand",
    }
    name = draft.add("led", watts=draft.volts * 5.0)
    draft.circuits[name] |= {"path": [*draft.start(10), "tab relay", name], "wire": "10 mm2"}


@flaw("TRM004", "TRM005", "TAP005")
def everything_on_one_post(draft: Draft) -> None:
    draft.gear["earth stud"] = {"kind": "block", "at": "cabin", "stud": "M8", "ways": "1"}
    draft.circuits["earth cable"] = {
        "path": ["earth stud", f"{draft.battery} -"],
        "length": "1 m",
        "wire": "25 mm2",
    }
    for _ in range(6):
        name = draft.add("led", watts=draft.volts * 0.5)
        draft.circuits[name] |= {
            "path": [draft.battery, {"length": "12 cm"}, {"fuse": "3 A", "family": "regular blade"}, name],
            "return": "earth stud",
            "wire": "2.5 mm2",
        }


@flaw("TRM006", "TRM007")
def hot_cable_at_the_holder(draft: Draft) -> None:
    name = draft.add("heater", watts=draft.volts * 27.0)
    draft.circuits[name] |= {"wire": "2.5 mm2", "insulation": "125 degC", "length": "1 m"}
    draft.fuse(name)["fuse"] = "40 A"


@flaw("TRM008")
def holder_at_its_limit(draft: Draft) -> None:
    name = draft.add("heater", watts=draft.volts * 26.0)
    fuse = {"fuse": "40 A", "family": "regular blade"}
    draft.circuits[name] |= {"path": [draft.battery, {"length": "12 cm"}, fuse, name], "wire": "16 mm2"}


@flaw("TAP005")
def lamps_chained_from_one_terminal(draft: Draft) -> None:
    first = draft.add("led", name="hub lamp", watts=draft.volts * 0.5)
    draft.circuits[first]["path"] = [*draft.start(10), first]
    for _ in range(5):
        name = draft.add("led", watts=draft.volts * 0.3)
        draft.circuits[name] |= {"path": [f"{first} +", name], "return": [f"{first} -"]}
