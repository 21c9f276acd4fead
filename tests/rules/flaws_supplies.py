"""Mistakes with batteries and what charges them; the kinds are common practice, the figures invented."""

from __future__ import annotations

from tests.rules.flawed import flaw
from tests.rules.sound_jobs import Draft

FUSE = {"fuse": "60 A", "family": "marine terminal-mounted"}
TO_CHARGE = ("car", "van", "truck")


def _charge(draft: Draft, source: str, to: str, wire: str = "16 mm2") -> None:
    """A charging cable with its fuse at the battery."""
    draft.circuits[f"{source} cable"] = {
        "path": [source, FUSE, {"length": "12 cm"}, to],
        "length": "1 m",
        "wire": wire,
        "insulation": "105 degC",
    }


@flaw("SUP001", "SUP005")
def converter_that_is_asked_for_too_much(draft: Draft) -> None:
    name = draft.add("heater", watts=draft.volts * 30.0)
    draft.supplies["small converter"] = {
        "kind": "dc-dc",
        "at": "cabin",
        "current": "10 A",
        "setpoint": f"{draft.volts * 1.1:.1f} V",
    }
    draft.circuits["converter in"] = {
        "path": [
            draft.battery,
            {"length": "12 cm"},
            {"fuse": "40 A", "family": "regular blade"},
            "small converter",
        ],
        "length": "1 m",
        "wire": "10 mm2",
    }
    draft.circuits[name]["path"] = ["small converter", {"fuse": "60 A", "family": "high-current blade"}, name]


@flaw("SUP002", "SUP008", on=("car", "truck", "boat"))
def more_lamps_than_the_alternator_feeds(draft: Draft) -> None:
    draft.alternator().update({"rating": "45 A", "idle": "40 %"})
    name = draft.add("led", name="lamp bar", watts=draft.volts * draft.rng.choice((38.0, 60.0)))
    draft.circuits[name]["path"] = [
        "battery",
        {"length": "12 cm"},
        {"fuse": "125 A", "family": "marine terminal-mounted"},
        name,
    ]
    draft.circuits[name]["wire"] = "50 mm2"


@flaw("SUP003", on=("truck",))
def radio_on_the_middle_of_the_pair(draft: Draft) -> None:
    draft.loads["cb radio"] = {
        "kind": "electronics",
        "at": "cabin",
        "claims": {"current": "5 A", "voltage": "12 V"},
    }
    draft.circuits["cb radio"] = {
        "path": ["battery 1 +", {"length": "12 cm"}, {"fuse": "10 A", "family": "regular blade"}, "cb radio"],
        "length": "3 m",
        "wire": "2.5 mm2",
    }


@flaw("SUP024", on=("truck",))
def second_pair_on_top_of_the_first(draft: Draft) -> None:
    draft.supplies["upper"] = {"kind": "battery", "at": "cabin", "chemistry": "agm", "capacity": "100 Ah"}
    draft.circuits["series link"] = {
        "path": ["upper -", {"length": "12 cm"}, {"fuse": "60 A", "family": "class T"}, draft.battery],
        "length": "20 cm",
        "wire": "25 mm2",
    }


@flaw("SUP004", "SUP003", on=("truck",))
def isolator_in_the_negative_of_a_tapped_pair(draft: Draft) -> None:
    radio_on_the_middle_of_the_pair(draft)
    draft.circuits["cb radio"]["return"] = "chassis at cabin"
    draft.circuits["main earth"] = {
        "path": [
            "chassis at cabin",
            {"wire": "35 mm2", "length": "30 cm"},
            {"isolator": "250 A"},
            "battery -",
        ],
        "length": "60 cm",
    }


@flaw("SUP005")
def inverter_on_jump_lead_cable(draft: Draft) -> None:
    draft.loads["big inverter"] = {
        "kind": "inverter",
        "at": "cabin",
        "claims": {"power": f"{draft.volts * 130:g} W"},
        "efficiency": "90 %",
    }
    fuse = {"fuse": "200 A", "family": "class T" if draft.volts > 24 else "marine terminal-mounted"}
    draft.circuits["big inverter"] = {
        "path": [draft.battery, {"length": "12 cm"}, fuse, "big inverter"],
        "length": "20 m",
        "wire": "6 mm2",
    }


