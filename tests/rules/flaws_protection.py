"""Mistakes with fuses and breakers; the kinds are common practice, the figures invented."""

from __future__ import annotations

from tests.rules.flawed import flaw
from tests.rules.sound_jobs import Draft

ROAD = ("car", "van", "truck", "cart")


@flaw("PRT001")
def larger_fuse_because_the_small_one_blew(draft: Draft) -> None:
    name = draft.one()
    draft.fuse(name)["fuse"] = "40 A"
    draft.circuits[name]["wire"] = "1.5 mm2"


@flaw("PRT002", "TRM008")
def fuse_as_large_as_the_load(draft: Draft) -> None:
    name = draft.add("heater", watts=draft.volts * 19.0)
    draft.fuse(name)["fuse"] = "20 A"


@flaw("PRT003")
def above_what_the_maker_allows(draft: Draft) -> None:
    draft.loads[draft.one()]["largest_fuse"] = "2 A"


@flaw("PRT004")
def fuse_for_the_cable_and_not_for_the_lead(draft: Draft) -> None:
    name = draft.one()
    draft.loads[name]["fitted"] = {"wire": "18 AWG", "length": "1 m"}
    draft.fuse(name)["fuse"] = "30 A"


@flaw("PRT005")
def fuse_in_the_dash(draft: Draft) -> None:
    name = draft.add(name="dash cam", watts=12)
    draft.circuits[name]["path"] = [
        draft.battery,
        {"length": "2 m"},
        {"fuse": "3 A", "family": "regular blade"},
        name,
    ]
    draft.circuits[name]["length"] = "3 m"


@flaw("PRT006", "PRT013")
def no_fuse(draft: Draft) -> None:
    name = draft.add(watts=40)
    draft.circuits[name]["path"] = [draft.battery, name]


@flaw("PRT007")
def thinner_cable_from_the_joint_on(draft: Draft) -> None:
    name = draft.one()
    fuse = {"fuse": "30 A", "family": "regular blade"}
    steps = [{"wire": "10 mm2", "length": "1 m"}, "joint", {"wire": "1.5 mm2"}]
    draft.circuits[name]["path"] = [draft.battery, {"length": "12 cm"}, fuse, *steps, name]
    draft.circuits[name]["length"] = "3 m"


@flaw("PRT008", "BOA004")
def glass_fuse_at_a_strong_battery(draft: Draft) -> None:
    name = draft.one()
    fuse = {"fuse": "10 A", "family": "glass cartridge"}
    draft.circuits[name]["path"] = [draft.battery, {"length": "8 cm"}, fuse, name]


@flaw("PRT009")
def two_thin_wires_for_one_thick(draft: Draft) -> None:
    name = draft.add("heater", watts=draft.volts * 20.0)
    draft.circuits[name] |= {"wire": "4 mm2", "parallel": "2"}
    draft.fuse(name)["fuse"] = "40 A"


@flaw("PRT010")
def long_run_behind_a_large_fuse(draft: Draft) -> None:
    name = draft.add("led", watts=draft.volts)
    draft.circuits[name] |= {"wire": "2.5 mm2", "length": "40 m"}
    draft.fuse(name)["fuse"] = "25 A"


@flaw("PRT011", "SWI006", "SWI005", on=("car", "van", "truck"))
def link_with_one_fuse(draft: Draft) -> None:
    second = draft.second_battery()
    draft.gear["split relay"] = {
        "kind": "relay",
        "at": "engine bay",
        "rating": "120 A",
        "closes": "13.3 V",
        "opens": "12.0 V",
    }
    fuse = {"fuse": "100 A", "family": "marine terminal-mounted"}
    draft.circuits["link"] = {
        "path": ["battery", {"length": "12 cm"}, fuse, "split relay", second],
        "length": "4 m",
        "wire": "35 mm2",
    }


