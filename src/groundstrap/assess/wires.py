"""Each wire rated: ampacity where it lies, hottest temperature, smallest size allowed."""

from __future__ import annotations

import math

from groundstrap.assess.comeback import circuits_back
from groundstrap.assess.conductors import Conductor, conductor, insulation_of, stretch_ampacity
from groundstrap.assess.currents import PieceCurrents
from groundstrap.assess.figures import BEST_INSULATION
from groundstrap.assess.lengthless import at_any_length
from groundstrap.assess.results import StretchAmpacity, WireAssessment
from groundstrap.assess.thermal import conductor_c, is_pulsed, overload_share, thermal_share
from groundstrap.assess.wiring import Wiring
from groundstrap.model import Installation, State, Wire
from groundstrap.records import replace
from groundstrap.tables import Insulation, minimum_size
from groundstrap.units import ConductorSize

__all__ = ["assess_wire", "minimum_mm2", "thermal_need_a"]


def minimum_mm2(installation: Installation) -> float:
    """Smallest conductor that the basis allows. [mm2]"""
    sizes = "awg" if installation.sizes == "awg" else "metric"
    return minimum_size(installation.basis.value, sizes=sizes).area_mm2


_NOTHING = PieceCurrents(
    continuous_a=0.0, drop_a=0.0, peak_a=0.0, known_a=0.0, thermal_shares={}, loads=(), shared=False
)
"""Of a wire that is no piece of the network."""


def assess_wire(wiring: Wiring, wire: Wire) -> WireAssessment:
    """Return one wire rated; what hangs on a size or a load that nobody knows stays unknown."""
    found = at_any_length(wiring, ("wire", wire.name), lambda bare: _assess_wire(bare, _named(bare, wire)))
    laid = zip(found.stretches, wiring.lies[wire.name], strict=False)
    stretches = tuple(replace(stretch, length_m=lie.length_m) for stretch, lie in laid)
    return replace(found, length_m=wire.length_m, stretches=stretches)


def _named(wiring: Wiring, wire: Wire) -> Wire:
    """The wire of the same name in another wiring."""
    return next(each for each in wiring.installation.circuits[wire.circuit].wires if each.name == wire.name)


def _assess_wire(wiring: Wiring, wire: Wire) -> WireAssessment:
    carried = wiring.currents.pieces.get(wire.name, _NOTHING)
    continuous = carried.continuous_a
    one = None if wire.size is None else conductor(wire, wire.size, wiring.installation.basis)
    stretches = _stretches(wiring, wire, one)
    weakest = _weakest(stretches)
    known, hottest = _known_insulation(wiring, wire), _hottest(wiring, wire, one, continuous)
    return WireAssessment(
        name=wire.name,
        circuit=wire.circuit,
        start=wire.start,
        end=wire.end,
        returning=wire.returning,
        length_m=wire.length_m,
        area_mm2=wire.area_mm2,
        ohm_per_m_20c=one.data.ohm_per_m_20c / wire.parallel if one is not None else None,
        insulation=None if known is None else known.name,
        insulation_c=None if known is None else known.class_c,
        continuous_a=continuous,
        known_a=carried.known_a,
        drop_a=carried.drop_a,
        peak_a=carried.peak_a,
        thermal_a=_thermal(wiring, wire, one, continuous),
        known_thermal_a=_thermal(wiring, wire, one, carried.known_a) or 0.0,
        loads=carried.loads,
        bounds_back=circuits_back(wiring, wire.name),
        stretches=stretches,
        ampacity_a=None if weakest is None else weakest.ampacity_a,
        weakest_zone=weakest.zone if weakest is not None else None,
        ampacity_best_a=_best(wiring, wire, stretches),
        insulation_assumed=_is_assumed(wire),
        overload_a=_overload(wiring, wire, one, stretches),
        lasting_a=wiring.lasting_a.get(wire.name, 0.0),
        lasting_limit_a=_lasting_limit(stretches),
        minimum_mm2=minimum_mm2(wiring.installation),
        conductor_c=hottest,
        class_c=known.class_c if known is not None else None,
        shared=carried.shared,
        unknown=_unknown(continuous, weakest, hottest),
    )


def _stretches(wiring: Wiring, wire: Wire, one: Conductor | None) -> tuple[StretchAmpacity, ...]:
    """What the tables allow for each of its pieces; none where its size is not known."""
    if one is None:
        return ()
    basis = wiring.installation.basis
    return tuple(stretch_ampacity(one, lie, basis, wire.parallel) for lie in wiring.lies[wire.name])


