"""A first job file from a few answers, each judged as it is given."""

from __future__ import annotations

import re
from typing import Any, Final

from groundstrap.errors import CallError, JobError, QuantityError
from groundstrap.job.patches import plain
from groundstrap.job.reader import SYSTEMS, read_job
from groundstrap.job.words import built_in_zones
from groundstrap.model import Basis, LoadKind
from groundstrap.records import dataclass, replace
from groundstrap.units import Kind, parse

__all__ = ["NewJob", "new_job_text", "new_job_words", "with_answer"]

_KINDS: Final = (
    *(str(kind) for kind in LoadKind if kind not in {LoadKind.COIL, LoadKind.OTHER, LoadKind.STARTER}),
    str(LoadKind.OTHER),
)
_NOT_KNOWN: Final = frozenset({"", "?", "unknown", "not known", "no"})
_SYSTEM: Final = re.compile(r"(\d+)\s*(?:v|volts?)?", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class NewJob:
    """Answers that make a job file, each as it would stand in the file; a stand-in until it is given."""

    title: str = "new job"
    load: str = "load"
    claim: str = "60 W"
    """What its label says: `60 W` or `5 A`."""
    length: str = "5 m"
    """Of the cable from the battery to the load, one way."""
    system: str = "12 V"
    basis: str = "road"
    kind: str = "other"
    battery_at: str = "engine bay"
    battery_zone: str | None = None
    """Built-in zone whose air the battery's place has; None where the place is one."""
    cranking: str | None = None
    """What the battery's label says of its cranking current: `640 A EN`; None where nobody knows it."""
    load_at: str | None = None
    load_zone: str | None = None
    return_to: str | None = None
    """`chassis`, or None for the battery's own negative."""


def new_job_words(about: str, answers: NewJob) -> tuple[str, ...]:
    """Return the words that an answer is one of; of a place the built-in ones, beside any other.

    >>> new_job_words("system", NewJob())
    ('12 V', '24 V', '48 V')
    """
    match about:
        case "system":
            return SYSTEMS
        case "basis":
            return tuple(str(basis) for basis in Basis)
        case "kind":
            return _KINDS
        case "return_to":
            return ("battery", "chassis")
        case "battery_at" | "load_at" | "battery_zone" | "load_zone":
            return tuple(built_in_zones(Basis(answers.basis)))
        case _:
            return ()


def with_answer(answers: NewJob, about: str, text: str) -> NewJob:
    """Return the answers with one more; an answer that no job file takes is refused with what would do.

    Parameters
    ----------
    answers : NewJob
        Those that were given before.
    about : str
        Name of the field that this one is for.
    text : str
        What was typed.

    Examples
    --------
    The question names the unit of a system's voltage, so the number alone is clear; of a length it is not.

    >>> with_answer(NewJob(), "system", "24").system
    '24 V'
    >>> with_answer(NewJob(), "length", "7")
    Traceback (most recent call last):
    groundstrap.errors.CallError: a bare number has no unit; wanted a length in m, cm, mm, ft or in, such as \
1.5 m, not '7'
    """
    said = " ".join(text.split())
    answered: dict[str, Any] = {about: _meant(about, said)}
    more = replace(answers, **answered)
    if not said and about != "cranking":
        raise CallError("this can't be left out", wanted=_wanted(about, answers))
    known = new_job_words(about, answers)
    if known and about not in {"battery_at", "load_at"} and said.lower() not in _lower(known, about):
        raise CallError("that is none of them", wanted=f"one of {', '.join(known)}", given=said)
    try:
        if about == "claim":
            parse(said, (Kind.POWER, Kind.CURRENT))
        new_job_text(more)
    except QuantityError as error:
        raise CallError(error.reason, wanted=error.wanted, given=said, nearest=error.nearest) from None
    except JobError as error:
        fault = error.faults[0]
        reason = fault.reason or "a job file does not take it"
        raise CallError(reason, wanted=fault.wanted, given=said, nearest=fault.nearest) from None
    return more


def _lower(known: tuple[str, ...], about: str) -> set[str]:
    words = {word.lower() for word in known}
    if about != "system":
        return words
    units = ("", "v", " v", " volt", " volts")
    return {f"{word.removesuffix(' v')}{unit}" for word in words for unit in units}


def _meant(about: str, said: str) -> str | None:
    """An answer as it stands in the file."""
    if about == "system" and (found := _SYSTEM.fullmatch(said)):
        return f"{found[1]} V"
    if about == "cranking" and said.lower() in _NOT_KNOWN:
        return None
    if about == "return_to":
        return "chassis" if said.lower() == "chassis" else None
    return said.lower() if about in {"basis", "kind", "battery_zone", "load_zone"} else said


def _wanted(about: str, answers: NewJob) -> str:
    known = new_job_words(about, answers)
    if known:
        return f"one of {', '.join(known)}"
    return {
        "title": "a few words, such as Work light on the trailer",
        "load": "the name of one device, such as work light",
        "claim": "what its label says, such as 60 W or 5 A",
        "length": "a length with its unit, such as 7 m or 12 ft",
    }[about]


def new_job_text(answers: NewJob) -> str:
    """Return the text of a new job file, which has been read once to be sure of it.

    Parameters
    ----------
    answers : NewJob
        What the person said.

    Examples
    --------
    >>> print(new_job_text(NewJob(title="Shed light #2", load="light", claim="10 W", length="4 m")), end="")
    groundstrap: 1
    title: 'Shed light #2'
    system: 12 V
    basis: road
    supplies:
      battery: {kind: battery, at: engine bay}
    loads:
      light: {kind: other, claims: {power: 10 W}}
    circuits:
      light: {path: [battery, fuse, light], length: 4 m}
    """
    claim = answers.claim.strip()
    load = plain(answers.load)
    place = f", at: {plain(answers.load_at)}" if answers.load_at else ""
    cranking = f", cranking: {plain(answers.cranking)}" if answers.cranking else ""
    lines = [
        "groundstrap: 1",
        f"title: {plain(answers.title)}",
        f"system: {plain(answers.system)}",
        f"basis: {plain(answers.basis)}",
        *([f"return: {plain(answers.return_to)}"] if answers.return_to else []),
        *_places(answers),
        "supplies:",
        f"  battery: {{kind: battery, at: {plain(answers.battery_at)}{cranking}}}",
        "loads:",
        f"  {load}: {{kind: {plain(answers.kind)}{place}, claims: {{{_claimed(claim)}: {plain(claim)}}}}}",
        "circuits:",
        f"  {load}: {{path: [battery, fuse, {load}], length: {plain(answers.length)}}}",
    ]
    text = "\n".join(lines) + "\n"
    read_job(text, "answers")
    return text


def _places(answers: NewJob) -> list[str]:
    """Places that are no built-in zone, each with the zone whose air it has."""
    zones = {answers.battery_at: answers.battery_zone, answers.load_at: answers.load_zone}
    told = [f"{plain(place)}: {zone}" for place, zone in zones.items() if place and zone]
    return [f"places: {{{', '.join(told)}}}"] if told else []


def _claimed(claim: str) -> str:
    try:
        parse(claim, Kind.CURRENT)
    except QuantityError:
        return "power"
    return "current"
