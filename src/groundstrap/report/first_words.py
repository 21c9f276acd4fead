"""What was understood of a first look, said back in words, with whatever looks like a slip."""

from __future__ import annotations

from collections.abc import Iterator

from groundstrap.job import FirstLook, NewJob, Slip, SlipKind, Source, Understood, understood
from groundstrap.job.forms import UNKNOWN
from groundstrap.records import dataclass
from groundstrap.report.figures import amps, number, watts
from groundstrap.words import Words, sentence, term, words

__all__ = ["FirstAnswer", "SlipTold", "first_look", "said_of_label", "said_of_reading", "slip_said"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SlipTold:
    """Something to look at again: its field, what is said of it, and what may have been meant."""

    field: str
    given: str
    said: Words
    meant: str = ""
    """What to type in the field instead, where that is likely."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstAnswer:
    """A job's text from a few typed words, what was understood, what was assumed, and slips."""

    text: str
    said: tuple[Words, ...]
    assumed: tuple[Words, ...]
    slips: tuple[SlipTold, ...]


def first_look(look: FirstLook) -> FirstAnswer:
    r"""Return a job from what somebody typed in passing; whatever is left out is assumed, and said.

    Parameters
    ----------
    look : FirstLook
        What it is, its label, a reading, how far, fed from where: each as it was typed.

    Examples
    --------
    >>> answer = first_look(FirstLook(kind="light bar", label="45W", distance="8 m there and back"))
    >>> print(*answer.said, sep="\n")
    Light bar, counted as led.
    Its label says 45 W: 3.75 A at 12 V.
    4 m of cable one way, 8 m out and back.
    >>> print(answer.slips[0].said)
    8 m there and back is out and back; 4 m one way was taken.
    """
    made = understood(look)
    return FirstAnswer(
        text=made.text,
        said=tuple(sentence(told) for told in _said(made)),
        assumed=tuple(sentence(told) for told in _assumed(made)),
        slips=tuple(
            SlipTold(
                field=slip.field, given=slip.given, said=sentence(slip_said(slip, made)), meant=slip.meant
            )
            for slip in made.slips
        ),
    )


def _said(made: Understood) -> Iterator[Words]:
    kind = term(str(made.kind))
    if made.count > 1:
        yield words(
            "{count} times {name}, each counted as {kind}", count=made.count, name=made.name, kind=kind
        )
    elif made.known_kind:
        yield words("{name}, counted as {kind}", name=made.name, kind=kind)
    yield from said_of_label(made)
    if made.works:
        yield words("it works from {works}", works=made.works)
    yield from said_of_reading(made)
    if made.length:
        yield from _said_of_length(made)
    if made.wire:
        yield words("its wire is {size}", size=made.wire)
    if made.source_said:
        yield _said_of_source(made)


def said_of_reading(made: Understood) -> Iterator[Words]:
    """Say what was measured."""
    if made.readings:
        what = next(iter(made.readings.values()))
        if made.count > 1:
            what = words("{what} for each of {count}", what=what, count=str(made.count))
        volts = made.readings.get("voltage")
        if volts is None or volts == UNKNOWN:
            yield words("{what} was measured at its own leads", what=what)
        else:
            yield words("{what} was measured, at {volts}", what=what, volts=volts)


def said_of_label(made: Understood) -> Iterator[Words]:
    """Say what the label says, and what that comes to."""
    volts = made.system_v if made.label_v is None else made.label_v.value
    at = _system(made) if made.label_v is None else made.label_v.text
    if made.power is not None and made.current is not None:
        yield words(
            "its label says {power} and {current}, at {volts}",
            power=made.power.text, current=made.current.text, volts=at,
        )  # fmt: skip
    elif made.power is not None:
        drawn = amps(made.power.value / volts)
        yield words(
            "its label says {power}: {drawn} at {volts}", power=made.power.text, drawn=drawn, volts=at
        )
    elif made.current is not None:
        drawn = watts(made.current.value * volts)
        yield words(
            "its label says {current}: {drawn} at {volts}", current=made.current.text, drawn=drawn, volts=at
        )


def _said_of_length(made: Understood) -> Iterator[Words]:
    length, _, unit = made.length.partition(" ")
    both = f"{number(2.0 * float(length))} {unit}"
    yield words("{length} of cable one way, {both} out and back", length=made.length, both=both)


def _said_of_source(made: Understood) -> Words:
    if made.source is Source.SOCKET:
        return words("fed from a socket of the vehicle: its wire and fuse are not known yet")
    if made.source is Source.FUSE_BOX:
        return words("fed from the vehicle's fuse box, through a fuse in a tap")
    return words(
        "fed from the {battery}, which is in the {place}", battery=made.battery, place=term(made.place)
    )


def _assumed(made: Understood) -> Iterator[Words]:
    if not made.known_kind:
        yield words("what kind of load it is nobody said: it counts as any other")
    if made.power is None and made.current is None and not made.readings:
        yield words("what it draws is not known: its label or a clamp meter tells")
    if not made.system_said:
        yield words("the system has {system}", system=_system(made))
    if not made.length:
        yield words("{length} of cable one way, until it is measured", length=NewJob().length)
    if not made.source_said:
        yield words("it is fed from the battery, which is in the {place}", place=term(made.place))
    yield words("the rules for boats hold") if made.basis == "boat" else words("the rules for the road hold")


def slip_said(slip: Slip, made: Understood) -> Words:
    """Say a slip."""
    given, taken, meant = slip.given, slip.taken, slip.meant
    match slip.kind:
        case SlipKind.COMMA:
            return words("the comma in {given} is a decimal point here: {taken}", given=given, taken=taken)
        case SlipKind.NO_UNIT:
            return words("{given} has no unit; {taken} was taken", given=given, taken=taken)
        case SlipKind.WATTS_AS_AMPS | SlipKind.AMPS_AS_MILLIAMPS:
            power, at = watts(slip.value), _system(made)
            told = words("{given} at {at} is {power}, more than it can draw", given=given, at=at, power=power)
            return words("{told}; was {meant} meant?", told=told, meant=meant)
        case SlipKind.TOO_SMALL:
            told = words("{given} is less than such a thing draws while it runs", given=given)
            return words("{told}; was {meant} meant?", told=told, meant=meant) if meant else told
        case SlipKind.PRODUCT:
            power = watts(slip.value)
            return words(
                "{given}: volts times amperes come to {power}",
                given=given,
                power=power,
            )
        case SlipKind.ABOVE_LABEL | SlipKind.OF_ALL:
            return _slip_above_label(slip, made)
        case SlipKind.PEAK:
            return words("a peak does not last; what it takes while it runs is wanted: {given}", given=given)
        case SlipKind.OTHER_VOLTS if taken:
            return words("{given} is not what the vehicle gives; {taken} was taken", given=given, taken=taken)
        case SlipKind.OTHER_VOLTS:
            return words("{given} is not what the vehicle gives; its watts are wanted", given=given)
        case _:
            return _slip_of_reading(slip)


def _slip_above_label(slip: Slip, made: Understood) -> Words:
    given, label, times = slip.given, slip.taken, number(slip.value or 0.0, 2)
    if slip.kind is SlipKind.ABOVE_LABEL:
        told = words(
            "{given} was measured, {times} times the {label} of its label",
            given=given, times=times, label=label,
        )  # fmt: skip
        return words("{told}; was one read in another unit?", told=told)
    told = words(
        "{given} counts for each of {count}, {times} times the {label} of its label",
        given=given, count=str(made.count), times=times, label=label,
    )  # fmt: skip
    return words("{told}; if it was of all together, {meant} is for each", told=told, meant=slip.meant)


def _slip_of_reading(slip: Slip) -> Words:
    given, taken, meant = slip.given, slip.taken, slip.meant
    match slip.kind:
        case SlipKind.NO_VOLTS:
            told = words("{given} was read at unknown volts, so its watts are less sure", given=given)
            return words("{told}; read the volts at its leads beside it", told=told)
        case SlipKind.VOLTS_ALONE:
            return words("{given} tells no current; read amperes while it runs, or ohms", given=given)
        case SlipKind.FUSE:
            return words("{given} is the size of its fuse, which says little of its draw", given=given)
        case SlipKind.BOTH_WAYS:
            return words("{given} is out and back; {taken} one way was taken", given=given, taken=taken)
        case SlipKind.LONG:
            return words("{given} is far for one way; is it out and back, {meant}?", given=given, meant=meant)
        case SlipKind.SHORT:
            return words("{given} is no way for a cable; was {meant} meant?", given=given, meant=meant)
        case SlipKind.DIAMETER:
            return words("{given} may be the outside of a cable; its copper is wanted, in mm2", given=given)
        case SlipKind.NO_SIZE:
            return words("{given} is no size of wire; such as 4 mm2 or 12 AWG", given=given)
        case SlipKind.RANGE:
            return words("of {given} the longer end was taken: {taken}", given=given, taken=taken)
        case _:
            return words("{given} was not understood", given=given)


def _system(made: Understood) -> str:
    return f"{number(made.system_v)} V"
