"""What a search for a fault says in words: suspects, what to look at, how a reading is taken."""

from __future__ import annotations

from typing import Final

from groundstrap.locate import (
    CheckedReading,
    FaultKind,
    Location,
    ProbeKind,
    Proposal,
    SegmentKind,
    Suspect,
    Way,
    WouldMean,
)
from groundstrap.model import Uncertain
from groundstrap.records import dataclass
from groundstrap.report.figures import amps, number, ohms
from groundstrap.words import Words, joined, term, words

__all__ = [
    "LIVE_CAUTION",
    "AskedReading",
    "Outcome",
    "asked_readings",
    "between_words",
    "case_words",
    "chance_words",
    "failed_words",
    "interval_words",
    "look_words",
    "meant_words",
    "measure_words",
    "outcomes",
    "proposal_words",
    "quantity_words",
    "reading_words",
    "share_words",
    "turned_round",
    "verdict_words",
    "way_words",
    "where_words",
    "why_none_words",
    "wire_words",
]

LIVE_CAUTION: Final = words(
    "Caution: these readings are taken live. Tip guards on the leads, rings off, nothing bridged, no ohms on "
    "what carries volts, no meter in series above 10 A, nothing near belts and fans of a running engine. "
    "Leave airbags and orange cables to those who are trained and licensed for them, and keep to local rules."
)
"""What whoever takes readings is told first."""

_SMALL_A: Final = 0.5
_MOST_TOLD: Final = 0.999
_LEAST_TOLD: Final = 0.001


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedReading:
    """A reading that is asked for: as the job file names it, and how it is taken."""

    where: str
    how: str
    when: str
    using: tuple[str, ...]
    unit: str
    """Of what is read: V or A."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a reading may show, and what that would mean."""

    shows: str
    places: str


_WAYS: Final = {
    FaultKind.HIGH_RESISTANCE: words("resistance too high"),
    FaultKind.OPEN: words("open"),
    FaultKind.DRAWS_LESS: words("draws less than it should"),
    FaultKind.DRAWS_MORE: words("draws more than it should"),
    FaultKind.WEAK: words("weak"),
    FaultKind.LOWER_FUSE: words("a fuse of a lower rating than planned"),
    FaultKind.HIGHER_FUSE: words("a fuse of a higher rating than planned: it no longer protects its cable"),
    FaultKind.SWAPPED: words("the relay's coil and its contact are swapped"),
    FaultKind.CHAFED: words("current goes to the body: a chafed or wet cable, behind a fuse that holds"),
    FaultKind.DRAIN: words("draws though everything is off"),
}
_BLOWN: Final = words("open: a fuse that has blown does so for a cause, find that before another goes in")

_LOOKS: Final = {
    SegmentKind.JOINTS: words(
        "No reading tells its crimps from its wire: look for green or dull strands, pull at each end, "
        "feel for the warm spot while it runs, and read the millivolts over a measured metre of bare run."
    ),
    SegmentKind.GROUND: words(
        "No reading tells the lug from the wire: take the lug off, clean metal and lug to bright, tighten, "
        "protect, and read again; millivolts from the lug to bright metal beside it part the two."
    ),
    SegmentKind.FUSE: words(
        "Pull the fuse: where it has blown, find out why before another of its rating goes in. Where it is "
        "whole, look at its legs and the holder's springs for brown or loose ones; read from leg to spring "
        "on each side, and change the holder, not the rating of the fuse."
    ),
    SegmentKind.CONTACT: words(
        "Bridge nothing: read from terminal to terminal while it is closed, then from each terminal to the "
        "lug on it; burnt contacts stay warm. A relay: is the coil's lead on the contact?"
    ),
    SegmentKind.CONNECTOR: words(
        "Unplug it, look for green, brown or pushed-back contacts, and read again with it wiggled."
    ),
    SegmentKind.PART: words("Read from lug to lug on it, then from each lug to its stud."),
    SegmentKind.BODY: words(
        "Read from each ground point to bright metal beside it and from panel to panel; a strap is missing "
        "or a joint of the body has rusted."
    ),
    SegmentKind.TIE: words("Nobody drew this connection: find it, then read along it."),
    SegmentKind.UNKNOWN: words("Follow it and see what it is before anything else."),
    SegmentKind.BATTERY: words(
        "Charge it fully, let it rest, and load it: its volts at rest and after 15 s of load tell it from a "
        "bad clamp; read from post to clamp on both posts."
    ),
    SegmentKind.SUPPLY: words("Read its output at its own terminals with the engine or the mains running."),
    SegmentKind.LOAD: words(
        "Run it straight from a battery with a fuse: what it draws there is its own, whatever its feed does."
    ),
}


