"""Plain description of one test network, shared by the generator, the dense oracle and the ngspice deck.

It deliberately does not use the package under test: an oracle that imports the solver's own types could
inherit its mistakes. `handover` is the only place where a case is handed to `groundstrap.solve`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

LawName = Literal[
    "RESISTOR",
    "HEATED",
    "BATTERY",
    "REGULATED",
    "CONSTANT_POWER",
    "CONSTANT_CURRENT",
    "POWER_LAW",
]

#: Below this voltage a power-law load is taken as a plain resistor: its slope at 0 V is infinite or zero.
POWER_LAW_FLOOR_V: Final = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Element:
    """One two-terminal element; current counts from `start` to `end`.

    `values` are the parameters of the law, in the order of `groundstrap.solve`; `feeds` makes a
    constant-power element the input of a converter whose output is that (regulated) element.
    """

    law: LawName
    start: int
    end: int
    values: tuple[float, ...]
    feeds: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One network with its values; node 0 is the reference.

    `start_v` is a flat guess, one voltage per node, only to begin an iteration with; `traits` says what the
    network contains, so that a test can show that it met what it claims to cover.
    """

    seed: int
    node_count: int
    elements: tuple[Element, ...]
    start_v: tuple[float, ...]
    traits: frozenset[str] = frozenset()
