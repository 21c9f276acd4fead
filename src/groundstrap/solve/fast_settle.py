"""Rows from their parameters to their points in machine code, a pack of rows at a time.

What a pack needs lies side by side in the nearest memory from its first step to the writing down of its
volts; a block's arrays would be fetched from afar for each step. A row that has no easy answer, or in which
anything is open, is left to ``decide``; the order of questions (cold from above, then with heat) is its.
"""

from typing import Final

import numpy as np

from groundstrap.records import dataclass
from groundstrap.solve.fast import PACK
from groundstrap.solve.fast_pack import (
    ABSORBS,
    FALLS,
    FOUND,
    LATE,
    Columns,
    Layers,
    Task,
    settle_chunk,
)
from groundstrap.solve.fast_write import sums_of
from groundstrap.solve.flat import parts_of, tables_of
from groundstrap.solve.network import Array, Flags, RowParameters, taken_rows
from groundstrap.solve.reach import reach
from groundstrap.solve.recover import check_sums
from groundstrap.solve.results import FOUND_CODE, Rows, Status, empty_rows
from groundstrap.solve.topology import Indices, Topology

#: Rows whose parameters are laid side by side at once. Lines are a little longer, so that not all of them
#: begin at the same place of the nearest memory.
_CHUNK: Final = 2048
_WIDTH: Final = _CHUNK + 24
_WRITTEN: Final = ("node_v", "branch_v", "branch_a", "heat_share")


@dataclass(frozen=True, slots=True)
class _Asked:
    topology: Topology
    parameters: RowParameters
    heats: bool


def settle(topology: Topology, parameters: RowParameters, result: Rows, *, heat: bool) -> bool:
    """Write down every row that has an easy answer, and leave the others unsolved; False where none is tried.

    The parameters have been checked.
    """
    everything = reach(topology, (True,) * len(topology.chains))
    if topology.converters or everything.pins or not all(everything.carries):
        return False
    heated = topology.heated.branches
    heats = heat and any(bool(np.any(parameters[branch][1])) for branch in heated)
    asked = _Asked(topology, parameters, heats)
    off = np.zeros((topology.regulated_span.stop - topology.regulated_span.start, result.rows), np.bool_)
    with np.errstate(all="ignore"):
        outcome = _run(asked, result, off, patient=False)
        late = np.flatnonzero(outcome == LATE)
        outcome[late] = _again(asked, result, late, off)
        _again(asked, result, np.flatnonzero(outcome == FALLS), off, stiff=True)
        for _ in range(off.shape[0]):
            rows = np.flatnonzero(outcome == ABSORBS)
            if not rows.size:
                break
            outcome[rows] = _again(asked, result, rows, off)
    return True


def _again(asked: _Asked, result: Rows, rows: Indices, off: Flags, *, stiff: bool = False) -> Indices:
    """Solve some rows once more, as ``off`` says or with stiff batteries; return what became of them."""
    part, part_off = empty_rows(result.network, rows.size), off[:, rows]
    again = _Asked(asked.topology, taken_rows(asked.parameters, rows), asked.heats)
    outcome = _run(again, part, part_off, stiff=stiff)
    off[:, rows] = part_off
    result.put(rows, part)
    return outcome


def _run(asked: _Asked, result: Rows, off: Flags, *, stiff: bool = False, patient: bool = True) -> Indices:
    """Go through all rows, chunk by chunk; ``off`` is added to where a source absorbs."""
    topology, lines = asked.topology, _lines(asked)
    columns, room = _room_for(lines), empty_rows(result.network, _WIDTH)
    outcome = np.empty(result.rows, np.intp)
    kept = np.array(topology.kept, np.intp)
    given = (tables_of(topology), parts_of(topology), _resistors_of(topology), kept)
    into = tuple(getattr(room, name) for name in _WRITTEN)
    for first in range(0, result.rows, _CHUNK):
        part = result.part(first, min(first + _CHUNK, result.rows))
        span = slice(first, first + part.rows)
        _fill_columns(columns, lines, first, part.rows)
        part_off = np.ascontiguousarray(off[:, span])
        sums, steps = np.zeros((7, part.rows)), np.zeros(part.rows, np.intp)
        task = Task(
            part.rows, 0, asked.heats, stiff, patient=patient, never=False, whole=(0, PACK), off=part_off
        )
        settle_chunk(given, columns, task, (into, sums, steps, outcome[span]))
        off[:, span] = part_off
        # Line by line, not pack by pack: far memory takes long runs many times as fast as short ones.
        for name in _WRITTEN:
            getattr(part, name)[:] = getattr(room, name)[:, : part.rows]
        part.status_code[:] = np.where(outcome[span] == FOUND, FOUND_CODE, Status.UNSOLVED.code)
        part.iterations[:] = steps
        check_sums(sums_of(sums), part)
        for position, chain in enumerate(range(topology.regulated_span.start, topology.regulated_span.stop)):
            part.off[topology.branch_of_chain(chain)] = part_off[position]
    return outcome


def _resistors_of(topology: Topology) -> Layers:
    layered = topology.resistors
    firsts = [first for first, _ in layered.spans]
    return Layers(layered.chains, np.array(firsts, np.intp), np.array(layered.sizes, np.intp))


Line = Array | float


def _lines(asked: _Asked) -> dict[str, list[Line]]:
    """The parameters in the order of ``Columns``, a number where it is the same in every row."""
    topology, parameters = asked.topology, asked.parameters
    active = topology.active_branches
    cells = [cell.branch for cell in topology.cells]
    sources, laws = active[topology.regulated_span], active[topology.law_span]

    def all_of(branches: object, position: int) -> list[Line]:
        return [parameters[branch][position] for branch in branches]  # type: ignore[attr-defined]

    exponents = [float(np.max(parameters[branch][2])) for branch in laws]
    return {
        "resistor_ohm": all_of(topology.resistors.branches, 0),
        "heat_ohm": all_of(topology.heated.branches, 0),
        "kappa": all_of(topology.heated.branches, 1),
        "emf_v": [parameters[cell.branch][0] * cell.sign for cell in topology.cells],
        "discharge_ohm": all_of(cells, 1),
        "charge_ohm": all_of(cells, 2),
        "watts": all_of(active[: topology.powers], 0),
        "factor": [
            parameters[branch][0] / parameters[branch][1] ** exponent
            for branch, exponent in zip(laws, exponents, strict=True)
        ],
        "set_v": all_of(sources, 0),
        "limit_a": all_of(sources, 1),
        "droop_s": [1.0 / parameters[branch][2] for branch in sources],
        "amps": all_of(active[topology.current_span], 0),
        "exponent": list(exponents),
    }


def _room_for(lines: dict[str, list[Line]]) -> Columns:
    """Room for a chunk; what is the same in every row is filled in for good."""
    room = {name: np.empty((len(some), _WIDTH)) for name, some in lines.items()}
    for name, some in lines.items():
        for place, value in enumerate(some):
            if not (isinstance(value, np.ndarray) and value.ndim):
                room[name][place] = value
    return Columns(**room)


def _fill_columns(columns: Columns, lines: dict[str, list[Line]], first: int, rows: int) -> None:
    for name, some in lines.items():
        into = getattr(columns, name)
        for place, value in enumerate(some):
            if isinstance(value, np.ndarray) and value.ndim:
                into[place, :rows] = value[first : first + rows]