_WRONG_FUSE: Final = words(
    "Read the number on the fuse against the plan, and fit the planned one; with that one in, read over it "
    "again."
)
_LOOKS_FOR: Final = {
    FaultKind.CHAFED: words(
        "Unplug it at its far end: what still flows goes through its insulation. Look where it crosses an "
        "edge, lies on something hot or moving, or where water stands."
    ),
    FaultKind.DRAIN: words(
        "Unplug it and read again. Many things fall asleep only minutes after they were woken, and some wake "
        "by themselves: read for as long as one cycle takes."
    ),
    FaultKind.LOWER_FUSE: _WRONG_FUSE,
    FaultKind.HIGHER_FUSE: _WRONG_FUSE,
}
"""By the way in which a place fails, where that says more than what it is made of."""


def share_words(chance: float) -> str:
    """Return a chance in percent; none is told as certain.

    >>> [str(share_words(each)) for each in (0.5012, 0.99997, 0.0002)]
    ['50 %', 'over 99.9 %', 'under 0.1 %']
    """
    if chance > _MOST_TOLD:
        return words("over {share}", share="99.9 %")
    if chance < _LEAST_TOLD:
        return words("under {share}", share="0.1 %")
    return f"{number(100.0 * chance, 2 if chance < 0.995 else 3)} %"


def way_words(way: Way) -> str:
    """Return in which way a place fails."""
    return _WAYS[way.kind]


def failed_words(suspect: Suspect) -> str:
    """Return in which way a place fails most likely; of a fuse, that it has blown."""
    kind = suspect.ways[0].kind
    return _BLOWN if kind is FaultKind.OPEN and suspect.kind is SegmentKind.FUSE else _WAYS[kind]


def wire_words(suspect: Suspect) -> str:
    """Return what the cable itself would have to be; empty where it can't be the cable."""
    if suspect.wire is None:
        return ""
    told = words(
        "as much as {area} of copper all along in place of {planned}: thin, or strands broken",
        area=f"{number(suspect.wire.area_mm2.value, 2)} mm2",
        planned=f"{number(suspect.wire.planned_mm2)} mm2",
    )
    if suspect.wire.clad:
        return words("{told}; copper-clad aluminium of that size would have it too", told=told)
    return told


def between_words(suspect: Suspect) -> str:
    """Return between which points a place lies."""
    return words("between {first} and {last}", first=suspect.points[0], last=suspect.points[-1])


def measure_words(suspect: Suspect) -> str:
    """Return how bad it is, as far as that is a number; empty where it is none."""
    if suspect.extra_ohm is not None:
        found = suspect.extra_ohm
        return words(
            "{value} too much ({low} to {high})",
            value=ohms(found.value),
            low=ohms(found.low),
            high=ohms(found.high),
        )
    if suspect.extra_a is not None:
        found = suspect.extra_a
        return words(
            "{value} ({low} to {high})",
            value=amps(found.value),
            low=amps(found.low),
            high=amps(found.high),
        )
    if suspect.times is not None:
        found = suspect.times
        return words(
            "{value} times what it should ({low} to {high})",
            value=number(found.value, 2),
            low=number(found.low, 2),
            high=number(found.high, 2),
        )
    return ""


def look_words(suspect: Suspect) -> Words:
    """Return what to look at where readings end."""
    return _LOOKS_FOR.get(suspect.ways[0].kind, _LOOKS[suspect.kind])


