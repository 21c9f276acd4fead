"""What each draw takes for the two questions: continuous current, and current for the drop."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap.assess.currents import DrawDesign, converter_output_a, is_brief
from groundstrap.assess.figures import MOST_START_S, SOLAR_MARGIN
from groundstrap.assess.limits import drop_limit
from groundstrap.assess.links import Link, charged_through_a
from groundstrap.assess.settings import Setting, accepting, all_draws
from groundstrap.assess.supplies import SupplyFigures
from groundstrap.assess.topology import Piece, PieceKind, Topology
from groundstrap.assess.tree import source_of
from groundstrap.model import Load, LoadEstimate, Supply, SupplyKind
from groundstrap.records import replace

__all__ = ["draw_designs", "lasts"]


def draw_designs(
    topology: Topology,
    settings: tuple[Setting, ...],
    estimates: Mapping[str, LoadEstimate],
    figures: Mapping[str, SupplyFigures],
    links: tuple[tuple[Link, ...], ...],
) -> Mapping[str, DrawDesign]:
    """Return what every draw takes; converters' inputs take what hangs on their outputs."""
    result: dict[str, DrawDesign] = {}
    inputs: list[Piece] = []
    for piece in topology.pieces:
        if piece.kind is PieceKind.LOAD and piece.load is not None:
            blank = _blank(topology, settings, figures, piece.name)
            result[piece.name] = _load_design(topology, piece.load, estimates.get(piece.name), blank)
        elif piece.kind is PieceKind.MACHINE and piece.supply is not None:
            limit_a = figures[piece.supply.name].limit_a
            blank = _blank(topology, settings, figures, piece.name)
            result[piece.name] = _steady(blank, limit_a)
        elif piece.kind is PieceKind.INPUT:
            inputs.append(piece)
    for draw in all_draws(topology):
        if draw.name.endswith(" charge"):
            supply = next(s for s in topology.installation.supplies if accepting(s) == draw.name)
            blank = _blank(topology, settings, figures, draw.name)
            result[draw.name] = _steady(blank, _accepted_a(settings, links, figures, supply))
    for piece in inputs:
        result[piece.name] = _blank(topology, settings, figures, piece.name)
    # One pass more for each converter that stands behind another.
    for _ in inputs:
        for piece in inputs:
            result[piece.name] = _input_design(topology, settings, figures, result, piece)
    return result


def _accepted_a(
    settings: tuple[Setting, ...],
    links: tuple[tuple[Link, ...], ...],
    figures: Mapping[str, SupplyFigures],
    supply: str,
) -> float | None:
    """What a battery takes when it is charged, or what the way to it lets through if that is less. [A]"""
    accepts_a = figures[supply].accepts_a
    through_a = charged_through_a(settings, links, supply)
    return accepts_a if through_a is None or accepts_a is None else min(accepts_a, through_a)


def _blank(
    topology: Topology, settings: tuple[Setting, ...], figures: Mapping[str, SupplyFigures], name: str
) -> DrawDesign:
    """A draw with its source and the ends of that source's volts, taking nothing."""
    supply = source_of(topology, settings, name)
    nominal = topology.installation.system_v
    low, high = nominal, nominal
    if supply is not None:
        low, high, nominal = _ends(topology, settings, figures, supply, name)
    return DrawDesign(
        name=name,
        source=supply.name if supply is not None else None,
        low_v=low,
        high_v=high,
        allowed_v=_allowed_v(topology, name, nominal),
        continuous_low_a=0.0,
        continuous_high_a=0.0,
        drop_a=0.0,
        brief=is_brief(topology, name),
    )


def _ends(
    topology: Topology,
    settings: tuple[Setting, ...],
    figures: Mapping[str, SupplyFigures],
    supply: Supply,
    name: str,
) -> tuple[float, float, float]:
    """Low end, high end and nominal volts that a draw sees, over the batteries of a bank that it spans."""
    found = figures[supply.name]
    if supply.kind is not SupplyKind.BATTERY:
        return found.low_v, found.high_v, supply.nominal_v
    spanned = 0
    for setting in settings:
        number = setting.flows.draws.index(name)
        shares = [
            abs(float(setting.flows.share[topology.index[p.name], number]))
            for p in topology.pieces
            if p.kind is PieceKind.BATTERY and p.supply is supply and p.name in setting.sources
        ]
        if shares and max(shares) > 1e-6:
            spanned = sum(share > 0.5 * max(shares) for share in shares)
            break
    spanned = spanned or supply.series
    return found.low_v * spanned, found.high_v * spanned, supply.nominal_v * spanned / supply.series


