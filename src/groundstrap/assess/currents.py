"""Design currents: what each piece must carry, whatever size its wire has.

Each draw has two corners, everything at the supply's low end and everything at its high end; a piece takes
the larger of the two sums, in the worst setting. Interlocked loads and what a block allows together are
honoured; a load that pushes current the other way never helps.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.links import Link
from groundstrap.assess.settings import SETTINGS, Setting, accepting
from groundstrap.assess.sums import Groups, groups_of, worst_sum
from groundstrap.assess.supplies import own_draw_a
from groundstrap.assess.topology import PieceKind, Topology
from groundstrap.model import Assumption, Installation, LoadKind, State
from groundstrap.records import dataclass, replace
from groundstrap.words import words

__all__ = ["DesignCurrents", "DrawDesign", "PieceCurrents", "carried_assumptions", "design_currents"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawDesign:
    """What one draw takes for the two questions; `known` is False where nothing says it."""

    name: str
    source: str | None
    """Supply that feeds it."""
    low_v: float
    high_v: float
    allowed_v: float
    continuous_low_a: float
    """At the low corner. [A]"""
    continuous_high_a: float
    """At the high corner. [A]"""
    drop_a: float
    inrush_a: float = 0.0
    known: bool = True
    brief: bool = False
    """A starter: seconds at a time, so it counts for the peak and the drop alone."""

    @property
    def continuous_a(self) -> float:
        """The larger of the two corners. [A]"""
        return max(self.continuous_low_a, self.continuous_high_a)


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceCurrents:
    """What one piece carries; None where nobody knows a load behind it, or what a link lets through."""

    continuous_a: float | None
    drop_a: float | None
    peak_a: float | None
    known_a: float
    """Continuous current of the loads that are known, where others are not: it carries that at least. [A]"""
    thermal_shares: Mapping[str, float]
    """Draw -> amps of it through this piece, in the setting where its current is largest."""
    loads: tuple[str, ...]
    shared: bool
    """Whether some share is neither all nor nothing, so that it depends on resistances."""
    alone: bool = True
    """Whether no more than one draw ever passes it for more than seconds, and nothing beside it: only then
    do that draw's pauses cool it for certain."""
    most_v: float | None = None
    """Between a battery and what charges it the volts that there are to lose. [V]"""
    hangs_on: tuple[str, ...] = ()
    """Pieces on the way to a battery that nobody knows, so that nobody knows what it carries."""

    @property
    def pulses(self) -> Mapping[str, float]:
        """Draw -> amps of the only thing that passes it; empty where its pauses cool nothing for certain."""
        return self.thermal_shares if self.alone else {}


@dataclass(frozen=True, slots=True)
class DesignCurrents:
    """Design currents of all pieces and draws."""

    draws: Mapping[str, DrawDesign]
    pieces: Mapping[str, PieceCurrents]


def design_currents(
    topology: Topology,
    settings: tuple[Setting, ...],
    draws: Mapping[str, DrawDesign],
    links: tuple[tuple[Link, ...], ...],
) -> DesignCurrents:
    """Return what every piece must carry; `links` are each setting's ways to batteries. [A]"""
    if settings is not topology.kept.get(SETTINGS) or any(links):
        # What a link lets through hangs on its own size.
        return DesignCurrents(draws, _pieces(topology, settings, draws, links))
    # Without loops no size changes them: the chooser's second look, and the next job's, finds them here.
    hangs_on = (dict(draws), _values(topology))
    kept: tuple[object, Mapping[str, PieceCurrents]] | None = topology.kept.get("currents")
    if kept is None or kept[0] != hangs_on:
        kept = (hangs_on, _pieces(topology, settings, draws, links))
        topology.kept.put("currents", kept)
    return DesignCurrents(draws, kept[1])


def _values(topology: Topology) -> tuple[object, ...]:
    """Everything with a value that design currents hang on beside the draws."""
    installation = topology.installation
    together = [(gear.together_a, gear.together_pct) for gear in installation.gear.values()]
    ratings = [supply.rating_a for supply in installation.supplies.values()]
    return (_own_amps(topology), together, ratings)


def _pieces(
    topology: Topology,
    settings: tuple[Setting, ...],
    draws: Mapping[str, DrawDesign],
    links: tuple[tuple[Link, ...], ...],
) -> Mapping[str, PieceCurrents]:
    names = tuple(settings[0].flows.draws)
    columns = _columns(names, draws)
    best, at = _most(topology, settings, draws, columns, links)
    carried = np.max([np.abs(s.flows.share) * _on(s) for s in settings], axis=0)
    fractional = (carried > 1e-6) & (np.abs(carried - np.round(carried)) > 1e-6)
    own = _own_amps(topology)
    touching = carried > 1e-6
    steady = np.sum(touching & ~columns.brief, axis=1)
    known = ~np.any(touching & ~columns.known & columns.load, axis=1)
    shared = np.any(fractional, axis=1).tolist()
    amps = (best + np.array([own.get(piece.circuit or "", 0.0) for piece in topology.pieces])).tolist()
    most_v, hangs_on = _through(topology, settings, columns, links)
    pieces = {}
    for row, piece in enumerate(topology.pieces):
        unknown = not known[row] or piece.name in hangs_on
        pieces[piece.name] = PieceCurrents(
            continuous_a=None if unknown else amps[0][row],
            drop_a=None if unknown else amps[1][row],
            # What stands in for a link that nobody knows is still sized by all that might come through it.
            peak_a=amps[2][row] if known[row] else None,
            known_a=0.0 if piece.name in hangs_on else amps[0][row],
            thermal_shares=_thermal(settings[int(at[row])], row, columns, names),
            loads=tuple(
                names[k] for k in np.flatnonzero(touching[row]) if names[k] in topology.installation.loads
            ),
            shared=shared[row],
            alone=bool(steady[row] <= 1) and not own.get(piece.circuit or ""),
            most_v=most_v.get(piece.name),
            hangs_on=hangs_on.get(piece.name, ()),
        )
    return pieces


