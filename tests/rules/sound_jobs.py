"""Random jobs as a careful person writes them: road and boat, 12, 24 and 48 V, one to fifteen circuits.

Vehicles, names and figures are invented. A job comes as nested dicts, one entry for each line of the file,
so that a flaw is a small edit of it; `text` makes the job file of it.
"""

from __future__ import annotations

import json
import random
from dataclasses import dataclass
from typing import Any

Entry = dict[str, Any]

FUSES_A = (3, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 60, 80, 100, 125, 150, 200)
WIRE_MM2 = {
    3: "1 mm2", 5: "1.5 mm2", 7.5: "2.5 mm2", 10: "2.5 mm2", 15: "4 mm2", 20: "6 mm2", 25: "6 mm2",
    30: "10 mm2", 40: "10 mm2", 50: "16 mm2", 60: "16 mm2", 80: "25 mm2", 100: "35 mm2", 125: "50 mm2",
    150: "50 mm2", 200: "70 mm2",
}  # fmt: skip
"""A cable that a workshop lays behind each fuse, rather one size up: common practice."""

FRAMES = ("car", "van", "truck", "cart", "boat")

LOADS = (
    ("reading lamp", "led", 10), ("work lamp", "led", 40), ("beacon", "lamp", 55), ("strip", "led", 24),
    ("radio", "electronics", 30), ("tracker", "electronics", 6), ("camera", "electronics", 8),
    ("seat heater", "heater", 90), ("window heater", "heater", 150), ("fridge", "compressor", 50),
    ("cool box", "compressor", 45), ("water pump", "pump", 45), ("roof fan", "fan", 25),
    ("blower", "fan", 60), ("step motor", "motor", 80), ("tool charger", "charger", 60),
    ("shaver", "charger", 15), ("horn", "other", 50),
)  # fmt: skip
"""Name, kind, and watts that are usual for it: own judgement."""

_MOTORS = frozenset({"motor", "pump", "fan", "compressor"})