@flaw("SUP006", on=("car",), alone=True)
def heater_that_leaves_the_inverter_enough_only_once_its_cable_is_hot(draft: Draft) -> None:
    draft.loads.clear()
    draft.gear.clear()
    draft.circuits.clear()
    battery = {
        "kind": "battery",
        "at": "cabin",
        "chemistry": "agm",
        "capacity": "60 Ah",
        "cranking": "420 A EN",
    }
    draft.job["supplies"] = {"battery": battery, "alternator": "none"}
    draft.job["return"] = "minus bus"
    draft.gear.update({name: {"kind": "block", "at": "cabin"} for name in ("plus bus", "minus bus")})
    draft.loads["inverter"] = {
        "kind": "inverter",
        "at": "cabin",
        "claims": {"power": "4375 W"},
        "efficiency": "90 %",
    }
    draft.loads["heater"] = {
        "kind": "heater",
        "at": "cabin",
        "claims": {"power": "5000 W", "voltage": "12 V"},
    }
    thick = {"wire": "120 mm2", "parallel": "4"}
    fuse = {"family": "marine terminal-mounted"}
    draft.circuits["feed"] = {
        "path": ["battery", {"fuse": "300 A", **fuse}, "plus bus"],
        "length": "1 m",
        **thick,
    }
    draft.circuits["negative"] = {"path": ["minus bus", "battery -"], "length": "1 m", **thick}
    draft.circuits["inverter"] = {"path": ["plus bus", "inverter"], "length": "20 cm", **thick}
    draft.circuits["heater"] = {
        "path": ["plus bus", {"fuse": "60 A", **fuse}, "heater"],
        "length": "4 m",
        "wire": "6 mm2",
        "insulation": "125 degC",
    }


@flaw("SUP007")
def charger_on_thin_cable(draft: Draft) -> None:
    draft.supplies["yard charger"] = {
        "kind": "mains charger",
        "at": "cabin",
        "current": "40 A",
        "setpoint": f"{draft.volts * 1.2:.1f} V",
    }
    _charge(draft, "yard charger", draft.battery, wire="2.5 mm2")


@flaw("SUP009", "SUP015", on=("car",))
def lithium_in_place_of_the_starting_battery(draft: Draft) -> None:
    draft.alternator()
    draft.supplies["battery"] = {
        "kind": "battery",
        "at": "cabin",
        "chemistry": "lfp",
        "capacity": "60 Ah",
        "limit": "100 A",
    }


@flaw("SUP010", "SUP014", "SUP015", "SUP020", "SUP011", on=("car", "van"))
def lithium_on_a_relay_under_the_bonnet(draft: Draft) -> None:
    draft.second_battery()
    draft.alternator()["setpoint"] = "14.8 V"
    draft.supplies["leisure"] = {
        "kind": "battery",
        "at": "engine bay",
        "chemistry": "lfp",
        "capacity": "100 Ah",
    }
    draft.job["day"] = [{"driving": "2 h", "using": "all", "temperature": "-8 degC"}]
    draft.gear["vsr"] = {
        "kind": "relay",
        "at": "engine bay",
        "rating": "120 A",
        "closes": "13.3 V",
        "opens": "12.8 V",
    }
    fuse = {"fuse": "100 A", "family": "marine terminal-mounted"}
    draft.circuits["vsr link"] = {
        "path": ["battery", {"length": "12 cm"}, fuse, "vsr", fuse, {"length": "12 cm"}, "leisure"],
        "length": "4 m",
        "wire": "35 mm2",
    }


@flaw("SUP011", on=("car", "van"))
def gel_on_a_hot_charger(draft: Draft) -> None:
    draft.second_battery()
    draft.supplies["leisure"]["chemistry"] = "gel"
    draft.supplies["bench charger"] = {
        "kind": "mains charger",
        "at": "rear",
        "current": "10 A",
        "setpoint": "14.8 V",
    }
    _charge(draft, "bench charger", "leisure")


@flaw("SUP012", on=("car", "van"))
def converter_that_only_keeps_full(draft: Draft) -> None:
    draft.second_battery()
    draft.supplies.pop("charger", None)
    for name in ("charger in", "charger out"):
        draft.circuits.pop(name, None)
    draft.supplies["radio converter"] = {
        "kind": "dc-dc",
        "at": "rear",
        "current": "15 A",
        "setpoint": "13.2 V",
    }
    draft.circuits["radio in"] = {
        "path": ["battery", {"length": "12 cm"}, FUSE, "radio converter"],
        "length": "3 m",
        "wire": "16 mm2",
    }
    _charge(draft, "radio converter", "leisure")


