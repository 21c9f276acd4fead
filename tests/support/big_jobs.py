"""Big jobs of up to 60 circuits with every shape that a drawing must know, sound or not.

Vehicles, names and figures are invented.
"""

from __future__ import annotations

import json
import random
from typing import Any

Entry = dict[str, Any]

_PLACES = ("battery tray", "dash", "galley", "rear locker", "roof", "engine bay", "tail", "left wall")
_ZONES = ("cabin", "cabin", "cabin", "cabin", "roof", "engine bay", "outside", "cabin")
_KINDS = (
    "heater",
    "lamp",
    "led",
    "motor",
    "pump",
    "fan",
    "compressor",
    "electronics",
    "inverter",
    "charger",
    "other",
)
_SIZES = ("1 mm2", "1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2", "10 mm2", "16 mm2", "35 mm2", "14 AWG", "2 AWG")
_COLOURS = ("red", "black", "blue", "yellow", "green/white", "brown", "RD", "violet", "orange with a tracer")
_WORDS = (
    "ceiling", "reading", "front", "rear", "work", "cargo", "left", "right", "water", "diesel", "roof",
    "step", "navigation", "communication", "emergency", "refrigerator-freezer", "anti-condensation",
)  # fmt: skip
_THINGS = ("light", "pump", "fan", "heater", "socket", "beacon", "motor", "radio", "camera", "ventilator")


def big_job(seed: int, circuits: int = 60) -> str:
    """Return the text of a job with so many circuits."""
    rng = random.Random(seed)
    job = _frame(rng)
    makers = (
        _plain,
        _plain,
        _switched,
        _switched,
        _relayed,
        _plugged,
        _chain,
        _ring,
        _existing,
        _removed,
        _tapped,
    )
    number = 0
    while len(job["circuits"]) < circuits:
        number += 1
        rng.choice(makers)(job, rng, number)
    return json.dumps(job, indent=1)


def _frame(rng: random.Random) -> Entry:
    blocks = {
        name: {"kind": "block", "at": place, "ways": "40", "rating": f"{rating} A"}
        for name, place, rating in (
            ("main panel", "dash", 150), ("rear panel", "rear locker", 100),
            ("galley panel", "galley", 60), ("twelve volt out", "galley", 40),
            ("negative bus", "dash", 200), ("rear negative", "rear locker", 100),
        )
    }  # fmt: skip
    job: Entry = {
        "groundstrap": "1",
        "title": "A large expedition vehicle with everything that somebody could think of, third rebuild",
        "system": "12 V",
        "units": rng.choice(("metric", "us")),
        "return": "negative bus",
        "supplies": {
            "start battery": {"kind": "battery", "at": "engine bay", "capacity": "95 Ah"},
            "house battery": {"kind": "battery", "at": "battery tray", "chemistry": "lfp"},
            "alternator": {"kind": "alternator", "at": "engine bay", "rating": "150 A", "setpoint": "14.3 V"},
            "booster": {"kind": "dc-dc", "at": "battery tray", "current": "30 A", "setpoint": "14.4 V"},
            "panels": {"kind": "solar", "at": "roof", "power": "300 W"},
            "sun charger": {"kind": "solar charger", "at": "battery tray", "current": "20 A"},
        },
        "places": dict(zip(_PLACES, _ZONES, strict=True)),
        "routes": [
            {"from": _PLACES[rng.randrange(number)], "to": place, "length": f"{rng.randint(8, 60) / 10} m",
             "laid": rng.choice(("free", "loom", "conduit"))}
            for number, place in enumerate(_PLACES) if number
        ],
        "gear": blocks,
        "loads": {},
        "circuits": {
            "house feed": {"path": ["house battery", {"length": "15 cm"}, "fuse", "isolator", "main panel"]},
            "rear feed": {"path": ["main panel 39", "fuse", "rear panel"]},
            "galley feed": {"path": ["rear panel 39", "fuse", "galley panel"]},
            "house negative": {"path": ["negative bus", "sensor", "house battery -"]},
            "rear return": {"path": ["rear negative", "negative bus"]},
            "body": {"path": ["negative bus", "chassis at dash"], "state": "existing"},
            "booster feed": {"path": ["start battery", {"length": "20 cm"}, "fuse", "booster"]},
            "booster output": {"path": ["booster", "fuse", {"length": "20 cm"}, "house battery"]},
            "sun in": {"path": ["panels", "sun charger"]},
            "sun out": {"path": ["sun charger", "fuse", {"length": "20 cm"}, "house battery"]},
        },
    }  # fmt: skip
    job["routes"].append({"from": "tail", "to": "dash", "length": "9 m", "laid": "loom"})
    for circuit in job["circuits"].values():
        circuit["wire"] = rng.choice(_SIZES[4:])
    return job


