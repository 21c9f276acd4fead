"""A load keeps working while another one beside it starts.

Why
---
A motor that starts pulls down the volts of everything on the same feeder and battery for a moment. Receivers,
controllers and displays drop out and begin again, and the fault is looked for in them.

Applies to
----------
Every load whose `works` is written, while another one starts that may run at the same time. Cranking is not
meant.

Known limits
------------
The battery alone gives the start, at its typical resistance. Starts under 10 ms are not felt. Where no
`inrush` is written the middle of what such loads do counts. What a device stores is not known.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Level,
    Rule,
    Status,
    Verdict,
    below,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.checks.words import pair
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="STA003",
    slug="start-pulls-volts-down",
    topic="dip at a start",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.CAUTION,
    needs=("dips", "dip_by", "dip_v", "before_dip_v", "works_low_v", "dip_written"),
    only_where=("dips",),
    sources=(
        "handbook-electrical-engineers, Ohm's law over what both share",
        "own-judgement, 10 ms and the battery at its typical resistance",
    ),
    follows=("VDP002", "VDP001", "THM001", "RET001", "SUP005"),
    remedy=words("Feed it by its own cable from the battery, or lay thicker cable where both share it."),
)


def check(
    *,
    dips: bool,
    dip_by: str,
    dip_v: float | None,
    before_dip_v: float | None,
    works_low_v: float | None,
    dip_written: bool,
) -> Verdict:
    """Judge one load."""
    if not dips or works_low_v is None:
        return not_applicable("the volts it works at are not written, or nothing starts beside it")
    if dip_v is None or before_dip_v is None:
        return unknown(
            words("what is left while another one starts is not known: give every size and length")
        )
    if below(before_dip_v, works_low_v):
        return not_applicable("it has too little without any start")
    told = pair(dip_v, works_low_v, "V")
    if below(dip_v, works_low_v):
        text = told.words("when {dip_by} starts, {value} are left; it works from {limit}", dip_by=dip_by)
        if dip_written:
            return failed(text, dip_v, works_low_v, "V")
        text += words("; nobody wrote `inrush`, so the middle of what such loads do counts")
        return failed(text, dip_v, works_low_v, "V", level=Level.NOTE)
    return passed(
        f"when {dip_by} starts, {told.value} are left; it works from {told.limit}", dip_v, works_low_v, "V"
    )