@dataclass
class Draft:
    """A job under the hands of somebody who writes it."""

    job: Entry
    frame: str
    rng: random.Random

    @property
    def circuits(self) -> Entry:
        """Circuits by name."""
        return self.part("circuits")

    @property
    def loads(self) -> Entry:
        """Loads by name."""
        return self.part("loads")

    @property
    def gear(self) -> Entry:
        """Gear by name."""
        return self.part("gear")

    @property
    def supplies(self) -> Entry:
        """Supplies by name."""
        return self.part("supplies")

    def part(self, name: str) -> Entry:
        """A part of the file, begun where it is not there yet."""
        found: Entry = self.job.setdefault(name, {})
        return found

    @property
    def volts(self) -> float:
        """Nominal voltage. [V]"""
        return float(self.job["system"].split()[0])

    @property
    def text(self) -> str:
        """The job file; every JSON text is YAML."""
        return json.dumps(self.job, indent=1)

    def own(self, *kinds: str) -> list[str]:
        """Loads, of these kinds where some are named, that have a circuit of their own name."""
        return [
            name for name, load in self.loads.items()
            if name in self.circuits and (not kinds or load["kind"] in kinds)
        ]  # fmt: skip

    def one(self, *kinds: str) -> str:
        """One such load; a new one where there is none."""
        found = self.own(*kinds)
        return self.rng.choice(found) if found else self.add(*kinds)

    def step(self, circuit: str, kind: str) -> Entry | None:
        """The first step of a kind in a circuit's path."""
        path = self.circuits[circuit]["path"]
        return next((step for step in path if isinstance(step, dict) and kind in step), None)

    def fuse(self, circuit: str) -> Entry:
        """The fuse of a circuit; one is put in where it has none."""
        found = self.step(circuit, "fuse")
        if found is None:
            found = {"fuse": "10 A", "family": "regular blade"}
            self.circuits[circuit]["path"].insert(1, found)
        return found

    def add(self, *kinds: str, name: str = "", watts: float | None = None, **keys: Any) -> str:
        """A load with a circuit of its own, fused at the source or on the panel; returns its name."""
        usual = [each for each in LOADS if not kinds or each[1] in kinds] or [("thing", kinds[0], 30)]
        title, kind, usual_w = self.rng.choice(usual)
        name = self.free(name or title)
        watts = float(watts if watts is not None else usual_w)
        at = self.rng.choice(("cabin", "rear"))
        self.loads[name] = {
            "kind": kind,
            "at": at,
            "claims": {"power": f"{watts:g} W", "voltage": f"{self.volts:g} V"},
            **({"critical": "no"} if self.frame == "boat" else {}),
            **keys,
        }
        amps = watts / self.volts
        switch = [
            {"switch": f"{max(10, round(5 * amps))} A", "rated_for": "motor" if kind in _MOTORS else "lamp"}
        ]
        # No blade is commonly made for 48 V; what is bolted down begins at 30 A.
        rating = max(fuse_for(amps), 30) if self.volts > 32 else fuse_for(amps)
        self.circuits[name] = {
            "path": [*self.start(rating), *(switch if self.rng.random() < 0.6 else []), name],
            "length": f"{self.rng.randint(1, 3)} m",
            "wire": WIRE_MM2[rating],
            "insulation": "105 degC",
        }
        return name

    def free(self, name: str) -> str:
        """The name, with a number where it is taken."""
        taken = {*self.loads, *self.gear, *self.supplies, *self.circuits}
        return next(each for each in (name, *(f"{name} {n}" for n in range(2, 99))) if each not in taken)

    def start(self, rating: float) -> list[Any]:
        """How a path begins: at the panel where there is one, else with a fuse near the battery."""
        fuse = {"fuse": f"{rating:g} A", "family": family(rating, self.volts), "breaks": "20000 A"}
        if self.volts > 32:
            # Charged, 48 V of lead-acid stand at 59 V, above the usual make for 58 V.
            fuse["rated_at"] = "70 V"
        if "panel" in self.gear:
            return ["panel", fuse]
        return [self.battery, {"length": "12 cm"}, fuse]

    @property
    def battery(self) -> str:
        """The battery that circuits begin at."""
        return "leisure" if "leisure" in self.supplies else "battery"

    def second_battery(self) -> str:
        """A second battery beside the first."""
        if "leisure" not in self.supplies:
            self.supplies["leisure"] = {
                "kind": "battery",
                "at": "rear",
                "chemistry": "agm",
                "capacity": "90 Ah",
            }
            if self.frame == "truck":
                self.supplies["leisure"]["bank"] = "2 in series"
            body = "battery -" if self.frame == "boat" else "chassis at rear"
            self.circuits["leisure earth"] = {
                "path": [body, {"wire": "70 mm2", "length": "40 cm"}, "leisure -"],
                "insulation": "105 degC",
            }
        return "leisure"

    def alternator(self) -> Entry:
        """The alternator; one that is written, where there was none."""
        found = self.supplies.get("alternator")
        if not isinstance(found, dict):
            found = {
                "kind": "alternator",
                "at": "engine bay",
                "rating": "90 A",
                "setpoint": f"{self.volts * 1.19:.1f} V",
            }
            self.supplies["alternator"] = found
        return found


def fuse_for(amps: float) -> float:
    """A rating with room for the load, which claims may understate, in the heat: 2.4 times its current."""
    return next(rating for rating in FUSES_A if rating >= 2.4 * amps)


def family(rating: float, volts: float = 12.0) -> str:
    """Type by rating and voltage."""
    if volts > 32:
        return "terminal-mounted"
    return "regular blade" if rating <= 40 else "marine terminal-mounted"


def sound_job(rng: random.Random, frame: str) -> Draft:
    """A job without flaws that were put there, of one kind of vehicle."""
    draft = Draft(_FRAME[frame](rng), frame, rng)
    loads = rng.choice((1, 1, 2, 2, 3, 3, 4, 5, 7, 12))
    if frame == "boat" or loads > 3:
        _panel(draft)
    for _ in range(loads):
        # Many loads are small ones: together they stay within one panel and one alternator.
        draft.add(watts=rng.choice((5, 10, 20)) if loads > 4 else None)
    return draft


def _base(volts: int, title: str, battery: Entry, alternator: object) -> Entry:
    return {
        "groundstrap": "1",
        "title": title,
        "system": f"{volts} V",
        "supplies": {"battery": battery, "alternator": alternator},
        "zones": {"rear zone": {"ambient": "-20..45 degC", "wet": "dry"}},
        "places": {"rear": "rear zone"},
    }


