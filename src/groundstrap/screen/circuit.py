"""One circuit in full for a screen: its way piece by piece, pictures, and the working behind each number."""

from __future__ import annotations

from collections.abc import Iterator

from groundstrap.assess import CircuitAssessment, PathStep, time_current_curves
from groundstrap.assess.working_results import CircuitWorking, DropWorking, PieceDrop
from groundstrap.model import Circuit, Passage, Wire
from groundstrap.pack.content import CalculationLine
from groundstrap.pack.texts.calculations import drop_lines, piece_name
from groundstrap.pack.texts.circuit_sheet import circuit_cautions, circuit_facts
from groundstrap.pack.texts.cover import done_sentence
from groundstrap.pack.texts.fault_sums import breaking_lines, clearing_lines, least_lines
from groundstrap.pack.texts.phrases import Telling
from groundstrap.pack.texts.sums import ampacity_lines, current_lines, heat_lines, precise, window_lines
from groundstrap.report.curve_picture import pictures
from groundstrap.report.figures import UNKNOWN, Display, amps, number, percent, volts
from groundstrap.report.plan import Plan
from groundstrap.screen.against import about, against, open_questions
from groundstrap.screen.results import CircuitSheet, Figure, PathRow, Working
from groundstrap.screen.sheet import circuit_row
from groundstrap.screen.volts_picture import Fall, Say, Stair, volts_picture
from groundstrap.words import words

__all__ = ["circuit_sheet"]


def circuit_sheet(
    plan: Plan, name: str, shown: Display, say: Say = str, telling: Telling | None = None
) -> CircuitSheet:
    """Return one circuit by its name, with pictures whose texts `say` puts in the language that is wanted."""
    telling = telling or Telling(plan, shown)
    circuit, found = plan.installation.circuits[name], plan.assessment.circuits[name]
    working = telling.workings.get(name)
    stair = None if working is None else _stair(telling, found, working.drop)
    picture = _curves(plan, name, shown, say)
    findings = list(about(plan.judgement.findings, circuit))
    return CircuitSheet(
        row=circuit_row(telling, circuit),
        sentence=done_sentence(telling, circuit),
        facts=tuple(circuit_facts(telling, circuit)),
        cautions=circuit_cautions(telling, circuit),
        path=tuple(_path(telling, circuit)),
        volts="" if stair is None else volts_picture(stair, say),
        volts_words="" if stair is None else stair.words,
        curves=picture,
        curves_words=words("{circuit}: fuse against wire, load and faults", circuit=name) if picture else "",
        against=against(telling, findings),
        open=open_questions(telling, findings),
        workings=() if working is None else tuple(_workings(telling, found, working)),
        loads=circuit.loads,
    )


def _curves(plan: Plan, name: str, shown: Display, say: Say) -> str:
    """The curves of one circuit's fuses; empty where there is none of known rating."""
    every = time_current_curves(plan.installation, plan.estimates, plan.assessment)
    if name not in every:
        return ""
    return pictures({name: every[name]}, plan.installation, shown, say, narrow=True)[0].svg


def _path(telling: Telling, circuit: Circuit) -> Iterator[PathRow]:
    """The way from source to load and back, a row for each piece."""
    loads = telling.plan.installation.loads
    for element in (*circuit.path, *circuit.back):
        name = element.point if isinstance(element, Passage) else element.name
        spot = telling.spots.get(name)
        step = None if isinstance(element, Passage) else telling.plan.assessment.path.get(name)
        what, size, length, kind = telling.point(name), "", "", "point"
        if isinstance(element, Passage):
            kind = "load" if element.name in loads else "point"
        elif isinstance(element, Wire):
            what = words("cable {cable}", cable=telling.cable(name))
            if element.returning:
                what = words("{cable}, back", cable=what)
            size, length, kind = telling.size(element), telling.length(element), "cable"
            if element.colour:
                size = words("{size}, {colour}", size=size, colour=element.colour)
        else:
            what, size, kind = telling.tag(name), telling.rating(element), "part"
        where = "" if isinstance(element, Wire) else (spot.place if spot is not None else "")
        if not isinstance(element, (Wire, Passage)):
            where = element.place
        yield _path_row(name, what, (where, size, length, kind), step)


