"""What the pages of measuring say: a fault looked for, a sheet put in, accepted readings compared."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Final

from groundstrap.words import Words, joined, plural, words

__all__ = ["PLAIN", "TOLD"]

PLAIN: Final[Mapping[str, Words]] = {
    "meter_title": words("Finding a fault with the meter"),
    "meter_lead": words("Say what is wrong. Each reading narrows it down, and the next one is asked for."),
    "meter_about": words("What is complained of"),
    "meter_choose": words("choose one"),
    "meter_walk": words("nothing: a walk round everything that runs"),
    "meter_flat": words("the battery goes flat though nothing runs"),
    "meter_weak": words("It is weak, dim, slow, or cuts out"),
    "meter_dead": words("It does nothing at all"),
    "meter_how": words("How it fails"),
    "meter_minus": words("with a minus before it"),
    "meter_with": words("Which meter"),
    "meter_begin": words("Ask for a reading"),
    "meter_next": words("Read this next"),
    "meter_red": words("Red lead on"),
    "meter_black": words("Black lead on"),
    "meter_clamp": words("Clamp round the cable of"),
    "meter_case": words("While"),
    "meter_sound": words("A sound one shows"),
    "meter_means": words("What each outcome would mean"),
    "meter_value": words("What does the meter show?"),
    "meter_unit": words("Unit"),
    "meter_take": words("Take it"),
    "meter_skip": words("Skip this one"),
    "meter_other": words("Read something else"),
    "meter_through": words("Or a current, by clamp, through"),
    "meter_running": words("What is on"),
    "meter_none_skipped": words("Every reading that tells anything was skipped."),
    "meter_all_again": words("Ask for them again"),
    "meter_suspects": words("Where it may be"),
    "meter_healthy": words("nothing that can be read"),
    "meter_look": words("What to look at there"),
    "meter_taken": words("Readings taken"),
    "meter_none_taken": words("None yet."),
    "meter_silent": words("says nothing about this"),
    "meter_back": words("Take back"),
    "meter_again": words("read again since"),
    "meter_unsaved": words("The readings are not saved yet."),
    "meter_before": words("Before you touch anything"),
    "meter_sheet": words("Put in a whole sheet"),
    "meter_sheet_hint": words(
        "tests.csv of the pack filled in, or any CSV with where and read; all of it goes in, or none."
    ),
    "meter_sheet_file": words("CSV file"),
    "meter_sheet_put": words("Put it in"),
    "meter_visits": words("As built, and later visits"),
    "visits_title": words("As built, and later"),
    "visits_lead": words(
        "Readings that are accepted stay with the vehicle: the first ones say how it was built, and later "
        "ones which joint has grown since."
    ),
    "visits_measure": words("Measure"),
    "visits_keeps": words("What was chosen for its cables and fuses is pinned as fitted."),
    "visits_pins_if": words(
        "Where something else was fitted, write that in first: a pinned size counts as there."
    ),
    "visits_fails": words("Sound work does not read this:"),
    "visits_even_so": words("Accept it as built even so, and say why in the note"),
    "visits_mended": words("Mended since the last visit"),
    "visits_accept": words("Accept"),
    "visits_silent": words("Readings that say nothing of a joint"),
    "visits_all": words("Visits"),
    "visits_built": words("as built"),
    "visits_forget": words("Forget"),
    "visits_forget_first": words("Nothing was forgotten: tick the box first to say that it is meant."),
    "visits_changed": words("What changed"),
    "visits_found": words("What was found"),
    "visits_note": words("Note, such as who handed it over, or what was mended"),
    "meter_done": words("What it comes to"),
}
"""Texts that nothing goes into."""


def _put_in(count: int) -> str:
    return plural("{count} reading went in.", "{count} readings went in.", count)


def _known(count: int) -> str:
    return plural("{count} stood there already.", "{count} stood there already.", count) if count else ""


def _dead(count: int) -> str:
    return (
        plural(
            "{count} line has ohms of a dead circuit, which stay on the sheet.",
            "{count} lines have ohms of a dead circuit, which stay on the sheet.",
            count,
        )
        if count
        else ""
    )


def _before(lines: Sequence[int]) -> str:
    if not lines:
        return ""
    return plural(
        "Line {lines} reads exactly as before the mend and is not in: type it in where it was read again.",
        "Lines {lines} read exactly as before the mend and are not in: type in those that were read again.",
        len(lines),
        lines=", ".join(map(str, lines)),
    )


TOLD: Final[Mapping[str, Callable[..., str]]] = {
    "meter_sound_is": lambda sound: words("a sound one reads {sound}", sound=sound),
    "meter_slip": lambda reading: words(
        "No story fits all of them, and {reading} alone stands in the way: read it again.", reading=reading
    ),
    "meter_alike": lambda others: words("These readings can't tell it from {others}.", others=others),
    "meter_mend": lambda place: words("Mended {place}: read again", place=place),
    "meter_mended": lambda place: words(
        "{place} was mended; what that can have changed is history.", place=place
    ),
    "meter_saved": lambda number: words("Saved, as revision {number}.", number=number),
    "meter_kept_earlier": lambda count: plural(
        "{count} reading of an earlier visit, or from before a mend, stands in the job and is not looked at.",
        "{count} readings of earlier visits, or from before a mend, stand in the job and are not looked at.",
        count,
    ),
    "meter_put_in": lambda count, known, dead, before: joined(
        " ", [each for each in (_put_in(count), _known(known), _dead(dead), _before(before)) if each]
    ),
    "visits_ready": lambda day: words("Readings of {day}, not accepted yet", day=day),
    "visits_first": lambda day: words("As built on {day}, not accepted yet", day=day),
    "visits_forget_told": lambda day, count: plural(
        "The visit of {day} with {count} place is taken off, and later ones are no longer compared with it. "
        "Its readings stay in the revisions of the job.",
        "The visit of {day} with {count} places is taken off, and later ones are no longer compared with it. "
        "Its readings stay in the revisions of the job.",
        count,
        day=day,
    ),
    "visits_open": lambda circuits: words(
        "A stop stands against {circuits}: nothing of it is pinned.", circuits=circuits
    ),
    "visits_pins": lambda count: plural(
        "{count} size or rating that is written in", "{count} sizes and ratings that are written in", count
    ),
    "visits_places": lambda count: plural("{count} place", "{count} places", count),
    "visits_same": lambda count: plural("{count} place as it was", "{count} places as they were", count),
}
"""Texts that something goes into."""
