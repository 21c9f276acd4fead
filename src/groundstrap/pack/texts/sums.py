"""Lines of a calculation: what a circuit must carry, what it may carry, and what its fuse must be."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from groundstrap.assess import CircuitAssessment, FuseAssessment, ReasonKind, StretchAmpacity, WireAssessment
from groundstrap.assess.working_results import CircuitWorking, DrawWorking, HeatWorking
from groundstrap.pack.content import CalculationLine
from groundstrap.pack.texts.phrases import Telling
from groundstrap.report.carried import short_run_s
from groundstrap.report.figures import amps, kelvins, number, percent, watts
from groundstrap.report.reasons import least_words, most_words, source_words
from groundstrap.words import words

__all__ = [
    "added",
    "ampacity_lines",
    "current_lines",
    "heat_lines",
    "margin",
    "multiplied",
    "precise",
    "window_lines",
]

_FIGURES = 5
"""Figures that numbers within a sum are printed with, so that its result follows from what is printed."""
_ALIKE = 1e-6


def precise(value: float, unit: str = "") -> str:
    """Return a number of a sum, precise enough to reckon on with.

    >>> precise(9.473684, "A"), precise(0.5)
    ('9.4737 A', '0.5')
    """
    return f"{number(value, _FIGURES)} {unit}".rstrip()


def added(values: Iterable[str]) -> str:
    """Return terms with plus signs between.

    >>> str(added(["1 A", "2 A"]))
    '1 A + 2 A'
    """
    every = list(values)
    text = every[0] if every else ""
    for term in every[1:]:
        text = words("{before} + {term}", before=text, term=term)
    return text


def multiplied(values: Sequence[str]) -> str:
    """Return factors with signs of multiplication between.

    >>> str(multiplied(["60 A", "0.5"]))
    '60 A × 0.5'
    """
    text = values[0] if values else ""
    for factor in values[1:]:
        text = words("{before} × {factor}", before=text, factor=factor)
    return text


def margin(value: float, limit: float) -> str:
    """Return what is left between a value and the limit above it, as a share of the limit.

    >>> str(margin(7.5, 10.0)), str(margin(12.0, 10.0))
    ('25.0 % left', '20.0 % too much')
    """
    left = 100.0 * (1.0 - value / limit)
    if left < 0.0:
        return words("{share} too much", share=percent(-left))
    return words("{share} left", share=percent(left))


def current_lines(
    telling: Telling, found: CircuitAssessment, working: CircuitWorking
) -> Iterator[CalculationLine]:
    """Yield what each load takes at the worse end of its supply's volts, and their sum."""
    own = [draw for draw in working.draws if not draw.brief]
    lines = [line for draw in own if (line := _draw_line(telling, draw)) is not None]
    circuit = telling.plan.installation.circuits[found.name]
    single = len(own) == 1 or set(circuit.loads) >= {draw.name for draw in own}
    if single:
        yield from lines
    if found.continuous_a == 0.0:
        yield _design(words("nothing on it runs for long; what runs briefly counts by its start"), 0.0)
    if not found.continuous_a or (len(own) == 1 and not circuit.carries_a):
        return
    summed = _summed(own, found.continuous_a - (circuit.carries_a or 0.0))
    if summed is None:
        largest = words(
            "the largest sum of what may be on together, over all positions of switches and sources"
        )
        yield _design(largest, found.continuous_a)
        return
    terms = [precise(value, "A") for value in summed if value]
    if circuit.carries_a:
        terms.append(precise(circuit.carries_a, "A"))
    yield _design(
        words("I_B = sum of all behind it, at the same end of the volts"),
        found.continuous_a,
        numbers=added(terms),
        source=source_words("own-judgement") if circuit.carries_a else "",
    )


def _design(formula: str, current_a: float, *, numbers: str = "", source: str = "") -> CalculationLine:
    """What a circuit carries for hours."""
    return CalculationLine(
        what=words("Design current I_B of the circuit"),
        formula=formula,
        numbers=numbers,
        result=precise(current_a, "A"),
        source=source,
    )


def _summed(own: Sequence[DrawWorking], wanted_a: float) -> list[float] | None:
    """The terms that add up to a current: all at the low end, or all at the high end."""
    for terms in ([draw.low_a for draw in own], [draw.high_a for draw in own]):
        if terms and math.isclose(sum(terms), wanted_a, rel_tol=_ALIKE):
            return terms
    return None