def _allowed_v(topology: Topology, name: str, nominal_v: float) -> float:
    limits = [
        drop_limit(topology.installation, circuit, nominal_v).limit_v
        for circuit in topology.installation.circuits.values()
        if name in circuit.loads or (circuit.converter is not None and f"{circuit.converter} input" == name)
    ]
    return min(limits, default=0.05 * nominal_v)


def _load_design(
    topology: Topology, load: Load, estimate: LoadEstimate | None, blank: DrawDesign
) -> DrawDesign:
    del topology
    if estimate is None or not estimate.known or estimate.power_w is None:
        return replace(blank, known=False)
    at_drop_v = blank.low_v - blank.allowed_v
    inrush = 0.0 if load.inrush is None else load.inrush.current_a * load.count
    runs_at_a = inrush if lasts(load) else 0.0
    if estimate.exponent >= 0.0:
        return replace(
            blank,
            continuous_low_a=max(estimate.current_a(blank.low_v), runs_at_a),
            continuous_high_a=max(estimate.current_a(blank.high_v), runs_at_a),
            drop_a=estimate.current_a(blank.low_v),
            inrush_a=inrush,
        )
    lowest_v = at_drop_v if load.works is None else load.works.low
    return replace(
        blank,
        continuous_low_a=max(estimate.current_a(lowest_v), runs_at_a),
        continuous_high_a=max(estimate.current_a(blank.high_v), runs_at_a),
        drop_a=estimate.current_a(at_drop_v),
        inrush_a=inrush,
    )


def lasts(load: Load) -> bool:
    """Tell whether a written start lasts so long that it is a run at its current: a glow plug, say."""
    return load.inrush is not None and load.inrush.time_s is not None and load.inrush.time_s > MOST_START_S


def _steady(blank: DrawDesign, amps: float | None) -> DrawDesign:
    if amps is None:
        return replace(blank, known=False)
    return replace(blank, continuous_low_a=amps, continuous_high_a=amps, drop_a=amps)


def _input_design(
    topology: Topology,
    settings: tuple[Setting, ...],
    figures: Mapping[str, SupplyFigures],
    draws: Mapping[str, DrawDesign],
    piece: Piece,
) -> DrawDesign:
    supply = piece.supply
    assert supply is not None
    blank = draws[piece.name]
    found = figures[supply.name]
    if supply.kind is SupplyKind.SOLAR_CHARGER:
        panel = figures[blank.source] if blank.source is not None else None
        amps = panel.limit_a * SOLAR_MARGIN if panel is not None and panel.limit_a is not None else None
        return _steady(blank, amps)
    output_a = _output_a(topology, settings, draws, supply, found)
    if output_a is None:
        return replace(blank, known=False)
    watts = found.high_v * output_a / found.efficiency + found.idle_w
    at_drop_v = blank.low_v - blank.allowed_v
    return replace(
        blank,
        continuous_low_a=watts / at_drop_v,
        continuous_high_a=watts / blank.high_v,
        drop_a=watts / at_drop_v,
        known=not _feeds_unknown(topology, settings, draws, supply.name),
    )


def _feeds_unknown(
    topology: Topology, settings: tuple[Setting, ...], draws: Mapping[str, DrawDesign], machine: str
) -> bool:
    """Whether something of which nobody knows what it takes hangs on a machine that holds its voltage."""
    row = topology.index[machine]
    return any(
        name in setting.runs and not draws[name].known and abs(float(share)) > 1e-6
        for setting in settings
        if machine in setting.sources
        for name, share in zip(setting.flows.draws, setting.flows.share[row], strict=True)
    )


def _output_a(
    topology: Topology,
    settings: tuple[Setting, ...],
    draws: Mapping[str, DrawDesign],
    supply: Supply,
    found: SupplyFigures,
) -> float | None:
    """Current that a converter's output gives: what hangs on it, or its limit where it charges a battery."""
    if not any(supply.name in setting.sources for setting in settings):
        return found.limit_a
    known = {name: draw.continuous_a for name, draw in draws.items() if draw.known}
    wanted = converter_output_a(topology, settings, known, supply.name)
    return wanted if found.limit_a is None else min(wanted, found.limit_a)
