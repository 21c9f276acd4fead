"""The first page: what was done, what stands against it, what is not known, and who signs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from groundstrap.checks import Finding, FindingOutcome, Level, trees
from groundstrap.model import Circuit, Part, State, Wire
from groundstrap.pack.content import Block, Facts, Fill, Items, Paragraph, Section
from groundstrap.pack.texts.phrases import FUSES, Telling, listed
from groundstrap.report.figures import Display, number
from groundstrap.report.findings_text import summary
from groundstrap.report.plan import Plan
from groundstrap.report.verdict import not_run_words, verdict_words
from groundstrap.sources import all_sources
from groundstrap.words import plural, term, words

__all__ = [
    "checked_words",
    "circuits_words",
    "cover_facts",
    "cover_section",
    "done_sentence",
    "revision_of",
    "signature_section",
    "system_words",
]

_ABOUT = {
    "vehicle": words("Vehicle"),
    "boat": words("Boat"),
    "owner": words("Owner"),
    "by": words("By"),
    "date": words("Date"),
    "revision": words("Revision"),
    "note": words("Note"),
}
"""Keys of a job's `about` in the order they are printed; others follow under their own names."""


def cover_facts(plan: Plan) -> tuple[tuple[str, str], ...]:
    """Return what the job says about the vehicle and the work, as it is written there."""
    about = plan.installation.about
    known = [(title, about[key]) for key, title in _ABOUT.items() if key in about]
    return (*known, *((key, value) for key, value in about.items() if key not in _ABOUT))


def revision_of(plan: Plan) -> str:
    """Return the revision that the job names; its date where it names none; empty where neither is there."""
    about = plan.installation.about
    return about.get("revision") or about.get("date", "")


def cover_section(plan: Plan, shown: Display, telling: Telling | None = None) -> Section:
    """Return what stands on the cover under title, vehicle and date."""
    telling = telling or Telling(plan, shown)
    against = summary(plan.judgement.findings)
    verdict = words("{verdict}: {summary}.", verdict=verdict_words(plan), summary=against)
    blocks: list[Block] = [
        Paragraph(verdict, strong=True),
        *_not_run(plan),
        *_stops(telling),
        *_waived(telling),
        Facts(tuple(_frame(telling))),
        *_to_write(plan),
        Paragraph(words("What was done"), strong=True),
        Items(tuple(done_sentence(telling, circuit) for circuit in _done(telling))),
    ]
    return Section(key="cover", title=words("This job"), blocks=tuple(blocks), new_page=False)


def _not_run(plan: Plan) -> Iterator[Block]:
    """Why nothing is said of the days, where they could not be run."""
    if plan.days_not_run:
        yield Paragraph(not_run_words(plan))


def _to_write(plan: Plan) -> Iterator[Block]:
    """Lines for what the job does not say of the vehicle and of who did the work."""
    about = plan.installation.about
    vehicle = () if {"vehicle", "boat"} & about.keys() else (words("Vehicle"),)
    missing = (*vehicle, *(_ABOUT[key] for key in ("owner", "by", "date") if key not in about))
    if missing:
        yield Fill(missing)


def _done(telling: Telling) -> tuple[Circuit, ...]:
    """Circuits that are new, then those that are taken out."""
    gone = [c for c in telling.plan.installation.circuits.values() if c.state is State.REMOVE]
    return (*telling.new, *gone)


def _stops(telling: Telling) -> Iterator[Block]:
    """Every stop in plain sight, and what could be one and is not decided."""
    stops = [f for f in telling.plan.judgement.findings if f.level is Level.STOP and f.decides]
    # As many as the verdict counts: what merely follows from one stands with it among the findings.
    causes = [tree for tree in trees(telling.plan.judgement.findings) if tree.root.decides]
    failed = _alike(tree.root for tree in causes if tree.level is Level.STOP)
    if failed:
        told_so = (words("STOP: {text} [{rule}]", text=telling.told(f), rule=f[0].rule) for f in failed)
        yield Items(tuple(told_so))
    unknown = _alike(f for f in stops if f.outcome is FindingOutcome.UNKNOWN)
    if unknown:
        yield Paragraph(words("Not known, and could stop it:"))
        yield Items(tuple(words("{text} [{rule}]", text=telling.told(f), rule=f[0].rule) for f in unknown))


def _alike(findings: Iterable[Finding]) -> tuple[tuple[Finding, ...], ...]:
    """Findings of one rule that say the same of several things, together."""
    groups: dict[tuple[str, str], list[Finding]] = {}
    for finding in findings:
        groups.setdefault((finding.rule, finding.text), []).append(finding)
    return tuple(tuple(group) for group in groups.values())


