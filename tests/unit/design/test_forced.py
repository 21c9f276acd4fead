"""Wires stand what nothing ends: a source's own limit, and the fuses of all that share a way back."""

from __future__ import annotations

from groundstrap.assess import ReasonKind, assess
from groundstrap.design import Design, choose
from groundstrap.model import SupplyKind
from tests.support.installations import Builder, Cable, Device


def chosen(job: Builder) -> Design:
    return choose(job.build(), job.estimates)


def test_cable_behind_a_converter_stands_its_limit_not_only_its_loads() -> None:
    job = Builder()
    job.battery()
    job.machine("converter", SupplyKind.DC_DC, current_a=40.0)
    job.load("radio", 12.0)
    job.block("panel")
    path = ["battery +", Device("fuse", 60.0), Cable(1.0, "16 mm2"), "converter in +"]
    job.circuit("feed", path, ["converter in -", Cable(1.0, "16 mm2"), "battery -"], converter="converter")
    job.circuit("out", ["converter out +", Cable(0.4), "panel"])
    job.circuit(
        "radio",
        ["panel", Device("fuse", 3.0), Cable(1.0), "radio +"],
        ["radio -", Cable(1.0), "converter out -"],
    )
    design = chosen(job)
    out = assess(design.installation, job.estimates).circuits["out"]
    # VDE 0298-4: 4 mm2, one loaded conductor, 41 A at 30 degC (2.5 mm2: 31 A), less in warmer air.
    assert out.ampacity_a is not None
    assert out.ampacity_a >= 40.0
    binding = design.bindings["out"]
    assert (binding.kind, binding.where, binding.value) == (ReasonKind.SOURCE, "converter", 40.0)
    assert binding.limit is not None
    assert binding.limit < 40.0


def test_way_back_of_several_circuits_stands_the_sum_of_their_fuses() -> None:
    job = Builder()
    job.battery()
    for name in ("a", "b", "c"):
        job.load(name, 60.0)
        path = ["battery +", Device("fuse", 25.0), Cable(1.0, "4 mm2"), f"{name} +"]
        job.circuit(name, path, [f"{name} -", Cable(1.0, "4 mm2"), "bus"])
    job.circuit("house negative", ["bus", Cable(1.0), "battery -"])
    design = chosen(job)
    assert design.bindings["house negative"].kind is ReasonKind.RETURNS
    assert design.bindings["house negative"].value == 75.0
    amps = assess(design.installation, job.estimates).circuits["house negative"].ampacity_a
    assert amps is not None
    assert amps >= 75.0


def test_way_back_behind_a_feeder_fuse_needs_no_more_than_that_fuse() -> None:
    job = Builder()
    job.battery()
    job.block("panel")
    job.circuit("feed", ["battery +", Device("fuse", 30.0), Cable(1.0, "16 mm2"), "panel"])
    for name in ("a", "b", "c"):
        job.load(name, 60.0)
        path = ["panel", Device("fuse", 25.0), Cable(1.0, "4 mm2"), f"{name} +"]
        job.circuit(name, path, [f"{name} -", Cable(1.0, "4 mm2"), "bus"])
    job.circuit("house negative", ["bus", Cable(1.0), "battery -"])
    binding = chosen(job).bindings["house negative"]
    assert binding.kind is not ReasonKind.RETURNS
