"""Circuit by circuit why: the deciding limit, the fuse's window, heat, faults, what is spare."""

from __future__ import annotations

from collections.abc import Iterator

from groundstrap.assess import CircuitAssessment, FuseAssessment, ReasonKind, WireAssessment
from groundstrap.design import Unsolved
from groundstrap.model import FUSES, Circuit, State, Wire
from groundstrap.report.carried import short_run_s
from groundstrap.report.choice_words import (
    binding_words,
    duty_words,
    eased_words,
    through_words,
    unsolved_words,
)
from groundstrap.report.figures import Display, amps, number, percent, volts
from groundstrap.report.layout import Style, heading, paragraph
from groundstrap.report.parts import fuse_type
from groundstrap.report.path_text import path_lines, path_words
from groundstrap.report.plan import Plan
from groundstrap.report.reasons import least_words, legal_words, most_words, source_words
from groundstrap.report.strong_fuse import strong_fuse_words

__all__ = ["circuit_lines"]

_INDENT = " " * 12
_SPARED = 0.7
"""Share of its current that a cable is heated as by, from which on down its pauses are worth a word."""


def circuit_lines(plan: Plan, style: Style) -> list[str]:
    """Return the explanation of every circuit."""
    lines = [*heading("WHY, circuit by circuit", style), *path_words(style)]
    lines += [*_limits(plan, style), *_other_measure(plan, style)]
    for name, found in plan.assessment.circuits.items():
        circuit = plan.installation.circuits[name]
        if circuit.state is State.REMOVE:
            continue
        lines += ["", *paragraph(_title(circuit), style, first="  ")]
        for label, text in _facts(plan, circuit, found, style.shown):
            lines += paragraph(text, style, first=f"    {label:<8}", rest=_INDENT)
        lines += path_lines(plan, circuit, style)
    return lines


def _limits(plan: Plan, style: Style) -> list[str]:
    """Once, which drops are allowed and why, in place of a line at each circuit."""
    told: dict[tuple[str, str], list[str]] = {}
    for found in plan.assessment.circuits.values():
        drop = found.drop
        if drop.limit_pct is not None and drop.limit_source:
            told.setdefault((percent(drop.limit_pct), drop.limit_why), []).append(drop.limit_source)
    if not told:
        return []
    each = "; ".join(f"{pct}: {why}" for pct, why in sorted(told))
    sources = dict.fromkeys(source_words(source) for named in told.values() for source in named)
    text = (
        f"Drop allowed out and back of the source's voltage, unless written: {each} [{'; '.join(sources)}]."
    )
    return paragraph(text, style, first="  ", rest="  ")


def _other_measure(plan: Plan, style: Style) -> list[str]:
    """Once, every size in the other way of writing it."""
    circuits = [c for c in plan.installation.circuits.values() if c.state is not State.REMOVE]
    sizes = {wire.size for circuit in circuits for wire in circuit.wires if wire.size is not None}
    if not sizes:
        return []
    each = (style.shown.size(size) for size in sorted(sizes, key=lambda size: (size.area_mm2, size.text)))
    return paragraph(f"Sizes: {', '.join(each)}.", style, first="  ", rest="  ")


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
        if part.kind in FUSES and part.name in found.fuses:
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
            f"{shown.length(piece.metres)} of cable from {piece.point} have no fuse before them",
        )
    if found.spare_a is not None:
        yield "spare", f"{amps(found.spare_a)} more could be drawn from it"


def _wire_facts(circuit: Circuit, found: CircuitAssessment, shown: Display) -> Iterator[tuple[str, str]]:
    """Cable out and back, pieces of one size and one class together."""
    groups: dict[str, list[Wire]] = {}
    for wire in circuit.wires:
        groups.setdefault(_cable(wire, found.wires.get(wire.name), shown), []).append(wire)
    single = not any(wire.returning for wire in circuit.wires)
    for cable, wires in groups.items():
        out, back = ([w for w in wires if w.returning is way] for way in (False, True))
        ways = [(_metres(out, shown), "" if single else " out"), (_metres(back, shown), " back")]
        told = ", ".join(f"{metres}{way}" for metres, way in ways if metres)
        yield ("wire" if out else "return"), f"{told} of {cable}"


def _metres(wires: list[Wire], shown: Display) -> str:
    """Length of some wires together; nothing of none."""
    if not wires:
        return ""
    return shown.length(sum(w.length_m for w in wires) if all(w.length_known for w in wires) else None)


def _cable(wire: Wire, rated: WireAssessment | None, shown: Display) -> str:
    times = f"{wire.parallel} x " if wire.parallel > 1 else ""
    size = f"{times}{shown.short(wire.size)}" if wire.size is not None else "unknown size"
    words = [size if wire.material == "copper" else f"{size} {wire.material}"]
    if rated is not None and rated.class_c is not None:
        assumed = "" if wire.insulation is not None else " (assumed)"
        words.append(f"insulation for {shown.insulation(rated.class_c)}{assumed}")
    if wire.colour:
        words.append(wire.colour)
    return ", ".join(words)