def _load(job: Entry, rng: random.Random, number: int, part: str = "") -> str:
    name = f"{rng.choice(_WORDS)} {rng.choice(_THINGS)} {number}{part}"
    load: Entry = {"kind": rng.choice(_KINDS), "at": rng.choice(_PLACES)}
    if rng.random() < 0.9:
        load["claims"] = {"power": f"{rng.choice((1, 2))} W"}
    if rng.random() < 0.2:
        load["count"] = str(rng.randint(2, 6))
    job["loads"][name] = load
    return name


def _circuit(job: Entry, rng: random.Random, name: str, path: list[Any], **keys: str) -> None:
    entry: Entry = {"path": path, "wire": rng.choice(_SIZES), **keys}
    if rng.random() < 0.6:
        entry["colour"] = rng.choice(_COLOURS)
    if rng.random() < 0.3:
        entry["return"] = rng.choice(("rear negative", "chassis at tail", "house battery -", "negative bus"))
    if rng.random() < 0.05:
        entry["parallel"] = "2"
    job["circuits"][name] = entry


def _start(rng: random.Random, number: int) -> str:
    return rng.choice(
        (
            f"main panel {number % 38 + 1}",
            f"rear panel {number % 38 + 1}",
            f"galley panel {number % 38 + 1}",
            "rear panel",
        )
    )


def _fuse(rng: random.Random) -> Any:
    return rng.choice(
        ({"fuse": "10 A"}, {"fuse": "15 A", "family": "regular blade"}, {"breaker": "20 A"}, "fuse")
    )


def _plain(job: Entry, rng: random.Random, number: int) -> None:
    load = _load(job, rng, number)
    _circuit(job, rng, load, [_start(rng, number), _fuse(rng), load])


def _switched(job: Entry, rng: random.Random, number: int) -> None:
    load = _load(job, rng, number)
    switch = f"rocker {number}"
    when = rng.choice(({}, {}, {"when": "ignition"}, {"when": "water level"}))
    job["gear"][switch] = {"kind": "switch", "at": rng.choice(_PLACES), "rating": "16 A", **when}
    _circuit(job, rng, load, [_start(rng, number), _fuse(rng), switch, load])


def _relayed(job: Entry, rng: random.Random, number: int) -> None:
    load = _load(job, rng, number)
    relay = f"relay {number}"
    job["gear"][relay] = {"kind": "relay", "at": rng.choice(_PLACES), "rating": "40 A", "coil": "0.15 A"}
    _circuit(job, rng, load, [_start(rng, number), _fuse(rng), relay, load])
    _circuit(
        job, rng, f"control {number}", [_start(rng, number + 1), {"fuse": "3 A"}, "switch", f"{relay} coil"]
    )


def _plugged(job: Entry, rng: random.Random, number: int) -> None:
    load = _load(job, rng, number)
    plug = f"bulkhead plug {number}"
    job["gear"][plug] = {"kind": "connector", "at": rng.choice(_PLACES), "ways": "4", "rating": "20 A"}
    inline = rng.choice(("diode", "resistor", "joint", "sensor", "unknown"))
    path = [_start(rng, number), _fuse(rng), f"{plug} 1", inline, "switch", f"{plug} 2", load]
    _circuit(job, rng, load, path)
    if rng.random() < 0.5:
        job["circuits"][load]["return"] = [f"{plug} 3", "negative bus"]


def _chain(job: Entry, rng: random.Random, number: int) -> None:
    loads = [_load(job, rng, number, part) for part in "abcdef"[: rng.randint(2, 6)]]
    _circuit(job, rng, f"string {number}", [_start(rng, number), _fuse(rng), "switch", *loads])


def _ring(job: Entry, rng: random.Random, number: int) -> None:
    boxes = [f"box {number}{part}" for part in "abc"]
    for box in boxes:
        job["gear"][box] = {"kind": "block", "at": rng.choice(_PLACES)}
    way: list[Any] = ["galley panel", "fuse", boxes[0], boxes[1], boxes[2], "fuse", "galley panel"]
    _circuit(job, rng, f"ring {number}", way)
    job["circuits"][f"ring {number}"].pop("return", None)
    load = _load(job, rng, number)
    _circuit(job, rng, load, [boxes[1], load])


def _existing(job: Entry, rng: random.Random, number: int) -> None:
    load = _load(job, rng, number)
    _circuit(job, rng, load, ["main panel", {"fuse": "15 A"}, load], state="existing")


def _removed(job: Entry, rng: random.Random, number: int) -> None:
    _circuit(job, rng, f"old wire {number}", ["rear panel", "unknown"], state="remove", length="3 m")
    job["circuits"][f"old wire {number}"].pop("return", None)


def _tapped(job: Entry, rng: random.Random, number: int) -> None:
    fused = [name for name, circuit in job["circuits"].items() if {"fuse": "15 A"} in circuit["path"]]
    if fused:
        load = _load(job, rng, number)
        path = [
            f"{rng.choice(fused)} fuse {rng.choice(('in', 'out'))}",
            {"fuse": "3 A", "holder": "tap"},
            load,
        ]
        _circuit(job, rng, load, path, length="2 m")
