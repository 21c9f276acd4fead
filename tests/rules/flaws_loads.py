"""Mistakes with loads, plugs and what is claimed; the kinds are common practice, the figures invented."""

from __future__ import annotations

from tests.rules.flawed import flaw
from tests.rules.sound_jobs import Draft


@flaw("LOD001")
def claim_that_a_meter_does_not_find(draft: Draft) -> None:
    name = draft.add("heater", watts=draft.volts * 20.0)
    reading = {"current": "9.5 A", "voltage": f"{draft.volts * 1.05:.1f} V", "meter": "handheld"}
    draft.loads[name] |= {"measured": [reading]}


@flaw("LOD002", "LOD003", "PLU001")
def five_hundred_watts_on_a_lighter_plug(draft: Draft) -> None:
    name = draft.add("heater", name="screen heater", watts=draft.volts * 42.0)
    draft.loads[name]["fitted"] = {"plug": "lighter"}
    draft.fuse(name)["fuse"] = "15 A"
    draft.circuits[name]["wire"] = "4 mm2"


@flaw("LOD003")
def kettle_on_a_lighter_plug(draft: Draft) -> None:
    name = draft.add("heater", name="kettle", watts=draft.volts * 12.5)
    draft.loads[name]["fitted"] = {"plug": "lighter"}


@flaw("LOD004")
def pump_that_burns_when_it_is_blocked(draft: Draft) -> None:
    name = draft.add("pump")
    draft.loads[name]["stall"] = {"current": "14 A", "survives": "no"}
    draft.fuse(name)["fuse"] = "20 A"
    draft.circuits[name]["wire"] = "6 mm2"


@flaw("LOD005", "GER001")
def inverter_behind_a_relay(draft: Draft) -> None:
    draft.gear["inverter relay"] = {"kind": "relay", "at": "cabin", "rating": "60 A", "when": "hand"}
    draft.loads["inverter"] = {
        "kind": "inverter",
        "at": "cabin",
        "claims": {"power": f"{draft.volts * 80:g} W"},
        "efficiency": "90 %",
        "inrush": {"current": "300 A", "time": "20 ms"},
    }
    fuse = {"fuse": "150 A", "family": "class T" if draft.volts > 24 else "marine terminal-mounted"}
    draft.circuits["inverter"] = {
        "path": [draft.battery, {"length": "12 cm"}, fuse, "inverter relay", "inverter"],
        "length": "1 m",
        "wire": "50 mm2",
        "insulation": "105 degC",
    }


@flaw("LOD006")
def load_of_which_nothing_is_known(draft: Draft) -> None:
    draft.loads[draft.one()]["claims"] = "unknown"


@flaw("LOD007")
def cooker_above_the_fuse_it_came_with(draft: Draft) -> None:
    name = draft.add("heater", watts=draft.volts * 18.0)
    reading = {"current": "17.8 A", "voltage": f"{draft.volts * 1.05:.1f} V", "meter": "bench"}
    draft.loads[name] |= {"measured": [reading], "fitted": {"fuse": "15 A"}}


@flaw("LOD008")
def ohms_with_the_leads_in_them(draft: Draft) -> None:
    name = draft.add("heater", watts=draft.volts * 7.0)
    draft.loads[name]["measured"] = [{"resistance": "2.4 ohm", "meter": "basic"}]


@flaw("LOD009")
def coil_and_contact_swapped(draft: Draft) -> None:
    draft.gear["lamp relay"] = {"kind": "relay", "at": "cabin", "rating": "40 A", "coil": "0.2 A"}
    name = draft.add("lamp", watts=draft.volts * 8.0)
    draft.circuits[name]["path"] = [*draft.start(15), "lamp relay", name]
    draft.circuits["lamp control"] = {
        "path": [*draft.start(7.5), {"switch": "10 A"}, "lamp relay coil"],
        "length": "2 m",
        "wire": "1 mm2",
    }
    reading = {"lamp relay coil": "6.2 A", "meter": "handheld"}
    draft.job["readings"] = [{"when": "resting", "using": [name], "values": [reading]}]


@flaw("LOD010")
def small_light_behind_a_large_fuse(draft: Draft) -> None:
    name = draft.add("led", watts=draft.volts * 1.5)
    draft.fuse(name)["fuse"] = "20 A"
    draft.circuits[name]["wire"] = "6 mm2"


