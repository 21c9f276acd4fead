"""What people ask about days on the battery, each question with its answer in words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from groundstrap.endure.day import run_by_duty
from groundstrap.endure.results import Brought, Cure, CutOff, Endurance, Share, SpanRun, Start, Straight
from groundstrap.model import Situation
from groundstrap.records import dataclass
from groundstrap.report.endurance import EnduranceAnswer
from groundstrap.report.figures import Display, amps, number, percent, volts
from groundstrap.words import Name, joined, plural, term, words

__all__ = [
    "AnswerRow",
    "answer_rows",
    "brought_words",
    "cautions",
    "charge_words",
    "cure_words",
    "frame_words",
    "in_vain_words",
    "lasting",
    "moment_words",
    "remedy_words",
    "share_words",
    "span_words",
    "start_words",
]

_HOUR_S: Final = 3600.0
_DAY_S: Final = 86_400.0
_LONG_H: Final = 72.0
"""From here on a time is told in days."""
_AT_ONCE_H: Final = 1.0 / 60.0
_OF_A_REST: Final = frozenset({"until_cut_off_h", "leaves_start_h"})
_MOST_PLACES: Final = 3
_EVEN_AH: Final = 0.05
"""A day that takes or brings less leaves a battery as it was."""
_MUCH: Final = 0.1
"""Share of all that is taken from which on a load counted by its duty is named; own judgement. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerRow:
    """One question with its answer; `level` is `stop`, `caution`, `clear` or `note`."""

    key: str
    asked: str
    told: str
    level: str = "note"


def lasting(time_h: float) -> str:
    """Return a length of time as people say it.

    >>> [str(lasting(each)) for each in (0.25, 9.42, 80.0)]
    ['15 min', '9.4 h', '3.3 days']
    """
    if time_h < 1.0:
        return f"{number(time_h * 60.0, 2)} min"
    if time_h < _LONG_H:
        return f"{number(time_h, 2 if time_h < 10.0 else 3)} h"
    return words("{count} days", count=number(time_h / 24.0, 2))


def moment_words(at_s: float, run: Endurance) -> str:
    """Return a moment of the run: how far into which day."""
    if run.days == 1:
        return words("{time} into the day", time=lasting(at_s / _HOUR_S))
    day = run.spans[-1].day if run.spans else run.days
    inside = next((each for each in run.spans if each.begins_s <= at_s < each.ends_s), None)
    day = day if inside is None else inside.day
    begins_s = min(each.begins_s for each in run.spans if each.day == day)
    return words("{time} into day {day}", time=lasting((at_s - begins_s) / _HOUR_S), day=day)


def charge_words(state_pct: float, figures: int = 2) -> str:
    """Return a charge, which is never below empty: what a small current gets out beyond is told as that.

    >>> str(charge_words(54.6)), str(charge_words(-6.56))
    ('55 %', 'empty (6.6 % of its capacity more than it is rated for)')
    """
    if state_pct >= 0.0:
        return f"{number(state_pct, figures)} %"
    return words(
        "empty ({more} of its capacity more than it is rated for)", more=f"{number(-state_pct, figures)} %"
    )


def span_words(span: SpanRun, shown: Display) -> str:
    """Return what a span is: what the vehicle does in it, for how long, at which temperature.

    >>> from groundstrap.model import Situation
    >>> rest = SpanRun(number=2, day=1, situation=Situation.RESTING, begins_s=0.0, ends_s=7200.0,
    ...                temperature_c=-10.0, using=(), sun_s=0.0, change_ah={})
    >>> str(span_words(rest, Display()))
    'resting 2 h at -10 degC'
    """
    return words(
        "{situation} {time} at {temperature}",
        situation=term(span.situation.value),
        time=lasting((span.ends_s - span.begins_s) / _HOUR_S),
        temperature=shown.temperature(span.temperature_c),
    )


def share_words(share: Share) -> str:
    """Return a share of the days with its interval.

    >>> str(share_words(Share(value=0.021, low=0.018, high=0.024)))
    '2.1 % (1.8 to 2.4)'
    """
    low, high = (number(100.0 * each, 2) for each in (share.low, share.high))
    return words("{share} ({low} to {high})", share=percent(100.0 * share.value), low=low, high=high)


def frame_words(answer: EnduranceAnswer, shown: Display) -> str:
    """Return in one sentence which days were run."""
    run = answer.run
    days = plural("{count} day", "{count} days", run.days)
    spans = [each for each in run.spans if each.day == 1]
    told = listed_spans(spans, shown)
    if run.days == 1:
        return words(
            "{system} V, {days}: {spans}.", system=number(answer.installation.system_v), days=days, spans=told
        )
    return words(
        "{system} V, {days}, each {spans}.",
        system=number(answer.installation.system_v),
        days=days,
        spans=told,
    )


