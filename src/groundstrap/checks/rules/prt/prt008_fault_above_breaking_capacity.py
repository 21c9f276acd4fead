"""The most current that a fuse may have to break lies within its breaking capacity.

Why
---
Above it the fuse can burst or go on arcing: it is then the fire that it was fitted against.

Applies to
----------
Every fuse and breaker that is there or chosen, with all sources full and itself bridged.

Known limits
------------
Up to twice the capacity at 12 V with lead-acid is a caution, own judgement, since such fuses clear short of
a dead short at the post. Where the size of the battery or of cable before the fuse is not known the verdict
stands only if it holds at the weakest as well as at the strongest. A fuse before it that breaks the current
does not make it good: there is no published basis for how much a plain one lets through. On a boat with
lead-acid at 12 or 24 V it is no more where it breaks what the standard's own table asks for at its place.
Lithium is not in that table. More cable before it is named where it is no more
than the circuit has out and back, or 3 m; a new main fuse with cable, up to 20 m of it. A type is named where
its smallest rating that fits is 40 A at most, or twice the present one, and below a fuse before it.
"""

from __future__ import annotations

from typing import Final

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Rule,
    Status,
    Verdict,
    above,
    below,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.checks.words import Pair, length, pair, quantity
from groundstrap.words import Words, words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="PRT008",
    slug="fault-above-breaking-capacity",
    topic="breaking capacity",
    status=Status.STABLE,
    since="0.1",
    about=About.FUSE,
    level=Level.STOP,
    needs=(
        "is_there",
        "fault_most_a",
        "fault_sure_a",
        "breaks_a",
        "system_v",
        "forgiving_source",
        "tabled_source",
        "on_boat",
        "interrupt_need_a",
        "more_cable_m",
        "more_cable_size",
        "fuse_before",
        "fuse_before_limits",
        "type_that_breaks",
        "in_slot",
        "main_cable_m",
    ),
    sources=(
        "iso-8820-3, rated breaking capacity",
        "abyc-e11, breaking capacity by cranking current, at second hand",
        "own-judgement, up to twice the capacity at 12 V with lead-acid is a caution",
    ),
    follows=("PRT015", "BOA005", "PRT008"),
    remedy=words("Fit a type that breaks the current in a rating that fits, or put more cable between."),
    caution=Caution.LICENSED,
    only_where=("is_there",),
)


_FAULT_NOT_KNOWN: Final = words(
    "the fault current at its place is not known: give the battery's cranking current or resistance"
)

_BREAKS_NOT_KNOWN: Final = words(
    "what it breaks at this voltage is not known: give 'breaks' from its data sheet"
)


def check(
    *,
    is_there: bool,
    fault_most_a: float | None,
    fault_sure_a: float | None,
    breaks_a: float | None,
    system_v: float,
    forgiving_source: bool,
    tabled_source: bool,
    on_boat: bool,
    interrupt_need_a: float | None,
    more_cable_m: float | None,
    more_cable_size: str | None,
    fuse_before: str | None,
    fuse_before_limits: bool | None,
    type_that_breaks: str | None,
    in_slot: bool | None,
    main_cable_m: float | None,
) -> Verdict:
    """Judge one fuse."""
    if not is_there:
        return not_applicable("none is chosen for this place yet")
    if fault_most_a is None or fault_sure_a is None:
        return unknown(_FAULT_NOT_KNOWN)
    if breaks_a is None:
        return unknown(_BREAKS_NOT_KNOWN)
    told = pair(fault_most_a, breaks_a, "A")
    if not above(fault_most_a, breaks_a):
        return passed(_within(told), fault_most_a, breaks_a, "A")
    most_a = 2 * breaks_a if forgiving_source else breaks_a
    by_the_table = on_boat and tabled_source and _meets(breaks_a, interrupt_need_a)
    mild = by_the_table or (forgiving_source and not above(fault_most_a, most_a))
    # A caution, too, stands only where the weakest that battery and cable may be exceeds the capacity.
    if not above(fault_sure_a, breaks_a if mild else most_a):
        return unknown(_between(told, fault_sure_a), hangs_on=("fault_sure_a",))
    remedy = _another_type(type_that_breaks, in_slot=bool(in_slot))
    remedy += _more_cable(more_cable_m, more_cable_size, main_cable_m)
    remedy += _what_one_before_does(fuse_before, limits=bool(fuse_before_limits))
    remedy += _asked_for(interrupt_need_a if on_boat else None)
    text, level = _beyond(told, system_v, fault_most_a - breaks_a), Level.CAUTION if mild else None
    return failed(text, fault_most_a, breaks_a, "A", level=level, remedy=remedy)


def _meets(breaks_a: float, need_a: float | None) -> bool:
    """Whether it breaks what the boat standard's table asks for."""
    return need_a is not None and not below(breaks_a, need_a)


def _within(told: Pair) -> str:
    """What may flow, and that it breaks that."""
    return f"up to {told.value} may flow into a fault behind it; it breaks {told.limit}"


def _beyond(told: Pair, system_v: float, less_a: float) -> Words:
    """What may flow, and how much less it breaks."""
    return told.words(
        "up to {value} may flow into a fault behind it; it breaks {limit} at {system}, {less} less",
        system=quantity(system_v, "V"),
        less=quantity(less_a, "A"),
    )


def _between(told: Pair, sure_a: float) -> Words:
    """What the weakest battery and cable, and the strongest, would do."""
    return told.words(
        "between {sure} and {value} may flow into a fault behind it, which breaks {limit}: write the "
        "battery's cranking current or capacity, and the cable before it",
        sure=quantity(sure_a, "A"),
    )


def _asked_for(need_a: float | None) -> str:
    """What the boat standard asks for in its column, where that is known."""
    if need_a is None:
        return ""
    return words(
        " The boat standard's table asks for {need_a} at this place (read at second hand).",
        need_a=quantity(need_a, "A"),
    )


def _another_type(named: str | None, *, in_slot: bool) -> str:
    """The type that breaks the fault at a rating that fits here; where there is none, what is done then."""
    if named is None:
        return words(
            "No type in the tables breaks it in a rating that fits here: fit one whose data sheet says that "
            "it does at these volts, and write its `breaks`."
        )
    if in_slot:
        return words(
            "Fit a fuse of {named}, in a holder of its own beside the block, with cable and leads for it.",
            named=named,
        )
    return words("Fit a fuse of {named}, with cable and leads for it.", named=named)


def _more_cable(more_m: float | None, size: str | None, main_m: float | None) -> str:
    """How much cable brings the fault current within what the fuse breaks, where somebody would lay it."""
    if more_m is not None and size is not None:
        return words(
            " Or put about {more_m} more of {size} before it, out and back together.",
            more_m=length(more_m),
            size=size,
        )
    if main_m is not None:
        return words(
            " Or feed it from a block, with a main fuse at the battery that breaks it and at least {main_m} "
            "of 6 mm2 or 10 AWG from there to the block, out and back together; of thicker cable as much "
            "more.",
            main_m=length(main_m),
        )
    return ""


def _what_one_before_does(before: str | None, *, limits: bool) -> str:
    """What a fuse before it is good for, and what can't be judged here."""
    if limits:
        return words(
            " What the class T before it lets through can't be judged here: where the data sheets of both "
            "say that it saves this one, write a waiver with that as its reason."
        )
    if before is None:
        return ""
    return words(
        " {before} breaks all of it but limits none of it: only a current-limiting type would, which can't "
        "be judged here but by its data sheet.",
        before=before,
    )
