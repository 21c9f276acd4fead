"""What decided a choice, and why nothing could be chosen, in words that can be said in other languages."""

from __future__ import annotations

from collections.abc import Sequence
from math import isinf
from typing import Final

from groundstrap.assess import FuseAssessment, ReasonKind, ThroughConverter
from groundstrap.design import Binding, Blame, Change, Remedy, RemedyKind, Unsolved
from groundstrap.report.curve_words import seconds
from groundstrap.report.figures import Display, amps, number, ohms, volts
from groundstrap.report.strong_fuse import is_smallest_that_breaks
from groundstrap.words import joined, plural, term, words

__all__ = [
    "binding_name",
    "binding_words",
    "blame_words",
    "duty_words",
    "eased_words",
    "through_words",
    "unsolved_words",
    "would_do_words",
]

_COOL_PCT: Final = 95.0
"""A fuse that carries less of its rating is helped by a cooler place."""


_BINDINGS = {
    ReasonKind.DROP: "drop",
    ReasonKind.AMPACITY: "ampacity",
    ReasonKind.OVERLOAD: "ampacity",
    ReasonKind.CONDUCTOR: "ampacity",
    ReasonKind.UNSUITABLE: "ampacity",
    ReasonKind.CURVE: "fuse",
    ReasonKind.TABLE_SHARE: "fuse",
    ReasonKind.WINDOW: "fuse",
    ReasonKind.FUSE: "fuse",
    ReasonKind.MINIMUM: "minimum",
}


def binding_name(binding: Binding) -> str:
    """Return what stopped the next smaller wire, as one of the words of the contract."""
    if binding.kind is None or binding.stock:
        return "stock"
    return _BINDINGS.get(binding.kind, "fuse")


def binding_words(binding: Binding, shown: Display, fuse: FuseAssessment | None = None) -> str:
    """Return what stopped the next smaller wire; `fuse` is the one that it names, as it was chosen."""
    if binding.kind is None or binding.smaller is None:
        if binding.stock:
            return words("nothing smaller on the shelf")
        return words("the smallest size there is would do")
    smaller, limit = shown.short(binding.smaller), amps(binding.limit)
    at = words(" at {where}", where=binding.where) if binding.where else ""
    match binding.kind:
        case ReasonKind.DROP:
            return words(
                "drop: {size} would lose {lost}{at}, {allowed} allowed",
                size=smaller,
                lost=volts(binding.value),
                at=at,
                allowed=volts(binding.limit),
            )
        case ReasonKind.WINDOW:
            return words(
                "fuse: behind {size}, {fuse} may be {limit} at most, {needed}",
                size=smaller,
                fuse=binding.where,
                limit=limit,
                needed=_needed_words(binding, fuse),
            )
        case ReasonKind.CONDUCTOR:
            return words(
                "heat at a part: {size} brings {hot} to it{at}, which stands {stands} at best",
                size=smaller,
                hot=shown.temperature(binding.value),
                at=at,
                stands=shown.temperature(binding.limit),
            )
        case ReasonKind.UNSUITABLE:
            return words("insulation: its class is below the air{at}", at=at)
        case _:
            return _binding_words(binding, smaller, at)


def _binding_words(binding: Binding, smaller: str, at: str) -> str:
    """The rarer reasons."""
    value, limit = amps(binding.value), amps(binding.limit)
    both = {"size": smaller, "limit": limit, "value": value}
    match binding.kind:
        case ReasonKind.AMPACITY:
            return words("ampacity: {size} carries {limit}{at}, {value} needed", at=at, **both)
        case ReasonKind.SOURCE:
            return words(
                "source: {size} carries {limit}, and {source} gives {value} without end",
                source=binding.where,
                **both,
            )
        case ReasonKind.RETURNS:
            return words(
                "shared return: {size} carries {limit}, and the fuses of all that comes back through it "
                "are {value} in sum",
                **both,
            )
        case ReasonKind.MINIMUM:
            least = "?" if binding.limit is None else number(binding.limit)
            return words(
                "minimum size: {size} is thinner than the {least} mm2 allowed{at}",
                size=smaller,
                least=least,
                at=at,
            )
        case ReasonKind.FUSE:
            return words(
                "fuse: {size} allows {limit}, and {fuse} of {value} is written", fuse=binding.where, **both
            )
        case _:
            kind = term(str(binding.kind))
            return words("{kind}: {size} would not do{at}", kind=kind, size=smaller, at=at)


