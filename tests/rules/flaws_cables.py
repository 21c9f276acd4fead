"""Mistakes with cable, its way back and its drop; the kinds are common practice, the figures invented."""

from __future__ import annotations

from tests.rules.flawed import flaw
from tests.rules.sound_jobs import Draft

ROAD = ("car", "van", "truck", "cart")


@flaw("THM001", "THM002", "PRT001")
def cable_two_sizes_too_thin(draft: Draft) -> None:
    name = draft.add("heater", watts=draft.volts * 16.0)
    draft.circuits[name]["wire"] = "1 mm2"


@flaw("THM003", on=("car", "van", "truck"))
def house_cable_in_the_engine_bay(draft: Draft) -> None:
    name = draft.one()
    draft.loads[name]["at"] = "engine bay"
    draft.circuits[name]["insulation"] = "PVC"
    draft.job["places"]["engine bay"] = "engine bay"


@flaw("THM004")
def bell_wire(draft: Draft) -> None:
    name = draft.one("led", "electronics")
    draft.circuits[name]["wire"] = "0.35 mm2"
    draft.fuse(name)["fuse"] = "2 A"


@flaw("THM005", on=("car", "van", "truck"))
def small_loads_round_the_clock_in_the_heat(draft: Draft) -> None:
    draft.job["places"]["hot corner"] = "engine bay"
    draft.gear["hot stud"] = {"kind": "block", "at": "hot corner", "rating": "30 A"}
    feed = {"wire": "1 mm2", "insulation": "105 degC"}
    draft.circuits["hot feed"] = {"path": [*draft.start(10), "hot stud"], "length": "1 m", **feed}
    for _ in range(3):
        name = draft.add("electronics", name="logger", watts=draft.volts * 2.0)
        draft.loads[name]["at"] = "hot corner"
        draft.circuits[name]["path"] = ["hot stud", name]


@flaw("VDP001", "VDP002")
def fridge_at_the_end_of_thin_cable(draft: Draft) -> None:
    name = draft.add("compressor", watts=draft.volts * 5.0)
    draft.loads[name]["works"] = f"{draft.volts * 0.91:.1f}..{draft.volts * 1.4:.1f} V"
    draft.circuits[name] |= {"wire": "1 mm2", "length": "9 m"}


@flaw("VDP003")
def load_for_less_volts(draft: Draft) -> None:
    draft.loads[draft.one()]["works"] = f"{draft.volts * 0.8:.1f}..{draft.volts * 1.02:.2f} V"


@flaw("VDP005", on=("truck",))
def lamp_for_half_the_volts(draft: Draft) -> None:
    name = draft.add("lamp", watts=55.0)
    draft.loads[name].pop("works", None)
    draft.loads[name].pop("measured", None)
    draft.loads[name]["claims"] = {"power": "55 W", "voltage": "12 V"}


@flaw("VDP004", "SUP003", on=("truck",))
def radio_on_half_of_the_pair_with_one_earth(draft: Draft) -> None:
    draft.gear["earth bar"] = {"kind": "block", "at": "cabin"}
    draft.circuits["bank earth"] = {"path": ["earth bar", {"wire": "10 mm2", "length": "50 cm"}, "battery -"]}
    for name, start, power, volts in (
        ("small radio", "battery 1 +", "12 W", "12 V"),
        ("flood lamp", "battery", "240 W", "24 V"),
    ):
        fuse = {"fuse": "3 A" if volts == "12 V" else "15 A", "family": "regular blade"}
        draft.loads[name] = {
            "kind": "electronics",
            "at": "cabin",
            "claims": {"power": power, "voltage": volts},
        }
        draft.circuits[name] = {
            "path": [start, {"length": "12 cm"}, fuse, name],
            "return": "earth bar",
            "length": "2 m",
            "wire": "4 mm2",
        }


@flaw("RET001", "THM001")
def old_thin_negative(draft: Draft) -> None:
    name = draft.add("charger", watts=draft.volts * 15.0)
    draft.circuits[name]["return"] = [{"wire": "0.75 mm2"}, f"{draft.battery} -"]


@flaw("RET011")
def negative_to_a_bar_that_nobody_measured_to(draft: Draft) -> None:
    draft.gear["far bar"] = {"kind": "block", "at": "far corner"}
    draft.gear["near box"] = {"kind": "block", "at": "near corner"}
    draft.circuits["far bar earth"] = {
        "path": ["far bar", {"wire": "16 mm2"}, f"{draft.battery} -"],
        "length": "3 m",
    }
    name = draft.add("led", watts=draft.volts * 2.0)
    draft.circuits["near feed"] = {"path": [*draft.start(10), "near box"], "length": "2 m", "wire": "4 mm2"}
    draft.circuits[name] |= {"path": ["near box", name], "length": "60 cm", "return": "far bar"}