@flaw("SAF001", "PLU003")
def navigation_light_on_a_lighter_plug(draft: Draft) -> None:
    name = draft.add("led", name="hazard light", watts=10)
    draft.loads[name] |= {"critical": "yes", "at": "outside", "fitted": {"plug": "lighter"}}
    draft.job["places"]["outside"] = "outside"
    draft.gear["deck socket"] = {"kind": "connector", "at": "outside", "plug": "lighter"}
    draft.circuits[name]["path"] = [*draft.start(3), "deck socket", name]


@flaw("SAF002")
def bilge_pump_on_the_fuse_of_the_radio(draft: Draft) -> None:
    draft.gear["small stud"] = {"kind": "block", "at": "cabin", "rating": "30 A"}
    draft.circuits["stud cable"] = {
        "path": [*draft.start(15), "small stud"],
        "length": "1 m",
        "wire": "4 mm2",
    }
    pump, radio = (
        draft.add("pump", name="guard pump", watts=draft.volts * 2),
        draft.add("electronics", watts=draft.volts),
    )
    draft.loads[pump]["critical"] = "yes"
    for name in (pump, radio):
        draft.circuits[name]["path"] = ["small stud", name]


@flaw("REC004")
def load_that_nothing_leads_to(draft: Draft) -> None:
    draft.loads["forgotten lamp"] = {"kind": "led", "at": "cabin", "claims": {"power": "5 W"}}


@flaw("NEG005")
def way_back_to_a_bus_that_nothing_joins(draft: Draft) -> None:
    draft.gear["rear negative"] = {"kind": "block", "at": "rear", "rating": "60 A"}
    draft.circuits[draft.add()]["return"] = "rear negative"


@flaw("PLU001")
def too_much_over_a_small_contact(draft: Draft) -> None:
    name = draft.add("heater", watts=draft.volts * 20.0)
    draft.gear["small plug"] = {"kind": "connector", "at": "cabin", "plug": "sealed size 16"}
    draft.circuits[name]["path"] = [*draft.start(40), "small plug", name]


@flaw("PLU002", on=("car", "van", "truck"))
def fridge_on_the_stop_lamp_pin(draft: Draft) -> None:
    name = draft.add("compressor", name="trailer fridge")
    draft.gear["pin socket"] = {"kind": "connector", "at": "outside", "plug": "ISO 11446", "ways": "13"}
    draft.job["places"]["outside"] = "outside"
    draft.circuits[name]["path"] = [*draft.start(10), "pin socket 6", name]


@flaw("PLU003")
def open_plug_in_the_spray(draft: Draft) -> None:
    name = draft.add("led")
    draft.job["places"]["outside"] = "outside"
    draft.gear["open plug"] = {"kind": "connector", "at": "outside", "plug": "lighter", "rating": "10 A"}
    draft.circuits[name]["path"] = [*draft.start(5), "open plug", name]


@flaw("PLU004", on=("cart",))
def plug_pulled_under_load_at_48_v(draft: Draft) -> None:
    name = draft.add("heater", watts=900)
    draft.circuits[name]["path"] = [*draft.start(40), {"connector": "50 A"}, name]


@flaw("TAP004")
def three_plugs_on_one_socket(draft: Draft) -> None:
    draft.gear["socket"] = {"kind": "connector", "at": "cabin", "plug": "lighter", "rating": "15 A"}
    names = [draft.add("charger", watts=draft.volts * 6.0) for _ in range(3)]
    for name in names:
        draft.loads[name]["fitted"] = {"plug": "lighter"}
        del draft.circuits[name]
    draft.circuits["socket cable"] = {
        "path": [*draft.start(20), "socket", *names],
        "length": "2 m",
        "wire": "6 mm2",
    }


@flaw("PLC001")
def fuse_under_water(draft: Draft) -> None:
    draft.job["zones"]["well"] = {"ambient": "-5..40 degC", "wet": "submerged"}
    draft.job["places"]["well place"] = "well"
    draft.gear["well switch"] = {"kind": "switch", "at": "well place", "rating": "16 A"}
    name = draft.add("pump")
    draft.circuits[name]["path"] = [*draft.start(10), "well switch", name]