def listed_spans(spans: list[SpanRun], shown: Display) -> str:
    """Return spans as they are counted up, the same one twice where it comes twice."""
    return joined(", ", [span_words(each, shown) for each in spans])


def start_words(start: Start, shown: Display) -> str:
    """Return whether the engine starts and by how much.

    >>> cold = Start(at_s=0.0, day=1, battery="battery", can=True, asks_a=310.0, holds_a=412.0, temp_c=-10.0,
    ...              state_pct=71.0, volts_v=10.4)
    >>> str(start_words(cold, Display()))
    'yes: battery holds 412 A at -10 degC, the engine asks 310 A: 102 A to spare'
    """
    fields = {
        "battery": start.battery,
        "holds": amps(max(start.holds_a, 0.0)),
        "temperature": shown.temperature(start.temp_c),
        "engine": words("the engine asks {asks}", asks=amps(start.asks_a))
        if start.asks_known
        else words("an engine usually asks {asks}", asks=amps(start.asks_a)),
    }
    if start.frozen:
        return words("no: {battery} has frozen at {temperature}; do not charge or jump it", **fields)
    if start.empty and not start.can:
        return words("no: {battery} is empty and turns no engine; charge it first", **fields)
    if start.can:
        return words(
            "yes: {battery} holds {holds} at {temperature}, {engine}: {margin} to spare",
            margin=amps(start.margin_a),
            **fields,
        )
    if not start.asks_known:
        return words(
            "in doubt: {battery} holds {holds} at {temperature}, {engine}: {margin} too little for that one",
            margin=amps(-start.margin_a),
            **fields,
        )
    return words(
        "no: {battery} holds {holds} at {temperature}, {engine}: {margin} too little",
        margin=amps(-start.margin_a),
        **fields,
    )


def answer_rows(answer: EnduranceAnswer, shown: Display) -> tuple[AnswerRow, ...]:
    """Return every question with its answer, the start first."""
    return (
        *_starts(answer, shown),
        *_cut_offs(answer),
        *_left(answer),
        *(_straight(each) for each in answer.answers.straight),
        *_balance(answer),
        *_costs(answer, shown),
    )


def _starts(answer: EnduranceAnswer, shown: Display) -> Iterator[AnswerRow]:
    last = answer.last_start
    if last is None:
        return
    days = answer.run.days
    earlier = [each for each in answer.run.starts if not each.can and each.at_s < last.at_s]
    if earlier:
        # First what comes first: from there on it has been helped.
        when = moment_words(earlier[0].at_s, answer.run)
        yield AnswerRow(
            key="no_start",
            asked=words("first start that fails") if earlier[0].certain else words("first start in doubt"),
            told=words("{when}: {told}", when=when, told=start_words(earlier[0], shown)),
            level="caution",
        )
    told = start_words(last, shown)
    if earlier and last.can:
        told = words("{told}, once it has been helped with the starts before", told=told)
    yield AnswerRow(
        key="start",
        asked=words("start on morning {number}", number=days),
        told=told,
        level="note" if earlier and last.can else "clear" if last.can else "caution",
    )
    chances = answer.chances
    if chances is not None and chances.no_start is not None:
        told = words(
            "{share} of {count} days, each by itself from the first charge",
            share=share_words(chances.no_start),
            count=chances.days,
        )
        yield AnswerRow(key="chance", asked=words("chance of no start"), told=told)


def _cut_offs(answer: EnduranceAnswer) -> Iterator[AnswerRow]:
    run, chances = answer.run, answer.chances
    asked = words("first cut-off")
    if run.first_cut_off_s is None:
        some = plural("none in {count} day", "none in {count} days", run.days)
        none = words("none in the day") if run.days == 1 else some
        yield AnswerRow(key="cut_off", asked=asked, told=none, level="clear")
    else:
        told = [_cut_off(each, run) for each in _first_of_each(run)]
        level = "stop" if any(each.critical for each in run.cut_offs) else "caution"
        yield AnswerRow(key="cut_off", asked=asked, told=joined("; ", told), level=level)
    for load, share in () if chances is None else chances.cut_off.items():
        asked = words("chance that {load} cuts off", load=load)
        days = words("{share} of these days, each by itself", share=share_words(share))
        yield AnswerRow(key=f"chance {load}", asked=asked, told=days)


def _first_of_each(run: Endurance) -> list[CutOff]:
    """The first cut-off of each load, in the order of time."""
    first: dict[str, CutOff] = {}
    for each in sorted(run.cut_offs, key=lambda each: each.at_s):
        first.setdefault(each.load, each)
    return list(first.values())


