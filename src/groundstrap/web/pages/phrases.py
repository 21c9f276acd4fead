"""Every text of the pages themselves; what a job's answer says comes with the answer."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from groundstrap.web.pages import meter_phrases
from groundstrap.words import Words, plural, words

__all__ = [
    "KINDS",
    "LANGUAGES",
    "LEVELS",
    "MEASURED_IN",
    "METERS",
    "PAPERS",
    "PLAIN",
    "SIDES",
    "SITUATIONS",
    "TOLD",
    "VARIANTS",
    "WAYS",
    "WHAT",
]

PAPERS: Final[Mapping[str, Words]] = {
    "pack.pdf": words("All of it, to print"),
    "pack.html": words("All of it, to read on a screen"),
    "labels.pdf": words("Labels, true to size"),
    "fuses.pdf": words("Fuse map for the lid"),
    "circuits.pdf": words("A sheet for each circuit"),
}
"""Files of a pack that are read by people, the whole first."""

LANGUAGES: Final[Mapping[str, str]] = {"en": "English", "de": "Deutsch"}
"""Each by its own name."""

PLAIN: Final[Mapping[str, Words]] = {
    # the shell
    "name": words("Groundstrap"),
    "bench": words("Bench"),
    "to_bench": words("Groundstrap: to the bench"),
    "skip": words("To the content"),
    "choices": words("Language, units, light or dark, your name"),
    "language": words("Language"),
    "units": words("Units"),
    "units_job": words("As the job has them"),
    "units_metric": words("Metric"),
    "units_us": words("US"),
    "theme": words("Light or dark"),
    "theme_auto": words("As the device"),
    "theme_light": words("Light"),
    "theme_dark": words("Dark"),
    "who": words("Your name, for revisions"),
    "set": words("Set"),
    "ways": words("Parts of the job"),
    "more": words("More"),
    "close": words("Close"),
    "busy": words("Working it out …"),
    "failed": words("The bench could not do it; nothing was changed."),
    "offline": words("The bench does not answer. What you wrote is kept in this browser."),
    "untitled": words("Job without a title"),
    "local_codes": words("Local codes, makers' instructions and licensed practice go first."),
    "terms": words("Words explained"),
    "rules": words("Rules"),
    "rules_lead": words(
        "What every job is held against. Each rule says why, where it applies and on whose word."
    ),
    "partly_english": words("What is not translated yet stands in English."),
    "sign_in": words("Sign in"),
    "sign_in_lead": words("This bench is shared on a network. Whoever started it knows the passphrase."),
    "sign_out": words("Sign out"),
    "passphrase": words("Passphrase"),
    "back_to_bench": words("To the bench"),
    "back_there": words("Back to where you were"),
    "to_job": words("To the job"),
    # the first look
    "first_title": words("What wire, what fuse?"),
    "first_lead": words(
        "Write as you would say it. Two answers are enough to begin; each further one narrows it."
    ),
    "first_empty": words("The answer stands here while you type."),
    "first_gives_1": words("what it really draws, whatever the label claims"),
    "first_gives_2": words("the wire out and back, by heat and by volts lost"),
    "first_gives_3": words("the fuse, from the smallest that holds to the largest that saves the wire"),
    "more_facts": words("More, if you know it"),
    "work_it_out": words("Work it out"),
    "more_of_it": words("All of it"),
    "slip": words("Is that meant?"),
    "really_draws": words("Really draws"),
    "keep_as_job": words("Keep as a job"),
    "keep_as_job_hint": words("Then add what else there is, draw it, print it."),
    # the shelf
    "shelf": words("Jobs on the shelf"),
    "search": words("Search"),
    "search_shelf": words("Vehicle, title or a word of the job"),
    "shelf_empty": words("No job is kept yet."),
    "nothing_found": words("No job has all of these words."),
    "older": words("Older jobs"),
    "begin_job": words("Begin a job"),
    "bring_in": words("Bring in a job file"),
    "job_file": words("Job file"),
    "job_file_hint": words("A .yaml text, or a .zip that a bench gave out"),
    "put_on_shelf": words("Put it on the shelf"),
    # the answer
    "answer": words("Answer"),
    "whole_answer": words("Whole answer"),
    "circuits": words("Circuits"),
    "circuit": words("Circuit"),
    "state": words("State"),
    "wire": words("Wire"),
    "back": words("Back"),
    "fuse": words("Fuse"),
    "window": words("window"),
    "carries": words("Carries"),
    "drop": words("Drop"),
    "set_by": words("Set by"),
    "against": words("What stands against it"),
    "follows": words("From this follow:"),
    "loads": words("Loads"),
    "load": words("Load"),
    "draws": words("Draws"),
    "amps": words("Amps"),
    "claimed": words("Claimed"),
    "open": words("What is not known yet"),
    "situations": words("Situations"),
    "assumed": words("Assumed"),
    "sources": words("Sources"),
    "fingerprint": words("Fingerprint of job, tables and version:"),
    "volts": words("Where the volts go"),
    "path": words("Piece by piece"),
    "piece": words("Piece"),
    "may_carry": words("May carry"),
    "left": words("Left"),
    "lost": words("Lost"),
    "curves": words("Fuse and wire over time"),
    "facts": words("In detail"),
    "workings": words("Workings"),
    "what": words("What"),
    "rests_on": words("Rests on"),
    "comes_to": words("Comes to"),
    "evidence_picture": words("Evidence against claim"),
    "evidence": words("Evidence"),
    "change_it": words("Change it"),
    "faults": words("What cannot be read"),
    "outdated": words("The answer below is that of the last text that could be read."),
    "shows_draft": words("This shows what is not saved yet."),
    # writing
    "write": words("Write"),
    "forms": words("Forms"),
    "as_text": words("Text"),
    "undo": words("Undo"),
    "redo": words("Redo"),
    "note": words("What changed, in few words"),
    "save": words("Save"),
    "unsaved": words("Not saved yet; kept in this browser"),
    "restored": words("Unsaved writing from before is back"),
    "nothing_new": words("Nothing new to save"),
    "saved_as": words("Saved as revision {number}", number="{number}"),
    "line_word": words("Line"),
    "take_away": words("Take away as a file"),
    "take_all": words("With all revisions and photos (.zip)"),
    "add": words("Add"),
    "add_entry": words("Add an entry"),
    "add_item": words("Add one more"),
    "add_fact": words("Add a fact"),
    "name_it": words("Its name"),
    "its_value": words("Its value"),
    "its_zone": words("In which zone is it?"),
    "rename": words("Rename"),
    "remove": words("Remove"),
    "not_written": words("not written"),
    "not_known": words("not known"),
    "new_state": words("new: to be fitted"),
    "yes": words("yes"),
    "no": words("no"),
    "unknown": words("unknown: it is there, nobody knows what"),
    "keep_values": words("Keep"),
    "found_hint": words(
        "Vehicle as found: give what was there before the state existing, and write unknown "
        "where nobody knows."
    ),
    "shorter": words("Earlier"),
    "name_or_point": words("a name or point"),
    "the_job": words("The job"),
    "sections": words("Sections"),
    "not_readable": words(
        "The forms come back once the text can be read. What is wrong stands beside its line."
    ),
    # drawing
    "drawing": words("Drawing"),
    "wiring": words("Wiring"),
    "places": words("Places and runs"),
    "as_sheets": words("As sheets"),
    "as_column": words("As one column"),
    "drawing_hint": words("Press a wire, a part or a load: its circuit or its form opens."),
    "places_hint": words("Press a place or a run: its form opens."),
    # comparing
    "compare": words("Compare"),
    "what_if": words("Try another way"),
    "compare_title": words("This job beside another way of doing it"),
    "compare_answers": words("Compare the answers"),
    "variant": words("What if"),
    "variant_circuit_hint": words("for a wire, a fuse or a length"),
    "variant_value": words("With"),
    "variant_value_hint": words("such as 4 AWG, 16 mm2, 15 A, 6 m"),
    "other_revision": words("Or as it was in"),
    "side_by_side": words("Side by side"),
    "as_it_is": words("As written"),
    "verdict": words("Verdict"),
    "copper": words("Copper of new cable"),
    "cable": words("New cable"),
    "price": words("Price by the stock"),
    "no_difference": words("Nothing differs."),
    "worse": words("What gets worse"),
    "gained": words("Stands against the other way alone"),
    "lost_against": words("No longer stands against it"),
    "take_variant": words("Save the other way as a revision"),
    # stock
    "stock": words("Stock"),
    "stock_title": words("What is on your shelf"),
    "stock_lead": words(
        "With a list, sizes and ratings are chosen from it. Without one, from what shops usually have."
    ),
    "stock_typed": words("Put on the list"),
    "stock_none": words("Nothing is on the list yet."),
    "stock_usual": words("Add the sizes of wire that shops usually have"),
    "stock_usual_hint": words(
        "A list stands in for the shops: with one wire on it, all new wire is of that size. Put on it what "
        "you would buy as well."
    ),
    "variant_piece_hint": words("its number among those of the circuit; empty is the whole of it"),
    # print
    "print": words("Print"),
    "print_title": words("Papers of the job"),
    "print_lead": words(
        "One file to print, one to read on a screen, lists for a spreadsheet. All from the same answer."
    ),
    "parts": words("Which parts"),
    "parts_hint": words("None ticked is everything."),
    "paper": words("Paper"),
    "since": words("Say what changed since"),
    "since_none": words("nothing to compare with"),
    "make_pack": words("Make the papers"),
    "pack": words("Papers"),
    "no_pack": words("Nothing made yet."),
    "being_made": words("Being made:"),
    "being_made_hint": words("A few seconds. You can go on writing meanwhile."),
    "look_again": words("Look again"),
    "one_drawing": words("A drawing by itself"),
    "lists": words("Lists for a spreadsheet or another program"),
    "made": words("Ready. Each opens by itself."),
    # history
    "history": words("History"),
    "history_hint": words("Choose a revision: it opens with what it changed, and can be brought back there."),
    "changes": words("Changes"),
    "began": words("This is how the job began."),
    "no_changes": words("Its text is the same as before."),
    "whole_text": words("The whole text"),
    "remove_job": words("Take this job off the shelf"),
    "remove_hint": words("Its revisions and photos are kept, and the whole job can be brought back."),
    "removed": words("Taken off the shelf"),
    "removed_lead": words("Each is kept as it was, until somebody erases it."),
    "removed_none": words("Nothing has been taken off."),
    "bring_back": words("Bring it back"),
    "erase": words("Erase for good"),
    "erase_sure": words("Yes, I want it gone"),
    "erase_first": words("Nothing was erased: tick the box first to say that it is meant."),
    # clash
    "clash": words("Somebody else saved meanwhile"),
    "somebody": words("somebody"),
    "choose_each": words("Both changed these. Choose for each:"),
    "not_there": words("not there"),
    "merges_cleanly": words("You changed different things. Both can stand together."),
    "save_merged": words("Save both together"),
    "back_to_writing": words("Back to writing"),
    "theirs_changed": words("What they changed"),
    "mine_changed": words("What you changed"),
    # photos
    "photos": words("Photos"),
    "photo_file": words("Picture"),
    "photo_hint": words("Place and camera data in it are left out."),
    "caption": words("What it shows"),
    "caption_hint": words("such as: fuse box before the work"),
    "add_photo": words("Add"),
    "no_photos": words("No photos yet. One before and one after each place of work saves an argument."),
    "photo_without_words": words("Photo without a description"),
    # days
    "days": words("Days"),
    "days_title": words("Days on the battery"),
    "days_lead": words("What a day is like, span by span. The run beside it follows what you change."),
    "day_usual": words("No day is written in the job: this is a usual one. Change it, and write it in."),
    "day_blocks": words("The day as blocks; their ends can be dragged"),
    "day_ends": words("End of {name}", name="{name}"),
    "day_minutes": words("{count} min", count="{count}"),
    "span_when": words("What the vehicle does"),
    "span_time": words("For how long"),
    "span_temperature": words("Air temperature"),
    "span_sun": words("Full sun in it"),
    "span_sun_short": words("sun"),
    "span_loads": words("What runs in it"),
    "span_nothing": words("nothing runs"),
    "span_weakest": words("takes most"),
    "span_copy": words("Once more"),
    "span_up": words("Earlier"),
    "days_count": words("How many days"),
    "days_cold": words("One temperature for all"),
    "days_run": words("Run it"),
    "days_write": words("Write the day into the job"),
    "days_open": words("What its days do to the battery is not in this verdict:"),
    "days_running": words("The days are being run."),
    "days_curing": words("Changes that may cure it are tried, each by a run of its own."),
    "days_cures_ask": words("Press 'Run it': then changes that may cure it are tried."),
    "days_no_cure": words("No single change that was tried cures it: of battery, charging, loads, cut-offs."),
    "days_outdated": words("This is of the day as it was before, and not of what stands beside it."),
    "days_none": words("The run stands here once the day can be read."),
    "days_asked": words("What comes of it"),
    "days_cures": words("What cures it"),
    "days_not_enough": words("It is not enough alone."),
    "days_write_in": words("Write it in"),
    "days_changed": words(
        "With it this changes in the plan, cables and fuses with it; buy and fit by what is new:"
    ),
    "days_same": words("Nothing else changes in the plan: its cables and fuses stay."),
    "days_spans": words("Span by span, on the last day"),
    # meter
    **meter_phrases.PLAIN,
}
"""Texts that nothing goes into."""


TOLD: Final[Mapping[str, Callable[..., str]]] = {
    "of_limit": lambda limit: words("of {limit}", limit=limit),
    "at_load": lambda volts: words("{volts} at the load", volts=volts),
    "revision": lambda number: words("Revision {number}", number=number),
    "restored_from": lambda number: words("brought back from {number}", number=number),
    "changed_by": lambda number: words("What revision {number} changed", number=number),
    "restore": lambda number: words("Bring revision {number} back", number=number),
    "erase_told": lambda title, count: plural(
        "{title}, with its one revision and its photos, is then gone. Nobody can bring it back.",
        "{title}, with its {count} revisions and its photos, is then gone. Nobody can bring it back.",
        count,
        title=title,
    ),
    "line": lambda number: words("Line {number}", number=number),
    "faults_count": lambda count: plural("{count} thing to put right", "{count} things to put right", count),
    "wanted": lambda what: words("Wanted {what}.", what=what),
    "did_you_mean": lambda what: words("Did you mean {what}?", what=what),
    "put_instead": lambda value: words("Yes, make it {value}", value=value),
    "clash_lead": lambda who, base, number: words(
        "You wrote from revision {base}; {who} has saved revision {number}. Nothing of yours is lost.",
        base=base,
        who=who,
        number=number,
    ),
    "stock_taken_off": lambda row: words("{row} taken off the list", row=row),
    "swap_name": lambda circuit, what, value: words(
        "{circuit}: {what} {value}", circuit=circuit, what=what, value=value
    ),
    "days_rows": lambda day: words("The amounts are those of day {day}, the last one.", day=day),
    "saved_day": lambda number: words("Written in, as revision {number}.", number=number),
    "span_number": lambda number: words("Span {number}", number=number),
    "span_idle": lambda names: words("does not run in it: {names}", names=names),
    "system_name": lambda value: words("at {value}", value=value),
    **meter_phrases.TOLD,
}
"""Texts that something goes into."""

WAYS: Final[Mapping[str, Words]] = {
    "": words("Write"),
    "/answer": words("Answer"),
    "/drawing": words("Drawing"),
    "/print": words("Print"),
    "/days": words("Days"),
    "/meter": words("Meter"),
    "/compare": words("Compare"),
    "/stock": words("Stock"),
    "/history": words("History"),
    "/photos": words("Photos"),
}
"""Parts of a job: end of the address -> its name; the first four have their place under the thumb."""

SITUATIONS: Final[Mapping[str, Words]] = {
    "driving": words("driving"),
    "idling": words("idling"),
    "resting": words("resting"),
    "mains": words("on mains"),
    "cranking": words("cranking"),
}
"""What a vehicle does in a span of the day."""

MEASURED_IN: Final[Mapping[str, Words]] = {**SITUATIONS, "cranking": words("cranking")}
"""What a vehicle does while somebody measures."""

METERS: Final[Mapping[str, Words]] = {
    "basic": words("a basic multimeter"),
    "handheld": words("a good handheld multimeter"),
    "bench": words("a bench meter"),
}
"""What volts are read with; currents count as read with a clamp."""

LEVELS: Final[Mapping[str, Words]] = {
    "stop": words("stop"),
    "caution": words("caution"),
    "note": words("note"),
    "open": words("not decided"),
    "clear": words("nothing stands against it"),
    "waived": words("somebody answers for it"),
}

KINDS: Final[Mapping[str, Words]] = {
    "wire": words("cable"),
    "part": words("part"),
    "load": words("load"),
    "supply": words("supply"),
    "input": words("input"),
    "tie": words("tie"),
    "node": words("joint"),
    "slot": words("slot"),
    "place": words("place"),
    "route": words("run"),
}
"""What a thing of a drawing is, for whoever hears it."""

SIDES: Final[Mapping[str, Words]] = {
    "theirs": words("Theirs"),
    "mine": words("Yours"),
    "base": words("As it was before both"),
}

VARIANTS: Final[Mapping[str, Words]] = {
    "wire": words("I have this wire on the shelf"),
    "fuse": words("I have this fuse on the shelf"),
    "length": words("its way were this long"),
    "system": words("the whole were 24 V, or any other"),
    "revision": words("it were as in an earlier revision"),
}

WHAT: Final[Mapping[str, Words]] = {"wire": words("wire"), "fuse": words("fuse"), "length": words("length")}