@flaw("RET002")
def one_thin_return_for_three(draft: Draft) -> None:
    draft.gear["return stud"] = {"kind": "block", "at": "cabin", "rating": "60 A"}
    draft.circuits["common"] = {
        "path": ["return stud", {"wire": "2.5 mm2"}, f"{draft.battery} -"],
        "length": "2 m",
    }
    for _ in range(3):
        name = draft.add("led", watts=draft.volts * 5.0)
        draft.circuits[name]["return"] = "return stud"
        draft.fuse(name)["fuse"] = "15 A"


@flaw("RET003", "RET009", on=("car", "van", "truck"))
def hoist_through_the_body(draft: Draft) -> None:
    name = draft.add("motor", name="winch", watts=draft.volts * 80.0)
    draft.circuits[name]["return"] = "chassis at rear"


@flaw("RET004", on=("car", "van", "truck"))
def past_the_sensor_of_the_battery(draft: Draft) -> None:
    draft.circuits["battery earth"] = {
        "path": ["chassis at inner wing", {"wire": "25 mm2"}, "sensor", "battery -"],
        "length": "40 cm",
        "state": "existing",
    }
    draft.circuits[draft.one()]["return"] = "battery -"


@flaw("RET008", on=("car", "van", "truck"))
def lamp_wire_as_a_bond(draft: Draft) -> None:
    draft.add("motor", name="winch", watts=draft.volts * 60.0)
    draft.circuits["body bond"] = {
        "path": ["chassis at rear", {"wire": "0.75 mm2", "length": "2 m"}, f"{draft.battery} -"]
    }


@flaw("RET006", "RET007", on=("car", "van"))
def thin_earth_beside_the_engine_strap(draft: Draft) -> None:
    draft.gear["engine block"] = {"kind": "block", "at": "engine bay", "state": "existing"}
    draft.loads["starter"] = {
        "kind": "starter",
        "at": "engine bay",
        "claims": {"current": "180 A"},
        "state": "existing",
    }
    draft.loads["glow heater"] = {"kind": "heater", "at": "engine bay", "claims": {"power": "900 W"}}
    draft.circuits.update(
        {
            "starter": {
                "path": ["battery", "starter"],
                "return": ["engine block"],
                "length": "1 m",
                "wire": "35 mm2",
                "insulation": "105 degC",
                "state": "existing",
            },
            "engine strap": {"path": ["engine block", {"wire": "35 mm2", "length": "40 cm"}, "battery -"]},
            "glow heater": {
                "path": [
                    "battery",
                    {"length": "12 cm"},
                    {"fuse": "125 A", "family": "marine terminal-mounted"},
                    "glow heater",
                ],
                "return": ["engine block"],
                "length": "1 m",
                "wire": "35 mm2",
            },
            "sensor earth": {"path": ["engine block", {"wire": "1.5 mm2", "length": "1 m"}, "battery -"]},
        }
    )


@flaw("NEG001", on=("car", "van"))
def trailer_lamp_through_the_hitch(draft: Draft) -> None:
    draft.job["places"]["trailer"] = "outside"
    name = draft.add("led", name="trailer lamp", watts=20)
    draft.loads[name]["at"] = "trailer"
    draft.gear["trailer socket"] = {"kind": "connector", "at": "trailer", "plug": "ISO 11446", "ways": "13"}
    draft.circuits[name] |= {
        "path": [
            draft.battery,
            {"length": "12 cm"},
            {"fuse": "3 A", "family": "regular blade"},
            "trailer socket 2",
            name,
        ],
        "return": "chassis at trailer",
    }


@flaw("NEG002", on=("car", "van", "truck"))
def radio_past_the_isolator_of_the_negative(draft: Draft) -> None:
    draft.gear["negative switch"] = {"kind": "isolator", "at": "cabin", "rating": "150 A"}
    draft.gear["earth post"] = {"kind": "block", "at": "cabin", "rating": "150 A"}
    draft.circuits["main earth"] = {
        "path": ["earth post", "negative switch", "battery -"],
        "length": "1 m",
        "wire": "35 mm2",
    }
    first, second = draft.add(), draft.add()
    draft.circuits[first]["return"] = "earth post"
    draft.circuits[second]["return"] = "battery -"
    for name in (first, second):
        draft.circuits[name]["path"] = [
            "battery",
            {"length": "12 cm"},
            {"fuse": "10 A", "family": "regular blade"},
            name,
        ]


