"""Readings with everything off: open circuit where nothing may conduct, ohms of each way back and coil."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any, Final

from groundstrap.assess.isolating import isolation_of
from groundstrap.assess.working_results import CircuitWorking, PieceDrop
from groundstrap.model import Circuit, Load, LoadKind, PartKind, State, SupplyKind, Uncertain
from groundstrap.report.figures import ohms
from groundstrap.report.plan import Plan
from groundstrap.report.test_points import Band, Method, TestPoint, banded
from groundstrap.tables import meter
from groundstrap.words import joined, words

__all__ = ["dead_points", "unread_returns"]

_OPEN_OHM: Final = 100_000.0
"""Least ohms from plus to minus with nothing connected: damp dirt leaves as much; common practice. [ohm]"""
_LEADS_OHM: Final = 0.2
"""What a meter of a tenth of an ohm and nulled leads may show beyond the way itself; own judgement. [ohm]"""
_ACROSS_OHM: Final = 680.0
"""Resistor that lies across a coil where one is written: as in the table of suppression. [ohm]"""
_OPEN: Final = Band(_OPEN_OHM, None)


def dead_points(plan: Plan, workings: Mapping[str, CircuitWorking], meter_name: str) -> tuple[TestPoint, ...]:
    """Return what is read before first power: fuses out, loads off, leads off the posts."""
    new = [each for each in plan.installation.circuits.values() if each.state is State.NEW]
    live = isolation_of(plan.installation).ever
    found = (
        *(point for circuit in new for point in _insulation(plan, circuit, live)),
        *(p for circuit in new for p in _way_back(plan, circuit, workings) if _is_read(p, meter_name)),
        *(point for circuit in new for point in _coils(plan, circuit, meter_name)),
        *_isolators(plan),
    )
    # A load on two circuits is measured once.
    return tuple({(each.how, each.red, each.black): each for each in reversed(found)}.values())[::-1]


def unread_returns(plan: Plan, workings: Mapping[str, CircuitWorking], meter_name: str) -> tuple[str, ...]:
    """Return the new circuits whose way back has less ohms than the last digit of a meter shows."""
    new = [each for each in plan.installation.circuits.values() if each.state is State.NEW]
    found = (point for circuit in new for point in _way_back(plan, circuit, workings))
    return tuple(dict.fromkeys(p.circuit or "" for p in found if not _is_read(p, meter_name)))


def _is_read(point: TestPoint, meter_name: str) -> bool:
    return (point.expected or 0.0) >= meter(meter_name).resistance.resolution


def _insulation(plan: Plan, circuit: Circuit, live: frozenset[str]) -> Iterator[TestPoint]:
    """Plus to minus, with the plus of whatever would be read as well taken off."""
    out = [wire for wire in circuit.wires if not wire.returning]
    supply = plan.installation.supplies.get(plan.assessment.circuits[circuit.name].source or "")
    if not out or supply is None or not any(wire.name in live for wire in out):
        return
    red, unplug = _red(plan, circuit, out[-1].end)
    yield _open(
        circuit=circuit.name,
        red=red,
        black=_minus(plan, circuit) or supply.minus,
        how=words(
            "Plus to minus and to bare metal: fuses out, switches open, loads off; at a battery the lug that "
            "is off its post."
        ),
        note=unplug,
    )


def _ohms(**at: Any) -> TestPoint:
    """A reading with everything off."""
    return TestPoint(method=Method.OHMS, unit="ohm", when=None, **at)


def _open(**at: Any) -> TestPoint:
    """A reading where nothing may conduct."""
    return _ohms(expected=None, look=_OPEN, fails=_OPEN, source="common-practice", **at)


def _red(plan: Plan, circuit: Circuit, end: str) -> tuple[str, str]:
    """Point of the red lead, never a battery's own post, and what has to be taken off before."""
    supplies = plan.installation.supplies.values()
    batteries = {s.plus for s in supplies if s.kind is SupplyKind.BATTERY}
    if end in batteries:
        machine = next((s.name for s in supplies if s.plus == circuit.start), circuit.start)
        return circuit.start, words("plus of {load} off", load=machine)
    if any(s.plus == circuit.start and s.kind is SupplyKind.SOLAR for s in supplies):
        return end, words("panel parted, plus of {load} off", load=circuit.converter or circuit.end)
    if circuit.converter is not None:
        return end, words("plus of {load} off", load=circuit.converter)
    # A switch lies before its load: open, it leaves the load's own ohms between the two leads all the same.
    loads = dict.fromkeys(name for name in circuit.loads if name in plan.installation.loads)
    return end, words("plus of {load} off", load=joined(", ", loads)) if loads else ""


