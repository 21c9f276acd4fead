"""A trailer pin carries what its standard keeps it for.

Why
---
The next vehicle in front of the trailer puts its stop lamps on that pin; and a lamp pin has thin wire and
a monitor behind it.

Applies to
----------
Pins of connectors whose `plug` is a trailer socket.

Known limits
------------
Pins that the standard leaves open are believed.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Rule,
    Status,
    Verdict,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="PLU002",
    slug="trailer-pin-misused",
    topic="pin",
    status=Status.STABLE,
    since="0.1",
    about=About.PART,
    level=Level.CAUTION,
    needs=(
        "is_trailer_pin",
        "plug_name",
        "pin_purpose",
        "pin_misused",
    ),
    only_where=("is_trailer_pin",),
    sources=(
        "iso-11446, pins of thirteen",
        "iso-1724, pins of seven",
        "common-practice, a pin keeps its purpose, whatever vehicle is in front",
    ),
    remedy=words("Take the pin that the standard has for it, or a connector of its own."),
    caution=Caution.LICENSED,
)


def check(
    *,
    is_trailer_pin: bool,
    plug_name: str,
    pin_purpose: str | None,
    pin_misused: str,
) -> Verdict:
    """Judge one part."""
    if not is_trailer_pin:
        return not_applicable("it is no pin of a trailer socket")
    if pin_purpose is None:
        return unknown(
            words(
                "the standard has no {plug_name}: count its ways as the standard names them",
                plug_name=plug_name,
            )
        )
    if pin_misused:
        return failed(
            words(
                "{plug_name} is for {pin_purpose}; over it goes {pin_misused}",
                plug_name=plug_name,
                pin_purpose=pin_purpose,
                pin_misused=pin_misused,
            )
        )
    return passed(f"{plug_name} is for {pin_purpose}")
