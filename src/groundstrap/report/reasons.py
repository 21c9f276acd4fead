"""Reasons in words: what set an end of a fuse's window, and what stopped the next smaller wire."""

from __future__ import annotations

from collections.abc import Sequence
from math import isinf
from typing import Final

from groundstrap.assess import FuseAssessment, LegalLimit, ReasonKind, ThroughConverter, Window
from groundstrap.design import Binding, Blame, Change, Remedy, RemedyKind, Unsolved
from groundstrap.report.curve_words import seconds
from groundstrap.report.figures import Display, amps, number, ohms, volts
from groundstrap.sources import all_sources
from groundstrap.words import term, words

__all__ = [
    "SEEN",
    "binding_words",
    "blame_words",
    "duty_words",
    "eased_words",
    "least_words",
    "legal_words",
    "most_words",
    "sentence",
    "source_in_full",
    "source_words",
    "through_words",
    "unsolved_words",
]


SEEN: Final = {
    "full text": words("read in full"),
    "excerpt": words("read in part"),
    "second-hand": words("as others quote it"),
    "from memory": words("from memory"),
}
"""How a source was read."""
_COOL_PCT: Final = 95.0
"""A fuse that carries less of its rating is helped by a cooler place."""


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
    told = f"{title}: {clause.strip()}" if clause.strip() else title
    kind = found.kind.value.replace("-", " ")
    weight = [
        *([] if title.lower() == kind else [kind]),
        *([SEEN[found.seen]] if found.seen in SEEN else []),
    ]
    return f"{told} ({', '.join(weight)})" if weight else told


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


def least_words(window: Window) -> str:
    """Return why a window begins where it does."""
    reason = window.least_reason
    need = amps(window.least_limit_a if window.least_limit_a is not None else reason.value)
    match reason.kind:
        case ReasonKind.UNKNOWN:
            return words("what it must carry is not known")
        case ReasonKind.CONTINUOUS:
            if reason.limit is None:
                return words("{need} flow for hours", need=need)
            share = amps(reason.limit)
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
    text = f"{most} at most, {number(legal.share_pct)} % of the table's value for {legal.where} in its air"
    if printed != most:
        text += f" ({printed} by the value as printed)"
    return f"{text} [{source_words(legal.source)}]; practice keeps to the window"


def binding_words(binding: Binding, shown: Display, fuse: FuseAssessment | None = None) -> str:
    """Return what stopped the next smaller wire; `fuse` is the one that it names, as it was chosen."""
    if binding.kind is None or binding.smaller is None:
        return "the smallest size there is would do" if not binding.stock else "nothing smaller on the shelf"
    smaller = shown.short(binding.smaller)
    at = f" at {binding.where}" if binding.where else ""
    match binding.kind:
        case ReasonKind.DROP:
            return f"drop: {smaller} would lose {volts(binding.value)}{at}, {volts(binding.limit)} allowed"
        case ReasonKind.AMPACITY:
            return f"ampacity: {smaller} carries {amps(binding.limit)}{at}, {amps(binding.value)} needed"
        case ReasonKind.SOURCE:
            given = f"{binding.where} gives {amps(binding.value)} without end"
            return f"source: {smaller} carries {amps(binding.limit)}, and {given}"
        case ReasonKind.RETURNS:
            return (
                f"shared return: {smaller} carries {amps(binding.limit)}, and the fuses of all that comes "
                f"back through it are {amps(binding.value)} in sum"
            )
        case ReasonKind.MINIMUM:
            limit = "?" if binding.limit is None else number(binding.limit)
            return f"minimum size: {smaller} is thinner than the {limit} mm2 allowed{at}"
        case ReasonKind.WINDOW:
            needed = _needed_words(binding, fuse)
            return f"fuse: behind {smaller}, {binding.where} may be {amps(binding.limit)} at most, {needed}"
        case ReasonKind.FUSE:
            return (
                f"fuse: {smaller} allows {amps(binding.limit)}, and {binding.where} of {amps(binding.value)} "
                "is written"
            )
        case ReasonKind.UNSUITABLE:
            return f"insulation: its class is below the air{at}"
        case ReasonKind.CONDUCTOR:
            hot, stands = shown.temperature(binding.value), shown.temperature(binding.limit)
            return f"heat at a part: {smaller} brings {hot} to it{at}, which stands {stands} at best"
        case _:
            return f"{binding.kind}: {smaller} would not do{at}"


