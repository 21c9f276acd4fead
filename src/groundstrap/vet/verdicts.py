"""A verdict on every claim: met, short, impossible, conflicting or unproven, with the reason in words.

`impossible` stands only where the claim, even at the highest running voltage, needs more current than a fuse
is sure to open at (1.35 times its rating, for longer than its gate) or than a lead melts at. Between the
rating and that the claim is doubtful: unproven or short, with a probability.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from groundstrap.model import Claim, Uncertain
from groundstrap.physics.loads import power_at_voltage_w
from groundstrap.physics.uncertainty import probability_above, rectangular_uncertainty
from groundstrap.records import dataclass, replace
from groundstrap.vet.claims import RUNNING_OVER_NOMINAL, ClaimFigure
from groundstrap.vet.combining import Mean
from groundstrap.vet.feed import Feed
from groundstrap.vet.knowledge import Behaviour
from groundstrap.vet.results import Bound, BoundKind, ClaimVerdict, Verdict
from groundstrap.vet.voltages import running_volts
from groundstrap.vet.words import amps, chance, either, figures, multiple, percent, volts, watts
from groundstrap.words import joined, sentence, words

__all__ = ["Measured", "blocking_bound", "bound_probability", "judge", "needs_a"]

ENOUGH: Final = 0.95
"""A claim is met where the load takes at least this share of it; own judgement."""
SURE: Final = 0.95
"""Probability from which a claim is called met, and its complement from which it is short; own judgement."""
MORE: Final = 1.3
"""A load that surely takes more than this share of a claim does not agree with it; own judgement."""
_OF_ALL: Final = (0.5, 1.5)
"""A reading so many times the claim, over how many pieces there are, may be of all of them; own judgement."""
_AS_NOMINAL: Final = 0.025
"""A claim's voltage this near the nominal one is the system's label, not one that was read; own judgement."""
_STEPS: Final = 24
_SAME: Final = 1 + 1e-9
"""A value on a limit stays within it, whatever the last bit says."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """What the readings say of a load. [W]"""

    mean: Mean
    at_v: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Case:
    """Everything that one verdict rests on."""

    figure: ClaimFigure
    feed: Feed
    behaviour: Behaviour
    count: int
    measured: Measured | None
    bounds: tuple[Bound, ...]


def needs_a(figure: ClaimFigure, feed: Feed) -> Uncertain:
    """Return the current that a claim needs at the running voltages: least at the highest of them. [A]

    A claim for a voltage that is not the nominal one needs its current at that voltage.
    """
    if figure.claim.power_w is None:
        return Uncertain(figure.current_a, figure.current_a, figure.current_a)
    low_v, high_v = _running_v(figure, feed)
    low, high = figure.least_w / high_v, figure.power_w / low_v
    return Uncertain((low + high) / 2, low, high)


def _running_v(figure: ClaimFigure, feed: Feed) -> tuple[float, float]:
    if figure.voltage_written and abs(figure.at_v / feed.nominal_v - 1) > _AS_NOMINAL:
        return figure.at_v, figure.at_v
    running = running_volts(feed)
    return running.resting_v, running.charging_v


def blocking_bound(figure: ClaimFigure, feed: Feed, bounds: Sequence[Bound]) -> Bound | None:
    """Return the tightest bound that makes a claim impossible, None where none does."""
    least_a = needs_a(figure, feed).low
    blocking = [
        (bound.most_a, bound)
        for bound in bounds
        if bound.most_a is not None and least_a > bound.most_a * _SAME
    ]
    return min(blocking, key=lambda pair: pair[0])[1] if blocking else None


def bound_probability(figure: ClaimFigure, feed: Feed, bounds: Sequence[Bound]) -> float | None:
    """Return the chance that the parts carry a claim, None where it lies within all their ratings.

    It falls straight from 1 at a rating, taken at resting volts, to 0 at the current that is sure to open it,
    taken at charging volts; own judgement.
    """
    needed = needs_a(figure, feed)
    chances: list[float] = []
    for bound in bounds:
        if bound.rating_a is None or bound.most_a is None or needed.high <= bound.rating_a * _SAME:
            continue
        over = (needed.high - bound.rating_a) / (bound.most_a * needed.high / needed.low - bound.rating_a)
        chances.append(1.0 - min(over, 1.0))
    return min(chances) if chances else None


def judge(
    figure: ClaimFigure,
    *,
    feed: Feed,
    behaviour: Behaviour,
    count: int,
    measured: Measured | None,
    bounds: tuple[Bound, ...],
    agree: bool,
    lost: str = "",
) -> ClaimVerdict:
    """Return the verdict on one claim.

    `agree` says whether the evidence that counts agrees with itself, `lost` why readings count for nothing.
    """
    case = _Case(figure=figure, feed=feed, behaviour=behaviour, count=count, measured=measured, bounds=bounds)
    blocking = blocking_bound(figure, feed, bounds)
    reached = None if measured is None else _probability_above(case, measured, ENOUGH)
    if blocking is not None and reached is not None and reached >= SURE:
        return _verdict(
            case, Verdict.CONFLICTING, reached, _measured_words(case), _blocking_words(case, blocking)
        )
    if blocking is not None:
        return _verdict(case, Verdict.IMPOSSIBLE, 0.0, _blocking_words(case, blocking), _measured_words(case))
    if not agree:
        source = words("the readings disagree") if measured is not None else words("the claims disagree")
        return _verdict(
            case, Verdict.CONFLICTING, reached, words("{source} with each other beyond what "
"their errors allow", source=source),
            _measured_words(case),
        )  # fmt: skip
    if reached is None:
        return _unmeasured(case, lost)
    return _by_reading(case, reached)


def _by_reading(case: _Case, reached: float) -> ClaimVerdict:
    if case.measured is not None and _probability_above(case, case.measured, MORE) >= SURE:
        more = _more_words(case, case.measured)
        made = _verdict(case, Verdict.CONFLICTING, reached, more, _measured_words(case))
        return replace(made, draws_more=True)
    verdict = Verdict.MET if reached >= SURE else Verdict.SHORT if reached <= 1 - SURE else Verdict.UNPROVEN
    if verdict is Verdict.SHORT and case.behaviour.by_demand:
        asked = words("it may not have been asked for all that it can take when it was read")
        return _verdict(case, Verdict.UNPROVEN, None, _needs_words(case), _measured_words(case), asked)
    odds = (
        ""
        if verdict is not Verdict.UNPROVEN
        else words("the chance that the claim holds is {reached}", reached=chance(reached))
    )
    loose = "" if case.figure.voltage_written or case.feed.regulated else _loose_words(case)
    made = _verdict(case, verdict, reached, _measured_words(case), loose, odds)
    return replace(made, share=None if case.measured is None else _share(case, case.measured))


def _unmeasured(case: _Case, lost: str) -> ClaimVerdict:
    carried = bound_probability(case.figure, case.feed, case.bounds)
    doubt = _doubt_words(case)
    next_step = words("nobody measured it: a current and the volts at its leads while it runs would tell")
    if case.behaviour.data.resistance_tells_power:
        next_step = words("nobody measured it: its ohms, leads nulled, would tell")
    if lost:
        next_step = words("what was read does not count: {lost}", lost=lost)
    return _verdict(case, Verdict.UNPROVEN, carried, _needs_words(case), doubt, next_step)


def _probability_above(case: _Case, measured: Measured, share: float) -> float:
    """Chance that the load takes this share of a claim, over all voltages that the claim may stand for."""
    figure, mean = case.figure, measured.mean
    ends = (figure.at_v, figure.at_v)
    if not figure.voltage_written and not case.feed.regulated and figure.output_share == 1.0:
        ends = (figure.at_v, figure.at_v * RUNNING_OVER_NOMINAL)
    steps = 1 if ends[0] == ends[1] else _STEPS
    total = 0.0
    for step in range(steps):
        at_v = ends[0] + (ends[1] - ends[0]) * (step + 0.5) / steps
        scale = power_at_voltage_w(1.0, at_v=measured.at_v, to_v=at_v, exponent=case.behaviour.exponent)
        claimed_w = figure.power_w if figure.claim.power_w is not None else figure.current_a * at_v
        law = rectangular_uncertainty(case.behaviour.exponent_doubt) * abs(at_v / measured.at_v - 1)
        spread_w = mean.standard_uncertainty_w * scale + law * mean.power_w.value * scale
        total += probability_above(
            mean.power_w.value * scale, standard_uncertainty=spread_w, threshold=share * claimed_w
        )
    return total / steps


def _verdict(case: _Case, verdict: Verdict, probability: float | None, *parts: str) -> ClaimVerdict:
    claim = case.figure.claim
    return ClaimVerdict(
        by=claim.by,
        text=claim.text,
        power_w=claim.power_w,
        current_a=claim.current_a if claim.power_w is None else None,
        at_v=claim.voltage_v,
        verdict=verdict,
        probability=probability,
        why=joined(" ", [sentence(part) for part in parts if part]),
    )


def _said(claim: Claim, count: int) -> str:
    said = watts(claim.power_w) if claim.power_w is not None else amps(claim.current_a or 0.0)
    return multiple(count, said)


def _needs_words(case: _Case) -> str:
    """What the load would take if the claim held, by its law, at two voltages."""
    figure, running, exponent = case.figure, running_volts(case.feed), case.behaviour.exponent
    said = _said(figure.claim, case.count)
    said += (
        words(" given at {output_share} efficiency", output_share=percent(figure.output_share))
        if figure.output_share != 1.0
        else ""
    )
    at = []
    for at_v in dict.fromkeys((running.resting_v, running.charging_v)):
        power_w = figure.at(at_v, exponent).value
        at.append(
            words(
                "{power_w} ({power_w_2}) at {at_v}",
                power_w=amps(power_w / at_v),
                power_w_2=watts(power_w),
                at_v=volts(at_v),
            )
        )
    return words(
        "{said} would be {joined} ({behaviour})",
        said=said,
        joined=joined(words(" and "), at),
        behaviour=_law_words(case.behaviour),
    )


def _law_words(behaviour: Behaviour) -> str:
    if behaviour.exponent > 0.0:
        return words("more volts, more amps")
    return (
        words("fewer volts, more amps")
        if behaviour.exponent < 0.0
        else words("about the same amps at any volts")
    )


def _measured_words(case: _Case) -> str:
    if case.measured is None:
        return ""
    mean, from_v = case.measured.mean, case.measured.at_v
    running = running_volts(case.feed)
    at = []
    for at_v in dict.fromkeys((case.figure.at_v, running.resting_v, running.charging_v)):
        scale = power_at_voltage_w(1.0, at_v=from_v, to_v=at_v, exponent=case.behaviour.exponent)
        power_w = mean.power_w.value * scale
        at.append(
            words(
                "{power_w} ({power_w_2}) at {at_v}",
                power_w=watts(power_w),
                power_w_2=amps(power_w / at_v),
                at_v=volts(at_v),
            )
        )
    doubt = _width_words(mean, from_v)
    against = words("against {claim} claimed", claim=_said(case.figure.claim, case.count))
    against += words(" for {at_v}", at_v=volts(case.figure.at_v)) if case.figure.voltage_written else ""
    return words(
        "measured, it takes {joined}, {doubt}, {against}",
        joined=joined(", ", at),
        doubt=doubt,
        against=against,
    )


def _share(case: _Case, measured: Measured) -> float:
    """Times its claim that a load takes, at the claim's volts."""
    at_v, from_v = case.figure.at_v, measured.at_v
    scale = power_at_voltage_w(1.0, at_v=from_v, to_v=at_v, exponent=case.behaviour.exponent)
    claimed_w = case.figure.power_w if case.figure.claim.power_w is not None else case.figure.current_a * at_v
    return measured.mean.power_w.value * scale / claimed_w


