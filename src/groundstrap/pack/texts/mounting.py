"""Where devices go before any cable is joined: batteries, converters, panels, blocks and loads."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from groundstrap.model import GearKind, Load, LoadKind, State, Supply, SupplyKind
from groundstrap.pack.content import Step
from groundstrap.pack.texts.phrases import Telling, listed
from groundstrap.words import Name, words

__all__ = ["mounted_loads", "mounted_supplies", "mounting_steps"]

_BOXES: Final = (SupplyKind.DC_DC, SupplyKind.SOLAR_CHARGER, SupplyKind.MAINS_CHARGER)
_GASSING: Final = frozenset({None, "flooded"})


def mounting_steps(telling: Telling) -> Iterator[Step]:
    """Yield how everything new is fixed in its place, heavy things first, with nothing joined yet.

    Source: common-practice.
    """
    for battery in mounted_supplies(telling, SupplyKind.BATTERY):
        yield _battery(telling, battery)
    for machine in mounted_supplies(telling, SupplyKind.ALTERNATOR):
        yield Step(
            text=words(
                "Mount {machine} as its maker says: bracket, belt line, tension; its plus stays covered.",
                machine=telling.tag(machine.name),
            )
        )
    loads = mounted_loads(telling)
    boxes = [each.name for each in mounted_supplies(telling, *_BOXES)]
    boxes += [each.name for each in loads if each.kind is LoadKind.INVERTER]
    if boxes:
        yield Step(
            text=words(
                "Mount {boxes}: on a wall that carries them, where their makers let them be, with the air "
                "around them that they ask for; nothing that burns behind or above. Nothing is joined yet.",
                boxes=listed(telling.tag(name) for name in boxes),
            )
        )
    for panel in mounted_supplies(telling, SupplyKind.SOLAR):
        yield Step(
            text=words(
                "Mount {panel} covered, its ends capped: in daylight they are live.",
                panel=telling.tag(panel.name),
            )
        )
    blocks = listed(telling.tag(name) for name in _blocks(telling))
    if blocks:
        yield Step(text=words("Fix {blocks}; nothing is joined yet.", blocks=blocks))
    yield from _loads(telling, [each for each in loads if each.kind is not LoadKind.INVERTER])


def mounted_supplies(telling: Telling, *kinds: SupplyKind) -> list[Supply]:
    """Return the supplies of some kinds that the job brings.

    What is new is only known where something else is written as there: a vehicle brings its own battery and
    alternator, and most jobs say nothing of them.
    """
    every = telling.plan.installation.supplies.values()
    brought = [each for each in every if each.kind in kinds and each.state is State.NEW and not each.assumed]
    told = any(each.state is State.EXISTING for each in every)
    own = {SupplyKind.BATTERY, SupplyKind.ALTERNATOR}
    return [each for each in brought if told or each.kind not in own]


def mounted_loads(telling: Telling) -> list[Load]:
    """Return the loads that the job brings: new ones on new circuits, without the coils of relays."""
    loads = telling.plan.installation.loads
    names = dict.fromkeys(name for circuit in telling.new for name in circuit.loads if name in loads)
    found = [loads[name] for name in names]
    return [each for each in found if each.state is State.NEW and each.kind is not LoadKind.COIL]


def _battery(telling: Telling, battery: Supply) -> Step:
    details = [words("where: {place}", place=Name(battery.place))] if battery.place != battery.name else []
    if battery.series > 1 or battery.parallel > 1:
        details.append(
            words("all {count} of it, alike and of one age", count=battery.series * battery.parallel)
        )
    if battery.chemistry in _GASSING:
        details.append(words("its gas goes outside: a box with a vent, or a place that is aired"))
    return Step(
        text=words(
            "Fix {battery} so that it can't move in any direction; its posts stay covered, nothing is joined "
            "yet.",
            battery=telling.tag(battery.name),
        ),
        details=tuple(details),
    )


def _blocks(telling: Telling) -> list[str]:
    gear = telling.plan.installation.gear.values()
    return [each.name for each in gear if each.kind is GearKind.BLOCK and each.state is State.NEW]


def _loads(telling: Telling, loads: list[Load]) -> Iterator[Step]:
    if not loads:
        return
    places: dict[str, list[str]] = {}
    for load in loads:
        named = telling.tag(load.name)
        if load.count > 1:
            named = words("{load} ({count} of them)", load=named, count=load.count)
        places.setdefault("" if load.place == load.name else load.place, []).append(named)
    yield Step(
        text=words("Mount the devices as their makers say, switched off; nothing is joined yet."),
        details=tuple(
            words("{place}: {things}", place=Name(place), things=listed(things)) if place else listed(things)
            for place, things in places.items()
        ),
    )