def _needed_words(binding: Binding, fuse: FuseAssessment | None) -> str:
    """What asks for a larger fuse than the smaller wire allows, by the window that is shown beside it."""
    if binding.behind:
        return f"and {amps(binding.value)} is the first that is not below {binding.behind} behind it"
    window, limit_a = (None if fuse is None else fuse.window), binding.limit or 0.0
    if fuse is None or window is None or window.least_a is None or window.least_a == binding.value:
        return f"and its load needs {amps(binding.value)}"
    if window.least_a > limit_a:
        return f"and its load needs {amps(window.least_a)} of the {fuse.family} type, which breaks the fault"
    return f"and of the usual {binding.family} type its load needs {amps(binding.value)}"


def blame_words(blame: Blame, limit_v: float | None, shown: Display) -> str:
    """Return what takes the volts of a limit, and what would do in its place, as it was tried."""
    many = len(blame.changes) > 1
    written = _listed([_written(change, shown) for change in blame.changes])
    if isinf(blame.drop_v):
        took = f"{written} {'melt' if many else 'melts'} at what flows through"
    else:
        took = (
            f"{written} {'take' if many else 'takes'} {volts(blame.drop_v)} of the {volts(limit_v)} allowed"
        )
    return f"{took}: {would_do_words(blame, shown)}"


def would_do_words(blame: Blame, shown: Display) -> str:
    """Return what would do in place of what is written, with the size that the circuit has then."""
    text = _listed([_would_do(change, shown) for change in blame.changes])
    alike = all(change.would_do == blame.gives for change in blame.changes)
    return (
        f"{text} would do"
        if blame.gives is None or alike
        else (f"{text} would do, with {shown.short(blame.gives)} for the rest")
    )


def eased_words(binding: Binding, shown: Display) -> str:
    """Return what makes a cable far thicker than it would be else, and how thin it could be."""
    eased = binding.eased
    if eased is None or eased.gives is None:
        return ""
    if eased.drop_v:
        return blame_words(eased, binding.limit, shown)
    (change,) = eased.changes
    rating = "" if change.would_do_a is None else f" ({amps(change.would_do_a)} {change.family})"
    whose = f"{change.where} right at {change.at}" if change.where else f"a fuse of its own at {change.at}"
    return f"with {whose}{rating}, {shown.short(eased.gives)} would do"


def _written(change: Change, shown: Display) -> str:
    if change.size is not None:
        return f"the {shown.short(change.size)} in {change.where} ({shown.length(change.length_m)})"
    if change.rating_a is not None:
        return f"{change.where} ({amps(change.rating_a)})"
    return f"{change.where} ({ohms(change.ohm)}{'' if change.known else ', usual for its kind'})"


def _would_do(change: Change, shown: Display) -> str:
    if change.would_do is not None:
        return f"{shown.short(change.would_do)} in {change.where}"
    if change.rating_a is not None:
        return f"{amps(change.would_do_a)} {change.family} as {change.where}"
    if change.would_do_a is None:
        return f"{change.where} with the usual {ohms(change.would_do_ohm)}"
    return f"{change.where} for {amps(change.would_do_a)} or more (usually {ohms(change.would_do_ohm)})"


def _remedy_words(remedy: Remedy, shown: Display) -> str:
    """What helps, as it was tried."""
    size = shown.short(remedy.size)
    match remedy.kind:
        case RemedyKind.SHELF:
            return f"nothing on the shelf will do; {size} would: get some"
        case RemedyKind.PARALLEL:
            return f"{number(remedy.value)} cables of {size} side by side would do: write `parallel`"
        case RemedyKind.INSULATION:
            return f"write the class of a cable that suits: insulation: {number(remedy.value)} degC"
        case RemedyKind.SHORTER:
            return f"{shown.length(remedy.value)} out, of {size}, would do: shorten it to that"