def _more_words(case: _Case, measured: Measured) -> str:
    """How many times its claim a load takes, and the slip that it may be where there are several."""
    times = _share(case, measured)
    told = words("it draws more than claimed, {times} times as much", times=figures(times, 2))
    if case.count == 1 or not _OF_ALL[0] <= times / case.count <= _OF_ALL[1]:
        return told
    return words(
        "{told}; a reading at its own leads is of each of the {count}: if it was of all together, "
        "write {count} times less",
        told=told, count=str(case.count),
    )  # fmt: skip


def _width_words(mean: Mean, at_v: float) -> str:
    if mean.consistent.flag:
        return words(
            "within {high}", high=percent((mean.power_w.high - mean.power_w.low) / 2 / mean.power_w.value)
        )
    return words(
        "somewhere from {low} to {high} at {at_v}",
        low=watts(mean.power_w.low),
        high=watts(mean.power_w.high),
        at_v=volts(at_v),
    )


def _loose_words(case: _Case) -> str:
    if case.behaviour.exponent <= -1.0 or case.figure.output_share != 1.0:
        return ""
    low_v, high_v = case.figure.at_v, case.figure.at_v * RUNNING_OVER_NOMINAL
    return words(
        "no voltage is given with the claim, so it may mean {low_v} to {high_v}",
        low_v=volts(low_v),
        high_v=volts(high_v),
    )


