"""A way back that is thinner than the way out still suits the fuse.

Why
---
A heavy plus cable with an old thin negative is the commonest way to burn one: the fuse suits the cable that
was looked at.

Applies to
----------
Cable on a way back whose circuit has cable out, too.

Known limits
------------
Ways back that several circuits share have a rule of their own.
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
    surely_above,
    unknown,
)
from groundstrap.checks.words import READ_THE_PRINT, pair, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="RET001",
    slug="thin-return",
    topic="way back",
    status=Status.STABLE,
    since="0.1",
    about=About.WIRE,
    level=Level.STOP,
    needs=(
        "is_way_back",
        "fuse_a",
        "known_fuse_a",
        "ampacity_a",
        "ampacity_best_a",
        "out_ampacity_a",
        "ampacity_source",
    ),
    only_where=("is_way_back",),
    sources=(
        "own-judgement, the way back carries all that goes out",
        "vde-0298-4, recommended ampacity",
        "cfr-33-183-425, table 5",
    ),
    remedy=words("Lay a way back as thick as the way out, or fit a fuse that suits the thinner of them."),
    caution=Caution.LICENSED,
)

_NO_AMPACITY: Final = words(
    "the way back or the way out has no known ampacity: give size, insulation and place of both"
)


def check(
    *,
    is_way_back: bool,
    fuse_a: float | None,
    known_fuse_a: float | None,
    ampacity_a: float | None,
    ampacity_best_a: float | None,
    out_ampacity_a: float | None,
    ampacity_source: str | None,
) -> Verdict:
    """Judge one wire."""
    if not is_way_back:
        return not_applicable("it is no way back that carries a load")
    if ampacity_a is None or out_ampacity_a is None:
        # A note: the rules on ampacity and on the fuse over its loop ask for the same, and weigh it.
        return unknown(_NO_AMPACITY, level=Level.NOTE)
    if not below(ampacity_a, out_ampacity_a):
        told = pair(ampacity_a, out_ampacity_a, "A")
        said = f"the way back carries {told.value}, the way out {told.limit}"
        return passed(said, ampacity_a, out_ampacity_a, "A")
    rating_a = known_fuse_a if fuse_a is None else fuse_a
    if rating_a is None or (fuse_a is None and not above(rating_a, ampacity_a)):
        return unknown(
            words("the way back is thinner than the way out, and the fuse before both is not known")
        )
    told = pair(rating_a, ampacity_a, "A")
    text = told.words(
        "{limit} of the way back; the way out carries {out_ampacity_a}",
        out_ampacity_a=quantity(out_ampacity_a, "A"),
    )
    if not above(rating_a, ampacity_a):
        return passed(
            f"fuse {told.value} is within the {text}", rating_a, ampacity_a, "A", source=ampacity_source
        )
    text = told.words("fuse {value} is above the {text}", text=text)
    if surely_above(rating_a, ampacity_a, ampacity_best_a):
        return failed(text, rating_a, ampacity_a, "A", source=ampacity_source)
    text = words("{text}, {how}", text=text, how=READ_THE_PRINT)
    return unknown(text, rating_a, ampacity_a, "A", hangs_on=("ampacity_best_a",))
