"""Circuit by circuit why: the deciding limit, the fuse's window, heat, faults, what is spare."""

from __future__ import annotations

from collections.abc import Iterator

from groundstrap.assess import CircuitAssessment, FuseAssessment, ReasonKind, WireAssessment
from groundstrap.assess.figures import SHORT_RUN_S
from groundstrap.design import Unsolved
from groundstrap.model import Circuit, PartKind, State, Wire
from groundstrap.report.figures import Display, amps, number, percent, volts
from groundstrap.report.layout import Style, heading, paragraph
from groundstrap.report.path_text import path_lines, path_words
from groundstrap.report.plan import Plan
from groundstrap.report.reasons import (
    binding_words,
    duty_words,
    eased_words,
    least_words,
    legal_words,
    most_words,
    source_words,
    unsolved_words,
)

__all__ = ["circuit_lines"]

_FUSES = frozenset({PartKind.FUSE, PartKind.BREAKER})
_INDENT = " " * 12


def circuit_lines(plan: Plan, style: Style) -> list[str]:
    """Return the explanation of every circuit."""
    lines = [*heading("WHY, circuit by circuit", style), *path_words(style)]
    for name, found in plan.assessment.circuits.items():
        circuit = plan.installation.circuits[name]
        if circuit.state is State.REMOVE:
            continue
        lines += ["", *paragraph(_title(circuit), style, first="  ")]
        for label, text in _facts(plan, circuit, found, style.shown):
            lines += paragraph(text, style, first=f"    {label:<8}", rest=_INDENT)
        lines += path_lines(plan, circuit, style)
    return lines


def _title(circuit: Circuit) -> str:
    state = " (existing)" if circuit.state is State.EXISTING else ""
    back = f", back to {circuit.back_end}" if circuit.back_end else ""
    return f"{circuit.name}{state}: {circuit.start} to {circuit.end}{back}"


def _facts(
    plan: Plan, circuit: Circuit, found: CircuitAssessment, shown: Display
) -> Iterator[tuple[str, str]]:
    yield from _wire_facts(circuit, found, shown)
    yield from _decision(plan, circuit, shown)
    if found.drop.drop_v is not None or found.drop.limit_v is not None:
        yield "drop", _drop(found)
    yield "heat", _heat(found, shown)
    for part in circuit.parts:
        if part.kind in _FUSES and part.name in found.fuses:
            yield "fuse", _fuse(plan, found.fuses[part.name], shown)
            legal = found.fuses[part.name].legal
            if legal is not None:
                yield "law", legal_words(legal)
    faults = _faults(found)
    if faults:
        yield "faults", faults
    for piece in found.unprotected:
        yield (
            "unfused",
            f"{shown.length(piece.length_m)} of cable from {piece.point} have no fuse before them",
        )
    if found.spare_a is not None:
        yield "spare", f"{amps(found.spare_a)} more could be drawn from it"


def _wire_facts(circuit: Circuit, found: CircuitAssessment, shown: Display) -> Iterator[tuple[str, str]]:
    """Cable out and back, pieces of one size and one class together."""
    groups: dict[tuple[bool, str], list[Wire]] = {}
    for wire in circuit.wires:
        rated = found.wires.get(wire.name)
        groups.setdefault((wire.returning, _cable(wire, rated, shown)), []).append(wire)
    for (returning, cable), wires in groups.items():
        length_m = sum(wire.length_m for wire in wires) if all(w.length_known for w in wires) else None
        yield ("return" if returning else "wire"), f"{shown.length(length_m)} of {cable}"


def _cable(wire: Wire, rated: WireAssessment | None, shown: Display) -> str:
    size = shown.size(wire.size, wire.parallel) if wire.size is not None else "unknown size"
    words = [f"{size} {wire.material}"]
    if rated is not None and rated.class_c is not None:
        assumed = "" if wire.insulation is not None else ", assumed"
        words.append(f"insulation for {shown.insulation(rated.class_c)}{assumed}")
    if wire.colour:
        words.append(wire.colour)
    return ", ".join(words)


def _decision(plan: Plan, circuit: Circuit, shown: Display) -> Iterator[tuple[str, str]]:
    if plan.design is None:
        return
    lost: list[Unsolved] = [each for each in plan.design.unsolved if each.circuit == circuit.name]
    for each in lost:
        yield "nothing", f"fits: {unsolved_words(each, shown)}"
        if each.kind is ReasonKind.WINDOW:
            yield from _short_runs(plan, each.where)
    binding = plan.design.bindings.get(circuit.name)
    if binding is not None and not lost:
        yield "set by", binding_words(binding, shown, _fuse_named(plan, binding.where))
        if binding.eased is not None:
            yield "thinner", eased_words(binding, shown)
        if binding.kind is ReasonKind.WINDOW:
            yield from _short_runs(plan, binding.where)
    if circuit.name in plan.design.lifted:
        yield "", "thicker than it needs alone, so that others meet their limit with less copper in all"


