"""Words in which people name devices, places and sources, and what each of them means here.

English and German, as the page is offered in both. A hyphen before a word: it also ends longer ones, as
German puts words together (`-pumpe`: Wasserpumpe).
"""

from __future__ import annotations

from typing import Final

from groundstrap.model import LoadKind

__all__ = [
    "BATTERIES",
    "BATTERY_WORDS",
    "BOAT_WORDS",
    "BOTH_WAYS",
    "BOXES",
    "KIND_WORDS",
    "LIGHTER_PLUGS",
    "PEAKS",
    "PLACES",
    "PLUGS",
    "SOCKETS",
    "WHO_SAYS",
]

KIND_WORDS: Final[dict[LoadKind, tuple[str, ...]]] = {
    LoadKind.COMPRESSOR: (
        "fridge", "freezer", "cool box", "coolbox", "cooler", "refrigerator",
        "-kühlschrank", "-kühlbox", "-gefrierbox", "-gefrierschrank",
    ),
    LoadKind.INVERTER: ("inverter", "-wechselrichter", "-spannungswandler"),
    LoadKind.CHARGER: ("charger", "usb", "power bank", "-ladegerät", "-ladebooster", "-ladewandler"),
    LoadKind.LED: (
        "led", "leds", "light bar", "lightbar", "strip", "beacon", "beacons",
        "-lichtbalken", "-lichtleiste", "-rundumleuchte", "-rundumleuchten", "-kennleuchte",
    ),
    LoadKind.LAMP: (
        "lamp", "lamps", "bulb", "halogen", "spotlight", "headlight", "light", "lights",
        "-lampe", "-lampen", "-birne", "-glühbirne", "-scheinwerfer", "-leuchte", "-leuchten", "-licht",
    ),
    LoadKind.PTC_HEATER: (
        "ptc", "ceramic heater", "windscreen heater", "plug in heater", "keramikheizer", "-zuheizer",
    ),
    LoadKind.HEATER: (
        "heater", "kettle", "heated seat", "seat heater", "heating", "blanket", "demister",
        "-heizung", "-heizer", "-wasserkocher", "-heizdecke", "-heizmatte", "-heizlüfter",
    ),
    LoadKind.PUMP: ("pump", "washdown", "wash down", "-pumpe", "-pumpen"),
    LoadKind.FAN: ("fan", "blower", "extractor", "-lüfter", "-ventilator", "-gebläse"),
    LoadKind.MOTOR: (
        "motor", "winch", "windlass", "hoist", "tail lift", "wiper", "step", "jack",
        # The compressor of a fridge is named with the fridge, which comes first.
        "compressor", "inflator", "-kompressor",
        "-motor", "-winde", "-ladebordwand", "-hebebühne", "-wischer", "-trittstufe", "-stütze", "-stützen",
    ),
    LoadKind.ELECTRONICS: (
        "camera", "dash cam", "dashcam", "tracker", "alarm", "radio", "stereo", "amplifier", "amp", "router",
        "sounder", "plotter", "gps", "tablet", "laptop", "screen", "tv", "transceiver", "cb", "controller",
        "-kamera", "-alarmanlage", "-verstärker", "-radio", "-fernseher", "-bildschirm", "-rechner",
        "-funkgerät", "-echolot", "-steuergerät", "-empfänger",
    ),
}  # fmt: skip

BOTH_WAYS: Final = (
    "there and back", "both ways", "out and back", "round trip", "return trip", "total", "in all",
    "two way", "back and forth", "loop", "both wires", "plus and minus", "and return",
    "hin und zurück", "hin und rück", "hin und rückleitung", "insgesamt", "beide leitungen", "plus und minus",
)  # fmt: skip
BOAT_WORDS: Final = (
    "boat", "bilge", "anchor", "windlass", "navigation", "yacht", "dinghy", "skiff", "sailing",
    "motorboot", "segelboot", "schlauchboot", "bilgepumpe", "bilgenpumpe", "-ankerwinde", "-positionslicht",
    "-positionslampe", "-jacht", "-yacht",
)  # fmt: skip
SOCKETS: Final = (
    "socket", "lighter", "cigarette", "cigar", "12v outlet", "accessory outlet", "plug",
    "-steckdose", "zigarettenanzünder", "anzünder", "bordsteckdose",
)  # fmt: skip
BOXES: Final = (
    "fuse box", "fusebox", "fuse tap", "add a fuse", "piggyback", "fuse panel", "fuse block", "ignition",
    "-sicherungskasten", "-sicherungsdose", "-sicherungsabgriff", "sicherungshalter", "-zündung", "zündplus",
)  # fmt: skip
PLACES: Final[dict[str, tuple[str, ...]]] = {
    "engine bay": (
        "engine bay", "bonnet", "hood", "engine", "starter battery", "cranking battery",
        "motorraum", "motorhaube", "-starterbatterie",
    ),
    "cabin": (
        "cabin", "seat", "boot", "trunk", "bed", "inside", "cab", "dash", "leisure battery",
        "innenraum", "fahrerhaus", "kofferraum", "laderaum", "-sitz", "bett", "armaturenbrett",
        "wohnraum", "versorgungsbatterie", "versorgerbatterie", "aufbaubatterie", "bordbatterie",
        "zweitbatterie",
    ),
    "battery box": (
        "battery box", "locker", "house battery", "house bank", "batteriekasten", "batteriefach", "staufach",
    ),
    "underbody": (
        "underbody", "chassis", "frame", "under the van", "under the car", "unterboden", "-rahmen",
    ),
    "outside": ("outside", "drawbar", "trailer", "tongue", "außen", "draußen", "deichsel", "anhänger"),
    "roof": ("roof", "-dach"),
}  # fmt: skip
BATTERIES: Final[dict[str, tuple[str, ...]]] = {
    "starter battery": ("starter battery", "-starterbatterie"),
    "house battery": ("house battery", "bordbatterie"),
    "leisure battery": (
        "leisure battery", "versorgungsbatterie", "versorgerbatterie", "aufbaubatterie",
    ),
    "cranking battery": ("cranking battery",),
    "second battery": ("second battery", "zweitbatterie", "zweite batterie"),
}  # fmt: skip
BATTERY_WORDS: Final = (
    "battery", "batteries", "bank", "alternator", "-batterie", "-batterien", "-generator", "lichtmaschine",
)  # fmt: skip
WHO_SAYS: Final[dict[str, tuple[str, ...]]] = {
    "label": ("label", "nameplate", "sticker", "etikett", "-typenschild", "aufkleber"),
    "manual": (
        "manual", "data sheet", "datasheet", "leaflet", "handbuch", "-anleitung", "datenblatt",
    ),
    "seller": ("seller", "shop", "advert", "listing", "verkäufer", "händler", "anzeige"),
}  # fmt: skip
PEAKS: Final = (
    "peak", "surge", "starting", "inrush", "pmpo", "spitze", "spitzenleistung", "-anlaufstrom", "anlauf",
    "-einschaltstrom",
)  # fmt: skip
LIGHTER_PLUGS: Final = (
    "lighter plug", "cigarette plug", "cigarette lighter plug", "12v plug", "plug in heater",
    "zigarettenanzünderstecker", "anzünderstecker", "bordstecker",
)  # fmt: skip
PLUGS: Final[dict[str, tuple[str, ...]]] = {
    "lighter": ("lighter", "cigarette", "cigar", "lighter plug", "zigarettenanzünder", "anzünder"),
    "usb-c 100 W": ("usb c 100 w",),
    "usb-c": ("usb c",),
    "usb-a": ("usb a", "usb"),
}
"""Plugs as people call them; their own names are understood as well."""