def _cut_off(found: CutOff, run: Endurance) -> str:
    told = words(
        "{load} at {volts}, {when}",
        load=found.load,
        volts=volts(found.volts_v),
        when=moment_words(found.at_s, run),
    )
    if found.cycles_per_h is not None:
        times = number(found.cycles_per_h, 2)
        told = words("{told}, then on and off {times} times an hour", told=told, times=times)
    return told


def _left(answer: EnduranceAnswer) -> Iterator[AnswerRow]:
    """How long it would go on: until a cut-off, until no start is left, parked, and to charge again."""
    found = answer.answers
    asked = (
        ("until_cut_off_h", words("worst rest, until a cut-off"), 1.0),
        ("leaves_start_h", words("worst rest, leaving a start"), 1.0),
        ("parked_days", words("parked, no sun, until no start"), 24.0),
        ("recharge_h", words("charging brings it back in"), 1.0),
    )
    for key, text, hours in asked:
        value = getattr(found, key)
        if value is not None:
            told = lasting(value * hours)
            if key == "recharge_h" and value < _AT_ONCE_H:
                told = words("at once: a day's rest takes hardly anything")
        elif key in found.beyond:
            told = words("more than {time}", time=lasting(found.beyond[key] * hours))
        else:
            continue
        yield AnswerRow(key=key, asked=text, told=_resting(told, answer, key) if key in _OF_A_REST else told)


def _resting(told: str, answer: EnduranceAnswer, key: str) -> str:
    """How long a rest may last, and what runs in it."""
    worst = answer.answers.worst_rest.get(key)
    rest = next((each for each in answer.run.spans if each.day == 1 and each.number == worst), None)
    if rest is None or rest.situation is not Situation.RESTING:
        return told
    using = joined(", ", rest.using) if rest.using else words("nothing")
    return words("{time} with {loads} on", time=told, loads=using)


def _straight(found: Straight) -> AnswerRow:
    """What a lithium battery takes that nothing limits: more than an alternator stands for long."""
    told = words(
        "takes {low} to {high} from {alternator}, which may give {hot} hot, all that runs included",
        low=amps(found.low_a),
        high=amps(found.high_a),
        alternator=found.alternator,
        hot=amps(found.hot_a),
    )
    asked = words("{battery}, while driving", battery=found.battery)
    if found.idling:
        asked = words("{battery}, at idle", battery=found.battery)
    return AnswerRow(key=f"straight {found.battery}", asked=asked, told=told, level="caution")


def _balance(answer: EnduranceAnswer) -> Iterator[AnswerRow]:
    told = []
    sinks = False
    for name, change_ah in answer.answers.balance_ah_per_day.items():
        amount = words("{amount} Ah", amount=number(abs(change_ah), 2))
        if abs(change_ah) < _EVEN_AH:
            told.append(words("{battery} as it was", battery=name))
        elif change_ah > 0:
            told.append(words("{battery} gains {amount}", battery=name, amount=amount))
        else:
            sinks = True
            told.append(words("{battery} loses {amount}", battery=name, amount=amount))
    if told:
        level = "caution" if sinks else "clear"
        yield AnswerRow(key="balance", asked=words("a day's balance"), told=joined("; ", told), level=level)


def _costs(answer: EnduranceAnswer, shown: Display) -> Iterator[AnswerRow]:
    """The span and the load that take most."""
    weakest, dearest = answer.answers.weakest, answer.answers.dearest
    if weakest is not None and weakest.change_ah:
        name, lost_ah = min(weakest.change_ah.items(), key=lambda each: each[1])
        told = words(
            "{span} takes {amount} Ah from {battery}",
            span=span_words(weakest, shown),
            amount=number(-lost_ah, 2),
            battery=name,
        )
        if answer.run.days > 1:
            told = words("{told}, on day {day}", told=told, day=weakest.day)
        yield AnswerRow(key="weakest", asked=words("weakest span"), told=told)
    if dearest is not None:
        told = words(
            "{load}: {amount} Ah, {share} of all that is taken until {when}",
            load=dearest.load,
            amount=number(dearest.taken_ah, 2),
            share=percent(100.0 * dearest.share),
            when=moment_words(dearest.until_s, answer.run),
        )
        yield AnswerRow(key="dearest", asked=words("dearest load"), told=told)
    yield from _by_duty(answer)