def _draw_line(telling: Telling, draw: DrawWorking) -> CalculationLine | None:
    """One load: its power over volts, as its kind follows the volts."""
    low = draw.low_a >= draw.high_a
    amps_ = draw.low_a if low else draw.high_a
    volts_v = draw.lowest_v if low else draw.high_v
    what = words("Current of {load}", load=telling.tag(draw.name))
    if draw.converter is not None:
        what = words("Current into {converter}", converter=telling.tag(draw.name.removesuffix(" input")))
    end = words("lowest volts it runs at") if low else words("highest volts of its supply")
    if draw.converter is not None:
        return _converter_line(what, draw)
    estimate = draw.estimate
    if estimate is None or estimate.power_w is None:
        return None
    power, at_v = precise(estimate.power_w.value, "W"), precise(estimate.at_v, "V")
    if not math.isclose(estimate.current_a(volts_v), amps_, rel_tol=_ALIKE):
        text = words("its start lasts so long that it counts as a run: I = I_start")
        return CalculationLine(what=what, formula=text, numbers="", result=precise(amps_, "A"))
    at = precise(volts_v, "V")
    if estimate.exponent == -1.0:
        formula, numbers = words("I = P / U"), words("{power} / {at}", power=power, at=at)
    elif estimate.exponent == 0.0:
        formula, numbers = words("I = P / U_0"), words("{power} / {at}", power=power, at=at_v)
    else:
        formula = words("I = P / U_0 × (U / U_0) ^ n")
        numbers = words(
            "{power} / {base} × ({at} / {base}) ^ {exponent}",
            power=power,
            base=at_v,
            at=at,
            exponent=number(estimate.exponent),
        )
    limit = words("U: {end}", end=end) if estimate.exponent != 0.0 else ""
    return CalculationLine(
        what=what, formula=formula, numbers=numbers, result=precise(amps_, "A"), limit=limit
    )


def _converter_line(what: str, draw: DrawWorking) -> CalculationLine:
    found = draw.converter
    assert found is not None
    return CalculationLine(
        what=what,
        formula=words("I = (U_out × I_out / η + P_idle) / U"),
        numbers=words(
            "({volts} × {amps} / {efficiency} + {idle}) / {at}",
            volts=precise(found.output_v, "V"),
            amps=precise(found.output_a, "A"),
            efficiency=number(found.efficiency),
            idle=watts(found.idle_w),
            at=precise(draw.lowest_v, "V"),
        ),
        result=precise(draw.low_a, "A"),
        limit=words("U: {end}", end=words("lowest volts it runs at")),
    )


def ampacity_lines(telling: Telling, found: CircuitAssessment) -> Iterator[CalculationLine]:
    """Yield what the weakest cable may carry where it lies: the table's value times each factor."""
    rated = [wire for wire in found.wires.values() if wire.ampacity_a is not None]
    if found.ampacity_a is None or not rated:
        return
    wire = min(rated, key=lambda each: each.ampacity_a or 0.0)
    known = [stretch for stretch in wire.stretches if stretch.ampacity_a is not None]
    stretch = min(known, key=lambda each: each.ampacity_a or 0.0)
    carried, cable = wire.continuous_a, telling.cable(wire.name)
    yield CalculationLine(
        what=words("Ampacity I_Z of cable {cable}, in {zone}", cable=cable, zone=stretch.zone),
        formula=_factors_formula(stretch),
        numbers=_factors(stretch),
        result=precise(stretch.ampacity_a or 0.0, "A"),
        limit="" if carried is None else words("I_B = {carried} or more", carried=precise(carried, "A")),
        margin="" if carried is None else margin(carried, stretch.ampacity_a or 1.0),
        source=source_words(stretch.source) if stretch.source else "",
    )
    if wire.lasting_a > 0.0 and wire.lasting_limit_a and wire.lasting_limit_a < (wire.ampacity_a or 0.0):
        yield _lasting_line(wire)


def _factors_formula(stretch: StretchAmpacity) -> str:
    text = words("I_Z = I_table")
    for factor in stretch.factors:
        text = words("{before} × f({name})", before=text, name=factor.name)
    return text


def _factors(stretch: StretchAmpacity) -> str:
    share = math.prod(factor.value for factor in stretch.factors)
    printed = (stretch.ampacity_a or 0.0) / share
    return multiplied([precise(printed, "A"), *(precise(factor.value) for factor in stretch.factors)])


def _lasting_line(wire: WireAssessment) -> CalculationLine:
    limit_a, ampacity_a = wire.lasting_limit_a or 0.0, wire.ampacity_a or 1.0
    return CalculationLine(
        what=words("Of it round the clock"),
        formula=words("I_Z × share that keeps 20 K below the class"),
        numbers=multiplied([precise(ampacity_a, "A"), precise(limit_a / ampacity_a)]),
        result=precise(limit_a, "A"),
        limit=words("goes on round the clock: {carried}", carried=precise(wire.lasting_a, "A")),
        margin=margin(wire.lasting_a, limit_a),
        source=source_words("own-judgement"),
    )