def _most(
    topology: Topology,
    settings: tuple[Setting, ...],
    draws: Mapping[str, DrawDesign],
    columns: _Columns,
    links: tuple[tuple[Link, ...], ...],
) -> tuple[Floats, NDArray[np.intp]]:
    """Largest amps of every piece over the settings, and the number of the one with most of it for hours."""
    groups = groups_of(topology, settings, tuple(settings[0].flows.draws))
    best = np.zeros((3, len(topology.pieces)))
    at = np.zeros(len(topology.pieces), dtype=np.intp)
    conducts = np.array([piece.conducts for piece in topology.pieces])
    for number, setting in enumerate(settings):
        on, cap_a = _on(setting), _given_a(topology, setting, draws)
        found = _in_setting(setting, columns, groups, links[number], on, cap_a)
        own_a = _own_draws_a(topology.installation, setting)
        if own_a.any() and not setting.flows.tree:
            more = replace(columns, low=columns.low * on + own_a, high=columns.high * on + own_a)
            fuller = _in_setting(setting, more, groups, links[number], on | (own_a > 0.0), cap_a)
            found = np.where(conducts, np.maximum(found, fuller), found)
        at = np.where(found[0] > best[0], number, at)
        best = np.maximum(best, found)
    return best, at


def _through(
    topology: Topology,
    settings: tuple[Setting, ...],
    columns: _Columns,
    links: tuple[tuple[Link, ...], ...],
) -> tuple[dict[str, float], dict[str, tuple[str, ...]]]:
    """For each piece of a link the volts that it may lose at most, and what of its way nobody knows."""
    most_v: dict[str, float] = {}
    hangs_on: dict[str, tuple[str, ...]] = {}
    for setting, link in ((s, link) for s, each in zip(settings, links, strict=True) for link in each):
        # The far battery gives way by what its loads take from it.
        sagging_v = link.own_ohm * float((columns.steady * link.far * _on(setting) * columns.load).sum())
        for row in np.flatnonzero(link.rows):
            name = topology.pieces[row].name
            most_v[name] = max(most_v.get(name, 0.0), link.volts_v + sagging_v)
            if link.unknown:
                hangs_on[name] = tuple(dict.fromkeys((*hangs_on.get(name, ()), *link.unknown)))
    return most_v, hangs_on


@dataclass(frozen=True, slots=True)
class _Columns:
    low: Floats
    high: Floats
    drop: Floats
    inrush: Floats
    known: NDArray[np.bool_]
    load: NDArray[np.bool_]
    brief: NDArray[np.bool_]

    @property
    def steady(self) -> Floats:
        """The larger of both corners of what runs for more than seconds. [A]"""
        return np.asarray(np.maximum(self.low, self.high) * ~self.brief, dtype=np.float64)


def _columns(names: tuple[str, ...], draws: Mapping[str, DrawDesign]) -> _Columns:
    each = [draws[name] for name in names]
    return _Columns(
        np.array([d.continuous_low_a for d in each]),
        np.array([d.continuous_high_a for d in each]),
        np.array([d.drop_a for d in each]),
        np.array([d.inrush_a for d in each]),
        np.array([d.known for d in each], dtype=bool),
        np.array([not d.name.endswith(" charge") for d in each], dtype=bool),
        np.array([d.brief for d in each], dtype=bool),
    )


def _on(setting: Setting) -> NDArray[np.bool_]:
    return np.array([name in setting.runs for name in setting.flows.draws], dtype=bool)


def _given_a(topology: Topology, setting: Setting, draws: Mapping[str, DrawDesign]) -> float | None:
    """What all machines give at most that charge batteries by themselves; None where batteries do. [A]"""
    drivers = [topology.pieces[topology.index[name]] for name in setting.drivers]
    if not drivers or any(driver.kind is not PieceKind.MACHINE for driver in drivers):
        return None
    machines = [draws[driver.name] for driver in drivers]
    if not all(machine.known for machine in machines):
        return None
    return sum(machine.continuous_a for machine in machines) or None


