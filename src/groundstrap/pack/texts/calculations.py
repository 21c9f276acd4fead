"""The calculation of each circuit, so that another engineer can check it with a pocket calculator."""

from __future__ import annotations

import math
from collections.abc import Iterator

from groundstrap.assess import CircuitAssessment, SituationAssessment
from groundstrap.assess.working_results import DropWorking, PieceDrop
from groundstrap.model import Circuit, State
from groundstrap.pack.content import (
    Align,
    Block,
    Calculation,
    CalculationLine,
    Column,
    Paragraph,
    Section,
    Table,
)
from groundstrap.pack.texts.fault_sums import breaking_lines, clearing_lines, least_lines
from groundstrap.pack.texts.phrases import Telling, listed
from groundstrap.pack.texts.sums import (
    added,
    ampacity_lines,
    current_lines,
    heat_lines,
    margin,
    precise,
    window_lines,
)
from groundstrap.report.figures import Display, amps, percent, volts
from groundstrap.report.plan import Plan
from groundstrap.report.reasons import source_words
from groundstrap.words import term, words

__all__ = ["calculation_section", "drop_lines", "piece_name"]


_UNKNOWN = {
    "continuous_a": words("what it carries"),
    "drop_v": words("what it loses"),
    "ampacity_a": words("what it may carry"),
    "conductor_c": words("how warm it gets"),
    "fault_a": words("the fault at its far end"),
    "clearing_s": words("how long that lasts"),
}


def calculation_section(plan: Plan, shown: Display, telling: Telling | None = None) -> Section:
    """Return the calculations: one part for each circuit, one for the supplies."""
    telling = telling or Telling(plan, shown)
    preface = Paragraph(
        words(
            "Every line can be reckoned again from the numbers that stand in it. In metres, degrees Celsius "
            "and mm2, as the tables are. Numbers of cables and letters of parts are those on the drawing."
        )
    )
    parts = [_circuit(telling, circuit) for circuit in telling.circuits]
    parts += [_supplies(telling)]
    return Section(
        key="calculations",
        title=words("Calculations"),
        blocks=(preface,),
        parts=tuple(part for part in parts if part is not None),
    )


def _circuit(telling: Telling, circuit: Circuit) -> Section | None:
    found = telling.plan.assessment.circuits.get(circuit.name)
    working = telling.workings.get(circuit.name)
    if found is None or working is None:
        return None
    blocks: list[Block] = []
    first = (*current_lines(telling, found, working), *ampacity_lines(telling, found))
    first += tuple(heat_lines(telling, found, working.heat))
    if first:
        blocks.append(Calculation(first))
    blocks += _drop(telling, found, working.drop)
    last = [line for fuse in found.fuses.values() for line in window_lines(telling, fuse)]
    last += [*least_lines(telling, found, working), *breaking_lines(telling, working)]
    last += clearing_lines(telling, working.clearing)
    if last:
        blocks.append(Calculation(tuple(last)))
    faultless = {"clearing_s"} if found.fault_least_a is None else set()
    missing = listed(word for key, word in _UNKNOWN.items() if key in {*found.unknown} - faultless)
    if missing:
        blocks.append(
            Paragraph(words("Not known: {what}; what is wanted stands with the findings.", what=missing))
        )
    if not blocks:
        blocks.append(Paragraph(words("Nothing flows here that is known.")))
    title = words("Calculation of {circuit}", circuit=circuit.name)
    return Section(key=f"calculation-{circuit.name}", title=title, blocks=tuple(blocks), new_page=False)


def _drop(telling: Telling, found: CircuitAssessment, working: DropWorking | None) -> Iterator[Block]:
    """The drop piece by piece, out and back, and its sum against the limit."""
    drop = found.drop
    if drop.drop_v is None or working is None:
        return
    columns = (
        Column(words("piece"), share=2.4),
        Column(words("I"), Align.RIGHT),
        Column(words("length"), Align.RIGHT),
        Column(words("r at 20 degC"), Align.RIGHT, share=1.2),
        Column(words("θ"), Align.RIGHT),
        Column(words("crimps"), Align.RIGHT, share=1.1),
        Column(words("R"), Align.RIGHT, share=1.1),
        Column(words("ΔU"), Align.RIGHT, share=1.1),
    )
    alphas = {
        piece.wire.material: piece.alpha20_per_k
        for piece in working.pieces
        if piece.wire is not None and piece.alpha20_per_k is not None
    }
    caption = words(
        "Voltage drop: R = r × length × (1 + α × (θ - 20 degC)) + crimps, ΔU = I × R; α per K: {alphas}",
        alphas=listed(
            words("{alpha} {metal}", alpha=precise(alpha), metal=term(metal))
            for metal, alpha in alphas.items()
        ),
    )
    yield Table(columns, tuple(_piece(telling, each) for each in working.pieces), caption=caption, small=True)
    yield Calculation(tuple(drop_lines(found, working)))


def piece_name(telling: Telling, piece: PieceDrop) -> str:
    """Return how a piece of a way is called: the number of a cable, a part, a way through the body."""
    if piece.wire is None or piece.ohm_per_m_20c is None:
        return _bare_name(telling, piece.name)
    name: str = telling.cable(piece.name)
    if piece.wire.returning:
        name = words("{cable}, back", cable=name)
    if piece.wire.material != "copper":
        name = words("{cable}, {metal}", cable=name, metal=term(piece.wire.material))
    return name


