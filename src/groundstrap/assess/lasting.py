"""What runs round the clock: its wires keep 20 K below the class of their insulation.

The classes of ISO 6722 are temperatures for 3,000 h. An engine's life is about twice that, with the hottest
air for less than half of it, so what needs the engine is what the classes are made for. What is on at rest
or on mains without a pause has 3,000 h behind it after four months.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from groundstrap.assess.currents import DesignCurrents, DrawDesign
from groundstrap.assess.figures import LASTING_H, LASTING_MARGIN_K, SUN_H_PER_DAY
from groundstrap.assess.positions import applies, runs_in
from groundstrap.assess.settings import Setting
from groundstrap.assess.supplies import USUAL_AH
from groundstrap.assess.topology import Topology
from groundstrap.model import (
    Assumption,
    Basis,
    Installation,
    Load,
    LoadKind,
    Situation,
    State,
    Supply,
    SupplyKind,
)
from groundstrap.words import words

__all__ = ["lasting_amps", "lasting_assumptions", "lasting_draws"]


def lasting_draws(topology: Topology, draws: Mapping[str, DrawDesign]) -> frozenset[str]:
    """Return the draws that may be on round the clock, for all that the job says.

    Nothing says that they pause, they may run at rest or on mains, and what feeds them lasts: a battery that
    holds out for a day, a panel or a mains charger that gives as much. A coil is on while what its relay
    feeds is on, and takes next to nothing.
    """
    installation = topology.installation
    if installation.basis is not Basis.ROAD:
        return frozenset()
    rest_a, mains_a = _sustained_a(installation)
    found = {
        name
        for name, load in installation.loads.items()
        if name in draws and _goes_on(installation, load, draws[name], rest_a, mains_a)
    }
    behind = {draws[name].source for name in found}
    return frozenset(found | {f"{name} input" for name in behind if f"{name} input" in draws})


def _goes_on(installation: Installation, load: Load, draw: DrawDesign, rest_a: float, mains_a: float) -> bool:
    if not draw.known or draw.brief or load.kind is LoadKind.COIL:
        return False
    if not load.duty.continuous or draw.continuous_a <= 0.0:
        return False
    at_rest = runs_in(load, Situation.RESTING) and draw.continuous_a <= rest_a
    on_mains = runs_in(load, Situation.MAINS) and applies(installation, Situation.MAINS)
    return at_rest or (on_mains and draw.continuous_a <= mains_a)


def _sustained_a(installation: Installation) -> tuple[float, float]:
    """Most amps that can go on for days at rest, and on mains. [A]"""
    staying = [s for s in installation.supplies.values() if s.state is not State.REMOVE]
    stored = [_stored_ah(s) / LASTING_H for s in staying if s.kind is SupplyKind.BATTERY]
    sun = [
        s.power_w / installation.system_v * SUN_H_PER_DAY / 24.0
        for s in staying
        if s.kind is SupplyKind.SOLAR and s.power_w is not None
    ]
    mains = [
        s.current_a if s.current_a is not None else math.inf
        for s in staying
        if s.kind is SupplyKind.MAINS_CHARGER
    ]
    return max([*stored, *sun], default=0.0), max(mains, default=0.0)


def _stored_ah(battery: Supply) -> float:
    return (battery.capacity_ah or USUAL_AH) * battery.parallel


def lasting_amps(
    topology: Topology,
    settings: tuple[Setting, ...],
    currents: DesignCurrents,
    lasting: frozenset[str],
) -> Mapping[str, float]:
    """Return what goes on round the clock through each piece, in the worst setting. [A]

    No more than its design current: what a converter takes and what it gives pass some ways back against
    each other.
    """
    names = settings[0].flows.draws
    columns = [k for k, name in enumerate(names) if name in lasting]
    if not columns:
        return {}
    each_a = np.array([currents.draws[names[k]].continuous_a for k in columns])
    most = np.max([np.abs(s.flows.share[:, columns]) @ each_a for s in settings], axis=0).tolist()
    return {
        piece.name: min(most[row], currents.pieces[piece.name].known_a)
        for row, piece in enumerate(topology.pieces)
        if most[row] > 1e-9
    }


def lasting_assumptions(installation: Installation, lasting: frozenset[str]) -> tuple[Assumption, ...]:
    """Return the assumption that names what counts as on round the clock."""
    named = [name for name in installation.loads if name in lasting]
    if not named:
        return ()
    why = words(
        "{named}: nothing says that they pause, and what feeds them lasts, so they are on for more than the "
        "3,000 h of a class of ISO 6722; `duty` or `runs` say otherwise (own judgement)",
        named=", ".join(named),
    )
    value = words("insulation class - {margin}", margin=f"{LASTING_MARGIN_K:g} K")
    return (Assumption(words("on round the clock"), value, why),)