def _own_draws_a(installation: Installation, setting: Setting) -> Floats:
    """What the vehicle itself draws at each battery's posts, in the column of what charges that battery. [A]

    Other batteries give a share of it through the cables between them.
    """
    found = np.zeros(len(setting.flows.draws))
    if len(setting.sources) < 2 and not setting.drivers:
        return found
    columns = {name: number for number, name in enumerate(setting.flows.draws)}
    for supply in installation.supplies.values():
        column = columns.get(accepting(supply.name))
        if column is not None:
            found[column] = max(own_draw_a(installation, supply, s) for s in setting.situations)
    return found


def _in_setting(
    setting: Setting,
    columns: _Columns,
    groups: Groups,
    links: tuple[Link, ...],
    on: NDArray[np.bool_],
    cap_a: float | None,
) -> Floats:
    """Continuous, drop and peak amps of every piece in one setting."""
    share = setting.flows.share * on
    found = _summed(setting, share, columns, groups)
    for link in links:
        near = _summed(setting, share * ~link.far, columns, groups)
        far = _summed(setting, share * link.far, columns, groups)
        through = _let_through(link, on, columns, groups)
        above = near + np.minimum(far, through[:, link.rows].max(axis=1, initial=0.0)[:, None])
        found = np.where(link.rows, np.minimum(found, through), found)
        found = np.where(link.above, np.minimum(found, above), found)
    if cap_a is not None:
        found = np.minimum(found, cap_a)
    return found


def _let_through(link: Link, on: NDArray[np.bool_], columns: _Columns, groups: Groups) -> Floats:
    """What the way to a battery lets through: continuous, for the drop, at switch-on. [A]"""
    gain = link.gain * on
    steady, brief = gain * columns.steady, gain * np.maximum(columns.drop, columns.inrush)
    loads = (steady, gain * columns.drop, np.maximum(steady, brief))
    return np.stack([link.charge_a + worst_sum(each, groups) for each in loads])


def _summed(setting: Setting, share: Floats, columns: _Columns, groups: Groups) -> Floats:
    """Continuous, drop and peak amps of every piece by shares alone."""
    push = np.array([name in setting.pushes for name in setting.flows.draws])
    share = np.where(push, -1.0, 1.0) * share
    steady = share * ~columns.brief
    low = worst_sum(steady * columns.low, groups)
    high = worst_sum(steady * columns.high, groups)
    continuous = np.maximum(low, high)
    # What is pushed into a battery can't be counted on to carry a load, nor to spare one.
    drop = worst_sum(share * columns.drop * ~push, groups)
    most = np.maximum(columns.low, columns.high)
    surge = np.abs(share) * np.maximum(columns.inrush - np.where(columns.brief, 0.0, most), 0.0)
    brief = np.abs(share) * np.where(columns.brief, np.maximum(columns.drop, columns.inrush), 0.0)
    peak = continuous + np.max(np.maximum(surge, brief), axis=1, initial=0.0)
    return np.stack([continuous, drop, peak])


def _own_amps(topology: Topology) -> dict[str, float]:
    """What a circuit carries beside what is drawn (`carries`), on its own pieces."""
    circuits = topology.installation.circuits.values()
    return {circuit.name: circuit.carries_a for circuit in circuits if circuit.carries_a is not None}


def carried_assumptions(installation: Installation) -> tuple[Assumption, ...]:
    """Return that `carries` counts on its own circuit alone, where others bring or return it."""
    ends = {point for supply in installation.supplies.values() for point in (supply.plus, supply.minus)}
    found = [
        circuit
        for circuit in installation.circuits.values()
        if circuit.carries_a
        and circuit.state is not State.REMOVE
        and not (
            circuit.start in ends and circuit.back_end in ends and any(w.returning for w in circuit.wires)
        )
    ]
    why = words(
        "on its own cable and parts alone; not on what feeds it nor on the way back through other circuits: "
        "write it there too"
    )
    return tuple(
        Assumption(words("{circuit}: carries", circuit=each.name), f"{each.carries_a:.3g} A", why)
        for each in found
    )


def _thermal(setting: Setting, row: int, columns: _Columns, names: tuple[str, ...]) -> dict[str, float]:
    amps = np.abs(setting.flows.share[row]) * columns.steady
    return {names[k]: float(amps[k]) for k in np.flatnonzero(amps > 1e-9) if names[k] in setting.runs}


def converter_output_a(
    topology: Topology, settings: tuple[Setting, ...], amps: Mapping[str, float], machine: str
) -> float:
    """Largest current that the draws on a machine's output take from it, where it holds their voltage. [A]"""
    row = topology.index[machine]
    most = 0.0
    for setting in settings:
        if machine in setting.sources:
            shares = setting.flows.share[row]
            total = sum(
                abs(float(share)) * amps.get(name, 0.0)
                for name, share in zip(setting.flows.draws, shares, strict=True)
                if name in setting.runs
            )
            most = max(most, total)
    return most


def is_brief(topology: Topology, name: str) -> bool:
    """Tell whether a draw is a starter."""
    number = topology.index.get(name)
    if number is None:
        return False
    piece = topology.pieces[number]
    return piece.kind is PieceKind.LOAD and piece.load is not None and piece.load.kind is LoadKind.STARTER