def _blocking_words(case: _Case, bound: Bound) -> str:
    needed, said = needs_a(case.figure, case.feed), _said(case.figure.claim, case.count)
    low_v, high_v = _running_v(case.figure, case.feed)
    if case.figure.claim.power_w is None:
        need = said
        low, high = watts(needed.low * low_v), watts(needed.low * high_v)
        tail: str = words(
            " ({low} at {low_v}, {high} at {high_v})",
            low=low,
            low_v=volts(low_v),
            high=high,
            high_v=volts(high_v),
        )
    else:
        need = words("{said} needs {high} at {low_v}", said=said, high=amps(needed.high), low_v=volts(low_v))
        tail = (
            ""
            if low_v == high_v
            else words(" and still {low} at {high_v}", low=amps(needed.low), high_v=volts(high_v))
        )
    ends = words("melts") if bound.kind is BoundKind.WIRE else words("is sure to open")
    thing = (
        words("what stands behind the {name}", name=bound.name)
        if bound.kind is BoundKind.PLUG
        else words("the {name}", name=bound.name)
    )
    return words(
        "{need}{tail}, and {thing} {ends} above {most_a}",
        need=need,
        tail=tail,
        thing=thing,
        ends=ends,
        most_a=amps(bound.most_a or 0.0),
    )


def _doubt_words(case: _Case) -> str:
    needed = needs_a(case.figure, case.feed)
    tight = [
        bound
        for bound in case.bounds
        if bound.rating_a is not None and needed.high > bound.rating_a * _SAME
    ]  # fmt: skip
    if not tight:
        return ""
    bound = min(tight, key=lambda bound: bound.rating_a or 0.0)
    asked = either(amps(needed.low), amps(needed.high), "to")
    most = (
        words(" and is sure to fail only above {most_a}", most_a=amps(bound.most_a))
        if bound.most_a is not None
        else ""
    )
    return words(
        "it asks {asked} of the {name}, which is made for {rating_a}{most}",
        asked=asked,
        name=bound.name,
        rating_a=amps(bound.rating_a or 0.0),
        most=most,
    )