def _needed_words(binding: Binding, fuse: FuseAssessment | None) -> str:
    """What asks for a larger fuse than the smaller wire allows, by the window that is shown beside it."""
    value = amps(binding.value)
    if binding.behind:
        return words(
            "and {value} is the first that is not below {fuse} behind it", value=value, fuse=binding.behind
        )
    window, limit_a = (None if fuse is None else fuse.window), binding.limit or 0.0
    if fuse is not None and fuse.rating_a == binding.value and is_smallest_that_breaks(fuse):
        family = term(fuse.family or "")
        return words(
            "and {value} is the smallest {family} fuse, which breaks the fault", value=value, family=family
        )
    if fuse is None or window is None or window.least_a is None or window.least_a == binding.value:
        return words("and its load needs {value}", value=value)
    if window.least_a > limit_a:
        return words(
            "and its load needs {value} of the {family} type, which breaks the fault",
            value=amps(window.least_a),
            family=term(fuse.family or ""),
        )
    return words(
        "and of the usual {family} type its load needs {value}",
        family=term(binding.family or ""),
        value=value,
    )


def blame_words(blame: Blame, limit_v: float | None, shown: Display) -> str:
    """Return what takes the volts of a limit, and what would do in its place, as it was tried."""
    many = len(blame.changes)
    written = _listed([_written(change, shown) for change in blame.changes])
    if isinf(blame.drop_v):
        took = plural(
            "{written} melts at what flows through",
            "{written} melt at what flows through",
            many,
            written=written,
        )
    else:
        took = plural(
            "{written} takes {lost} of the {limit} allowed",
            "{written} take {lost} of the {limit} allowed",
            many,
            written=written,
            lost=volts(blame.drop_v),
            limit=volts(limit_v),
        )
    return words("{took}: {would_do}", took=took, would_do=would_do_words(blame, shown))


def would_do_words(blame: Blame, shown: Display) -> str:
    """Return what would do in place of what is written, with the size that the circuit has then."""
    text = _listed([_would_do(change, shown) for change in blame.changes])
    alike = all(change.would_do == blame.gives for change in blame.changes)
    if blame.gives is None or alike:
        return words("{text} would do", text=text)
    return words("{text} would do, with {size} for the rest", text=text, size=shown.short(blame.gives))


def eased_words(binding: Binding, shown: Display) -> str:
    """Return what makes a cable far thicker than it would be else, and how thin it could be."""
    eased = binding.eased
    if eased is None or eased.gives is None:
        return ""
    if eased.drop_v:
        return blame_words(eased, binding.limit, shown)
    (change,) = eased.changes
    whose = words("a fuse of its own at {point}", point=change.at)
    if change.where:
        whose = words("{fuse} right at {point}", fuse=change.where, point=change.at)
    if change.would_do_a is not None:
        rating, family = amps(change.would_do_a), term(change.family or "")
        whose = words("{fuse} ({rating} {family})", fuse=whose, rating=rating, family=family)
    return words("with {fuse}, {size} would do", fuse=whose, size=shown.short(eased.gives))