def verdict_words(location: Location) -> str:
    """Return in one sentence what is known."""
    if not location.readings and location.mended:
        return words("{place} was mended: read there again.", place=location.mended)
    if not location.readings:
        return words("No reading was taken yet.")
    if location.fits_again:
        return words("Mended: {place} fits again.", place=location.mended)
    best = location.suspects[0] if location.suspects else None
    if not location.explained:
        told = words("No single fault explains these readings: take them again, or look for two faults.")
        if best is None or location.healthy > best.probability:
            return told
        return words("{told} Nearest comes {place}.", told=told, place=best.place)
    if best is None or location.healthy > best.probability:
        if location.doubted is not None:
            # One that nothing explains is no proof that all is well.
            slip = location.readings[location.doubted]
            return words(
                "All fits but {where}: read it again before you rely on it.", where=where_words(slip)
            )
        return words("Nothing that was read is out of order ({share}).", share=share_words(location.healthy))
    if location.doubted is not None:
        where = where_words(location.readings[location.doubted])
        if location.stands:
            return words(
                "It is {place}, if {where} is a slip: read that again.", place=best.place, where=where
            )
        return words(
            "Likeliest {place}, if {where} is a slip: read that again first.", place=best.place, where=where
        )
    return _likeliest(location, best)


def _likeliest(location: Location, best: Suspect) -> str:
    """What is known of a place that is likelier than that nothing is wrong: sure only where it is."""
    ways = {"place": best.place, "share": share_words(best.probability)}
    if location.second:
        other = location.second[0]
        return words(
            "It is {place} ({share}), and that is not all: beside it {other} ({chance}).",
            **ways,
            other=other.place,
            chance=share_words(other.probability),
        )
    if location.stands:
        return words("It is {place} ({share}).", **ways)
    if best.same_as:
        others = joined(", ", list(best.same_as))
        if location.sure_alike:
            return words(
                "It is {place} or {others}, which these readings can't tell apart.",
                place=best.place,
                others=others,
            )
        return words(
            "Likeliest so far {place} ({share}) or {others}, which these readings can't tell apart; not sure "
            "yet.",
            **ways,
            others=others,
        )
    return words("Most likely {place} ({share}), not sure yet.", **ways)


def why_none_words(location: Location) -> str:
    """Return why no reading is asked for, and what to do in its place."""
    if location.fits_again:
        return words(
            "What did not fit before fits now. Does the load run as it should? Then it is done; if not, read "
            "on with anything below."
        )
    if not location.readings:
        return words("No reading tells anything here: nothing that is known flows while this runs.")
    worst = max(location.readings, key=lambda each: abs(each.normalised))
    best = max((each.probability for each in location.suspects), default=0.0)
    if location.doubted is not None and location.healthy > best:
        worst = location.readings[location.doubted]
    if not location.explained or (location.doubted is not None and location.healthy > best):
        return words(
            "Read {where} again first, with the leads the right way round and the same things on; then go on "
            "with anything below.",
            where=where_words(worst),
        )
    if location.stands:
        return words("Nothing more is worth reading. Mend it, and read there once more.")
    if location.healthy > best:
        return words(
            "Nothing more is worth reading. Does it still fail? Then it comes and goes: read again while it "
            "does, and move the cables meanwhile."
        )
    return words("No reading parts those that are left: look at each, the likeliest first.")


def asked_readings(location: Location) -> tuple[AskedReading, ...]:
    """Return what is worth reading next, best first."""
    return tuple(
        AskedReading(
            where=each.through or f"{each.red} to {each.black}",
            how=joined("; ", [proposal_words(each), case_words(each)]),
            when=each.when.value,
            using=each.using,
            unit="A" if each.kind is ProbeKind.AMPS else "V",
        )
        for each in location.proposals
    )


def reading_words(location: Location) -> str:
    """Return what the last reading says by itself; empty before the first."""
    if not location.readings:
        return ""
    last = location.readings[-1]
    told = {
        "read": quantity_words(last.measured, last.kind),
        "sound": interval_words(last.expected, last.kind),
    }
    if last.agrees:
        return words("{read} fits: a sound one reads {sound}.", **told)
    if turned_round(last):
        return words(
            "{read} does not fit: a sound one reads {sound}. With the other sign it would: were the leads, "
            "or the clamp, the other way round?",
            **told,
        )
    if last.other_unit is not None:
        return words(
            "{read} does not fit: a sound one reads {sound}. Did you mean {meant}?",
            **told,
            meant=meant_words(last),
        )
    return words("{read} does not fit: a sound one reads {sound}.", **told)


