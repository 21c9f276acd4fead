"""A short at the far end of a circuit makes at least twice the fuse's rating.

Why
---
Below that a fuse takes minutes, and a joint or an arc at the far end has them to start a fire in.

Applies to
----------
Every fuse and breaker with cable behind it, also where that goes on in circuits without a fuse; weak cold
battery, hot wire, joints at their high end.

Known limits
------------
A fault that is itself a resistance, such as a bad joint, makes less and may open nothing at all. Behind a
converter or charger that itself gives less than twice the rating no cable and no fuse that carries the load
makes it good: where the cable carries all that such a source gives, it is a note.
"""

from __future__ import annotations

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
from groundstrap.checks.words import opens_after, pair, quantity
from groundstrap.words import Words, words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="PRT010",
    slug="weak-far-end-fault",
    topic="short at the far end",
    status=Status.STABLE,
    since="0.1",
    about=About.FUSE,
    level=Level.CAUTION,
    needs=(
        "protects_something",
        "fault_least_a",
        "fault_best_a",
        "sure_to_open_twice_a",
        "clearing_s",
        "limiting_source",
        "source_gives_a",
        "cable_carries_a",
    ),
    only_where=("protects_something",),
    sources=("own-judgement, twice the rating", "iso-8820-3, operating times"),
    follows=("RET001", "THM001", "PRT007", "PRT003", "PRT004", "PRT001", "VDP001"),
    remedy=(
        words("Lay thicker cable or fit a smaller fuse, so that a short at the far end opens it in seconds.")
    ),
    caution=Caution.LICENSED,
)


def check(
    *,
    protects_something: bool,
    fault_least_a: float | None,
    fault_best_a: float | None,
    sure_to_open_twice_a: float | None,
    clearing_s: float | None,
    limiting_source: str | None,
    source_gives_a: float | None,
    cable_carries_a: float | None,
) -> Verdict:
    """Judge one fuse."""
    if not protects_something:
        return not_applicable("no cable stands behind this fuse")
    best_a, twice_a = fault_best_a, sure_to_open_twice_a
    if fault_least_a is None and best_a is not None and twice_a is not None and below(best_a, twice_a):
        fault_least_a = best_a
    if fault_least_a is None:
        return unknown(words("the least fault current is not known: give size and length of every piece"))
    if sure_to_open_twice_a is None:
        return unknown(words("its rating is not known: read it off the fuse, or let plan choose one"))
    told = pair(fault_least_a, sure_to_open_twice_a, "A")
    if not below(fault_least_a, sure_to_open_twice_a):
        text = f"a short at the far end makes {told.value}; twice its rating is {told.limit}"
        return passed(text, fault_least_a, sure_to_open_twice_a, "A")
    text = told.words("a short at the far end makes {value}, under the {limit} of twice its rating")
    text += opens_after(clearing_s)
    if limiting_source is not None and source_gives_a is not None:
        carried = cable_carries_a is not None and not above(source_gives_a, cable_carries_a)
        remedy = _behind_a_limit(limiting_source, source_gives_a, carried=carried)
        level = Level.NOTE if carried else None
        return failed(text, fault_least_a, sure_to_open_twice_a, "A", level=level, remedy=remedy)
    if best_a is None or below(best_a, sure_to_open_twice_a):
        return failed(text, fault_least_a, sure_to_open_twice_a, "A")
    text = _at_their_worst(text)
    return unknown(text, fault_least_a, sure_to_open_twice_a, "A", hangs_on=("fault_best_a",))


def _at_their_worst(text: str) -> Words:
    """What would tell whether body and battery are better than feared."""
    return words(
        "{text}, body and battery at their worst: measure the body's millivolts, write the battery's size",
        text=text,
    )


def _behind_a_limit(source: str, gives_a: float, *, carried: bool) -> str:
    """What helps where no fuse can open, since the source gives too little."""
    if carried:
        return words(
            "No fuse opens on what {source} gives, {gives} at most; the cable carries that for hours. Read "
            "in its data sheet whether it holds that limit, or goes off, in a short: then nothing needs "
            "changing.",
            source=source,
            gives=quantity(gives_a, "A"),
        )
    return words(
        "No fuse opens on what {source} gives: lay cable that carries {gives} for hours, its limit by its "
        "data sheet.",
        source=source,
        gives=quantity(gives_a, "A"),
    )
