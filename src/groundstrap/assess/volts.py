"""The most volts that may stand at a circuit's fuses, and the make of a fuse that they ask for."""

from __future__ import annotations

from groundstrap.assess.switching import nominal_class_v
from groundstrap.assess.wiring import Wiring
from groundstrap.model import Part, State, Supply, SupplyKind
from groundstrap.tables import fuse_family_names, fuse_make_v

__all__ = ["highest_v", "make_of_v", "serves"]


def highest_v(wiring: Wiring, circuit: str) -> float:
    """Return the most volts that a source of the nominal voltage which feeds a circuit brings. [V]

    A battery counts with what it is charged to: by the setpoints of all that charge at its voltage where each
    of them is written, else by the usual high end of its chemistry.
    """
    feeding = wiring.tree.circuits.get(circuit)
    source = wiring.installation.supplies.get((feeding.source if feeding is not None else None) or "")
    system_v = wiring.installation.system_v if source is None else nominal_class_v(source.nominal_v)
    return _of_class(wiring, system_v)


def _of_class(wiring: Wiring, system_v: float) -> float:
    found: float = wiring.kept.once(("highest volts", system_v), lambda: _highest_v(wiring, system_v))
    return found


def _highest_v(wiring: Wiring, system_v: float) -> float:
    supplies = [
        supply
        for supply in wiring.installation.supplies.values()
        if supply.state is not State.REMOVE and nominal_class_v(supply.nominal_v) == system_v
    ]
    batteries = [supply.name for supply in supplies if supply.kind is SupplyKind.BATTERY]
    others = [supply for supply in supplies if supply.kind is not SupplyKind.BATTERY]
    figures = wiring.supplies
    written = bool(others) and all(_is_written(supply) for supply in others)
    charged = [figures[name].full_v if written else figures[name].high_v for name in batteries]
    return max([system_v, *charged, *(figures[supply.name].high_v for supply in others)])


def _is_written(supply: Supply) -> bool:
    """Whether the highest volts of what charges are written; a panel's are not what its battery gets."""
    return supply.setpoint is not None and supply.kind is not SupplyKind.SOLAR


def make_of_v(wiring: Wiring, part: Part, family: str | None) -> float | None:
    """Return the voltage that a fuse of a family is made for. [V]

    As written; else of a new one that of the make that has to be bought. None where its family has no such
    make, and for an existing one, whose print alone tells.
    """
    if part.rated_at_v is not None:
        return part.rated_at_v
    if part.state is not State.NEW or family not in fuse_family_names():
        return None
    return fuse_make_v(family, highest_v(wiring, part.circuit))


def serves(wiring: Wiring, part: Part, family: str) -> bool:
    """Tell whether a fuse of a family can be had for the most volts that may stand at it."""
    made_v = make_of_v(wiring, part, family)
    return made_v is not None and made_v >= highest_v(wiring, part.circuit)