def meant_words(each: CheckedReading) -> str:
    """Return a reading in the unit that it would fit in: `180 mV` for `180 V`, `8.6 A` for `8.6 mA`."""
    unit = "A" if each.kind is ProbeKind.AMPS else "V"
    if each.other_unit is not None and each.other_unit < 1.0:
        return f"{number(each.measured)} m{unit}"
    return f"{number(each.measured * (each.other_unit or 1.0))} {unit}"


def chance_words(location: Location, chance: float) -> str:
    """Return a chance in percent; where no story fits the readings there is none to tell."""
    return share_words(chance) if location.explained else words("does not fit")


def turned_round(each: CheckedReading) -> bool:
    """Whether a reading that does not fit would do so with the other sign."""
    return not each.agrees and each.expected.low <= -each.measured <= each.expected.high


def proposal_words(proposal: Proposal) -> str:
    """Return how a reading is taken."""
    if proposal.kind is ProbeKind.AMPS and not proposal.using:
        return words(
            "milliamps through {thing}: a clamp that reads them, or the meter in line on its 10 A range, "
            "fitted before anything wakes and never while something starts",
            thing=proposal.through,
        )
    if proposal.kind is ProbeKind.AMPS:
        return words("clamp round the cable of {thing}", thing=proposal.through)
    return words("volts, red on {red}, black on {black}", red=proposal.red, black=proposal.black)


def case_words(proposal: Proposal) -> str:
    """Return in which situation, and what runs meanwhile."""
    if not proposal.using:
        return words("{situation}, with everything off", situation=term(proposal.when.value))
    return words(
        "{situation}, with {using} on",
        situation=term(proposal.when.value),
        using=joined(", ", list(proposal.using)),
    )


def interval_words(value: Uncertain, kind: ProbeKind) -> str:
    """Return both ends of what is expected."""
    return words(
        "{low} to {high}", low=quantity_words(value.low, kind), high=quantity_words(value.high, kind)
    )


def quantity_words(value: float, kind: ProbeKind) -> str:
    """Return a reading as a meter shows it: small volts to the millivolt, small amps to the milliamp.

    >>> quantity_words(0.0213, ProbeKind.VOLTS), quantity_words(12.318, ProbeKind.VOLTS)
    ('0.021 V', '12.32 V')
    """
    if kind is ProbeKind.AMPS:
        return f"{value:.1f} A" if abs(value) >= _SMALL_A else f"{value:.3f} A"
    return f"{value:.3f} V" if abs(value) < 1.0 else f"{value:.2f} V"


def where_words(each: CheckedReading) -> str:
    """Return where a reading was taken."""
    if each.through:
        return words("through {thing}", thing=each.through)
    return words("{red} to {black}", red=each.red, black=each.black)


def outcomes(proposal: Proposal) -> tuple[Outcome, ...]:
    """Return what each outcome of a reading would mean; places that would show the same stand together."""
    meant: dict[str, list[str]] = {}
    shown: dict[str, str] = {}
    for would in proposal.means:
        place = words("nothing is wrong") if would.place is None else would.place
        shows = _shows(would, proposal)
        shown[str(shows)] = shows
        meant.setdefault(str(shows), []).append(place)
    return tuple(Outcome(shown[key], joined(", ", places)) for key, places in meant.items())


def _shows(would: WouldMean, proposal: Proposal) -> str:
    """Both ends, where all of it lies beyond what a sound one shows; else from where it tells of a place."""
    found, sound = would.shows, proposal.sound
    if would.place is not None and found.low <= sound.high < found.value:
        return words("over {value}", value=quantity_words(sound.high, proposal.kind))
    if would.place is not None and found.value < sound.low <= found.high:
        return words("under {value}", value=quantity_words(sound.low, proposal.kind))
    if would.place is None or sound.low <= found.value <= sound.high:
        # What a sound one shows too says nothing of that place.
        return interval_words(sound, proposal.kind)
    return interval_words(found, proposal.kind)
