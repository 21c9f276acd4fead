"""What the machine code of a step is handed: the arrays of a block and of a state, and room to work in."""

from __future__ import annotations

from typing import NamedTuple

from groundstrap.solve.network import Array, Flags

__all__ = ["Numbers", "Options", "Pack", "Standing"]


class Numbers(NamedTuple):
    """The arrays of a block; those that it does not have are empty."""

    linear_ohm: Array
    cold_ohm: Array
    heat_ohm: Array
    kappa: Array
    hottest: Array
    emf_v: Array
    discharge_ohm: Array
    charge_ohm: Array
    factor: Array
    exponent: Array
    set_v: Array
    limit_a: Array
    droop_s: Array
    amps: Array
    carries: Array
    pins: Array
    inflow_a: Array


class Standing(NamedTuple):
    """The arrays of a state."""

    node_v: Array
    chain_a: Array
    active_v: Array
    hot_a: Array
    charging: Flags
    off: Flags


class Options(NamedTuple):
    """How the step is taken; see ``newton.newton``. ``halve`` is empty where every row goes all the way."""

    secant: bool
    hot: bool
    clipped: bool
    halve: Flags


class Pack(NamedTuple):
    """Room for a pack of rows: a line a chain, a heated chain, a node, an entry of the matrix, a source.

    ``failed`` is 1 where a pivot is not positive; ``next_v`` are the volts that one active part goes to;
    ``law_power`` are the ``law_v`` to the power of each law, from which those near by are told.
    """

    ohm: Array
    offset_v: Array
    conductance_s: Array
    source_a: Array
    heat_ohm: Array
    heat_v: Array
    diagonal: Array
    entries: Array
    node_v: Array
    limited: Flags
    failed: Array
    next_v: Array
    law_v: Array
    law_power: Array
