"""Negatives that nobody drew and that the work needs: each becomes a circuit, sized like any other."""

from __future__ import annotations

from itertools import count
from typing import Final

from groundstrap.job.circuits import Circuits
from groundstrap.job.geography import SAME_PLACE_M, joined, scaled
from groundstrap.model import Circuit, Passage, Stretch, Supply, Wire
from groundstrap.units import format_quantity
from groundstrap.words import words

__all__ = ["draw_negative"]

EARTH_M: Final = 0.5
"""Cable from a battery's negative post to the body beside it that nobody drew; own judgement. [m]"""


def draw_negative(circuits: Circuits, supply: Supply, end: Passage, place: str | None, why: str) -> bool:
    """Draw the cable between a supply's negative and the point where it ends; False where no length is found.

    It leads towards the battery, as negatives do that somebody draws.
    """
    stretches = _stretches(circuits, supply, end, place)
    if stretches is None:
        return False
    name = _free_name(circuits, f"{supply.name} negative")
    length_m = sum(stretch.length_m for stretch in stretches)
    wire = Wire(
        name=f"{name} wire 1",
        circuit=name,
        start=end.point,
        end=supply.minus,
        length_m=length_m,
        stretches=tuple(stretches),
    )
    circuits.implied[name] = Circuit(
        name=name,
        path=(end, wire, Passage(point=supply.minus, what="supply", name=supply.name)),
        back=(),
        start=end.point,
        end=supply.minus,
        back_end=None,
        length_m=length_m,
    )
    value = words(
        "{length} of cable, {start} to {end}",
        length=format_quantity(length_m, "m"),
        start=end.point,
        end=supply.minus,
    )
    circuits.equipment.assume(name, value, why)
    return True


def _stretches(circuits: Circuits, supply: Supply, end: Passage, place: str | None) -> list[Stretch] | None:
    """Where it lies: beside the battery to the body, else by the routes, else as long as its positive."""
    geography = circuits.equipment.geography
    if end.what == "chassis" and place in {None, supply.place}:
        return geography.across(supply.place, supply.place, EARTH_M)
    if place is None or place == supply.place:
        return geography.across(supply.place, supply.place, SAME_PLACE_M)
    route = geography.route(place, supply.place)
    if route is not None:
        return geography.along(route)
    positive = _positive(circuits, supply, place)
    return None if not positive else joined(scaled(geography.across(place, supply.place, 1.0), positive))


def _positive(circuits: Circuits, supply: Supply, place: str) -> float:
    """Length of the longest cable between its plus and that place, else of the longest on its plus. [m]"""
    here = [
        built
        for built in circuits.built.values()
        if supply.plus in {built.start.leave, built.end.entry} and built.out.length_m > 0.0
    ]
    there = [built for built in here if place in {built.start.place, built.end.place}]
    return max((built.out.length_m for built in there or here), default=0.0)


def _free_name(circuits: Circuits, wanted: str) -> str:
    taken = {*circuits.drafts, *circuits.implied, *circuits.equipment.declared}
    names = (wanted if number == 1 else f"{wanted} {number}" for number in count(1))
    return next(name for name in names if name not in taken)