@flaw("PLC002")
def holder_in_the_spray(draft: Draft) -> None:
    draft.job["zones"]["wheel arch"] = {"ambient": "-25..45 degC", "wet": "spray"}
    draft.job["places"]["arch"] = "wheel arch"
    draft.supplies["battery"]["at"] = "arch"
    name = draft.add("led")
    draft.circuits[name]["path"] = [
        "battery",
        {"length": "12 cm"},
        {"fuse": "3 A", "family": "regular blade", "holder": "in-line"},
        name,
    ]


@flaw("PLC003", on=("car", "van", "truck"))
def radio_in_the_engine_bay(draft: Draft) -> None:
    draft.job["places"]["hot shelf"] = "engine bay"
    draft.loads[draft.add("electronics")]["at"] = "hot shelf"


@flaw("BOA001", on=("boat",))
def light_through_the_hull(draft: Draft) -> None:
    draft.job["body"] = "aluminium"
    draft.circuits[draft.one()]["return"] = "chassis at cabin"


@flaw("BOA002", on=("boat",))
def bilge_pump_on_the_panel(draft: Draft) -> None:
    name = draft.add("pump", name="bilge pump")
    draft.loads[name] |= {"at": "sump", "critical": "yes"}
    draft.circuits[name]["path"] = ["panel", {"fuse": "7.5 A", "family": "regular blade"}, name]


@flaw("BOA003", on=("boat",))
def sparks_beside_petrol(draft: Draft) -> None:
    draft.job["zones"]["engine space"] = {"ambient": "-5..50 degC", "wet": "dry", "vapour": "petrol"}
    draft.gear["engine switch"] = {
        "kind": "switch",
        "at": "engine",
        "rating": "20 A",
        "ignition_protected": "no",
    }
    name = draft.add("fan")
    draft.circuits[name]["path"] = [*draft.start(10), "engine switch", name]


@flaw("BOA004", "PRT008", on=("boat",))
def weak_main_breaker(draft: Draft) -> None:
    draft.supplies["battery"]["cranking"] = "900 A EN"
    fuse = draft.fuse("panel feed")
    fuse.clear()
    fuse.update({"fuse": "40 A", "family": "regular blade"})


@flaw("BOA005", on=("boat",))
def breaker_that_closes_again(draft: Draft) -> None:
    name = draft.add("pump")
    draft.circuits[name]["path"] = ["panel", {"breaker": "10 A", "family": "self-resetting breaker"}, name]


@flaw("BOA006", on=("boat",))
def light_past_the_isolator(draft: Draft) -> None:
    name = draft.add("led")
    draft.circuits[name]["path"] = [
        "battery",
        {"length": "12 cm"},
        {"fuse": "3 A", "family": "regular blade"},
        name,
    ]


@flaw("BOA007", on=("boat",))
def two_engines_that_nothing_joins(draft: Draft) -> None:
    for side in ("port", "starboard"):
        draft.gear[f"{side} engine"] = {"kind": "chassis", "at": "engine"}
        draft.loads[f"{side} starter"] = {"kind": "starter", "at": "engine", "claims": {"current": "200 A"}}
        draft.circuits[f"{side} starter"] = {
            "path": ["battery", f"{side} starter"],
            "return": [f"{side} engine"],
            "length": "2 m",
            "wire": "50 mm2",
        }
        draft.circuits[f"{side} negative"] = {
            "path": [f"{side} engine", "battery -"],
            "length": "2 m",
            "wire": "50 mm2",
        }


@flaw("BOA009", on=("boat",))
def mast_light_of_which_nobody_said_more(draft: Draft) -> None:
    draft.loads[draft.add("led", name="mast light")].pop("critical", None)


@flaw("BOA008", on=("boat",))
def single_cable_past_the_compass(draft: Draft) -> None:
    draft.job["places"]["compass"] = "cabin"
    draft.gear["helm block"] = {"kind": "block", "at": "compass", "rating": "30 A"}
    draft.circuits["helm feed"] = {"path": [*draft.start(20), "helm block"], "length": "2 m", "wire": "4 mm2"}
    name = draft.add("heater", watts=110)
    draft.circuits[name]["path"] = ["helm block", {"fuse": "15 A", "family": "regular blade"}, name]
