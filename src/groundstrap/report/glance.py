"""The answer at a glance: verdict, one line for each load and one for each circuit."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Final

from groundstrap.assess import CircuitAssessment, LoadAssessment, ReasonKind
from groundstrap.checks import Worst
from groundstrap.design import Unsolved
from groundstrap.model import FUSES, Circuit, LoadKind, Part, PartKind, State, Wire
from groundstrap.records import replace
from groundstrap.report.choice_words import binding_name, eased_words, unsolved_words
from groundstrap.report.figures import Display, amps, band, counted, number, percent, volts
from groundstrap.report.findings_text import summary
from groundstrap.report.layout import Style, heading, paragraph, table
from groundstrap.report.plan import Plan
from groundstrap.report.verdict import claim_verdict_words, verdict_words
from groundstrap.vet import ClaimVerdict, Verdict, VettedLoad

__all__ = ["circuit_table", "claim_words", "load_lines", "title_lines"]

_IN_SHORT = {
    "regular blade": "blade",
    "high-current blade": "large blade",
    "sub-miniature blade": "tiny blade",
    "high-current mini blade": "mini blade",
    "medium-high blade": "mid blade",
    "female cartridge": "cartridge",
    "bolt-in cartridge": "bolt-in",
    "bolt-down strip 30 mm": "strip 30 mm",
    "bolt-down strip 51 mm": "strip 51 mm",
    "terminal-mounted": "terminal",
    "marine terminal-mounted": "terminal",
    "marine bolt-down strip": "strip",
    "glass cartridge": "glass",
}
"""Types in few words for the table; each circuit's own lines and the list of parts name them in full."""
_MM2 = re.compile(r"[^ /]* mm2(?:/[^ /]* mm2)*|\?|-")
_COLOURS = {Worst.CLEAR: "good", Worst.STOP: "stop", Worst.UNDECIDED: "caution"}


def title_lines(plan: Plan, style: Style) -> list[str]:
    """Return the title, the frame of the job and the verdict."""
    installation = plan.installation
    circuits, loads = len(plan.assessment.circuits), len(plan.assessment.loads)
    what = "checked as it stands" if circuits == 1 else "checked as they stand"
    what = "planned" if plan.design is not None else what
    frame = (
        f"{number(installation.system_v)} V, {installation.basis} rules; "
        f"{counted(circuits, 'circuit')} {what}, {counted(loads, 'load')}."
    )
    verdict = f"{verdict_words(plan)}: {summary(plan.judgement.findings)}."
    lines = [style.paint(line, "strong") for line in paragraph(installation.title, style)]
    lines += paragraph(frame, style)
    lines += [style.paint(line, _COLOURS[plan.worst]) for line in paragraph(verdict, style)]
    return lines


def load_lines(plan: Plan, style: Style) -> list[str]:
    """Return what each load really draws, beside what is claimed for it."""
    rows = [["load", "draws (95 % of the time)", "", "at", "claimed"]]
    for name, found in plan.assessment.loads.items():
        load = plan.installation.loads[name]
        if load.state is State.REMOVE or (load.kind is LoadKind.COIL and found.known):
            continue
        rows.append(_load_row(found, plan.vetting.loads.get(name)))
    if len(rows) == 1:
        return []
    lines = heading("LOADS: what each really draws, and what is claimed for it", style)
    columns = table(rows, right=frozenset({2, 3}), wrap=frozenset({0, 4}), most=style.width - 2)
    return lines + [f"  {line}" for line in columns]


def _load_row(found: LoadAssessment, vetted: VettedLoad | None) -> list[str]:
    claims = () if vetted is None else vetted.claims
    if not found.known:
        return [found.name, "unknown", "", volts(found.working_v), _claims(claims, 1)]
    power, current = found.power_w, found.current_a
    if (power is None or current is None) and vetted is not None:
        # Where it hangs is not solved: what it takes at the voltage of its evidence still stands.
        power, current = vetted.estimate.power_w, vetted.current_a
        at = volts(vetted.estimate.at_v)
    else:
        at = volts(found.working_v)
    amount = amps(None if current is None else current.value)
    return [found.name, band(power, "W"), amount, at, _claims(claims, vetted.count if vetted else 1)]


def _claims(claims: tuple[ClaimVerdict, ...], count: int) -> str:
    return ", ".join(claim_words(claim, count) for claim in claims)


def claim_words(claim: ClaimVerdict, count: int = 1) -> str:
    """Return a claim with its verdict; only what must not be missed is in capitals."""
    times = "" if count == 1 else f"{count} x "
    said = times + (amps(claim.current_a) if claim.power_w is None else f"{number(claim.power_w)} W")
    verdict = claim_verdict_words(claim.verdict, draws_more=True) if claim.draws_more else str(claim.verdict)
    loud = claim.verdict in {Verdict.SHORT, Verdict.IMPOSSIBLE, Verdict.CONFLICTING}
    return f"{said} {verdict.upper() if loud else verdict}"


