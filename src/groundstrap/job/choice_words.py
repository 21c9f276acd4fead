"""What the words of closed lists mean, as somebody would say them who has never seen the file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from groundstrap.words import Words, term, words

__all__ = ["choice_said"]

_SITUATIONS: Final[Mapping[str, Words]] = {
    "resting": words("resting: engine off"),
    "idling": words("idling: engine on, standing"),
    "driving": words("driving"),
    "cranking": words("cranking: the starter turns"),
    "mains": words("on mains: plugged in"),
}
_SUPPLIES: Final[Mapping[str, Words]] = {
    "battery": words("battery"),
    "alternator": words("alternator, on the engine"),
    "dc-dc": words("dc-dc charger: from one battery to another"),
    "solar charger": words("solar charger, the panel's regulator"),
    "mains charger": words("mains charger"),
    "solar": words("solar panel"),
}
_LOADS: Final[Mapping[str, Words]] = {
    "heater": words("heater: a plain element"),
    "ptc heater": words("heater that regulates itself (PTC)"),
    "lamp": words("lamp with a filament"),
    "led": words("LED"),
    "motor": words("motor: winch, hoist, air compressor"),
    "starter": words("the engine's starter"),
    "compressor": words("compressor of a fridge, freezer: by thermostat"),
    "electronics": words("electronics: radio, camera, computer"),
    "inverter": words("inverter: mains from the battery"),
    "charger": words("charger of a device"),
    "pump": words("pump"),
    "fan": words("fan"),
    "other": words("anything else"),
}
_GEAR: Final[Mapping[str, Words]] = {
    "block": words("block: fuse block, busbar, terminal strip"),
    "chassis": words("chassis: a point on the body"),
    "connector": words("connector: plug and socket"),
    "sensor": words("sensor: shunt, battery sensor"),
    "joint": words("joint: splice, stud"),
    "isolator": words("isolator: battery switch"),
}
_OF: Final[Mapping[str, Mapping[str, Words]]] = {
    "supplies.kind": _SUPPLIES,
    "loads.kind": _LOADS,
    "gear.kind": _GEAR,
    "chemistry": {
        "flooded": words("flooded lead acid: caps or a vent"),
        "agm": words("AGM: sealed lead acid"),
        "gel": words("gel: sealed lead acid"),
        "lfp": words("lithium iron phosphate (LFP)"),
    },
    "state": {
        "existing": words("there already, as found"),
        "remove": words("there now, to be taken out"),
    },
    "basis": {"road": words("road vehicle"), "boat": words("boat")},
    "units": {"metric": words("metric"), "us": words("feet and degrees Fahrenheit")},
    "sizes": {"metric": words("in mm2"), "awg": words("in AWG")},
    "laid": {
        "free": words("free, with air around it"),
        "loom": words("in a loom, bundled with others"),
        "conduit": words("in a conduit or tube"),
    },
    "wet": {
        "dry": words("dry"),
        "splash": words("splashed now and then"),
        "spray": words("in the spray of road or sea"),
        "submerged": words("under water at times"),
    },
    "vapour": {
        "no": words("none"),
        "petrol": words("petrol vapour"),
        "hydrogen": words("hydrogen, of a battery that gasses"),
    },
    "meter": {
        "basic": words("basic: a simple one"),
        "handheld": words("handheld: a good one"),
        "bench": words("bench: a laboratory one"),
        "clamp": words("clamp, around the cable"),
    },
    "when": _SITUATIONS,
    "runs": _SITUATIONS,
    "suppressor": {"none": words("none")},
    "yes-no": {"yes": words("yes"), "no": words("no")},
}
_PLAIN: Final = frozenset(
    {"body", "family", "gear.kind", "material", "plug", "rated_for", "suppressor"},
)
"""Keys whose words are terms of the trade that say it themselves."""
_UNKNOWN: Final = words("not known")


def choice_said(scope: str, key: str, choice: str) -> str:
    """Return a word of a closed list as it is said to people; its own word where that says it.

    Parameters
    ----------
    scope : str
        Section or small map that the key is in.
    key : str
        The key; `yes-no` for any that is answered so.
    choice : str
        As it stands in the file.

    Examples
    --------
    >>> str(choice_said("supplies", "chemistry", "lfp")), choice_said("circuits", "insulation", "PVC")
    ('lithium iron phosphate (LFP)', 'PVC')
    """
    if choice == "unknown":
        return _UNKNOWN
    for name in (f"{scope}.{key}", key):
        found = _OF.get(name, {}).get(choice)
        if found is not None:
            return found
        if name in _PLAIN:
            return term(choice)
    return choice
