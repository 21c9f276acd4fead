"""Lines of a calculation about faults: how much flows, whether the fuse breaks it, how long that takes."""

from __future__ import annotations

from collections.abc import Iterator

from groundstrap.assess import CircuitAssessment
from groundstrap.assess.working_results import CircuitWorking, ClearingWorking, FaultWorking
from groundstrap.model import Part
from groundstrap.pack.content import CalculationLine
from groundstrap.pack.texts.phrases import Telling
from groundstrap.pack.texts.sums import added, margin, precise
from groundstrap.report.figures import amps, number, seconds
from groundstrap.report.reasons import source_words
from groundstrap.tables import BreakingCapacity, breaking_capacity, fuse_family_names
from groundstrap.words import words

__all__ = ["breaking_lines", "clearing_lines", "least_lines"]

_TINY_OHM = 5e-9


def _loop(what: str, found: FaultWorking) -> CalculationLine:
    """The resistance that a short sees, taken apart."""
    parts = [
        (words("source"), found.source_ohm),
        (words("cable"), found.cable_ohm),
        (words("crimps, contacts, body"), found.parts_ohm),
        (words("lead"), found.lead_ohm),
    ]
    terms = [(name, ohm) for name, ohm in parts if ohm > _TINY_OHM]
    formula = added([words("R({name})", name=name) for name, _ in terms])
    numbers = added([precise(1000.0 * ohm, "mohm") for _, ohm in terms])
    beside = -found.beside_ohm
    if beside < -_TINY_OHM:
        formula = words("{sum} + R(other batteries in the way)", sum=formula)
        numbers = words("{sum} + {rest}", sum=numbers, rest=precise(-1000.0 * beside, "mohm"))
    if beside > _TINY_OHM:
        formula = words("{sum} - R(what lies beside it)", sum=formula)
        numbers = words("{sum} - {beside}", sum=numbers, beside=precise(1000.0 * beside, "mohm"))
    return CalculationLine(
        what=words("R of {what}", what=what),
        formula=formula,
        numbers=numbers,
        result=precise(1000.0 * found.ohm, "mohm"),
    )


def _over(found: FaultWorking) -> str:
    return words(
        "{volts} / {ohms}", volts=precise(found.volts_v, "V"), ohms=precise(1000.0 * found.ohm, "mohm")
    )


def least_lines(
    telling: Telling, found: CircuitAssessment, working: CircuitWorking
) -> Iterator[CalculationLine]:
    """Yield the least fault at the far end: a weak cold battery through hot cable."""
    if working.least is None:
        return
    battery = working.least.battery
    source = (
        words("everything feeds it")
        if battery is None
        else words("{battery} alone, weak and cold; cable at its class", battery=telling.tag(battery))
    )
    yield _loop(words("a short at the far end"), working.least)
    fuses = [fuse for fuse in found.fuses.values() if fuse.rating_a is not None]
    smallest = min((fuse.rating_a or 0.0 for fuse in fuses), default=None)
    yield CalculationLine(
        what=words("Least fault at the far end"),
        formula=words("I = U / R; {source}", source=source),
        numbers=_over(working.least),
        result=precise(working.least.current_a, "A"),
        limit="" if smallest is None else words("2 x the fuse: {twice} or more", twice=amps(2.0 * smallest)),
        margin=""
        if smallest is None
        else words("{times} times the fuse", times=number(working.least.current_a / smallest, 2)),
        source=source_words("own-judgement"),
    )


def breaking_lines(telling: Telling, working: CircuitWorking) -> Iterator[CalculationLine]:
    """Yield the most that may flow into a fault right behind each fuse, against what that breaks."""
    for name, most in working.most.items():
        breaks_a, source = _breaks(telling, telling.parts[name])
        yield _loop(words("a short right behind {fuse}", fuse=telling.tag(name)), most)
        yield CalculationLine(
            what=words("Most fault at {fuse}", fuse=telling.tag(name)),
            formula=words("I = U / R; all sources strong, cable cold, the fuse bridged"),
            numbers=_over(most),
            result=precise(most.current_a, "A"),
            limit=words("what it breaks is not known")
            if breaks_a is None
            else words("breaks {capacity}", capacity=amps(breaks_a)),
            margin="" if breaks_a is None else margin(most.current_a, breaks_a),
            source=source,
        )


def _breaks(telling: Telling, part: Part) -> tuple[float | None, str]:
    """What a fuse breaks at the vehicle's volts, as written or by its family."""
    if part.interrupt_a is not None:
        return part.interrupt_a, words("as written in the job")
    family = telling.family(part)
    if family is None or family not in fuse_family_names():
        return None, ""
    capacity = breaking_capacity(family, telling.plan.installation.system_v)
    if not isinstance(capacity, BreakingCapacity):
        return None, ""
    return capacity.interrupt_a, source_words(capacity.source)


def clearing_lines(telling: Telling, clearing: ClearingWorking | None) -> Iterator[CalculationLine]:
    """Yield how long the least fault lasts at most: the slowest curve of the last fuse before it."""
    if clearing is None:
        return
    fault, rating = precise(clearing.fault_a, "A"), precise(clearing.rating_a, "A")
    low, slow_s = clearing.gates[0]
    at = {"fault": fault, "rating": rating, "slow": precise(slow_s, "s"), "low": precise(low)}
    if len(clearing.gates) == 1:
        formula = words("t = t_1 × (m_1 × I_n / I)²; beyond the last gate, (m_1, t_1), its heat integral")
        numbers = words("{slow} × ({low} × {rating} / {fault})²", **at)
    else:
        high, quick_s = clearing.gates[1]
        formula = words(
            "t = t_1 × (I / I_n / m_1) ^ (ln(t_2 / t_1) / ln(m_2 / m_1)); straight in logarithms between its "
            "gates (m_1, t_1) and (m_2, t_2)"
        )
        numbers = words(
            "{slow} × ({fault} / {rating} / {low}) ^ (ln({quick} / {slow}) / ln({high} / {low}))",
            high=precise(high),
            quick=precise(quick_s, "s"),
            **at,
        )
    yield CalculationLine(
        what=words("Slowest clearing of it by {fuse}", fuse=telling.tag(clearing.fuse)),
        formula=formula,
        numbers=numbers,
        result=precise(clearing.time_s, "s"),
        limit=words("about {time}", time=seconds(clearing.time_s)),
        source=source_words(clearing.source),
    )
