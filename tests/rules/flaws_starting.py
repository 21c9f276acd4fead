"""Mistakes with starts, stalls and fuses in series; the kinds are common practice, the figures invented."""

from __future__ import annotations

from tests.rules.flawed import flaw
from tests.rules.sound_jobs import Draft


@flaw("STA001")
def fuse_that_a_lift_opens_at_its_start(draft: Draft) -> None:
    name = draft.add("motor", name="tail lift", watts=draft.volts * 8.0)
    draft.loads[name]["inrush"] = {"current": "80 A", "time": "600 ms"}
    draft.fuse(name).update({"fuse": "15 A", "family": "regular blade"})
    draft.circuits[name]["wire"] = "4 mm2"


@flaw("STA002")
def ram_that_hits_its_fuse_every_two_minutes(draft: Draft) -> None:
    name = draft.add("motor", name="ram", watts=draft.volts * 18.0)
    draft.loads[name] |= {
        "inrush": {"current": "90 A", "time": "150 ms"},
        "duty": {"run": "4 s", "every": "2 min"},
    }
    draft.fuse(name).update({"fuse": "30 A", "family": "regular blade"})
    draft.circuits[name]["wire"] = "10 mm2"


@flaw("STA003")
def receiver_beside_a_winch(draft: Draft) -> None:
    winch = draft.add("motor", name="winch", watts=draft.volts * 50.0)
    draft.loads[winch] |= {
        "inrush": {"current": "400 A", "time": "200 ms"},
        "duty": {"run": "20 s", "every": "20 min"},
    }
    victim = draft.add("electronics", name="receiver", watts=draft.volts * 0.5)
    draft.loads[victim]["works"] = f"{0.93 * draft.volts:g}..{1.4 * draft.volts:g} V"


@flaw("SUP023", on=("truck",))
def blower_behind_a_small_converter(draft: Draft) -> None:
    draft.supplies["small converter"] = {
        "kind": "dc-dc", "at": "cabin", "current": "10 A", "setpoint": "13.4 V"
    }  # fmt: skip
    draft.circuits["converter feed"] = {
        "path": [*draft.start(15), "small converter"], "length": "2 m", "wire": "4 mm2",
    }  # fmt: skip
    draft.loads["small blower"] = {
        "kind": "fan", "at": "cabin", "claims": {"current": "6 A", "voltage": "12 V"},
        "inrush": {"current": "30 A", "time": "300 ms"},
    }  # fmt: skip
    fuse = {"fuse": "15 A", "family": "regular blade"}
    draft.circuits["small blower"] = {
        "path": ["small converter", fuse, "small blower"], "length": "2 m", "wire": "4 mm2",
    }  # fmt: skip


@flaw("STA004")
def breaker_that_lets_a_blocked_motor_burn(draft: Draft) -> None:
    name = draft.add("motor", name="wiper", watts=draft.volts * 12.0)
    draft.loads[name]["stall"] = {"current": "58 A", "survives": "no"}
    path = draft.circuits[name]["path"]
    path[path.index(draft.fuse(name))] = {"breaker": "30 A", "family": "thermal breaker"}
    draft.circuits[name]["wire"] = "10 mm2"


def _behind(draft: Draft, upper: dict[str, str], lower: dict[str, str], wire: str) -> None:
    """Two loads on a block of their own, each behind a fuse, the block behind another one."""
    draft.gear["side block"] = {"kind": "block", "at": "cabin", "rating": "250 A"}
    draft.circuits["side feed"] = {
        "path": [draft.battery, {"length": "12 cm"}, upper, "side block"],
        "length": "2 m", "wire": wire, "insulation": "105 degC",
    }  # fmt: skip
    for name in (draft.add("led", watts=draft.volts * 2.0), draft.add("heater", watts=draft.volts * 6.0)):
        draft.circuits[name] = {
            "path": ["side block", dict(lower), name], "length": "2 m",
            "wire": wire, "insulation": "105 degC",
        }  # fmt: skip


@flaw("SEL001")
def two_blades_in_series_of_nearly_one_rating(draft: Draft) -> None:
    upper = {"fuse": "20 A", "family": "regular blade"}
    _behind(draft, upper, {"fuse": "15 A", "family": "regular blade"}, "6 mm2")


@flaw("SEL002")
def class_t_close_above_another_type(draft: Draft) -> None:
    upper = {"fuse": "150 A", "family": "class T"}
    _behind(draft, upper, {"fuse": "80 A", "family": "marine terminal-mounted"}, "70 mm2")
