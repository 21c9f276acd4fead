"""Visits of a vehicle, as text for a terminal: when, by whom, and what has grown since."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from groundstrap.locate import Growth, Measured, compare
from groundstrap.report.growth_words import (
    GROWTH_CAUTION,
    growth_mark,
    growth_words,
    limit_words,
    rest_words,
    trend_words,
)
from groundstrap.report.layout import Style, laid_out, paragraph, table
from groundstrap.report.values import Json, json_text, known, triple
from groundstrap.shelf import Visit, shelf_object
from groundstrap.words import words

__all__ = ["compare_visits", "visits_json", "visits_text"]


def visits_text(
    visits: Sequence[Visit], grown: Sequence[Growth], *, width: int = 80, colour: bool = False
) -> str:
    """Return the visits of a job as a list, and below what became of each place.

    Parameters
    ----------
    visits : Sequence of Visit
        What the shelf gave.
    grown : Sequence of Growth
        What `compare_visits` said to them.
    width : int
        Of the terminal, in characters.
    colour : bool
        Whether the terminal shows colours.
    """
    if not visits:
        return words("no readings of this job were accepted yet") + "\n"
    style = Style(width=width, colour=colour)
    head: list[str] = [words("visit"), words("revision"), words("places read"), words("by"), words("note")]
    first = str(words("as built"))
    cells = [
        [each.day, str(each.revision), str(len(each.places)), each.who, each.note or ("" if n else first)]
        for n, each in enumerate(visits)
    ]
    lines = table([head, *cells], right=frozenset({1, 2}), wrap=frozenset({3, 4}), most=width)
    lines = [style.paint(lines[0], "strong"), *lines[1:], ""]
    changed = [each for each in grown if each.grown or each.over or each.fallen]
    for each in changed:
        lines += _told(each, style)
    left = len(grown) - len(changed)
    if left:
        lines += paragraph(rest_words(left, len(visits)), style)
    if any(each.grown or each.over for each in grown):
        lines += ["", *paragraph(GROWTH_CAUTION, style)]
    return laid_out(lines)


def visits_json(visits: Sequence[Visit], grown: Sequence[Growth] | None = None) -> str:
    """Return the visits of a job and what became of each place as one JSON object; never rounded.

    Parameters
    ----------
    visits : Sequence of Visit
        What the shelf gave.
    grown : Sequence of Growth or None
        What `compare_visits` said to them; left out, it is asked.
    """
    told = grown if grown is not None else compare_visits(visits)
    found = {
        "schema": "groundstrap.visits/1",
        "visits": [shelf_object(each) for each in visits],
        "places": [_object(each) for each in told],
    }
    return json_text(found)


def _object(each: Growth) -> Json:
    trend, reach = each.trend, None if each.trend is None else each.trend.reach
    return known({
        "red": each.red,
        "black": each.black,
        "place": each.place,
        "visits": [
            {"day": v.day, "ohm": v.ohm, "standard_ohm": v.standard_ohm} for v in each.visits
        ],
        "more_ohm": None if each.more_ohm is None else triple(each.more_ohm),
        "grown": each.grown,
        "fallen": each.fallen,
        "limit_ohm": each.visits[-1].limit_ohm,
        "over": each.over,
        "ohm_per_year": None if trend is None else triple(trend.ohm_per_year),
        "reaches": None if reach is None else known({
            "earliest": reach.earliest, "likeliest": reach.likeliest, "latest": reach.latest,
        }),
    })  # fmt: skip


def compare_visits(visits: Iterable[Visit]) -> tuple[Growth, ...]:
    """Return each place over all visits, what has surely grown first.

    Parameters
    ----------
    visits : iterable of Visit
        Those of one job, in any order.
    """
    return compare(
        Measured(
            day=visit.day,
            red=each.red,
            black=each.black,
            place=each.place,
            ohm=each.ohm,
            standard_ohm=each.standard_ohm,
            limit_ohm=each.limit_ohm,
            anew=each.mended,
        )
        for visit in visits
        for each in visit.places
    )


def _told(each: Growth, style: Style) -> list[str]:
    lines = paragraph(words("{place}: {mark}", place=each.name, mark=growth_mark(each)), style)
    for part in (growth_words(each), trend_words(each), limit_words(each)):
        if part is not None:
            lines += paragraph(part, style, first="  ", rest="  ")
    return lines