@flaw("PRT012", "SUP007")
def fuse_at_the_charger(draft: Draft) -> None:
    volts = f"{draft.volts * 1.2:.1f} V"
    draft.supplies["shore charger"] = {
        "kind": "mains charger",
        "at": "cabin",
        "current": "25 A",
        "setpoint": volts,
    }
    fuse = {"fuse": "40 A", "family": "regular blade"}
    path = ["shore charger", fuse, draft.battery]
    draft.circuits["shore charge"] = {"path": path, "length": "2 m", "wire": "1.5 mm2"}


@flaw("PRT013", "SEL001", "PLC003")
def two_on_the_panel_without_fuses_of_their_own(draft: Draft) -> None:
    fuse = {"fuse": "20 A", "family": "regular blade"}
    name = draft.add("electronics", watts=draft.volts * 4.0)
    draft.gear["stud"] = {"kind": "block", "at": "cabin", "rating": "60 A"}
    draft.circuits["stud feed"] = {
        "path": [draft.battery, {"length": "12 cm"}, fuse, "stud"],
        "length": "2 m",
        "wire": "6 mm2",
    }
    draft.circuits[name]["path"] = ["stud", name]


@flaw("PRT014", "THM001", "THM002")
def heater_on_lamp_cable(draft: Draft) -> None:
    name = draft.add("heater", watts=draft.volts * 25.0)
    draft.circuits[name]["wire"] = "1.5 mm2"


@flaw("PRT015", on=("cart",))
def strip_for_32_v(draft: Draft) -> None:
    draft.fuse(draft.one()).update({"fuse": "40 A", "family": "bolt-down strip 30 mm"})


@flaw("PRT016", on=("car", "van", "truck"))
def second_battery_on_the_bus_without_a_fuse(draft: Draft) -> None:
    second = draft.second_battery()
    draft.gear["bus"] = {"kind": "block", "at": "rear", "rating": "150 A"}
    fuse = {"fuse": "100 A", "family": "marine terminal-mounted"}
    draft.circuits["long feed"] = {
        "path": ["battery", {"length": "12 cm"}, fuse, "bus"],
        "length": "4 m",
        "wire": "35 mm2",
    }
    draft.circuits["short feed"] = {"path": [second, "bus"], "length": "1 m", "wire": "35 mm2"}


@flaw("NEG003")
def fuse_in_the_way_back(draft: Draft) -> None:
    name = draft.one()
    draft.circuits[name]["return"] = [{"fuse": "10 A", "family": "regular blade"}, f"{draft.battery} -"]


@flaw("STA001")
def fuse_too_quick_for_the_start(draft: Draft) -> None:
    name = draft.add("motor", watts=draft.volts * 5.0)
    draft.loads[name] |= {
        "inrush": {"current": "60 A", "time": "900 ms"},
        "duty": {"run": "20 s", "every": "1 min"},
    }
    draft.fuse(name).update({"fuse": "10 A", "family": "regular blade"})


@flaw("STA003")
def winch_that_drops_out_the_radio(draft: Draft) -> None:
    radio, hoist = draft.add("electronics"), draft.add("motor", name="hoist", watts=draft.volts * 20.0)
    draft.loads[radio]["works"] = f"{draft.volts * 0.88:.2f}..{draft.volts * 1.35:.1f} V"
    draft.loads[hoist]["inrush"] = {"current": "250 A", "time": "400 ms"}
    draft.circuits[hoist]["path"] = [
        draft.battery,
        {"length": "12 cm"},
        {"fuse": "60 A", "family": "high-current blade"},
        hoist,
    ]
    draft.circuits[hoist]["wire"] = "16 mm2"


@flaw("STA004")
def blocked_motor_burns_behind_its_fuse(draft: Draft) -> None:
    name = draft.add("pump", watts=draft.volts * 4.0)
    draft.loads[name]["stall"] = {"current": draft.rng.choice(("21 A", "22 A", "24 A")), "survives": "no"}
    draft.fuse(name)["fuse"] = "15 A"
    draft.circuits[name]["wire"] = "6 mm2"
