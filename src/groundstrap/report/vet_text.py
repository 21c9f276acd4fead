"""What the loads really draw, for a terminal: the answer, then the evidence that it rests on."""

from __future__ import annotations

from groundstrap.model import LoadKind
from groundstrap.report.figures import amps, band, counted, number, ohms, volts
from groundstrap.report.findings_text import finding_lines
from groundstrap.report.glance import claim_words
from groundstrap.report.layout import Style, heading, paragraph, table
from groundstrap.report.plan import VetAnswer
from groundstrap.report.plan_text import assumption_lines
from groundstrap.report.reasons import sentence
from groundstrap.vet import Evidence, EvidenceKind, VettedLoad
from groundstrap.vet.words import chance
from groundstrap.words import joined, term, words

__all__ = ["said_words", "vet_lines"]

_LABEL = 9
_UNITS = {"w": "W", "a": "A", "v": "V", "c": "degC", "pct": "%"}


def vet_lines(answer: VetAnswer, style: Style) -> list[str]:
    """Return the loads line by line."""
    installation = answer.installation
    lines = [style.paint(line, "strong") for line in paragraph(installation.title, style)]
    loads = {
        name: found
        for name, found in answer.vetting.loads.items()
        if installation.loads[name].kind is not LoadKind.COIL
    }
    lines += paragraph(f"{counted(len(loads), 'load')} on {number(installation.system_v)} V.", style)
    rows = [["load", "at rest", "charging", "claimed"]]
    rows += [_row(found) for found in loads.values()]
    lines += heading("WHAT EACH REALLY DRAWS", style)
    lines += [f"  {line}" for line in table(rows, right=frozenset(), most=style.width - 2)]
    for found in loads.values():
        lines += _explained(found, style)
    lines += finding_lines(answer.findings, style)
    return lines + assumption_lines(answer.vetting.assumptions, style)


def _row(found: VettedLoad) -> list[str]:
    at = {each.what: each for each in found.at}
    cells = []
    for what in ("resting", "charging"):
        each = at.get(what) or at.get("regulated")
        cells.append("unknown" if each is None else f"{amps(each.current_a.value)} at {volts(each.at_v)}")
    return [found.name, *cells, ", ".join(claim_words(claim, found.count) for claim in found.claims)]


def _explained(found: VettedLoad, style: Style) -> list[str]:
    count = "" if found.count == 1 else f", all {found.count} together"
    lines = ["", *paragraph(f"{found.name}{count}", style, first="  ")]
    estimate = found.estimate
    if estimate.power_w is None:
        text = "unknown"
    else:
        text = f"{band(estimate.power_w, 'W')} at {volts(estimate.at_v)}, {estimate.law}"
        if found.resistance_ohm is not None:
            text += f", {ohms(found.resistance_ohm.value)}"
    facts = [("draws", f"{text}. {estimate.why}".strip())]
    facts += [("verdict", f"{claim_words(claim)}: {claim.why}") for claim in found.claims]
    facts += [
        (str(item.kind), _evidence(item)) for item in found.evidence if item.kind is not EvidenceKind.FITTED
    ]
    for bound in found.bounds:
        most = "an unknown current" if bound.most_a is None else f"{number(bound.most_a)} A"
        facts.append(
            ("bound", f"the {bound.name} lets {most} through at the most; {bound.remark}".rstrip("; "))
        )
    if found.evidence and not found.consistent.flag:
        facts.append(
            (
                "conflict",
                f"the readings disagree beyond their meters (by chance: {chance(found.consistent.p)})",
            )
        )
    if found.remark:
        facts.append(("trade", found.remark))
    for label, text in facts:
        lines += paragraph(text, style, first=f"    {label:<{_LABEL}}", rest=" " * (4 + _LABEL))
    return lines


def _evidence(item: Evidence) -> str:
    by = f" by {item.by}" if item.by else ""
    remark = f". {sentence(item.remark)}" if item.remark else "."
    return f"{said_words(item)}{by}; trust {item.trust}, weight {item.weight * 100:.0f} %{remark}"


def said_words(found: Evidence) -> str:
    """Return what was written of one piece of evidence, with the meters and conditions it names."""
    return joined(", ", [_value(key, value) for key, value in found.says.items()])


def _value(key: str, value: float | str) -> str:
    """What was written, its unit behind it: `leads_ohm` 0.25 is leads 0.25 ohm."""
    if isinstance(value, str):
        return words("{what} {value}", what=term(key.replace("_", " ")), value=value)
    name, _, unit = key.rpartition("_")
    shown = f"{number(value, 4)} {_UNITS.get(unit, unit)}"
    if name in {"power", "current", "resistance"}:
        return shown
    return words("{what} {value}", what=term(name.replace("_", " ")), value=shown)
