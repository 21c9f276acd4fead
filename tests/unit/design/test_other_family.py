"""A fuse whose usual family can't break its fault: the one that is fitted decides what wires must allow."""

from __future__ import annotations

import pytest

from groundstrap.assess.faults import faults_at_fuses
from groundstrap.assess.regions import guards
from groundstrap.assess.windows import fuse_window
from groundstrap.assess.wiring import wire_up
from groundstrap.design import choose
from groundstrap.job import read_job
from groundstrap.tables import BreakingCapacity, breaking_capacity, continuous_share, fuse_ratings
from groundstrap.tables.fuses import ContinuousShare
from groundstrap.vet import estimates

JOB = """
groundstrap: 1
title: a winch motor beside a large battery
system: 12 V
supplies: {battery: {kind: battery, at: tray, chemistry: agm, capacity: 95 Ah}}
places: {tray: cabin, rear: cabin}
loads:
  winch:
    kind: motor
    at: rear
    claims: {power: 900 W}
    duty: {run: 40 s, every: 6 min}
    inrush: {current: 240 A, time: 200 ms}
circuits: {winch: {path: [battery, length: 20 cm, fuse, winch], return: [battery -], length: 5 m}}
"""


def test_a_fuse_of_the_family_that_breaks_the_fault_is_no_larger_than_its_load_asks_for() -> None:
    """By hand: 900 W at 12 V are 75 A; high-current blades come in 80 and 100 A, others in 90 A."""
    installation = read_job(JOB).installation
    design = choose(installation, estimates(installation))
    fuse = design.fuses["winch fuse"]
    breaks = breaking_capacity(fuse.family, 12.0)
    share = continuous_share(fuse.family, installation.zones["cabin"].high_c)
    usual = continuous_share("high-current blade", installation.zones["cabin"].high_c)
    assert isinstance(breaks, BreakingCapacity)
    assert isinstance(share, ContinuousShare)
    assert isinstance(usual, ContinuousShare)
    assert breaks.interrupt_a >= 2000.0
    assert fuse.rating_a == 90.0
    # Short runs count by temperature alone.
    assert 80.0 * usual.re_rating < 75.0 <= 90.0 * share.re_rating
    assert 90.0 not in fuse_ratings("high-current blade")


LIGHT = """
groundstrap: 1
title: a light at a battery that gives thousands of amps
system: 12 V
supplies: {{battery: {{kind: battery, {battery}}}}}
loads: {{light: {{kind: {kind}, claims: {{power: 60 W}}}}}}
circuits: {{light: {{length: 7 m}}}}
"""


@pytest.mark.parametrize("kind", ["led", "lamp"])
def test_a_small_load_gets_the_smallest_that_breaks_the_fault(kind: str) -> None:
    """640 A EN make nearly 3 kA; blades break 1 kA (iso-8820-3), terminal-mounted ones begin at 30 A."""
    installation = read_job(LIGHT.format(battery="cranking: 640 A EN", kind=kind)).installation
    design = choose(installation, estimates(installation))
    fuse = design.fuses["light fuse"]
    assert (fuse.family, fuse.rating_a) == ("marine terminal-mounted", 30.0)
    blade = breaking_capacity("regular blade", 12.0)
    assert isinstance(blade, BreakingCapacity)
    assert blade.interrupt_a == 1000.0
    assert not design.unsolved
    wiring = wire_up(design.installation, estimates(installation))
    window = fuse_window(wiring, guards(wiring.topology, wiring.tree)["light fuse"])
    # Wires grew for it.
    assert 30.0 in window.ratings


def test_a_family_that_begins_at_a_hundred_amps_is_no_fuse_for_a_lamp() -> None:
    """Class T begins at 110 A (maker-fuse-data); wire for that before 5 A would be no answer."""
    battery = "chemistry: lfp, capacity: 600 Ah, resistance: 0.5 mohm"
    installation = read_job(LIGHT.format(battery=battery, kind="led")).installation
    design = choose(installation, estimates(installation))
    assert design.fuses["light fuse"].rating_a <= 30.0


BOX = """
groundstrap: 1
title: a fuse box close to a lithium bank
system: 12 V
supplies: {battery: {kind: battery, at: tray, chemistry: lfp, capacity: 200 Ah}}
places: {tray: cabin, rear: cabin}
gear: {box: {kind: block, at: tray, ways: 6}}
loads: {lamp: {kind: led, at: rear, claims: {power: 30 W}}}
circuits:
  feed: {path: [battery, length: 15 cm, fuse, box], length: 60 cm}
  lamp: {path: [box, fuse, lamp], return: [battery -], length: 4 m}
"""


def test_a_slot_of_a_fuse_block_takes_blades_alone() -> None:
    """A type for a post fits no slot: what a blade there can't break is for the rules to say."""
    installation = read_job(BOX).installation
    design = choose(installation, estimates(installation))
    assert "blade" in design.fuses["lamp fuse"].family
    assert "blade" not in design.fuses["feed fuse"].family


INVERTER = """
groundstrap: 1
title: an inverter behind the main fuse of a bench
system: 12 V
supplies: {battery: {kind: battery, at: bench, chemistry: agm, capacity: 100 Ah}}
places: {bench: cabin}
gear: {bus: {kind: block, at: bench, rating: 250 A, stud: M8}}
loads: {inverter: {kind: inverter, at: bench, claims: {power: 1000 W, by: label}, stud: M8}}
circuits:
  feed: {path: [battery, length: 15 cm, fuse, bus], length: 60 cm}
  inverter: {path: [bus, fuse, inverter], return: [battery -], length: 60 cm}
"""


def test_of_two_bolted_types_of_a_rating_the_one_that_breaks_the_fault_is_taken() -> None:
    """Strips break 2 kA (iso-8820-5), marine terminal-mounted ones 10 kA at 12 V (maker-marine-fuse-data)."""
    installation = read_job(INVERTER).installation
    design = choose(installation, estimates(installation))
    fuse = design.fuses["inverter fuse"]
    strip = breaking_capacity("bolt-down strip 51 mm", 12.0)
    chosen = breaking_capacity(fuse.family, 12.0)
    assert isinstance(strip, BreakingCapacity)
    assert isinstance(chosen, BreakingCapacity)
    wiring = wire_up(design.installation, estimates(installation))
    fault_a = faults_at_fuses(wiring)["inverter fuse"]
    # More than a strip breaks, yet no more than is left to the main fuse.
    assert strip.interrupt_a < fault_a <= 2 * strip.interrupt_a
    assert fuse.rating_a in fuse_ratings("bolt-down strip 51 mm")
    assert fault_a <= chosen.interrupt_a
