"""Where a fault sits, for a terminal: the answer, the readings, what to read next, who else could be it."""

from __future__ import annotations

from groundstrap.locate import CheckedReading, Location, Proposal, Suspect
from groundstrap.report.layout import Style, heading, paragraph, table
from groundstrap.report.location import LocationAnswer
from groundstrap.report.location_words import (
    LIVE_CAUTION,
    between_words,
    case_words,
    chance_words,
    failed_words,
    interval_words,
    look_words,
    meant_words,
    measure_words,
    outcomes,
    proposal_words,
    quantity_words,
    turned_round,
    verdict_words,
    where_words,
    why_none_words,
    wire_words,
)
from groundstrap.words import joined, words

__all__ = ["location_lines"]


def location_lines(answer: LocationAnswer, style: Style) -> list[str]:
    """Return the answer line by line."""
    found = answer.location
    lines = [style.paint(line, "strong") for line in paragraph(answer.installation.title, style)]
    lines += paragraph(_asked(found), style)
    lines += [style.paint(line, "strong") for line in paragraph(verdict_words(found), style)]
    lines += _first(found, style)
    lines += _readings(found, style)
    lines += _suspects(found, style)
    lines += _next(found, style)
    lines += ["", *[style.paint(line, "caution") for line in paragraph(LIVE_CAUTION, style, first="! ")]]
    told = words("Fingerprint {fingerprint}.", fingerprint=answer.fingerprint)
    return [*lines, "", *paragraph(told, style)]


def _asked(found: Location) -> str:
    if found.flat:
        return words("Complaint: the battery goes flat though nothing runs.")
    if found.load is None:
        return words("Looked at: everything that runs.")
    if found.dead:
        return words("Complaint: {load} is dead.", load=found.load)
    return words("Complaint: {load} is weak, or cuts out.", load=found.load)


def _first(found: Location, style: Style) -> list[str]:
    """How bad the likeliest is, and what to look at there."""
    if not found.readings or not found.suspects or found.fits_again:
        return []
    if found.healthy > found.suspects[0].probability:
        return []
    best = found.suspects[0]
    lines = _told(best, style)
    for other in found.second[:1]:
        lines += paragraph(words("Beside it: {place}", place=other.place), style, first="  ")
        lines += _told(other, style)
    return lines


def _told(each: Suspect, style: Style) -> list[str]:
    parts = (between_words(each), failed_words(each), measure_words(each), wire_words(each))
    told = joined("; ", [part for part in parts if part])
    return [
        *paragraph(told, style, first="  "),
        *paragraph(look_words(each), style, first="  "),
    ]


def _readings(found: Location, style: Style) -> list[str]:
    if not found.readings and not found.left_out:
        return []
    lines = heading(words("READINGS against the plan"), style)
    head = [words("reading"), words("read"), words("a sound one"), ""]
    rows = [[str(each) for each in head]]
    rows += [_row(number, each, found) for number, each in enumerate(found.readings)]
    lines += [f"  {line}" for line in table(rows, right=frozenset({1, 2}), most=style.width - 2)]
    if found.doubted is not None:
        told = words(
            "No story fits all of them, and {reading} alone stands in the way: read it again.",
            reading=where_words(found.readings[found.doubted]),
        )
        lines += paragraph(told, style, first="! ")
    for each in filter(turned_round, found.readings):
        told = words(
            "{reading} would fit with the other sign: were the leads, or the clamp, the other way round?",
            reading=where_words(each),
        )
        lines += paragraph(told, style, first="! ")
    for each in (each for each in found.readings if each.other_unit is not None):
        told = words(
            "{reading}: did you mean {meant}? That would fit.",
            reading=where_words(each),
            meant=meant_words(each),
        )
        lines += paragraph(told, style, first="! ")
    for text in found.left_out:
        lines += paragraph(
            words("{reading} says nothing about this circuit.", reading=text), style, first="  "
        )
    return lines


def _row(number: int, each: CheckedReading, found: Location) -> list[str]:
    verdict = words("fits") if each.agrees else words("LOOK")
    if number == found.doubted:
        verdict = words("a slip?")
    return [
        str(where_words(each)),
        quantity_words(each.measured, each.kind),
        str(interval_words(each.expected, each.kind)),
        str(verdict),
    ]


def _suspects(found: Location, style: Style) -> list[str]:
    lines = heading(words("WHO IT COULD BE"), style)
    head = [words("place"), words("chance"), words("how")]
    rows = [[str(each) for each in head]]
    rows += [_suspect(each, found) for each in found.suspects]
    rows.append([str(words("nothing that can be read")), str(chance_words(found, found.healthy)), ""])
    if found.second:
        rows.append([str(words("and beside the first:")), "", ""])
        rows += [_suspect(each, found) for each in found.second]
    lines += [
        f"  {line}"
        for line in table(rows, right=frozenset({1}), wrap=frozenset({0, 2}), most=style.width - 2)
    ]
    return lines


def _suspect(each: Suspect, found: Location) -> list[str]:
    told = failed_words(each)
    if found.readings and measure_words(each):
        told = joined("; ", [told, measure_words(each)])
    return [each.place, str(chance_words(found, each.probability)), str(told)]


def _next(found: Location, style: Style) -> list[str]:
    told = ["", *paragraph(why_none_words(found), style)]
    if not found.proposals:
        return told
    lines = told if found.fits_again else []
    lines += heading(words("READ NEXT"), style)
    for number, each in enumerate(found.proposals, 1):
        lines += _proposal(number, each, style)
    return lines


def _proposal(number: int, each: Proposal, style: Style) -> list[str]:
    told = joined("; ", [proposal_words(each), case_words(each)])
    lines = paragraph(told, style, first=f"  {number}. ")
    for would in outcomes(each):
        text = words("{shows}: {places}", shows=would.shows, places=would.places)
        lines += paragraph(text, style, first="     ", rest="       ")
    return lines