@flaw("SUP013", "SUP021", on=("car",))
def second_battery_that_nothing_charges(draft: Draft) -> None:
    draft.second_battery()
    draft.job["places"]["bench seat"] = "cabin"
    draft.supplies["leisure"] |= {"chemistry": "flooded", "at": "bench seat"}
    draft.alternator()


@flaw("SUP016", "SUP017")
def panel_straight_on_the_battery(draft: Draft) -> None:
    draft.supplies["sun panel"] = {
        "kind": "solar",
        "at": "roof",
        "power": "100 W",
        "voltage": f"{draft.volts * 1.5:g} V",
    }
    fuse = {"fuse": "10 A", "family": "regular blade"}
    draft.circuits["sun cable"] = {
        "path": ["sun panel", fuse, {"length": "12 cm"}, draft.battery],
        "length": "4 m",
        "wire": "4 mm2",
    }


@flaw("SUP018", on=("van",))
def charger_that_empties_the_starting_battery(draft: Draft) -> None:
    draft.supplies["charger"].pop("when", None)


@flaw("SUP019")
def sleepers_on_a_small_battery(draft: Draft) -> None:
    draft.supplies[draft.battery] |= {"capacity": "40 Ah", "standing": "60 mA"}
    for _ in range(2):
        name = draft.add("electronics", watts=draft.volts)
        draft.loads[name]["asleep"] = "0.2 A"
        draft.circuits[name]["path"] = [
            draft.battery,
            {"length": "12 cm"},
            {"fuse": "3 A", "family": "regular blade"},
            name,
        ]


@flaw("SUP020", "SUP010", on=TO_CHARGE)
def lithium_beside_the_engine(draft: Draft) -> None:
    draft.second_battery()
    draft.supplies["leisure"] |= {"chemistry": "lfp", "at": "engine bay", "temperature": "-6 degC"}
    draft.supplies["leisure"].pop("cranking", None)


@flaw("SUP021")
def vented_battery_under_the_bunk(draft: Draft) -> None:
    draft.job["places"]["bunk"] = "cabin"
    draft.supplies[draft.battery] |= {"chemistry": "flooded", "at": "bunk"}


@flaw("SUP022", on=("car", "boat"))
def isolator_that_parts_the_alternator(draft: Draft) -> None:
    draft.alternator()
    draft.gear["hand isolator"] = {"kind": "isolator", "at": "cabin", "rating": "200 A"}
    draft.gear["charge post"] = {"kind": "block", "at": "cabin", "rating": "150 A"}
    fuse = {"fuse": "125 A", "family": "marine terminal-mounted"}
    draft.circuits["alternator cable"] = {
        "path": ["alternator", fuse, "charge post"],
        "length": "1 m",
        "wire": "50 mm2",
    }
    draft.circuits["post cable"] = {
        "path": ["charge post", "hand isolator", "battery"],
        "length": "1 m",
        "wire": "50 mm2",
    }


@flaw("RET010", on=("car", "van", "truck"))
def converter_that_bridges_a_bus_and_the_body(draft: Draft) -> None:
    draft.gear["thin bar"] = {"kind": "block", "at": "cabin", "rating": "150 A"}
    heater = draft.add("heater", name="bus heater", watts=draft.volts * 40.0)
    draft.circuits["thin cable"] = {
        "path": ["thin bar", {"wire": "35 mm2"}, f"{draft.battery} -"], "length": "4 m",
    }  # fmt: skip
    draft.circuits[heater]["return"] = "thin bar"
    draft.supplies["bridging converter"] = {
        "kind": "dc-dc", "at": "cabin", "current": "6 A", "setpoint": f"{draft.volts * 1.1:.1f} V",
    }  # fmt: skip
    draft.circuits["bridge feed"] = {
        "path": [*draft.start(10), "bridging converter"], "length": "1 m", "wire": "4 mm2",
        "return": "chassis at cabin",
    }  # fmt: skip
    draft.circuits["bridge negative"] = {
        "path": ["thin bar", {"wire": "4 mm2"}, "bridging converter out -"], "length": "50 cm",
    }  # fmt: skip
    lamp = draft.add("led", name="bus lamp", watts=10.0)
    draft.circuits[lamp] |= {
        "path": ["bridging converter", {"fuse": "5 A", "family": "regular blade"}, lamp],
        "return": "thin bar",
    }