def _battery(rng: random.Random, at: str, **more: str) -> Entry:
    hours = rng.choice((44, 60, 70, 90))
    kind = rng.choice(("flooded", "agm"))
    return {
        "kind": "battery",
        "at": at,
        "chemistry": kind,
        "capacity": f"{hours} Ah",
        "cranking": f"{7 * hours} A EN",
        **more,
    }


def _car(rng: random.Random) -> Entry:
    alternator = {
        "kind": "alternator",
        "at": "engine bay",
        "rating": "180 A",
        "setpoint": "14.2 V",
        "idle": "60 %",
    }
    return _base(12, "A car", _battery(rng, "engine bay"), alternator)


def _van(rng: random.Random) -> Entry:
    job = _car(rng)
    job["supplies"]["leisure"] = {
        "kind": "battery",
        "at": "rear",
        "chemistry": "agm",
        "capacity": "100 Ah",
        "cranking": "700 A EN",
    }
    job["supplies"]["charger"] = {
        "kind": "dc-dc",
        "at": "rear",
        "current": "25 A",
        "setpoint": "14.4 V",
        "when": "engine",
    }
    fuse = {"fuse": "80 A", "family": "marine terminal-mounted"}
    for name, way in (
        ("charger in", ["battery", {"length": "12 cm"}, fuse, "charger"]),
        ("charger out", ["charger", {**fuse, "fuse": "60 A"}, {"length": "12 cm"}, "leisure"]),
    ):
        job.setdefault("circuits", {})[name] = {
            "path": way,
            "length": "3 m" if name == "charger in" else "1 m",
            "wire": "25 mm2",
            "insulation": "105 degC",
        }
    return job


def _truck(rng: random.Random) -> Entry:
    alternator = {"kind": "alternator", "at": "engine bay", "rating": "80 A", "setpoint": "28.4 V"}
    return _base(24, "A truck", _battery(rng, "outside", bank="2 in series"), alternator)


def _cart(rng: random.Random) -> Entry:
    battery = {
        "kind": "battery",
        "at": "cabin",
        "chemistry": "lfp",
        "capacity": f"{rng.choice((60, 100))} Ah",
    }
    return _base(48, "A cart", battery, "none")


def _boat(rng: random.Random) -> Entry:
    alternator = {
        "kind": "alternator",
        "at": "engine",
        "rating": "120 A",
        "setpoint": "14.2 V",
        "idle": "60 %",
    }
    job = _base(12, "A boat", _battery(rng, "locker"), alternator)
    job["basis"] = "boat"
    job["return"] = "negative bus"
    job["places"] |= {"locker": "battery box", "engine": "engine space", "sump": "bilge"}
    job["gear"] = {"negative bus": {"kind": "block", "at": "cabin", "rating": "150 A", "ways": "20"}}
    job["circuits"] = {
        "bus negative": {
            "path": ["negative bus", "battery -"],
            "length": "2 m",
            "wire": "25 mm2",
            "insulation": "105 degC",
        }
    }
    return job


_FRAME = {"car": _car, "van": _van, "truck": _truck, "cart": _cart, "boat": _boat}


def _panel(draft: Draft) -> None:
    """A panel with its feed, on a boat behind an isolator."""
    draft.gear["panel"] = {"kind": "block", "at": "cabin", "rating": "100 A", "ways": "20"}
    if draft.frame != "boat":
        draft.gear["return bar"] = {"kind": "block", "at": "cabin", "rating": "100 A", "ways": "20"}
        draft.job["return"] = "return bar"
        draft.circuits["bar negative"] = {
            "path": ["return bar", f"{draft.battery} -"],
            "length": "2 m",
            "wire": "25 mm2",
            "insulation": "105 degC",
        }
    if draft.frame == "van":
        # The charger between the batteries takes from the other one, whose minus must come to the bar too.
        draft.circuits["start negative"] = {
            **draft.circuits["bar negative"],
            "path": ["return bar", "battery -"],
            "length": "3 m",
        }
    fuse = {
        "fuse": "80 A",
        "family": "terminal-mounted" if draft.volts > 24 else "marine terminal-mounted",
        "breaks": "20000 A",
    }
    isolator = [{"isolator": "150 A", "ignition_protected": "yes"}] if draft.frame == "boat" else []
    draft.circuits["panel feed"] = {
        "path": [draft.battery, {"length": "12 cm"}, fuse, *isolator, "panel"],
        "length": f"{draft.rng.randint(1, 4)} m",
        "wire": "25 mm2",
        "insulation": "105 degC",
    }
