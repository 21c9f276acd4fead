"""Reasons in words: what set an end of a fuse's window, and what stopped the next smaller wire."""

from __future__ import annotations

from typing import Final

from groundstrap.assess import LegalLimit, ReasonKind, Window
from groundstrap.report.figures import amps, number, seconds
from groundstrap.sources import all_sources
from groundstrap.words import joined, term, words

__all__ = [
    "SEEN",
    "least_words",
    "legal_words",
    "most_words",
    "sentence",
    "source_in_full",
    "source_words",
]


SEEN: Final = {
    "full text": words("read in full"),
    "excerpt": words("read in part"),
    "second-hand": words("as others quote it"),
    "from memory": words("from memory"),
}
"""How a source was read."""


def source_words(named: str) -> str:
    """Return a source with its weight: what kind of authority stands behind it.

    >>> source_words("vde-0298-4")
    'VDE 0298-4, standard'
    """
    id_ = named.split(",", maxsplit=1)[0]
    found = all_sources().get(id_)
    if found is None:
        return named
    kind = term(found.kind.value.replace("-", " "))
    if id_.startswith("cfr-33-"):
        # Law where it binds; elsewhere a table like others.
        kind = words("{law} on boats", law=kind)
    if id_ in {"common-practice", "own-judgement"}:
        return kind
    title = _short(id_, found.title)
    if found.seen == "from memory":
        return words("{title}, {kind} (from memory)", title=title, kind=kind)
    return words("{title}, {kind}", title=title, kind=kind)


def source_in_full(named: str) -> str:
    """Return a source with its clause, what kind of authority it is and how it was read."""
    id_, _, clause = named.partition(",")
    found = all_sources()[id_]
    dated = found.edition not in {"", "today", "various"}
    title = f"{found.title}, {found.edition}" if dated else found.title
    kind = term(found.kind.value.replace("-", " "))
    same = title.lower() == kind
    title = words("Own judgement") if same else title
    told = words("{title}: {clause}", title=title, clause=term(clause.strip())) if clause.strip() else title
    weight = [
        *([] if same else [kind]),
        *([SEEN[found.seen]] if found.seen in SEEN else []),
    ]
    return words("{told} ({weight})", told=told, weight=joined(", ", weight)) if weight else told


def _short(id_: str, title: str) -> str:
    """A source as the trade writes it, such as 33 CFR 183.425; others by the head of their title."""
    parts = id_.split("-")
    if parts[0] == "cfr" and len(parts) >= 4:
        return f"{parts[1]} CFR {'.'.join(parts[2:4])}"
    if parts[0] in {"vde", "iso", "iec", "sae", "din", "nec", "abyc", "faa", "jcgm", "astm", "en"}:
        return " ".join((parts[0].upper(), "-".join(parts[1:]).upper()))
    return title.partition(":")[0]


def sentence(text: str) -> str:
    """Return a text as a sentence: a capital first, one stop at the end.

    >>> sentence("the leads were nulled")
    'The leads were nulled.'
    """
    return f"{text[:1].upper()}{text[1:].rstrip('.')}."


def least_words(window: Window, run_s: float | None = None) -> str:
    """Return why a window begins where it does; `run_s` of what only makes short runs behind it. [s]"""
    reason = window.least_reason
    need = amps(window.least_limit_a if window.least_limit_a is not None else reason.value)
    match reason.kind:
        case ReasonKind.UNKNOWN:
            return words("what it must carry is not known")
        case ReasonKind.CONTINUOUS:
            if reason.limit is None:
                return words("{need} flow for hours", need=need)
            share = amps(reason.limit)
            if run_s is not None:
                return words(
                    "{need} flow for {time} at a time, and it carries {share} where it sits",
                    need=need,
                    time=seconds(run_s),
                    share=share,
                )
            return words(
                "{need} flow for hours, and it carries {share} where it sits", need=need, share=share
            )
        case ReasonKind.INRUSH:
            return words(
                "{amount} flow for a moment when {where} starts",
                amount=amps(reason.value),
                where=reason.where,
            )
        case ReasonKind.FAMILY:
            if window.least_a is None:
                return words("{need} flow, more than the largest of its family carries there", need=need)
            if run_s is not None:
                return words(
                    "the smallest made, for {need} that flow for {time} at a time",
                    need=need,
                    time=seconds(run_s),
                )
            return words("the smallest made, for {need} that flow for hours", need=need)
        case _:
            return words("{kind} of {where}", kind=reason.kind.value, where=reason.where)


def most_words(window: Window) -> str:
    """Return why a window ends where it does: the thinnest thing that the fuse must save."""
    reason = window.most_reason
    limit = amps(window.most_limit_a if window.most_limit_a is not None else reason.value)
    match reason.kind:
        case ReasonKind.UNKNOWN:
            return words(
                "what {where} may carry, or when it opens, is not known",
                where=reason.where or words("its loop"),
            )
        case ReasonKind.AMPACITY:
            return words("{where} carries {limit} where it is hottest", where=reason.where, limit=limit)
        case ReasonKind.OVERLOAD:
            return words("{where} would pass its class + 50 K above {limit}", where=reason.where, limit=limit)
        case ReasonKind.CURVE if window.most_limit_a == 0.0:
            return words(
                "none saves {where}, for what flows through it is too much by itself", where=reason.where
            )
        case ReasonKind.CURVE:
            return words(
                "above {limit} it would open too late to save {where}", limit=limit, where=reason.where
            )
        case ReasonKind.TABLE_SHARE:
            return words("150 % of the table's value for {where} is {limit}", where=reason.where, limit=limit)
        case ReasonKind.LEAD:
            return words("the lead of {where} carries {limit}", where=reason.where, limit=limit)
        case ReasonKind.CONTACT:
            return words("{where} is rated {limit}", where=reason.where, limit=limit)
        case ReasonKind.LARGEST_FUSE:
            return words("the maker of {where} allows {limit}", where=reason.where, limit=limit)
        case ReasonKind.UNSUITABLE:
            return words("the insulation of {where} does not suit its place", where=reason.where)
        case ReasonKind.FAMILY:
            return words("the largest made, for no cable stands behind it")
        case _:
            return words("{kind} of {where}", kind=reason.kind.value, where=reason.where)


def legal_words(legal: LegalLimit) -> str:
    """Return what the law allows a fuse at most, by both readings of it; practice stays below."""
    most, printed = amps(legal.most_a), amps(legal.printed_most_a)
    text = words(
        "{most} at most, {share} % of the table's value for {where} in its air",
        most=most,
        share=number(legal.share_pct),
        where=legal.where,
    )
    if printed != most:
        text = words("{text} ({printed} by the value as printed)", text=text, printed=printed)
    source = source_words(legal.source)
    return words("{text} [{source}]; practice keeps to the window", text=text, source=source)