def _written(change: Change, shown: Display) -> str:
    if change.size is not None:
        return words(
            "the {size} in {where} ({length})",
            size=shown.short(change.size),
            where=change.where,
            length=shown.length(change.length_m),
        )
    if change.rating_a is not None:
        return words("{part} ({rating})", part=change.where, rating=amps(change.rating_a))
    if change.known:
        return words("{part} ({ohms})", part=change.where, ohms=ohms(change.ohm))
    return words("{part} ({ohms}, usual for its kind)", part=change.where, ohms=ohms(change.ohm))


def _would_do(change: Change, shown: Display) -> str:
    if change.would_do is not None:
        return words("{size} in {where}", size=shown.short(change.would_do), where=change.where)
    would_do, usual = amps(change.would_do_a), ohms(change.would_do_ohm)
    if change.rating_a is not None:
        family = term(change.family or "")
        return words("{rating} {family} as {part}", rating=would_do, family=family, part=change.where)
    if change.would_do_a is None:
        return words("{part} with the usual {ohms}", part=change.where, ohms=usual)
    return words(
        "{part} for {rating} or more (usually {ohms})", part=change.where, rating=would_do, ohms=usual
    )


def _remedy_words(remedy: Remedy, shown: Display) -> str:
    """What helps, as it was tried."""
    size = shown.short(remedy.size)
    match remedy.kind:
        case RemedyKind.SHELF:
            return words("nothing on the shelf will do; {size} would: get some", size=size)
        case RemedyKind.PARALLEL:
            return words(
                "{count} cables of {size} side by side would do: write `parallel`",
                count=number(remedy.value),
                size=size,
            )
        case RemedyKind.INSULATION:
            return words(
                "write the class of a cable that suits: insulation: {temp} degC", temp=number(remedy.value)
            )
        case RemedyKind.SHORTER:
            return words(
                "{length} out, of {size}, would do: shorten it to that",
                length=shown.length(remedy.value),
                size=size,
            )


def duty_words(run_s: float, fuse: FuseAssessment) -> str:
    """Return why a fuse is no smaller for a load that runs for a short while, and what would change that."""
    text = words(
        "{current} flow for {time} at a time. The cable rests in between, and is sized for that; a smaller "
        "fuse would run above its rating each time, and wear out",
        current=amps(fuse.window.least_limit_a),
        time=seconds(run_s),
    )
    if fuse.carries_pct is None or fuse.carries_pct >= _COOL_PCT:
        return text
    share = number(fuse.carries_pct, 2)
    return words(
        "{text}. In its air it carries {share} % of its rating, in cooler air more", text=text, share=share
    )


def _listed(names: Sequence[str]) -> str:
    head = names[0]
    for name in names[1:-1]:
        head = words("{before}, {name}", before=head, name=name)
    return words("{before} and {name}", before=head, name=names[-1]) if len(names) > 1 else head


def through_words(through: ThroughConverter) -> str:
    """Return what a cable at a converter's negative carries for others, and what would change that."""
    return words(
        "sized for {current} of {loads}, which come back through the negative of {converter} beside {own} "
        "of its own; not so where its input and its output come back to one point",
        current=amps(through.foreign_a),
        loads=_listed(through.loads),
        converter=through.converter,
        own=amps(through.own_a),
    )


def unsolved_words(lost: Unsolved, shown: Display) -> str:
    """Return why nothing could be chosen for a circuit, and what would help."""
    if lost.blame is not None and lost.kind is ReasonKind.DROP:
        blamed = blame_words(lost.blame, lost.limit, shown)
        return words("{blame}; or shorten the way, or allow more", blame=blamed)
    why = _lost_words(lost, shown)
    if lost.blame is not None:
        return words("{why}: {remedy}", why=why, remedy=would_do_words(lost.blame, shown))
    if lost.remedy is not None:
        return words("{why}: {remedy}", why=why, remedy=_remedy_words(lost.remedy, shown))
    return words("{why}{remedy}", why=why, remedy=_else_words(lost))


_MISSING: Final = {
    ReasonKind.UNKNOWN: words("what it carries is not known"),
    ReasonKind.UNFED: words("no source that is drawn feeds it"),
}


