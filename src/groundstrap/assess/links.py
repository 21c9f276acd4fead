"""What the way to a battery lets through where something else charges it: volts between them over its ohms.

A far battery holds its own end up. So whatever runs there, the cable to it carries no more than the volts
between its ends drive through its own resistance, and what the far battery's inner resistance leaves to it of
the loads there. A cable whose size is still to be chosen has no resistance here, so it must carry everything.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.figures import ACCEPTANCE_PER_HOUR
from groundstrap.assess.parts import arm_ends, part_ends, tie_ends
from groundstrap.assess.settings import Setting, accepting
from groundstrap.assess.supplies import SupplyFigures
from groundstrap.assess.topology import Piece, PieceKind, Topology
from groundstrap.model import Assumption, Installation, PartKind, State, Supply, SupplyKind
from groundstrap.physics.conductor import ohm_per_m
from groundstrap.records import dataclass
from groundstrap.tables import rested_curve, rested_voltage_v
from groundstrap.words import words

__all__ = ["Link", "acceptance_assumptions", "charged_through_a", "empty_v", "links_of"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

_COPPER_OHM_MM2_PER_M, _COPPER_PER_K = 1.0 / 58.0, 0.00393
"""Annealed copper at 20 degC. Source: iec-60028."""

_EMPTY_PCT = 5.0
"""Charge of a battery that counts as empty; what lies below lasts minutes only. Own judgement."""

_WHOLE = 1.0 - 1e-6

_PART_A = 10.0
"""Current at which a part counts whose resistance hangs on it; at its low end it hardly matters. [A]"""


@dataclass(frozen=True, slots=True)
class Link:
    """Pieces in a row between a battery and all that charges it in one setting, out and back."""

    battery: str
    rows: Bools
    """Pieces of which all that they carry goes to this battery's side."""
    above: Bools
    """Pieces before them that carry the same and more."""
    far: Bools
    """Draws on this battery's side."""
    volts_v: float
    """Most between the nearer side and this battery when it is empty. [V]"""
    ohm: float
    """Least resistance of the whole way, the battery's own included. [ohm]"""
    own_ohm: float
    """Of the battery when it is weak and cold. [ohm]"""
    gain: Floats
    """Most amps through a piece for one amp of each draw. [1]"""
    unknown: tuple[str, ...]
    """Pieces in the way whose size or kind nobody knows."""

    @property
    def charge_a(self) -> float:
        """Most that flows with nothing on at the battery's side. [A]"""
        return self.volts_v / self.ohm


def links_of(
    topology: Topology, settings: Sequence[Setting], figures: Mapping[str, SupplyFigures]
) -> tuple[tuple[Link, ...], ...]:
    """Return for every setting the ways to batteries that hold no voltage in it; none with one battery."""
    if len(_batteries(topology.installation)) < 2:
        return tuple(() for _ in settings)
    ohms = np.array([_least_ohm(topology.installation, piece) for piece in topology.pieces])
    return tuple(
        tuple(_links(topology, setting, figures, ohms)) if setting.charging else () for setting in settings
    )


def charged_through_a(
    settings: Sequence[Setting], links: Sequence[Sequence[Link]], battery: str
) -> float | None:
    """Most that comes to a battery through what is drawn to it; None where something charges it directly. [A]

    It is the largest over the settings that charge it.
    """
    most: float | None = None
    for setting, found in zip(settings, links, strict=True):
        if not setting.charging:
            continue
        own = [link.charge_a for link in found if link.battery == battery]
        column = setting.flows.draws.index(accepting(battery))
        if own:
            most = max(most or 0.0, min(own))
        elif setting.flows.served[column]:
            return None
    return most


def acceptance_assumptions(
    installation: Installation, figures: Mapping[str, SupplyFigures], links: Sequence[Sequence[Link]]
) -> tuple[Assumption, ...]:
    """Return what is taken to flow into each battery that something beyond a cable charges.

    The cable there carries it for the first hour or two: to a cable that is for ever.
    """
    result = []
    for battery in _batteries(installation):
        accepts_a = figures[battery.name].accepts_a
        own = [[link.charge_a for link in found if link.battery == battery.name] for found in links]
        through_a = max((min(each) for each in own if each), default=None)
        if through_a is None or accepts_a is None or battery.limit_a is not None:
            continue
        share_pct = 100.0 * ACCEPTANCE_PER_HOUR[battery.chemistry or "flooded"]
        why = words(
            "{share} % of its Ah, which it takes for the first hour or two while it is empty",
            share=f"{share_pct:g}",
        )
        if through_a < accepts_a:
            why = words("what its cable lets through at first, while it is empty")
        why += words("; less as it fills, but to a cable the first hour is for ever (own judgement)")
        amps = min(accepts_a, through_a)
        result.append(
            Assumption(words("{name}: takes when charged", name=battery.name), f"{amps:.3g} A", why)
        )
    return tuple(result)


def _batteries(installation: Installation) -> list[Supply]:
    return [
        supply
        for supply in installation.supplies.values()
        if supply.kind is SupplyKind.BATTERY and supply.state is not State.REMOVE
    ]