def _minus(plan: Plan, circuit: Circuit) -> str | None:
    """The negative terminal of the load at its end, or of the converter that it feeds."""
    for name in reversed(circuit.loads):
        if name in plan.installation.loads:
            return plan.installation.loads[name].minus
    converter = plan.installation.supplies.get(circuit.converter or "")
    return None if converter is None else converter.in_minus


def _way_back(plan: Plan, circuit: Circuit, workings: Mapping[str, CircuitWorking]) -> Iterator[TestPoint]:
    """Ohms from the load's minus to the post that it goes back to; its volts under load say it better."""
    working, drop = workings.get(circuit.name), plan.assessment.circuits[circuit.name].drop
    load = plan.installation.loads.get(drop.load or "")
    source = plan.installation.supplies.get(drop.source or "")
    if working is None or working.drop is None or load is None or source is None or not working.drop.out:
        return
    back = working.drop.pieces[working.drop.out :]
    ohm = sum(_cold_ohm(piece) for piece in back)
    yield _ohms(
        circuit=circuit.name,
        red=load.minus,
        black=source.minus,
        expected=ohm,
        look=Band(None, ohm + _LEADS_OHM),
        fails=Band(None, ohm + 2.0 * _LEADS_OHM),
        how=words("Ways back, to the lug that is off its post: leads nulled, their ohms taken off."),
        source="own-judgement",
    )


def _cold_ohm(piece: PieceDrop) -> float:
    """Resistance of a piece at 20 degC. [ohm]"""
    if piece.wire is None or piece.ohm_per_m_20c is None:
        return piece.ohm
    return piece.ohm_per_m_20c * piece.wire.length_m + (piece.ends_ohm or 0.0)


def _coils(plan: Plan, circuit: Circuit, meter_name: str) -> Iterator[TestPoint]:
    """Ohms of a relay's coil by what it draws."""
    for name in circuit.loads:
        load, vetted = plan.installation.loads.get(name), plan.vetting.loads.get(name)
        if load is None or vetted is None or load.kind is not LoadKind.COIL:
            continue
        power_w, at_v = vetted.estimate.power_w, vetted.estimate.at_v
        if power_w is None or power_w.low <= 0.0 or load.state is State.EXISTING:
            continue
        suppressor = _suppressor(plan, load)
        across = _ACROSS_OHM if suppressor == "resistor" else math.inf
        # A resistor that nobody rules out may lie across it and lower the reading.
        least = _ACROSS_OHM if suppressor in {None, "resistor"} else math.inf
        ohm = Uncertain(
            _beside(at_v**2 / power_w.value, across),
            _beside(at_v**2 / power_w.high, least),
            _beside(at_v**2 / power_w.low, across),
        )
        look, fails = banded(ohm, "resistance", meter_name)
        yield _ohms(
            circuit=circuit.name,
            red=load.plus,
            black=load.minus,
            expected=ohm.value,
            look=Band(max(look.low or 0.0, 0.0), look.high),
            fails=Band(max(fails.low or 0.0, 0.0), fails.high),
            how=words("Coils, red lead on plus: a diode across one blocks then."),
            note=_across_words(suppressor),
        )


def _beside(ohm: float, other_ohm: float) -> float:
    """Two resistances side by side. [ohm]"""
    return 1.0 / (1.0 / ohm + 1.0 / other_ohm)


def _suppressor(plan: Plan, coil: Load) -> str | None:
    """What lies across a coil, as its relay says it."""
    gear = plan.installation.gear.get(coil.relay or "")
    if gear is not None:
        return gear.suppressor
    parts = (part for part in plan.installation.parts() if part.name == coil.relay)
    return next((part.suppressor for part in parts), None)


def _across_words(suppressor: str | None) -> str:
    """What lies across a coil and how it shows."""
    if suppressor == "resistor":
        return words("with a resistor of {ohm} across it", ohm=ohms(_ACROSS_OHM))
    if suppressor == "diode":
        return words("the other way round its diode shows, some 0.6 V on the diode range")
    return "" if suppressor == "none" else words("less where a resistor lies across it")


def _isolators(plan: Plan) -> Iterator[TestPoint]:
    """Open isolators conduct nothing."""
    seen: set[str] = set()
    for circuit in plan.installation.circuits.values():
        for part in circuit.parts if circuit.state is State.NEW else ():
            owner = part.gear or part.name
            if part.kind is PartKind.ISOLATOR and owner not in seen and part.state is not State.EXISTING:
                seen.add(owner)
                yield _open(
                    circuit=circuit.name,
                    red=part.start,
                    black=part.end,
                    part=owner,
                    how=words("Isolators open; closed they show nearly nothing."),
                )