def circuit_table(plan: Plan, style: Style) -> list[str]:
    """Return one line for each circuit: wire, return, fuse, amps, drop against its limit, what decided."""
    rows = [["circuit", "wire", "return", "fuse", "carries", "drop/limit", "set by"]]
    for name, found in plan.assessment.circuits.items():
        circuit = plan.installation.circuits[name]
        if circuit.state is not State.REMOVE:
            rows.append(_circuit_row(plan, circuit, found, style.shown))
    if len(rows) == 1:
        return []
    metric = all(_MM2.fullmatch(size) for row in rows[1:] for size in row[1:3])
    if metric:
        rows[1:] = [[row[0], *(size.replace(" mm2", "") for size in row[1:3]), *row[3:]] for row in rows[1:]]
    unit = ", wire in mm2" if metric else ""
    lines = heading(f"CIRCUITS: out and back, at the temperature that the current makes{unit}", style)
    columns = table(rows, right=frozenset({4, 5}), wrap=frozenset({0, 1, 2, 3, 6}), most=style.width - 2)
    lines += [f"  {line}" for line in columns]
    if any("!" in row[5] for row in rows):
        lines.append("  !: above what is allowed")
    return lines + _below(plan, style)


_NOT_CHOSEN: Final = {ReasonKind.UNFED: "NOT FED", ReasonKind.PARTED: "NO WAY BACK"}


def _below(plan: Plan, style: Style) -> list[str]:
    """Under the table: why nothing fits, and what could be far thinner. What is not fed is a finding."""
    if plan.design is None:
        return []
    shown, unsolved = style.shown, [u for u in plan.design.unsolved if u.kind is not ReasonKind.UNFED]
    told = [f"{names}: {_outcome(lost)}: {unsolved_words(lost, shown)}" for names, lost in _alike(unsolved)]
    eased = {name: each for name, each in plan.design.bindings.items() if each.eased is not None}
    told += [f"{name}: {eased_words(binding, shown)}" for name, binding in eased.items()]
    return [line for text in told for line in paragraph(text, style, first="  ", rest="    ")]


def _outcome(lost: Unsolved) -> str:
    return "nothing is chosen" if lost.kind is ReasonKind.PARTED else "nothing fits"


def _alike(unsolved: Sequence[Unsolved]) -> Iterator[tuple[str, Unsolved]]:
    """Circuits that one and the same change would help, told by the one that is allowed least."""
    groups: dict[object, list[Unsolved]] = {}
    for lost in unsolved:
        key = lost.circuit if lost.blame is None else (lost.kind, lost.blame.changes)
        groups.setdefault(key, []).append(lost)
    for group in groups.values():
        first = min(group, key=lambda lost: lost.limit or 0.0)
        if len(group) > 1 and first.blame is not None:
            # What is left for the rest of each stands in its own lines once it can be chosen.
            first = replace(first, blame=replace(first.blame, gives=None))
        yield ", ".join(lost.circuit for lost in group), first


def _circuit_row(plan: Plan, circuit: Circuit, found: CircuitAssessment, shown: Display) -> list[str]:
    drop = found.drop
    mark = "!" if drop.decided is False else ""
    return [
        circuit.name,
        _sizes([wire for wire in circuit.wires if not wire.returning], shown),
        _sizes([wire for wire in circuit.wires if wire.returning], shown),
        _fuse(circuit, found),
        amps(found.continuous_a),
        _of_limit(drop.drop_pct, drop.limit_pct, mark),
        _decided(plan, circuit),
    ]


def _decided(plan: Plan, circuit: Circuit) -> str:
    """What set its size: written or existing, or what stopped the next smaller one."""
    if circuit.state is State.EXISTING:
        return "existing"
    binding = None if plan.design is None else plan.design.bindings.get(circuit.name)
    unsolved = () if plan.design is None else plan.design.unsolved
    lost = next((lost for lost in unsolved if lost.circuit == circuit.name), None)
    if lost is not None:
        return _NOT_CHOSEN.get(lost.kind, "NOTHING FITS")
    if binding is None:
        return "written" if all(wire.size is not None for wire in circuit.wires) else "not chosen"
    return binding_name(binding)


def _sizes(wires: list[Wire], shown: Display) -> str:
    """Sizes on one way, thickest first where there are several."""
    if not wires:
        return "-"
    if any(wire.size is None for wire in wires):
        return "?"
    sizes = {}
    for wire in wires:
        times = f"{wire.parallel}x" if wire.parallel > 1 else ""
        sizes[times + shown.short(wire.size)] = wire.area_mm2 or 0.0
    return "/".join(sorted(sizes, key=lambda text: -sizes[text]))


def _of_limit(drop_pct: float | None, limit_pct: float | None, mark: str) -> str:
    """Drop against what is allowed, in the same unit."""
    if limit_pct is None:
        return percent(drop_pct)
    return f"{percent(drop_pct).removesuffix(' %')}{mark}/{percent(limit_pct)}"


def _fuse(circuit: Circuit, found: CircuitAssessment) -> str:
    fuses = [part for part in circuit.parts if part.kind in FUSES]
    if not fuses:
        return "?" if circuit.fuse_unknown else "none"
    return "/".join(_rated(part, found) for part in fuses)


def _rated(part: Part, found: CircuitAssessment) -> str:
    """Rating and kind; a type that nobody wrote of a fuse that is there is not named."""
    rated = found.fuses.get(part.name)
    taken = rated.family if rated is not None and part.state is State.NEW else None
    family = part.family or taken or ""
    kind = "breaker" if part.kind is PartKind.BREAKER else _IN_SHORT.get(family, family)
    return f"{amps(part.rating_a)} {kind}".rstrip()