def _lost_words(lost: Unsolved, shown: Display) -> str:
    where = lost.where or lost.circuit
    match lost.kind:
        case ReasonKind.UNSUITABLE:
            return words(
                "{where} lies in air of {air}, its insulation is for {class_}",
                where=where,
                air=shown.temperature(lost.limit),
                class_=shown.temperature(lost.value),
            )
        case ReasonKind.DROP:
            least = (
                words("even the thickest")
                if lost.size is None
                else words("even {size}", size=shown.short(lost.size))
            )
            return words(
                "{least} loses {lost} to {where}, {allowed} allowed",
                least=least,
                lost=volts(lost.value),
                where=where,
                allowed=volts(lost.limit),
            )
        case ReasonKind.UNKNOWN if lost.hangs_on:
            return words(
                "what flows here between batteries hangs on the cable of {names}, and nobody knows that",
                names=_listed(lost.hangs_on),
            )
        case ReasonKind.UNKNOWN | ReasonKind.UNFED:
            return words("{where}: {why}", where=where, why=_MISSING[lost.kind])
        case ReasonKind.PARTED:
            return words(
                "no way leads from {where} to the minus of the other battery, so nothing comes through it",
                where=where,
            )
        case _:
            return _thickest_words(lost, where, shown)


def _thickest_words(lost: Unsolved, where: str, shown: Display) -> str:
    """What even the thickest cable does not carry or stand."""
    both = {"where": where, "value": amps(lost.value), "limit": amps(lost.limit)}
    match lost.kind:
        case ReasonKind.FUSE:
            return words("{where}: {value} is written, and even the thickest allows {limit}", **both)
        case ReasonKind.WINDOW:
            return words(
                "{where}: {value} is the least that carries its load, and even the thickest allows {limit}",
                **both,
            )
        case ReasonKind.CONDUCTOR:
            return words(
                "{where}: even the thickest brings {hot} to the part at its end, which stands {stands} at "
                "best",
                where=where,
                hot=shown.temperature(lost.value),
                stands=shown.temperature(lost.limit),
            )
        case ReasonKind.RETURNS:
            return words(
                "{where}: the fuses of all that comes back through it are {value} in sum, and even the "
                "thickest carries {limit}",
                **both,
            )
        case ReasonKind.SOURCE:
            return words("{where} gives {value} without end, and even the thickest carries {limit}", **both)
        case ReasonKind.AMPACITY:
            return words("{where}: even the thickest carries {limit} there, and {value} flow", **both)
        case _:
            return words("{where}: {kind} ({value} against {limit})", kind=term(str(lost.kind)), **both)


def _else_words(lost: Unsolved) -> str:
    """What might help where nothing that was tried did."""
    match lost.kind:
        case ReasonKind.UNKNOWN if lost.hangs_on:
            return words(": write its size and length; strands counted and one measured give the size")
        case ReasonKind.UNKNOWN:
            return words("; give the load a claim or a reading")
        case ReasonKind.UNFED:
            return words("; draw what joins it to a source")
        case ReasonKind.PARTED:
            return words("; draw that cable too, and it gets its size with this one")
        case ReasonKind.DROP:
            each = [
                words("{where} {lost}", where=loss.where, lost=volts(loss.drop_v)) for loss in lost.losses
            ]
            told = joined(", ", each) if each else ""
            return words(" ({told}): use what loses less, feed it from nearer, or allow more", told=told)
        case ReasonKind.UNSUITABLE:
            return words(": no cable of the usual kinds suits that air; lay it elsewhere, or write its class")
        case ReasonKind.CONDUCTOR:
            return words(": move the part to cooler air, or write what it stands")
        case ReasonKind.RETURNS:
            return words(": bring some of them back by cables of their own")
        case _:
            return words(": share the load out among several circuits, or lay it in cooler air")