def _path_row(name: str, what: str, about: tuple[str, str, str, str], step: PathStep | None) -> PathRow:
    where, size, length, kind = about
    lost = "" if step is None or step.drop_v is None else f"{number(1000.0 * abs(step.drop_v), 2)} mV"
    return PathRow(
        name=name,
        what=what,
        where=where,
        size=size,
        length=length,
        may_carry="" if step is None or step.limit_a is None else amps(step.limit_a),
        carries="" if step is None else UNKNOWN if step.through_a is None else amps(step.through_a),
        left="" if step is None or step.margin_pct is None else percent(step.margin_pct),
        lost=Figure(lost, "drop" if lost else ""),
        kind=kind,
    )


def _stair(telling: Telling, found: CircuitAssessment, working: DropWorking | None) -> Stair | None:
    """The drop as a stair: the pieces out, the load, the pieces back."""
    drop = found.drop
    if working is None or not working.pieces:
        return None
    falls = [_fall(telling, each) for each in working.pieces]
    if working.out and drop.load is not None and drop.load_v is not None:
        falls.insert(working.out, Fall(words("= {load}", load=drop.load), volts(drop.load_v)))
    if working.source_v is not None and drop.source is not None:
        falls.insert(0, Fall(words("from {source}", source=drop.source), volts(working.source_v)))
    limit = None
    if drop.limit_v is not None:
        limit = Fall(words("allowed"), volts(drop.limit_v), drop.limit_v)
    total = Fall(words("lost out and back"), volts(working.sum_v), working.sum_v)
    lost, allowed = volts(working.sum_v), volts(drop.limit_v) if limit is not None else words("no limit")
    told = words("{lost} lost out and back, {allowed} allowed", lost=lost, allowed=allowed)
    title = words("Where the volts go: {circuit}", circuit=found.name)
    return Stair(title=title, words=told, falls=tuple(falls), total=total, limit=limit)


def _fall(telling: Telling, piece: PieceDrop) -> Fall:
    """One piece of the stair, a cable with its size and length."""
    name = piece_name(telling, piece)
    if piece.wire is not None:
        size, length = telling.size(piece.wire), telling.length(piece.wire)
        name = words("cable {cable}: {size}, {length}", cable=name, size=size, length=length)
    return Fall(name, f"{number(1000.0 * piece.drop_v)} mV", piece.drop_v)


def _workings(telling: Telling, found: CircuitAssessment, working: CircuitWorking) -> Iterator[Working]:
    """Every number of the circuit with what it rests on; `key` is what a number names."""
    fuses = [line for fuse in found.fuses.values() for line in window_lines(telling, fuse)]
    drops: list[CalculationLine] = []
    if working.drop is not None and found.drop.drop_v is not None:
        drops = [*_piece_lines(telling, working.drop), *drop_lines(found, working.drop)]
    clearing = [*breaking_lines(telling, working), *clearing_lines(telling, working.clearing)]
    every = (
        ("current", words("What it carries"), [*current_lines(telling, found, working)]),
        ("ampacity", words("What its cable may carry"), [*ampacity_lines(telling, found)]),
        ("heat", words("How warm it gets"), [*heat_lines(telling, found, working.heat)]),
        ("drop", words("What it loses"), drops),
        ("window", words("Which fuse does"), fuses),
        ("fault", words("A short"), [*least_lines(telling, found, working), *clearing]),
    )
    for key, title, lines in every:
        if lines:
            yield Working(key=key, title=title, lines=tuple(lines))


def _piece_lines(telling: Telling, working: DropWorking) -> Iterator[CalculationLine]:
    """The volts of each piece: its ohms from size, length, warmth and ends, times its amps."""
    for piece in working.pieces:
        current, ohm = precise(piece.share * piece.current_a, "A"), precise(1000.0 * piece.ohm, "mohm")
        formula: str = words("ΔU = I × R")
        numbers = words("{current} × {ohm}", current=current, ohm=ohm)
        if piece.wire is not None and piece.ohm_per_m_20c is not None and piece.alpha20_per_k is not None:
            formula = words("ΔU = I × (r × length × (1 + α × (θ - 20 degC)) + crimps)")
            numbers = words(
                "{current} × ({r} × {length} × (1 + {alpha} × ({theta} - 20 degC)) + {crimps})",
                current=current,
                r=precise(1000.0 * piece.ohm_per_m_20c, "mohm/m"),
                length=precise(piece.wire.length_m, "m"),
                alpha=precise(piece.alpha20_per_k),
                theta=precise(piece.temp_c or 0.0, "degC"),
                crimps=precise(1000.0 * (piece.ends_ohm or 0.0), "mohm"),
            )
        result = precise(1000.0 * piece.drop_v, "mV")
        yield CalculationLine(
            what=piece_name(telling, piece), formula=formula, numbers=numbers, result=result
        )