def _waived(telling: Telling) -> Iterator[Block]:
    """What somebody answers for with his name."""
    rows = [f for f in telling.plan.judgement.findings if f.waiver is not None]
    if not rows:
        return
    yield Paragraph(words("Waived, and who answers for it:"), strong=True)
    yield Items(
        tuple(
            words(
                "{rule} at {where} ({level}): {reason} ({by})",
                rule=f.rule,
                where=f.where,
                level=term(f.level.value),
                reason=f.waiver.reason,
                by=f.waiver.by,
            )
            for f in rows
            if f.waiver is not None
        )
    )


def _frame(telling: Telling) -> Iterator[tuple[str, str]]:
    plan = telling.plan
    yield words("System"), system_words(plan)
    yield words("Circuits"), circuits_words(telling)
    assumed = plural("{count} assumption", "{count} assumptions", len(plan.assumptions))
    yield (
        words("Rests on"),
        words("{assumptions}; sources: {sources}", assumptions=assumed, sources=_weights(plan)),
    )
    yield words("Checked"), checked_words(plan)


def system_words(plan: Plan) -> str:
    """Return the volts and the basis of a job."""
    installation = plan.installation
    return words(
        "{volts} V, {basis} rules", volts=number(installation.system_v), basis=term(installation.basis.value)
    )


def circuits_words(telling: Telling) -> str:
    """Return how many circuits are new, and how many were there before."""
    new, kept = len(telling.new), len(telling.circuits) - len(telling.new)
    circuits: str = plural("{count} new circuit", "{count} new circuits", new)
    return words("{new}, {kept} as found", new=circuits, kept=kept) if kept else circuits


def checked_words(plan: Plan) -> str:
    """Return how often rules were applied and how that went, and what none of them is about."""
    counts = plan.judgement.counts
    return words(
        "{passed} checks passed, {failed} failed, {unknown} are undecided. Not checked: the law of your "
        "country, airbag and brake circuits, the parts themselves.",
        passed=counts.passed,
        failed=counts.failed,
        unknown=counts.unknown,
    )


def _weights(plan: Plan) -> str:
    """How many sources of which kind it rests on."""
    known = all_sources()
    kinds: dict[str, int] = {}
    for id_ in plan.used_sources:
        if id_ in known:
            kind = known[id_].kind.value.replace("-", " ")
            kinds[kind] = kinds.get(kind, 0) + 1
    return listed(words("{count} {kind}", count=count, kind=term(kind)) for kind, count in kinds.items())


def done_sentence(telling: Telling, circuit: Circuit) -> str:
    """Return a circuit in one sentence: from where through what to where, with its cable."""
    start, end = telling.point(circuit.start), telling.point(circuit.end)
    if circuit.state is State.REMOVE:
        return words("{circuit}: taken out ({start} to {end}).", circuit=circuit.name, start=start, end=end)
    text = words("{circuit}: {start}", circuit=circuit.name, start=start)
    through = listed(_through(telling, part) for part in circuit.parts)
    if through:
        text = words("{text} through {parts}", text=text, parts=through)
    text = words("{text} to {end}", text=text, end=end)
    out = [wire for wire in circuit.wires if not wire.returning]
    back = [wire for wire in circuit.wires if wire.returning]
    if out:
        text = words("{text}; {cable}", text=text, cable=_run(telling, out))
    if back:
        minus = telling.point(circuit.back_end) if circuit.back_end else words("the negative")
        text = words("{text}, back to {minus}: {cable}", text=text, minus=minus, cable=_run(telling, back))
    return words("{text}.", text=text)


def _through(telling: Telling, part: Part) -> str:
    name = telling.tag(part.name)
    rating = telling.rating(part)
    if part.kind in FUSES:
        return words("{fuse} ({rating})", fuse=name, rating=rating or words("rating not chosen"))
    return name


def _run(telling: Telling, wires: list[Wire]) -> str:
    """Cable of one way: its size and length, one after another where the size changes."""
    sizes: dict[str, list[Wire]] = {}
    for wire in wires:
        sizes.setdefault(telling.size(wire), []).append(wire)
    return listed(
        words("{length} of {size}", length=telling.metres(some), size=size) for size, some in sizes.items()
    )


def signature_section(plan: Plan, shown: Display) -> Section:
    """Return the lines that are signed: who built it, who tested it, who accepts it."""
    del shown
    text = words(
        "Signed for this state of the job and no other: {fingerprint}. What is changed later is drawn, "
        "reckoned and tested again.",
        fingerprint=plan.fingerprint,
    )
    rows = (words("built by"), words("tested by"), words("accepted by"))
    fills = tuple(Fill((who, words("date"), words("signature")), height_mm=16.0) for who in rows)
    waived = sum(finding.waiver is not None for finding in plan.judgement.findings)
    limits = words("Accepted with the limits on the cover; nothing is waived.")
    if waived:
        limits = plural(
            "Accepted with the limits on the cover and {count} waiver.",
            "Accepted with the limits on the cover and {count} waivers.",
            waived,
        )
    blocks: tuple[Block, ...] = (Paragraph(text), *fills, Paragraph(limits))
    return Section(key="signatures", title=words("Signatures"), blocks=blocks, new_page=False)
