"""No place has more resistance by the readings than sound ones have.

Why
---
A ground, a crimp or a holder that has gone bad takes volts from its loads and turns them into heat where it
sits; that loosens it further, until it glows.

Applies to
----------
Places that the readings prove to have ohms too many: freed of them the readings fit, with them they don't.

Known limits
------------
A place lies between two points that a lead reaches; wire and crimp inside it can't be told apart. Where other
places explain the readings as well, they are named. It weighs as a stop where ten watts are turned into heat,
or more volts are lost there than a circuit may lose in all; at full load it is more than while it was read.
Where currents alone show it, a load that draws less than its label reads the same, and it is no stop.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Outcome,
    Rule,
    Status,
    Verdict,
    above,
    failed,
    not_applicable,
    passed,
)
from groundstrap.checks.words import NOT_THE_SPOT, borne_out, pair, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

HOT_W = 10.0
"""What a small soldering iron takes: a joint that turns as much into heat melts what it sits in. [W]"""

_LOOK = words("Find what is loose, corroded or too thin between its two points, mend it, and read again.")
_REMEDIES = {
    "cable to the body": words(
        "Take the lug off, clean metal and lug to bright, tighten, protect, and read again; then the cable."
    ),
    "cable with its ends": words(
        "Look for green or dull strands, pull at both ends, feel for the warm spot; make new ends, or lay "
        "the cable new, and read again."
    ),
    "fuse with its holder": words(
        "Change the holder, not the rating of the fuse: look at legs and springs for brown or loose ones, "
        "then read again."
    ),
    "switch or relay": words("Change it, or its lugs where those are hot and it is not, and read again."),
    "plug": words("Unplug it, look for green, brown or pushed-back contacts, change them, and read again."),
}

RULE = Rule(
    id="TST004",
    slug="resistance-too-high",
    topic="resistance by the readings",
    status=Status.STABLE,
    since="0.1",
    about=About.PROOF,
    level=Level.CAUTION,
    needs=(
        "is_joint",
        "place_kind",
        "place_mohm",
        "least_mohm",
        "most_mohm",
        "allowed_mohm",
        "proven_a",
        "proven_v",
        "proven_w",
        "drop_left_v",
        "as_well",
        "one_reading",
        "amps_alone",
    ),
    only_where=("is_joint",),
    sources=(
        "own-computation, least squares on the network with what is known of each part before",
        "own-judgement, ten watts in a joint are too many",
    ),
    remedy=_LOOK + NOT_THE_SPOT,
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    is_joint: bool,
    place_kind: str,
    place_mohm: float,
    least_mohm: float,
    most_mohm: float,
    allowed_mohm: float,
    proven_a: float,
    proven_v: float,
    proven_w: float,
    drop_left_v: float | None,
    as_well: str,
    one_reading: str,
    amps_alone: bool,
) -> Verdict:
    """Judge one place."""
    if not is_joint:
        return not_applicable("it is no resistance that is off")
    told = pair(place_mohm, allowed_mohm, "mohm")
    compared = (place_mohm, allowed_mohm, "mohm")
    if not above(place_mohm, allowed_mohm):
        return passed(f"{told.value}, of sound ones 99.9 % have less than {told.limit}", *compared)
    text = told.words(
        "{value} by the readings ({least} to {most}), where sound ones have {limit} at most; at {flow} it "
        "takes {lost} too many and turns {heat} into heat",
        least=quantity(least_mohm, "mohm"),
        most=quantity(most_mohm, "mohm"),
        flow=quantity(proven_a, "A"),
        lost=quantity(proven_v, "V"),
        heat=quantity(proven_w, "W"),
    )
    text = borne_out(text, as_well=as_well, one_reading=one_reading)
    hot = above(proven_w, HOT_W) or (drop_left_v is not None and above(proven_v, drop_left_v))
    if amps_alone:
        text = words("{text}; no volts bear it out, and a load that draws less reads the same", text=text)
    level = Level.STOP if hot and not amps_alone else None
    return failed(text, *compared, level=level, remedy=_REMEDIES.get(place_kind, _LOOK) + NOT_THE_SPOT)
