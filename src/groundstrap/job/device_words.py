"""Words in which people name devices, places and sources, and what each of them means here."""

from __future__ import annotations

from typing import Final

from groundstrap.model import LoadKind

__all__ = ["BOAT_WORDS", "BOTH_WAYS", "BOXES", "KIND_WORDS", "PLACES", "SOCKETS"]

KIND_WORDS: Final[dict[LoadKind, tuple[str, ...]]] = {
    LoadKind.COMPRESSOR: ("fridge", "freezer", "cool box", "coolbox", "cooler", "refrigerator"),
    LoadKind.INVERTER: ("inverter",),
    LoadKind.CHARGER: ("charger", "usb", "power bank"),
    LoadKind.LED: ("led", "light bar", "lightbar", "strip", "beacon", "beacons"),
    LoadKind.LAMP: ("lamp", "lamps", "bulb", "halogen", "spotlight", "headlight", "light", "lights"),
    LoadKind.PTC_HEATER: ("ptc", "ceramic heater", "windscreen heater", "plug in heater"),
    LoadKind.HEATER: ("heater", "kettle", "heated seat", "seat heater", "heating", "blanket", "demister"),
    LoadKind.PUMP: ("pump", "washdown", "wash down"),
    LoadKind.FAN: ("fan", "blower", "extractor"),
    LoadKind.MOTOR: ("motor", "winch", "windlass", "hoist", "tail lift", "wiper", "step", "jack"),
    LoadKind.ELECTRONICS: (
        "camera", "dash cam", "dashcam", "tracker", "alarm", "radio", "stereo", "amplifier", "amp", "router",
        "sounder", "plotter", "gps", "tablet", "laptop", "screen", "tv", "transceiver", "cb", "controller",
    ),
}  # fmt: skip

BOTH_WAYS: Final = (
    "there and back", "both ways", "out and back", "round trip", "return trip", "total", "in all",
    "two way", "back and forth", "loop", "both wires", "plus and minus", "and return",
)  # fmt: skip
BOAT_WORDS: Final = (
    "boat",
    "bilge",
    "anchor",
    "windlass",
    "navigation",
    "yacht",
    "dinghy",
    "skiff",
    "sailing",
)
SOCKETS: Final = ("socket", "lighter", "cigarette", "cigar", "12v outlet", "accessory outlet", "plug")
BOXES: Final = (
    "fuse box",
    "fusebox",
    "fuse tap",
    "add a fuse",
    "piggyback",
    "fuse panel",
    "fuse block",
    "ignition",
)
PLACES: Final[dict[str, tuple[str, ...]]] = {
    "engine bay": ("engine bay", "bonnet", "hood", "engine", "starter battery", "cranking battery"),
    "cabin": ("cabin", "seat", "boot", "trunk", "bed", "inside", "cab", "dash", "leisure battery"),
    "battery box": ("battery box", "locker", "house battery", "house bank"),
    "underbody": ("underbody", "chassis", "frame", "under the van", "under the car"),
    "outside": ("outside", "drawbar", "trailer", "tongue"),
    "roof": ("roof",),
}
