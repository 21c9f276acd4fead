"""A circuit that no source feeds gets neither cable nor fuse: 0 A is what is missing, not what flows.

Common practice: a circuit is closed only where its negative comes back to the battery that it began at.
"""

from __future__ import annotations

from groundstrap.assess import ReasonKind
from groundstrap.design import choose
from groundstrap.job import read_job
from groundstrap.vet import estimates

JOB = """groundstrap: 1
title: A bus that nothing joins to the battery
system: 12 V
return: negative bus
supplies: {battery: {kind: battery, at: engine bay, capacity: 70 Ah}}
gear:
  panel: {kind: block, at: galley, ways: 6, rating: 100 A}
  negative bus: {kind: block, at: galley, rating: 100 A}
loads:
  fridge: {kind: compressor, at: galley, claims: {current: 6 A}}
  lamp: {kind: led, at: galley, claims: {power: 20 W}}
  horn: {kind: other, at: galley, claims: {current: 4 A}}
circuits:
  panel feed: {path: [battery, length: 15 cm, fuse, panel], length: 3 m}
  fridge: {path: [panel 1, fuse, fridge], length: 2 m}
  lamp: {path: [panel 2, fuse, lamp], length: 2 m}
  horn: {path: [battery, length: 10 cm, fuse, horn], return: battery -, length: 2 m}
"""
CABLE = "  bus negative: {path: [negative bus, battery -], length: 3 m}\n"


def chosen(text: str) -> tuple[dict[str, str], set[str], dict[str, ReasonKind]]:
    """Sizes, fuses, and circuits that got none with the kind of the reason."""
    installation = read_job(text).installation
    design = choose(installation, estimates(installation))
    lost = {each.circuit: each.kind for each in design.unsolved}
    return {name: size.text for name, size in design.sizes.items()}, set(design.fuses), lost


def test_nothing_is_chosen_for_what_is_not_fed() -> None:
    sizes, fuses, lost = chosen(JOB)
    assert lost == dict.fromkeys(("panel feed", "fridge", "lamp"), ReasonKind.UNFED)
    # what has its own way back is planned all the same
    assert fuses == {"horn fuse"}
    assert set(sizes) == {"horn wire 1", "horn wire 2", "horn return 1"}


def test_with_its_cable_back_everything_is_chosen() -> None:
    _, fuses, lost = chosen(JOB + CABLE)
    assert lost == {}
    assert fuses == {"panel feed fuse", "fridge fuse", "lamp fuse", "horn fuse"}


def test_what_leads_to_a_bus_that_is_there_already_counts_as_fed() -> None:
    old = JOB.replace(
        "negative bus: {kind: block, at: galley", "negative bus: {kind: block, state: existing, at: galley"
    )
    assert chosen(old)[2] == {}


def test_a_battery_whose_loads_are_not_fed_gets_no_negative() -> None:
    """Common practice: a battery's negative is as thick as its fuses ask for, not as thin as for 0 A."""
    house = "house: {kind: battery, at: galley, chemistry: lfp, capacity: 200 Ah}"
    text = JOB.replace("70 Ah}}", "70 Ah, state: existing}, " + house + "}")
    sizes, _, lost = chosen(text.replace("[battery, length: 15", "[house, length: 15"))
    assert "house negative wire 1" not in sizes
    assert lost["house negative"] is ReasonKind.UNFED
