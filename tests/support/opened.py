"""What is left of a network whose branches have been opened, told without looking at the solver.

A load that takes a fixed power or current runs only where the rest of the network would put volts across
it. An island that hangs on nothing is tied to the reference at one node: a single tie carries no current.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from .dense_homotopy import incidence, no_load_point
from .plain import Case, Element

# With none of them running, a load that stands below this does not run: ground offsets are millivolts.
_STARVED_V: Final = 1.0
_FORCED = frozenset({"CONSTANT_POWER", "CONSTANT_CURRENT"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest:
    """The network that is left, and for each element but the ties its index in the original."""

    case: Case
    original: tuple[int, ...]


def open_some(case: Case, rng: np.random.Generator, count: int) -> Case:
    """Open `count` of the resistors: infinite resistance."""
    resistors = [k for k, e in enumerate(case.elements) if e.law == "RESISTOR"]
    chosen = {int(k) for k in rng.choice(resistors, count, replace=False)}
    elements = tuple(
        replace(e, values=(float("inf"),)) if k in chosen else e for k, e in enumerate(case.elements)
    )
    return replace(case, elements=elements)


def _islands(case: Case, elements: list[Element]) -> list[int]:
    """Return for each node the least node that these elements join it to."""
    least = list(range(case.node_count))
    changed = True
    while changed:
        changed = False
        for element in elements:
            low = min(least[element.start], least[element.end])
            if least[element.start] != low or least[element.end] != low:
                least[element.start] = least[element.end] = low
                changed = True
    return least


def _reduced(case: Case, keep: list[int], tied: list[int]) -> Case:
    ties = [Element(law="RESISTOR", start=node, end=0, values=(1.0,)) for node in tied]
    return replace(case, elements=(*(case.elements[k] for k in keep), *ties))


def what_is_left(case: Case) -> Rest | None:
    """Return the network without open branches and dead loads; None where it has no point without loads."""
    closed = [k for k, e in enumerate(case.elements) if e.law != "RESISTOR" or np.isfinite(e.values[0])]
    joining = [case.elements[k] for k in closed if case.elements[k].law not in _FORCED]
    island = _islands(case, joining)
    tied = [node for node in range(1, case.node_count) if island[node] == node]
    passive = [k for k in closed if case.elements[k].law not in _FORCED]
    no_load_v = no_load_point(_reduced(case, passive, tied))
    if no_load_v is None:
        return None
    drop_v = incidence(case).T @ no_load_v[1:]
    keep = [
        k
        for k in closed
        if case.elements[k].law not in _FORCED
        or (island[case.elements[k].start] == island[case.elements[k].end] and float(drop_v[k]) >= _STARVED_V)
    ]
    return Rest(case=_reduced(case, keep, tied), original=tuple(keep))