@flaw("MAT001")
def kit_of_clad_aluminium(draft: Draft) -> None:
    draft.circuits[draft.one()]["material"] = draft.rng.choice(("copper-clad aluminium", "aluminium"))


@flaw("EXI001", "EXI004", "EXI005")
def camera_on_the_brake_lamps(draft: Draft) -> None:
    draft.loads["brake lamps"] = {
        "kind": "led",
        "at": "rear",
        "critical": "yes",
        "claims": {"power": "12 W"},
        "state": "existing",
    }
    draft.circuits["brake lamps"] = {
        "path": [
            draft.battery,
            {"length": "12 cm"},
            {"fuse": "5 A", "family": "regular blade"},
            "brake lamps",
        ],
        "length": "4 m",
        "wire": "1.5 mm2",
        "insulation": "105 degC",
        "state": "existing",
    }
    name = draft.add("electronics", name="rear camera", watts=draft.volts)
    draft.circuits[name]["path"] = ["brake lamps +", {"fuse": "2 A", "family": "regular blade"}, name]


@flaw("EXI002")
def cable_that_nobody_can_read(draft: Draft) -> None:
    name = draft.one()
    draft.circuits[name] |= {"wire": "unknown", "state": "existing"}
    draft.loads[name]["state"] = "existing"


@flaw("EXI006")
def found_wire_to_the_negative(draft: Draft) -> None:
    draft.circuits["old grey wire"] = {
        "path": [draft.battery, "unknown", f"{draft.battery} -"],
        "state": "existing",
        "length": "2 m",
    }


@flaw("EXI003")
def dead_end_left_live(draft: Draft) -> None:
    draft.gear["old strip"] = {"kind": "block", "at": "cabin", "state": "existing"}
    fuse = {"fuse": "10 A", "family": "regular blade"}
    draft.circuits.update(
        {
            "strip feed": {
                "path": [draft.battery, {"length": "12 cm"}, fuse, "old strip"],
                "length": "1 m",
                "wire": "4 mm2",
                "insulation": "PVC",
                "state": "existing",
            },
            "yellow wire": {
                "path": ["old strip", {"wire": "2.5 mm2"}, "unknown"],
                "insulation": "PVC",
                "state": "existing",
            },
        }
    )


@flaw("TAP001", "EXI005")
def tap_the_wrong_way_round(draft: Draft) -> None:
    _slot(draft)
    name = draft.add("electronics", name="dash camera", watts=draft.volts)
    tap = {"fuse": "3 A", "family": "regular blade", "holder": "tap"}
    draft.circuits[name]["path"] = ["wiper fuse out", tap, name]


@flaw("TAP002")
def tap_with_a_large_fuse(draft: Draft) -> None:
    _slot(draft)
    name = draft.add("heater", name="mug heater", watts=draft.volts * 7.0)
    tap = {"fuse": "15 A", "family": "regular blade", "holder": "tap"}
    draft.circuits[name]["path"] = ["wiper fuse in", tap, name]


def _slot(draft: Draft) -> None:
    """An existing circuit with a fuse that a tap can sit in."""
    draft.loads["wiper"] = {"kind": "motor", "at": "cabin", "claims": {"current": "6 A"}, "state": "existing"}
    draft.circuits["wiper"] = {
        "path": [draft.battery, {"length": "12 cm"}, {"fuse": "15 A", "family": "regular blade"}, "wiper"],
        "length": "2 m",
        "wire": "2.5 mm2",
        "insulation": "105 degC",
        "state": "existing",
    }


@flaw("TAP003")
def second_cable_of_another_size_beside_the_first(draft: Draft) -> None:
    draft.gear["far block"] = {"kind": "block", "at": "rear", "rating": "100 A"}
    for name, wire in (("old feed", "16 mm2"), ("new feed", "4 mm2")):
        draft.circuits[name] = {
            "path": [
                draft.battery,
                {"length": "12 cm"},
                {"fuse": "40 A", "family": "regular blade"},
                "far block",
            ],
            "length": "4 m",
            "wire": wire,
            "insulation": "105 degC",
        }
    name = draft.add("heater", watts=draft.volts * 10.0)
    draft.circuits[name]["path"] = ["far block", {"fuse": "20 A", "family": "regular blade"}, name]


@flaw("REC001")
def two_circuits_with_one_number(draft: Draft) -> None:
    for name in (draft.add(), draft.add()):
        draft.circuits[name]["label"] = "12"


@flaw("REC002", "REC003")
def readings_without_name_or_meter(draft: Draft) -> None:
    values = [{f"{draft.battery} + to {draft.battery} -": f"{draft.volts * 1.05:.2f} V"}]
    draft.job["readings"] = [{"when": "resting", "using": "none", "values": values}]