def _links(
    topology: Topology, setting: Setting, figures: Mapping[str, SupplyFigures], ohms: Floats
) -> Iterable[Link]:
    """One link for each set of batteries that lie behind the same pieces, the smallest set last."""
    share, draws = setting.flows.share, setting.flows.draws
    batteries = [b for b in _batteries(topology.installation) if accepting(b.name) in draws]
    columns = [draws.index(accepting(battery.name)) for battery in batteries]
    charged = np.abs(share[:, columns]) > 1e-6
    conducts = np.array([piece.conducts for piece in topology.pieces])
    for number, battery in enumerate(batteries):
        whole = (np.abs(share[:, columns[number]]) >= _WHOLE) & conducts
        for behind in np.unique(charged[whole], axis=0):
            near = [b for b, far in zip(batteries, behind, strict=True) if not far]
            # With all the others behind it too it is the machine's own cable, sized by what that gives.
            if near:
                rows = whole & np.all(charged == behind, axis=1)
                way = whole & np.all(charged <= behind, axis=1)
                found = _link(topology, setting, figures, ohms, (battery, rows, way))
                if found is not None:
                    yield found


def _link(
    topology: Topology,
    setting: Setting,
    figures: Mapping[str, SupplyFigures],
    ohms: Floats,
    ends: tuple[Supply, Bools, Bools],
) -> Link | None:
    battery, rows, way = ends
    share = setting.flows.share
    own = share[:, setting.flows.draws.index(accepting(battery.name))]
    far = np.any(np.abs(share[rows]) > 1e-6, axis=0)
    near_v = _near_v(topology, setting, figures, far)
    if near_v is None:
        return None
    found = figures[battery.name]
    volts_v = max(near_v - empty_v(battery, found), 0.0)
    ohm = float(ohms[way].sum()) + found.ohm.low * battery.series
    own_ohm = found.cold_ohm * battery.series
    weak_ohm = float(ohms[way].sum()) + own_ohm
    along = share * np.sign(own)[:, None]
    # A load between the piece and the battery pulls its own way out of the piece; one before it spares it.
    gain = np.maximum(along - (ohms[way] @ along[way]) / weak_ohm, 0.0)
    gain[:, setting.flows.draws.index(accepting(battery.name))] = 0.0
    above = (np.abs(own) >= _WHOLE) & ~way
    unknown = tuple(
        topology.pieces[row].name for row in np.flatnonzero(way) if _unknown(topology.pieces[row])
    )
    return Link(battery.name, rows, above, far, volts_v, ohm, own_ohm, gain, unknown)


def _near_v(
    topology: Topology, setting: Setting, figures: Mapping[str, SupplyFigures], far: Bools
) -> float | None:
    """Highest volts on the nearer side: of what feeds there, or of a battery there that is full. [V]"""
    draws, share = setting.flows.draws, setting.flows.share
    holding = [topology.index[name] for name in setting.sources]
    charged = any(topology.pieces[row].kind is PieceKind.MACHINE for row in holding)
    found = []
    for name, supply in topology.installation.supplies.items():
        is_battery = supply.kind is SupplyKind.BATTERY
        draw = accepting(name) if is_battery else name
        if draw not in draws:
            continue
        column = draws.index(draw)
        reached = bool(np.any(np.abs(share[holding, column]) > 1e-6))
        if name in setting.sources or (reached and not far[column]):
            found.append(_high_v(supply, figures[name], charged=charged))
    return max(found, default=None)


def _high_v(supply: Supply, found: SupplyFigures, *, charged: bool) -> float:
    """High end of a supply; that of a battery which nothing charges is its rested volts when full. [V]"""
    if supply.kind is not SupplyKind.BATTERY:
        return found.high_v
    return (found.high_v if charged else found.full_v) * supply.series


def empty_v(battery: Supply, found: SupplyFigures) -> float:
    """Rested volts of an empty battery or bank, or less where that is written. [V]"""
    chemistry = battery.chemistry or "flooded"
    least_pct = max(_EMPTY_PCT, rested_curve(chemistry).soc_pct[0])
    scale = battery.nominal_v / battery.series / 12.0
    return min(rested_voltage_v(chemistry, least_pct) * scale, found.low_v, found.emf_v) * battery.series


def _unknown(piece: Piece) -> bool:
    """Whether nobody knows what it is, other than that it is still to be chosen."""
    if piece.wire is not None:
        exists = piece.wire.unknown or piece.wire.state is not State.NEW
        return (piece.wire.size is None and exists) or not piece.wire.length_known
    return piece.part is not None and piece.part.kind is PartKind.UNKNOWN


def _least_ohm(installation: Installation, piece: Piece) -> float:
    """Least resistance: bare copper at 20 degC without its ends, parts at their low end. [ohm]

    What lies colder passes more, but may carry more too: its ampacity is judged in its hottest air. What is
    not written has none.
    """
    if piece.wire is not None:
        if piece.wire.area_mm2 is None or _unknown(piece):
            return 0.0
        return piece.wire.length_m * ohm_per_m(
            piece.wire.area_mm2,
            20.0,
            rho20_ohm_mm2_per_m=_COPPER_OHM_MM2_PER_M,
            alpha20_per_k=_COPPER_PER_K,
            lay_factor=1.0,
        )
    if piece.part is not None:
        written = piece.part.resistance_ohm is not None or piece.part.rating_a is not None
        known = piece.part.kind is not PartKind.UNKNOWN and written
        return part_ends(installation, piece.part, _PART_A).low if known else 0.0
    if piece.kind is PieceKind.TIE and piece.tie is not None:
        return tie_ends(piece.tie).low
    return arm_ends(installation.body).low if piece.kind is PieceKind.BODY else 0.0