def _short_runs(plan: Plan, name: str) -> Iterator[tuple[str, str]]:
    """Why a fuse is as large as it is though all behind it runs for a short while."""
    fuse = _fuse_named(plan, name)
    if fuse is None or fuse.window.least_reason.kind is not ReasonKind.CONTINUOUS:
        return
    loads = [plan.installation.loads[load] for load in plan.installation.circuits[fuse.circuit].loads]
    runs_s = [load.duty.run_s for load in loads if load.duty.run_s is not None]
    if runs_s and len(runs_s) == len(loads) and max(runs_s) <= SHORT_RUN_S:
        yield "duty", duty_words(max(runs_s), fuse)


def _fuse_named(plan: Plan, name: str) -> FuseAssessment | None:
    return next((c.fuses[name] for c in plan.assessment.circuits.values() if name in c.fuses), None)


def _drop(found: CircuitAssessment) -> str:
    drop = found.drop
    allowed = (
        "no limit is set"
        if drop.limit_v is None
        else f"{volts(drop.limit_v)} ({percent(drop.limit_pct)}) allowed"
        + (f", {drop.limit_why}" if drop.limit_why else "")
        + (f" [{source_words(drop.limit_source)}]" if drop.limit_source else "")
    )
    if drop.drop_v is None:
        return f"not known; {allowed}"
    lost = f"{volts(drop.drop_v)} ({percent(drop.drop_pct)}) lost out and back"
    if drop.load_v is not None:
        lost += f", {volts(drop.load_v)} left at {drop.load}"
    if drop.limit_v is None:
        return f"{lost}; {allowed}"
    verdict = {True: "", False: " ABOVE WHAT IS ALLOWED:", None: " it may be either, by the body:"}[
        drop.decided
    ]
    return f"{lost};{verdict} {allowed}"


def _faults(found: CircuitAssessment) -> str:
    """Least and most that flow into a short, as far as they are known."""
    ends = []
    if found.fault_least_a is not None:
        ends.append(f"a short at the far end makes at least {amps(found.fault_least_a)}")
    if found.fault_most_a is not None:
        ends.append(f"one at the start at most {amps(found.fault_most_a)}")
    return ", ".join(ends)


def _heat(found: CircuitAssessment, shown: Display) -> str:
    carries = f"carries {amps(found.continuous_a)}"
    if (
        found.peak_a is not None
        and found.continuous_a is not None
        and found.peak_a > found.continuous_a * 1.01
    ):
        carries += f", {amps(found.peak_a)} at switch-on"
    weakest = min(
        (w for w in found.wires.values() if w.ampacity_a is not None),
        key=lambda wire: wire.ampacity_a or 0.0,
        default=None,
    )
    if found.ampacity_a is None or weakest is None:
        return f"{carries}; what it may carry is not known"
    hottest = min(
        (s for s in weakest.stretches if s.ampacity_a is not None), key=lambda s: s.ampacity_a or 0.0
    )
    factors = "".join(f", x {number(f.value)} for {f.name}" for f in hottest.factors)
    alone = hottest.loaded_conductors == 1
    beside = (
        ""
        if "loaded" in factors
        else ", alone"
        if alone
        else f", {hottest.loaded_conductors} loaded together"
    )
    text = (
        f"{carries}; may carry {amps(found.ampacity_a)} (from {found.weakest}, in {hottest.zone} at "
        f"{shown.temperature(hottest.ambient_c)}{beside}{factors})"
    )
    if hottest.source:
        text += f" [{source_words(hottest.source)}]"
    text += _lasting(weakest)
    if found.conductor_c is not None:
        text += f"; the conductor reaches {shown.temperature(found.conductor_c)}"
    return text


def _lasting(wire: WireAssessment) -> str:
    """What is on round the clock, where less of it is allowed than of what pauses."""
    limit_a = wire.lasting_limit_a
    if not wire.lasting_a or limit_a is None or limit_a >= (wire.ampacity_a or 0.0):
        return ""
    return f"; {amps(wire.lasting_a)} go on round the clock, of {amps(limit_a)} at 20 K below the class"


def _fuse(plan: Plan, fuse: FuseAssessment, shown: Display) -> str:
    window = fuse.window
    rating = "not chosen" if fuse.rating_a is None else amps(fuse.rating_a)
    family = f" {fuse.family}" if fuse.family else ""
    where = "" if "distance_m" in fuse.unknown else f", {shown.length(fuse.distance_m)} along"
    if fuse.distance_m == 0.0 and where:
        where = ", at the very start"
    least = "?" if window.least_a is None else amps(window.least_a)
    most = "?" if window.most_a is None else amps(window.most_a)
    empty = " NO RATING FITS:" if window.empty else ""
    ends = f"{least} alone" if least == most != "?" else f"{least} to {most}"
    text = f"{rating}{family}{where};{empty} window {ends}"
    text += f". From {least}: {least_words(window)}. To {most}: {most_words(window)}."
    choice = None if plan.design is None else plan.design.fuses.get(fuse.name)
    if plan.design is not None and fuse.name in plan.design.families:
        text += " Its type is chosen: the usual one of that rating does not break its worst fault."
    if choice is not None and choice.behind and window.least_a != fuse.rating_a:
        text += f" Not below {choice.behind} behind it, which would outlast it."
    if choice is not None and choice.after:
        text += f" So that {choice.after} behind it opens first."
    return text