def _piece(telling: Telling, piece: PieceDrop) -> tuple[str, ...]:
    name = piece_name(telling, piece)
    ohm, lost = precise(1000.0 * piece.ohm, "mohm"), precise(1000.0 * piece.drop_v, "mV")
    # Against the way where others push it back: that much is not lost but won.
    flows = precise(piece.share * piece.current_a, "A")
    if piece.wire is None or piece.ohm_per_m_20c is None:
        return (name, flows, "", "", "", "", ohm, lost)
    return (
        name,
        flows,
        precise(piece.wire.length_m, "m"),
        precise(1000.0 * piece.ohm_per_m_20c, "mohm/m"),
        precise(piece.temp_c or 0.0, "degC"),
        precise(1000.0 * (piece.ends_ohm or 0.0), "mohm"),
        ohm,
        lost,
    )


def _bare_name(telling: Telling, name: str) -> str:
    """A part, or a way through the body or a strap that nobody drew."""
    if name in telling.refs.by_name:
        return telling.tag(name)
    before, _, point = name.partition(" to ")
    if before == "body" and point:
        return words("body to {point}", point=point)
    return name


def drop_lines(found: CircuitAssessment, working: DropWorking) -> Iterator[CalculationLine]:
    """Yield the sum of a drop against its limit, and as a share of the source's voltage."""
    drop = found.drop
    assert drop.drop_v is not None
    limit_v = drop.limit_v
    yield CalculationLine(
        what=words("Voltage drop"),
        formula=words("ΔU = sum of all its pieces"),
        numbers=added([precise(1000.0 * piece.drop_v, "mV") for piece in working.pieces]),
        result=precise(1000.0 * working.sum_v, "mV"),
        limit=words("no limit") if limit_v is None else words("{limit} allowed", limit=volts(limit_v)),
        margin="" if limit_v is None else margin(drop.drop_v, limit_v),
        source=source_words(drop.limit_source) if drop.limit_source else drop.limit_why,
    )
    if not math.isclose(working.sum_v, drop.drop_v, rel_tol=1e-6):
        yield CalculationLine(
            what=words("Of it can be lost at most"),
            formula=words("what there is between both ends: a supply at its highest, an empty battery"),
            numbers="",
            result=precise(1000.0 * drop.drop_v, "mV"),
        )
    if drop.drop_pct:
        nominal_v = 100.0 * drop.drop_v / drop.drop_pct
        yield CalculationLine(
            what=words("As a share"),
            formula=words("ΔU / U_n"),
            numbers=words(
                "{lost} / {nominal}",
                lost=precise(1000.0 * drop.drop_v, "mV"),
                nominal=precise(nominal_v, "V"),
            ),
            result=precise(drop.drop_pct, "%"),
            limit="" if drop.limit_pct is None else words("{limit} allowed", limit=percent(drop.limit_pct)),
        )


def _supplies(telling: Telling) -> Section | None:
    """What each supply gives in each situation against what it can give."""
    columns = (
        Column(words("situation"), share=1.2),
        Column(words("supply"), share=1.6),
        Column(words("gives"), Align.RIGHT),
        Column(words("can give"), Align.RIGHT),
        Column(words("left"), Align.RIGHT),
    )
    rows = [row for solved in telling.plan.assessment.situations.values() for row in _given(telling, solved)]
    if not rows:
        return None
    lines = [
        line
        for solved in telling.plan.assessment.situations.values()
        if (line := _balance(telling, solved)) is not None
    ]
    blocks: list[Block] = [Table(columns, tuple(rows), small=True)]
    if lines:
        blocks.append(Calculation(tuple(lines)))
    return Section(
        key="calculation-supplies", title=words("Batteries, alternators, chargers"), blocks=tuple(blocks)
    )


def _given(telling: Telling, solved: SituationAssessment) -> Iterator[tuple[str, ...]]:
    for name, given_a in solved.supplies_a.items():
        if not telling.is_at_work(name, solved.situation):
            continue
        can_a = telling.capability_a(name, solved.situation)
        left = "" if can_a is None else amps(can_a - given_a)
        can = "" if can_a is None else amps(can_a)
        yield (term(solved.situation.value), telling.tag(name), amps(given_a), can, left)


def _balance(telling: Telling, solved: SituationAssessment) -> CalculationLine | None:
    """What all loads take together is what all supplies give: only where no converter lies between."""
    installation = telling.plan.installation
    supplies = [s for s in installation.supplies.values() if s.state is not State.REMOVE]
    if any(s.in_plus is not None for s in supplies) or not solved.supplies_a:
        return None
    taken = {n: a for n, a in solved.loads_a.items() if n in solved.running and a > 0.0}
    given_a = sum(solved.supplies_a.values())
    own_a = given_a - sum(taken.values())
    if any(s.series > 1 for s in supplies) or own_a < -1e-6:
        return None
    terms = [precise(taken[name], "A") for name in taken]
    if own_a > 1e-6:
        terms.append(precise(own_a, "A"))
    return CalculationLine(
        what=words("All supplies together, {situation}", situation=term(solved.situation.value)),
        formula=words("sum of all that runs, and of the vehicle's own draw"),
        numbers=added(terms),
        result=precise(given_a, "A"),
    )
