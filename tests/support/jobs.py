"""Small job texts for tests of the job reader, and what a test asks of what was read."""

from __future__ import annotations

from pathlib import Path

import pytest

from groundstrap.errors import Fault, JobError
from groundstrap.job import Job, read_job
from groundstrap.model import Circuit, Installation

SAMPLES = Path(__file__).resolve().parent.parent / "data" / "jobs"

BASE = """\
groundstrap: 1
title: Bench
system: 12 V
supplies:
  battery: {kind: battery, at: engine bay, chemistry: flooded}
  alternator: none
gear:
  panel: {kind: block, at: dash, ways: 4}
  relay one: {kind: relay, at: dash, coil: 0.2 A}
  rocker: {kind: switch, at: dash}
  plug: {kind: connector, at: dash, ways: 4}
loads:
  lamp: {kind: lamp, at: boot, claims: {power: 60 W}}
  fan: {kind: fan, at: boot, claims: {current: 4 A}}
places: {dash: cabin, boot: cabin}
circuits:
  lamp: {path: [battery, fuse, lamp], length: 3 m}
"""

VAN = """\
groundstrap: 1
title: Van that sleeps outside
system: 12 V
supplies:
  battery: {kind: battery, chemistry: agm, capacity: 80 Ah, cranking: 760 A EN}
loads:
  fridge: {kind: compressor, claims: {power: 45 W}, works: 10.5..15 V}
circuits:
  fridge: {length: 4 m}
day:
  - {driving: 1 h, using: [fridge]}
  - {resting: 3 h, using: [fridge]}  # the night
"""
PARTED = VAN.replace("works: 10.5..15 V", "works: 11.5..15 V, critical: yes").replace("3 h", "20 h")
"""Its one critical load cuts off in the night; nothing stops the wiring."""
BARGE = """\
groundstrap: 1
title: Pump on a barge
system: 12 V
supplies: {battery: {kind: battery, at: bay, chemistry: flooded, capacity: 90 Ah}, alternator: none}
loads: {pump: {kind: pump, at: rear, claims: {power: 48 W, voltage: 12 V, by: manual}}}
places: {bay: engine bay, rear: outside}
routes: [{from: bay, to: rear, length: 5 m}]
circuits:
  earth: {path: [battery -, wire: 16 mm2, chassis at bay], length: 50 cm}  # as it came
  pump: {path: [battery, fuse: 10 A, switch, pump], return: chassis at rear, wire: 2.5 mm2, length: 5 m}
"""


def sample(name: str) -> Installation:
    """Return the installation of one of the sample jobs."""
    path = SAMPLES / f"{name}.job.yaml"
    return read_job(path.read_text(encoding="utf-8"), path.name, folder=path.parent).installation


def job(*changes: tuple[str, str], more: str = "") -> Job:
    """Read the bench job with some of its text changed and more lines behind."""
    return read_job(changed(*changes, more=more), "bench.yaml")


def circuit(steps: str, keys: str = "", *, name: str = "test", more: str = "") -> Circuit:
    """Return one more circuit of the bench job."""
    line = f"  {name}: {{path: [{steps}]{', ' + keys if keys else ''}}}\n"
    return job(more=line + more).installation.circuits[name]


def changed(*changes: tuple[str, str], more: str = "") -> str:
    """Return the bench job's text with changes."""
    text = BASE
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return text + more


def faults(text: str) -> tuple[Fault, ...]:
    """Return the faults of a text that has some."""
    with pytest.raises(JobError) as caught:
        read_job(text, "bench.yaml")
    return caught.value.faults


def only_fault(*changes: tuple[str, str], more: str = "") -> Fault:
    """Return the one fault of the bench job with changes."""
    found = faults(changed(*changes, more=more))
    assert len(found) == 1, [str(fault) for fault in found]
    return found[0]