def window_lines(telling: Telling, fuse: FuseAssessment) -> Iterator[CalculationLine]:
    """Yield both ends of a fuse's window, and how close its curve comes to the thinnest cable."""
    window, name = fuse.window, telling.tag(fuse.name)
    share = _carried_share(fuse)
    if fuse.continuous_a is not None and share is not None:
        yield CalculationLine(
            what=words("{fuse}, at least", fuse=name),
            formula=words("I_n = I_B / share that it carries for ever where it sits"),
            numbers=words(
                "{carried} / {share}", carried=precise(fuse.continuous_a, "A"), share=precise(share)
            ),
            result=precise(fuse.continuous_a / share, "A"),
            limit=words(
                "least rating {least}: {why}",
                least=amps(window.least_a),
                why=least_words(window, short_run_s(telling.plan, fuse)),
            ),
            source=source_words(window.least_reason.source) if window.least_reason.source else "",
        )
    rating_a, most_a = fuse.rating_a, window.most_a
    yield CalculationLine(
        what=words("{fuse}, at most", fuse=name),
        formula=most_words(window),
        numbers="",
        result=amps(most_a),
        limit="" if rating_a is None else words("chosen: {rating}", rating=amps(rating_a)),
        margin="" if rating_a is None or not most_a else margin(rating_a, most_a),
        source=source_words(window.most_reason.source) if window.most_reason.source else "",
    )
    yield from _legal(fuse, name)
    yield from _closest(telling, fuse, name)


def _carried_share(fuse: FuseAssessment) -> float | None:
    """Share of its rating that it carries where it sits; of the family that the least rating is of."""
    reason, least_a = fuse.window.least_reason, fuse.window.least_a
    if reason.kind is ReasonKind.CONTINUOUS and reason.limit is not None and least_a:
        return reason.limit / least_a
    return None if not fuse.carries_pct else fuse.carries_pct / 100.0


def _legal(fuse: FuseAssessment, name: str) -> Iterator[CalculationLine]:
    legal = fuse.legal
    if legal is None:
        return
    share = legal.share_pct / 100.0
    yield CalculationLine(
        what=words("{fuse}, by law at most", fuse=name),
        formula=words("share × corrected table value of {cable}", cable=legal.where),
        numbers=multiplied([precise(share), precise(legal.most_a / share, "A")]),
        result=precise(legal.most_a, "A"),
        limit="" if fuse.rating_a is None else words("chosen: {rating}", rating=amps(fuse.rating_a)),
        margin="" if fuse.rating_a is None else margin(fuse.rating_a, legal.most_a),
        source=source_words(legal.source),
    )


def _closest(telling: Telling, fuse: FuseAssessment, name: str) -> Iterator[CalculationLine]:
    """The current at which cable and fuse come closest, found on their whole curves."""
    found, at = fuse.closest, fuse.closest_at
    highest_a = None if found is None else found.highest_a
    if found is None or highest_a is None or not 0.0 < highest_a < math.inf:
        return
    yield CalculationLine(
        what=words("{fuse} against the heat of its cables", fuse=name),
        formula=words(
            "highest rating whose slowest curve saves {cable} at every current, found on both curves",
            cable=telling.cable(at) if at in telling.refs.by_wire else at,
        ),
        numbers="",
        result=precise(highest_a, "A"),
        limit=words("chosen: {rating}", rating=amps(fuse.rating_a)),
        margin=margin(fuse.rating_a or 0.0, highest_a),
        source=source_words(found.source) if found.source else "",
    )


def heat_lines(
    telling: Telling, found: CircuitAssessment, heat: HeatWorking | None
) -> Iterator[CalculationLine]:
    """Yield the temperature that the design current brings the hottest conductor to."""
    if heat is None:
        return
    class_c = found.wires[heat.wire].class_c
    steady = CalculationLine(
        what=words("Temperature of cable {cable}, in {zone}", cable=telling.cable(heat.wire), zone=heat.zone),
        formula=words("θ = θ_air + (I / s)² × r × (1 + α × (θ - 20 degC)) × R_th"),
        numbers=words(
            "{air} + ({carried} / {share})² × {ohm} × (1 + {alpha} × ({theta} - 20)) × {thermal}",
            air=precise(heat.ambient_c, "degC"),
            carried=precise(heat.current_a, "A"),
            share=precise(heat.bundle_share),
            ohm=precise(1000.0 * heat.ohm_per_m_20c, "mohm/m"),
            alpha=precise(heat.alpha20_per_k),
            theta=precise(heat.steady_c),
            thermal=words("{value} K m/W", value=precise(heat.k_m_per_w)),
        ),
        result=precise(heat.steady_c, "degC"),
    )
    lines = [steady, _paused_line(heat)] if heat.duty_share < 1.0 - _ALIKE else [steady]
    yield from lines[:-1]
    yield replace(
        lines[-1],
        limit="" if class_c is None else words("class {limit}", limit=precise(class_c, "degC")),
        margin="" if class_c is None else words("{left} left", left=kelvins(class_c - heat.temp_c)),
        source=words("heat balance"),
    )


def _paused_line(heat: HeatWorking) -> CalculationLine:
    """What the pauses of a load leave of the rise."""
    return CalculationLine(
        what=words("The same with the pauses of its load"),
        formula=words("θ_max = θ_air + share of the rise × (θ - θ_air)"),
        numbers=words(
            "{air} + {share} × ({theta} - {base})",
            air=precise(heat.ambient_c, "degC"),
            share=precise(heat.duty_share),
            theta=precise(heat.steady_c),
            base=precise(heat.ambient_c),
        ),
        result=precise(heat.temp_c, "degC"),
    )
