"""Loads that a boat holds to 3 %, told by their names: names as the trade writes them, common practice."""

from __future__ import annotations

import pytest

from groundstrap.assess.vital import CIRCUITS, held_to_little
from groundstrap.model import Basis, Load, LoadKind
from groundstrap.tables.table import table


def _load(name: str, kind: str, zone: str = "cabin") -> Load:
    return Load(name=name, kind=LoadKind(kind), place="x", zone=zone, plus=f"{name} +", minus=f"{name} -")


@pytest.mark.parametrize(
    ("name", "kind", "zone", "circuit"),
    [
        ("nav lights", "lamp", "outside", "navigation lights"),
        ("Ankerlicht", "led", "outside", "navigation lights"),
        ("bilge pump", "other", "cabin", "bilge pump"),
        ("sump", "pump", "bilge", "bilge pump"),
        ("bilge blower", "fan", "engine bay", "bilge blower"),
        ("bilge alarm", "other", "bilge", "equipment vital to safety"),
        ("vhf", "electronics", "cabin", "equipment vital to safety"),
        ("stereo", "electronics", "cabin", "electronic equipment"),
        ("autopilot", "motor", "outside", "electronic equipment"),
        ("cabin lights", "led", "cabin", ""),
        ("navigator's fridge", "compressor", "cabin", ""),
        ("bilge lamp", "led", "bilge", ""),
        ("windlass", "motor", "outside", ""),
    ],
)
def test_a_name_or_kind_tells_what_a_boat_holds_to_little(
    name: str, kind: str, zone: str, circuit: str
) -> None:
    assert held_to_little(Basis.BOAT, _load(name, kind, zone)) == circuit
    assert held_to_little(Basis.ROAD, _load(name, kind, zone)) == ""


def test_the_circuits_are_those_of_the_table_but_the_feeder() -> None:
    # ISO 10133, clause 4.8; ABYC E-11.
    listed = {row.text("circuit") for row in table("boat_critical_circuits").rows}
    assert listed - {"panel main feeder"} == set(CIRCUITS)
