"""Laying: bend radius and supports of each cable; loom, conduit and grommet of each bundle."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Final

from groundstrap.assess.conductors import conductor
from groundstrap.assess.part_results import BundleAssessment, WireLaying
from groundstrap.assess.termination import shrink_of
from groundstrap.model import Installation, Stretch, SupplyKind, Wire
from groundstrap.physics.laying import bend_radius_mm, least_bore_mm
from groundstrap.physics.loom import LOOM_FILL, loom_diameter_mm
from groundstrap.tables import (
    Grommet,
    SplitLoom,
    bend_radius,
    conduit_fill,
    grommet_for,
    split_loom_for,
    support_spacing,
)

__all__ = ["bundles_of", "laying_of"]

HEAVY_MM2: Final = 10.0
"""From here on a cable is bent like battery cable; own judgement. [mm2]"""


def laying_of(installation: Installation) -> Mapping[str, WireLaying]:
    """Return how each wire of known size wants to be laid, by its name."""
    posts = {
        post
        for supply in installation.supplies.values()
        if supply.kind is SupplyKind.BATTERY
        for post in (supply.plus, supply.minus)
    }
    return {
        wire.name: _laying(installation, wire, at_battery=bool(posts & {wire.start, wire.end}))
        for wire in installation.wires()
        if wire.size is not None
    }


def _laying(installation: Installation, wire: Wire, *, at_battery: bool) -> WireLaying:
    assert wire.size is not None
    outer_mm = conductor(wire, wire.size, installation.basis).data.thick_outer_d_mm
    bend = bend_radius("battery cable" if wire.size.area_mm2 >= HEAVY_MM2 else "single wire")
    basis = installation.basis.value
    shrink = shrink_of(installation, wire)
    return WireLaying(
        outer_mm=outer_mm,
        bend_mm=float(bend_radius_mm(outer_mm, multiple=bend.low)),
        support_m=support_spacing(basis, battery_conductor=at_battery).most_m,
        shrink_mm=None if shrink is None else shrink.expanded_mm,
        shrink_lined=shrink is not None and shrink.adhesive,
    )


def bundles_of(installation: Installation) -> tuple[BundleAssessment, ...]:
    """Return each route in a loom or conduit with the cables of the job that share it."""
    on_route: dict[tuple[str, str], list[tuple[Wire, Stretch]]] = {}
    for wire in installation.wires():
        for stretch in wire.stretches:
            if stretch.route is not None and stretch.laid in {"loom", "conduit"}:
                on_route.setdefault((stretch.route, stretch.laid), []).append((wire, stretch))
    return tuple(
        _bundle(installation, route, laid, _side_by_side(lying), max(stretch.others for _, stretch in lying))
        for (route, laid), lying in on_route.items()
    )


def _side_by_side(lying: Sequence[tuple[Wire, Stretch]]) -> list[Wire]:
    """The cables of one cross-section: pieces that follow each other count once, the thickest of them.

    A way that is twice as long as the route passes it twice: out to a switch and back.
    """
    ways: dict[tuple[str, bool], list[tuple[Wire, Stretch]]] = {}
    for wire, stretch in lying:
        ways.setdefault((wire.circuit, wire.returning), []).append((wire, stretch))
    found: list[Wire] = []
    for pieces in ways.values():
        passes = sum(stretch.length_m / (stretch.route_m or stretch.length_m) for _, stretch in pieces)
        wires = dict.fromkeys(wire for wire, _ in pieces)
        thickest = sorted(wires, key=lambda wire: wire.area_mm2 or math.inf, reverse=True)
        found += [thickest[number % len(thickest)] for number in range(max(round(passes), 1))]
    return found


def _bundle(
    installation: Installation, route: str, laid: str, wires: list[Wire], others: int
) -> BundleAssessment:
    outer_mm = _outer_mm(installation, wires)
    cables = sum(wire.parallel for wire in wires)
    conduit = laid == "conduit"
    fill = conduit_fill(cables) if conduit else None
    bundle_mm = loom_diameter_mm(outer_mm, fill=LOOM_FILL) if outer_mm is not None else None
    bore_mm, source = None, fill.source if fill is not None else ""
    if outer_mm is not None and fill is not None:
        bore_mm = least_bore_mm(outer_mm, fill_pct=fill.fill_pct)
    elif bundle_mm is not None:
        loom = split_loom_for(bundle_mm)
        bore_mm, source = (loom.bore_mm, loom.source) if isinstance(loom, SplitLoom) else (None, "")
    grommet = grommet_for(bundle_mm) if bundle_mm is not None else None
    return BundleAssessment(
        route=route,
        laid=laid,
        wires=tuple(dict.fromkeys(wire.name for wire in wires)),
        cables=cables,
        bundle_mm=bundle_mm,
        bore_mm=bore_mm,
        fill_pct=fill.fill_pct if fill is not None else None,
        grommet_mm=grommet.hole_mm if isinstance(grommet, Grommet) else None,
        others=others,
        source=source,
    )


def _outer_mm(installation: Installation, wires: list[Wire]) -> tuple[float, ...] | None:
    """Outer diameter of every cable, parallel ones each; None where a size is not known. [mm]"""
    found: list[float] = []
    for wire in wires:
        if wire.size is None:
            return None
        data = conductor(wire, wire.size, installation.basis).data
        found += [data.thick_outer_d_mm] * wire.parallel
    return tuple(found)