def _by_duty(answer: EnduranceAnswer) -> Iterator[AnswerRow]:
    """What takes much only because a usual day takes its duty for how often it runs."""
    taken_ah = answer.run.taken_ah
    for load in run_by_duty(answer.installation):
        amount_ah = taken_ah.get(load, 0.0)
        if amount_ah < _MUCH * sum(taken_ah.values()) or amount_ah <= 0.0:
            continue
        told = words(
            "{amount} Ah, as its `duty` says day and night; where that is meant for heat alone, write a "
            "`day` without it",
            amount=number(amount_ah, 2),
        )
        yield AnswerRow(
            key=f"by_duty {load}", asked=words("{load} at rest", load=load), told=told, level="note"
        )


def cure_words(cure: Cure) -> str:
    """Return what cures it, what that gains, and what is to be written into the job.

    >>> from groundstrap.endure.results import Edit
    >>> larger = Cure(kind="battery", edits=(Edit(("supplies", "battery", "capacity"), "110 Ah"),),
    ...               text="a larger battery, 110 Ah", gain="61 A to spare", holds=True)
    >>> str(cure_words(larger))
    'a larger battery, 110 Ah: 61 A to spare (supplies.battery.capacity: 110 Ah)'
    """
    written = "; ".join(f"{'.'.join(map(str, edit.path))}: {edit.value}" for edit in cure.edits)
    return words("{change}: {gain} ({written})", change=cure.text, gain=cure.gain, written=Name(written))


def brought_words(cure: Cure) -> tuple[str, ...]:
    """Return what a change newly brings against the job, in sentences: what stops it first.

    >>> from groundstrap.endure.results import Brought
    >>> new = Brought(rule="PRT008", level="stop", where=("main fuse",), text="it breaks 1000 A of 1500 A",
    ...               remedy="Fit one that breaks more.")
    >>> larger = Cure(kind="battery", edits=(), text="", gain="", holds=False, brings=(new,))
    >>> str(brought_words(larger)[0])
    'PRT008 stops it at main fuse: it breaks 1000 A of 1500 A. So it also needs: Fit one that breaks more.'
    """
    return tuple(_brought(each) for each in cure.brings)


def _brought(each: Brought) -> str:
    where = joined(", ", each.where[:_MOST_PLACES])
    if len(each.where) > _MOST_PLACES:
        where = words("{places} and {count} more", places=where, count=len(each.where) - _MOST_PLACES)
    said = {"rule": each.rule, "where": where, "text": each.text}
    if not each.counts:
        return words("Also against it, and counted nowhere, {rule} at {where}: {text}.", **said)
    if each.level == "stop":
        stops = words("{rule} stops it at {where}: {text}.", **said)
        return words("{stops} So it also needs: {remedy}", stops=stops, remedy=each.remedy)
    if each.level == "undecided":
        return words("Not certain any more, {rule} at {where}: {text}.", **said)
    return words("Newly a caution, {rule} at {where}: {text}.", **said)


def remedy_words(cure: Cure) -> str:
    """Return a cure as the remedy of what it cures, with the rules that newly speak against it."""
    rules = tuple(dict.fromkeys(each.rule for each in cure.brings if each.counts))
    if not rules:
        return cure.text
    return words("{change}; then {rules} speaks against it anew", change=cure.text, rules=joined(", ", rules))


def in_vain_words(answer: EnduranceAnswer) -> tuple[str, ...]:
    """Return what was tried and cures nothing, and of what no answer was found, the most of each kind."""
    told = answer.answers
    found = []
    if told.in_vain:
        found.append(words("Tried, and not enough by itself: {changes}", changes=joined("; ", told.in_vain)))
    if told.not_run:
        found.append(
            words(
                "Tried, and not known: of these days no answer was found: {changes}",
                changes=joined("; ", told.not_run),
            )
        )
    return tuple(found)


def cautions(answer: EnduranceAnswer) -> tuple[str, ...]:
    """Return what can hurt somebody at batteries that are charged."""
    found = []
    kinds = {each.chemistry for each in answer.run.supplies.values()}
    if kinds - {"lfp"}:
        found.append(
            words(
                "A lead battery gives off hydrogen while it is charged: air its place, no flame and no spark "
                "near it, the last clamp of a jump lead away from it. Local codes go before this."
            )
        )
    if "lfp" in kinds:
        found.append(
            words(
                "A lithium battery is not charged below 0 degC: what its own protection does not stop harms "
                "it for good, and may short it inside. Its maker's instructions go before this."
            )
        )
    if answer.answers.straight:
        found.append(
            words(
                "A lithium battery straight on an alternator can keep it at its limit for hours, and most of "
                "all at idle, where its fan cools least, it may burn out. Measure the heat of its case and "
                "its current over the first 20 min, with hands, hair and clothes off what turns and what is "
                "hot. Its maker's instructions and local codes go before this."
            )
        )
    return tuple(found)