def _unknown(
    continuous_a: float | None, weakest: StretchAmpacity | None, hottest_c: float | None
) -> tuple[str, ...]:
    unknown: tuple[str, ...] = () if continuous_a is not None else ("continuous_a", "drop_a", "peak_a")
    unknown += ("ampacity_a",) if weakest is None or weakest.ampacity_a is None else ()
    return unknown + (("conductor_c",) if hottest_c is None else ())


def _weakest(stretches: tuple[StretchAmpacity, ...]) -> StretchAmpacity | None:
    """The stretch that decides; one that no table answers for decides before every other."""
    silent = [s for s in stretches if s.ampacity_a is None]
    if silent:
        return silent[0]
    return min(stretches, key=lambda s: s.ampacity_a or 0.0, default=None)


def _is_assumed(wire: Wire) -> bool:
    return wire.insulation is None and wire.state is State.EXISTING


def _best(wiring: Wiring, wire: Wire, stretches: tuple[StretchAmpacity, ...]) -> float | None:
    """Ampacity with the best insulation that is usual, over the pieces that a table answers for. [A]"""
    if wire.size is not None and _is_assumed(wire):
        better = replace(wire, insulation=BEST_INSULATION)
        one = conductor(better, wire.size, wiring.installation.basis)
        laid = (replace(lie, guessed=False) for lie in wiring.lies[wire.name])
        stretches = tuple(
            stretch_ampacity(one, lie, wiring.installation.basis, wire.parallel) for lie in laid
        )
    known = [s.ampacity_a for s in stretches if s.ampacity_a is not None]
    return min(known, default=None)


def _overload(
    wiring: Wiring, wire: Wire, one: Conductor | None, stretches: tuple[StretchAmpacity, ...]
) -> float | None:
    """Current that may never open a fuse and that it stands all the same: class + 50 K. [A]"""
    if one is None:
        return None
    limits = [
        s.ampacity_a * overload_share(one.insulation, lie.ambient_c, one.data.alpha20_per_k)
        for s, lie in zip(stretches, wiring.lies[wire.name], strict=True)
        if s.ampacity_a is not None
    ]
    return min(limits) if limits and len(limits) == len(stretches) else None


def _known_insulation(wiring: Wiring, wire: Wire) -> Insulation | None:
    guessed = any(lie.guessed for lie in wiring.lies[wire.name])
    return None if guessed else insulation_of(wire, wiring.installation.basis)


def _lasting_limit(stretches: tuple[StretchAmpacity, ...]) -> float | None:
    """Most that may go on round the clock over all its pieces; None where one is not known. [A]"""
    limits = [s.lasting_limit_a for s in stretches if s.lasting_limit_a is not None]
    return min(limits) if limits and len(limits) == len(stretches) else None


def _hottest(wiring: Wiring, wire: Wire, one: Conductor | None, amps: float | None) -> float | None:
    """Hottest temperature of the wire over the zones it crosses; None where it is not known. [degC]"""
    if one is None or amps is None:
        return None
    carried = wiring.currents.pieces.get(wire.name)
    pulses = carried.pulses if carried is not None else {}
    each = [
        conductor_c(one, lie, amps / wire.parallel, pulses, wiring.installation.loads)
        for lie in wiring.lies[wire.name]
    ]
    hottest = max(each)
    return hottest if math.isfinite(hottest) else None


def _thermal(wiring: Wiring, wire: Wire, one: Conductor | None, amps: float | None) -> float | None:
    if one is None or amps is None:
        return None
    carried = wiring.currents.pieces.get(wire.name)
    if carried is None or not is_pulsed(carried.pulses, wiring.installation.loads):
        return amps
    share = max(
        thermal_share(one, lie, carried.pulses, wiring.installation.loads) for lie in wiring.lies[wire.name]
    )
    return amps * math.sqrt(share)


def thermal_need_a(wiring: Wiring, wire: Wire, size: ConductorSize) -> float | None:
    """Steady current that heats a wire of this size as much as the duty of its loads does. [A]"""
    carried = wiring.currents.pieces.get(wire.name)
    amps = carried.continuous_a if carried is not None else 0.0
    return _thermal(wiring, wire, conductor(wire, size, wiring.installation.basis), amps)
