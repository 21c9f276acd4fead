"""Finding a fault with a meter, for a screen: what is known, the next reading, suspects, readings taken."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from groundstrap.locate import CheckedReading, Location, ProbeKind, Proposal, Suspect
from groundstrap.model import Installation
from groundstrap.records import dataclass
from groundstrap.report.location import LocationAnswer
from groundstrap.report.location_words import (
    LIVE_CAUTION,
    Outcome,
    between_words,
    case_words,
    chance_words,
    failed_words,
    interval_words,
    look_words,
    measure_words,
    outcomes,
    quantity_words,
    reading_words,
    verdict_words,
    where_words,
    why_none_words,
    wire_words,
)
from groundstrap.words import words

__all__ = ["AskRow", "MeterSheet", "ReadingRow", "SuspectRow", "meter_sheet"]


@dataclass(frozen=True, slots=True, kw_only=True)
class AskRow:
    """A reading that is worth taking."""

    where: str
    """As the job file names it."""
    red: str
    black: str
    through: str
    case: str
    when: str
    using: tuple[str, ...]
    sound: str
    unit: str
    outcomes: tuple[Outcome, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SuspectRow:
    """A place that may be at fault."""

    place: str
    share: float
    """As long as its bar. [1]"""
    share_words: str
    told: tuple[str, ...]
    look: str
    same_as: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingRow:
    """A reading that was taken, and what it says."""

    where: str
    at: str
    """The same as the job file names it."""
    read: str
    sound: str
    sign: str
    """`clear` where it fits, `caution` where not, `conflicting` where it may be a slip."""
    mark: str
    text: str
    """As it was written."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterSheet:
    """Everything that a screen shows of a search for a fault."""

    verdict: str
    """`open` before the first reading, `clear`, `caution` while it is not sure, `stop` where it is found."""
    verdict_words: str
    last: str
    """What the last reading says by itself; empty before the first."""
    last_sign: str
    asks: tuple[AskRow, ...]
    why_none: str
    """Why nothing more is asked for, and what to do then; empty where something is, unless a mend holds."""
    suspects: tuple[SuspectRow, ...]
    healthy: float
    healthy_words: str
    readings: tuple[ReadingRow, ...]
    doubted: str
    """The reading that may be a slip, in words; empty where none is."""
    left_out: tuple[str, ...]
    points: tuple[str, ...]
    """What a lead can be put on."""
    things: tuple[str, ...]
    """What a clamp can be put round."""
    caution: str
    mends: tuple[str, ...]
    """Places that stand, or are likeliest and sure with those that they can't be told from: to be mended."""
    fits_again: bool
    """Whether what was mended is sound by what was read since."""
    mended: str
    """What was mended before the readings that count; empty where nothing was."""


def meter_sheet(answer: LocationAnswer) -> MeterSheet:
    """Return everything that a screen shows of a search.

    Parameters
    ----------
    answer : LocationAnswer
        What `locate` said.
    """
    found = answer.location
    readings = tuple(_reading(number, each, found) for number, each in enumerate(found.readings))
    return MeterSheet(
        verdict=_verdict(found),
        verdict_words=verdict_words(found),
        last=reading_words(found),
        last_sign=readings[-1].sign if readings else "",
        asks=tuple(_ask(each) for each in found.proposals),
        why_none="" if found.proposals and not found.fits_again else why_none_words(found),
        suspects=tuple(_suspect(each, found) for each in (*found.suspects, *found.second)),
        healthy=found.healthy if found.explained else 0.0,
        healthy_words=chance_words(found, found.healthy),
        readings=readings,
        doubted="" if found.doubted is None else readings[found.doubted].where,
        left_out=found.left_out,
        points=tuple(dict.fromkeys(_points(answer.installation))),
        things=(*answer.installation.loads, *answer.installation.supplies, *answer.installation.circuits),
        caution=LIVE_CAUTION,
        mends=_mends(found),
        fits_again=found.fits_again,
        mended=found.mended,
    )


def _mends(found: Location) -> tuple[str, ...]:
    if not found.readings or not found.sure_alike or found.healthy > found.suspects[0].probability:
        return ()
    best = found.suspects[0]
    beside = () if not found.second else (found.second[0].place,)
    return tuple(dict.fromkeys((best.place, *(() if found.stands else best.same_as), *beside)))


def _verdict(found: Location) -> str:
    if not found.readings:
        return "open"
    if found.fits_again:
        return "clear"
    best = found.suspects[0].probability if found.suspects else 0.0
    if found.healthy > best and found.explained:
        return "clear" if found.doubted is None else "caution"
    return "stop" if found.stands else "caution"


def _ask(each: Proposal) -> AskRow:
    return AskRow(
        where=each.through or f"{each.red} to {each.black}",
        red=each.red,
        black=each.black,
        through=each.through,
        case=case_words(each),
        when=each.when.value,
        using=each.using,
        sound=interval_words(each.sound, each.kind),
        unit="A" if each.kind is ProbeKind.AMPS else "V",
        outcomes=outcomes(each),
    )


def _suspect(each: Suspect, found: Location) -> SuspectRow:
    measured = bool(found.readings)
    told: Sequence[str] = (
        between_words(each),
        failed_words(each),
        measure_words(each) if measured else "",
        wire_words(each) if measured else "",
    )
    return SuspectRow(
        place=each.place,
        share=each.probability if found.explained else 0.0,
        share_words=chance_words(found, each.probability),
        told=tuple(part for part in told if part),
        look=look_words(each),
        same_as=each.same_as,
    )


def _reading(number: int, each: CheckedReading, found: Location) -> ReadingRow:
    sign, mark = ("clear", words("fits")) if each.agrees else ("caution", words("LOOK"))
    if number == found.doubted:
        sign, mark = "conflicting", words("a slip?")
    return ReadingRow(
        where=where_words(each),
        at=each.through or f"{each.red} to {each.black}",
        read=quantity_words(each.measured, each.kind),
        sound=interval_words(each.expected, each.kind),
        sign=sign,
        mark=mark,
        text=each.text,
    )


def _points(installation: Installation) -> Iterator[str]:
    """Points that have a name: ends of supplies, loads and parts, and the body's."""
    for supply in installation.supplies.values():
        yield from (supply.plus, supply.minus)
    for load in installation.loads.values():
        yield from (load.plus, load.minus)
    for part in installation.parts():
        yield from (part.start, part.end)
    yield from installation.chassis_points