def duty_words(run_s: float, fuse: FuseAssessment) -> str:
    """Return why a fuse is no smaller for a load that runs for a short while, and what would change that."""
    text = (
        f"{amps(fuse.window.least_limit_a)} flow for {seconds(run_s)} at a time. The cable rests in "
        "between, and is sized for that; a smaller fuse would run above its rating each time, and wear out"
    )
    if fuse.carries_pct is not None and fuse.carries_pct < _COOL_PCT:
        text += f". In its air it carries {number(fuse.carries_pct, 2)} % of its rating, in cooler air more"
    return text


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def through_words(through: ThroughConverter) -> str:
    """Return what a cable at a converter's negative carries for others, and what would change that."""
    return (
        f"sized for {amps(through.foreign_a)} of {_listed(through.loads)}, which come back through the "
        f"negative of {through.converter} beside {amps(through.own_a)} of its own; not so where its input "
        "and its output come back to one point"
    )


def unsolved_words(lost: Unsolved, shown: Display) -> str:
    """Return why nothing could be chosen for a circuit, and what would help."""
    if lost.blame is not None and lost.kind is ReasonKind.DROP:
        return f"{blame_words(lost.blame, lost.limit, shown)}; or shorten the way, or allow more"
    why = _lost_words(lost, shown)
    if lost.blame is not None:
        return f"{why}: {would_do_words(lost.blame, shown)}"
    if lost.remedy is not None:
        return f"{why}: {_remedy_words(lost.remedy, shown)}"
    return f"{why}{_else_words(lost)}"


_MISSING: Final = {
    ReasonKind.UNKNOWN: "what it carries is not known",
    ReasonKind.UNFED: "no source that is drawn feeds it",
}


def _lost_words(lost: Unsolved, shown: Display) -> str:
    where = lost.where or lost.circuit
    match lost.kind:
        case ReasonKind.UNSUITABLE:
            return (
                f"{where} lies in air of {shown.temperature(lost.limit)}, its insulation is for "
                f"{shown.temperature(lost.value)}"
            )
        case ReasonKind.DROP:
            least = f"even {shown.short(lost.size)}" if lost.size is not None else "even the thickest"
            return f"{least} loses {volts(lost.value)} to {where}, {volts(lost.limit)} allowed"
        case ReasonKind.UNKNOWN if lost.hangs_on:
            return (
                f"what flows here between batteries hangs on the cable of {_listed(lost.hangs_on)}, and "
                "nobody knows that"
            )
        case ReasonKind.UNKNOWN | ReasonKind.UNFED:
            return f"{where}: {_MISSING[lost.kind]}"
        case ReasonKind.FUSE | ReasonKind.WINDOW:
            asked = "is written" if lost.kind is ReasonKind.FUSE else "is the least that carries its load"
            return f"{where}: {amps(lost.value)} {asked}, and even the thickest allows {amps(lost.limit)}"
        case ReasonKind.CONDUCTOR:
            return (
                f"{where}: even the thickest brings {shown.temperature(lost.value)} to the part at its "
                f"end, which stands {shown.temperature(lost.limit)} at best"
            )
        case ReasonKind.RETURNS:
            return (
                f"{where}: the fuses of all that comes back through it are {amps(lost.value)} in sum, and "
                f"even the thickest carries {amps(lost.limit)}"
            )
        case ReasonKind.SOURCE:
            return (
                f"{where} gives {amps(lost.value)} without end, and even the thickest carries "
                f"{amps(lost.limit)}"
            )
        case ReasonKind.AMPACITY:
            return f"{where}: even the thickest carries {amps(lost.limit)} there, and {amps(lost.value)} flow"
        case _:
            return f"{where}: {lost.kind} ({amps(lost.value)} against {amps(lost.limit)})"


def _else_words(lost: Unsolved) -> str:
    """What might help where nothing that was tried did."""
    match lost.kind:
        case ReasonKind.UNKNOWN if lost.hangs_on:
            return ": write its size and length; strands counted and one measured give the size"
        case ReasonKind.UNKNOWN:
            return "; give the load a claim or a reading"
        case ReasonKind.UNFED:
            return "; draw what joins it to a source"
        case ReasonKind.DROP:
            told = ", ".join(f"{each.where} {volts(each.drop_v)}" for each in lost.losses)
            return f" ({told}): use what loses less, feed it from nearer, or allow more"
        case ReasonKind.UNSUITABLE:
            return ": no cable of the usual kinds suits that air; lay it elsewhere, or write its class"
        case ReasonKind.CONDUCTOR:
            return ": move the part to cooler air, or write what it stands"
        case ReasonKind.RETURNS:
            return ": bring some of them back by cables of their own"
        case _:
            return ": share the load out among several circuits, or lay it in cooler air"