def _decision(plan: Plan, circuit: Circuit, shown: Display) -> Iterator[tuple[str, str]]:
    if plan.design is None:
        return
    lost: list[Unsolved] = [each for each in plan.design.unsolved if each.circuit == circuit.name]
    for each in lost:
        if each.kind in {ReasonKind.UNFED, ReasonKind.PARTED}:
            yield "nothing", f"chosen: {unsolved_words(each, shown)}"
            continue
        yield "nothing", "fits: the table of circuits says why, and what would do"
        if each.kind is ReasonKind.WINDOW:
            yield from _short_runs(plan, each.where)
    binding = plan.design.bindings.get(circuit.name)
    if binding is not None and not lost:
        yield "set by", binding_words(binding, shown, _fuse_named(plan, binding.where))
        strong = strong_fuse_words(plan, circuit, shown)
        if strong is not None:
            yield "fuse", strong
        if binding.eased is not None:
            yield "thinner", eased_words(binding, shown)
        if binding.kind is ReasonKind.WINDOW:
            yield from _short_runs(plan, binding.where)
    for through in plan.assessment.returns.through.values():
        if through.circuit == circuit.name and through.foreign_a > through.own_a:
            yield "", through_words(through)
    if circuit.name in plan.design.lifted:
        yield "", "thicker than it needs alone, so that others meet their limit with less copper in all"


def _short_runs(plan: Plan, name: str) -> Iterator[tuple[str, str]]:
    """Why a fuse is as large as it is though all behind it runs for a short while."""
    fuse = _fuse_named(plan, name)
    if fuse is None or fuse.window.least_reason.kind is not ReasonKind.CONTINUOUS:
        return
    run_s = short_run_s(plan, fuse)
    if run_s is None:
        return
    wires = plan.assessment.circuits[fuse.circuit].wires.values()
    spared = [w.thermal_a <= _SPARED * (w.continuous_a or 0.0) for w in wires if w.thermal_a is not None]
    if all(spared):
        yield "duty", duty_words(run_s, fuse)


def _fuse_named(plan: Plan, name: str) -> FuseAssessment | None:
    return next((c.fuses[name] for c in plan.assessment.circuits.values() if name in c.fuses), None)


def _drop(found: CircuitAssessment) -> str:
    drop = found.drop
    written = f", {drop.limit_why}" if drop.limit_why and not drop.limit_source else ""
    allowed = (
        "no limit is set"
        if drop.limit_v is None
        else f"{volts(drop.limit_v)} ({percent(drop.limit_pct)}) allowed{written}"
    )
    if drop.drop_v is None:
        return f"not known; {allowed}"
    lost = f"{volts(drop.drop_v)} ({percent(drop.drop_pct)}) lost"
    left = "" if drop.load_v is None else f"; {volts(drop.load_v)} left at {drop.load}"
    if drop.limit_v is None:
        return f"{lost}, {allowed}{left}"
    verdict = {True: ",", False: ", ABOVE WHAT IS ALLOWED:", None: ", it may be either, by the body:"}[
        drop.decided
    ]
    return f"{lost}{verdict} {allowed}{left}"


def _faults(found: CircuitAssessment) -> str:
    """Least and most that flow into a short, as far as they are known."""
    ends = []
    if found.fault_least_a is not None:
        ends.append(f"{amps(found.fault_least_a)} at least at the far end")
    if found.fault_most_a is not None:
        ends.append(f"{amps(found.fault_most_a)} at most at the start")
    return f"a short: {', '.join(ends)}" if ends else ""


def _heat(found: CircuitAssessment, shown: Display) -> str:
    carries = f"carries {amps(found.continuous_a)}"
    peak_a, hours_a = found.peak_a, found.continuous_a
    surge = peak_a is not None and hours_a is not None and peak_a > hours_a * 1.01
    peak = f"; {amps(peak_a)} at switch-on" if surge else ""
    weakest = min(
        (w for w in found.wires.values() if w.ampacity_a is not None),
        key=lambda wire: wire.ampacity_a or 0.0,
        default=None,
    )
    if found.ampacity_a is None or weakest is None:
        return f"{carries}{peak}; what it may carry is not known"
    hottest = min(
        (s for s in weakest.stretches if s.ampacity_a is not None), key=lambda s: s.ampacity_a or 0.0
    )
    # The air is named before them.
    told = [(f.value, "" if f.name.startswith("ambient") else f" for {f.name}") for f in hottest.factors]
    factors = "".join(f", x {number(value)}{why}" for value, why in told)
    alone = hottest.loaded_conductors == 1
    beside = (
        ""
        if "loaded" in factors
        else ", alone"
        if alone
        else f", {hottest.loaded_conductors} loaded together"
    )
    text = (
        f"{carries} of {amps(found.ampacity_a)} (in {hottest.zone} at "
        f"{shown.temperature(hottest.ambient_c)}{beside}{factors})"
    )
    if hottest.source:
        text += f" [{source_words(hottest.source).partition(',')[0]}]"
    text += peak + _lasting(weakest)
    if found.conductor_c is not None:
        text += f"; it reaches {shown.temperature(found.conductor_c)}"
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
    family = f" {fuse_type(fuse.family, fuse)}" if fuse.family else ""
    where = "" if "distance_m" in fuse.unknown else f", {shown.length(fuse.distance_m)} along"
    if fuse.distance_m == 0.0 and where:
        where = ", at the very start"
    least = "?" if window.least_a is None else amps(window.least_a)
    most = "?" if window.most_a is None else amps(window.most_a)
    empty = " NO RATING FITS:" if window.empty else ""
    ends = f"{least} ({least_words(window, short_run_s(plan, fuse))}) to {most} ({most_words(window)})"
    text = f"{rating}{family}{where};{empty} window {ends}."
    choice = None if plan.design is None else plan.design.fuses.get(fuse.name)
    if plan.design is not None and fuse.name in plan.design.families:
        text += " Its type is chosen: the usual one of that rating does not break its worst fault."
    if choice is not None and choice.behind and window.least_a != fuse.rating_a:
        text += f" Not below {choice.behind} behind it, which would outlast it."
    if choice is not None and choice.after:
        text += f" So that {choice.after} behind it opens first."
    return text
