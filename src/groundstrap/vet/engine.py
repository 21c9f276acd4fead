"""From an installation to the vetting of all its loads."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from typing import Final

from groundstrap.model import (
    Assumption,
    Basis,
    Gear,
    Installation,
    Load,
    LoadEstimate,
    LoadKind,
    LoadLaw,
    Uncertain,
)
from groundstrap.physics.uncertainty import probability_above
from groundstrap.records import dataclass, replace
from groundstrap.vet.bounds import bounds_of, of_any_length, run_of
from groundstrap.vet.claims import ClaimFigure, claim_figures, claim_says, label_uncertainty_w
from groundstrap.vet.combining import AGREED, Mean, combine_claims, combine_readings, power_at_w, reference_v
from groundstrap.vet.feed import Feed, Feeds
from groundstrap.vet.knowledge import Behaviour, behaviour
from groundstrap.vet.readings import PowerReading, Taken, read, taken
from groundstrap.vet.results import (
    AtVoltage,
    Bound,
    BoundKind,
    ClaimVerdict,
    Evidence,
    EvidenceKind,
    Overload,
    Trust,
    VettedLoad,
    Vetting,
)
from groundstrap.vet.slips import other_unit
from groundstrap.vet.verdicts import Measured, blocking_bound, judge
from groundstrap.vet.voltages import at_voltages
from groundstrap.vet.words import amps, percent, remarks, volts, watts
from groundstrap.words import joined, sentence, words

__all__ = ["estimates", "vet"]

_COIL_W: Final = Uncertain(2.2, 1.2, 3.6)
"""Coil of a plug-in relay that nobody measured: 0.18 A, 0.1 to 0.3 A, at 12 V; common practice. [W]"""
_SOLENOID_W: Final = Uncertain(18.0, 6.0, 60.0)
"""Coil of a solenoid: 1.5 A, 0.5 to 5 A, at 12 V; own judgement. [W]"""
_SOLENOID_FROM_A: Final = 80.0
"""Relays from this contact rating on are solenoids; own judgement. [A]"""
_LEAST_SHARE: Final = 0.5
"""Share of what its parts carry that a load whose claim can't be may take at the least; own judgement."""
_TWO_SIDED: Final = 3.92
"""Standard uncertainties in a 95 % interval. Source: JCGM 100, table G.1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Found:
    """Everything that stands in the file about one load, each piece read for itself."""

    load: Load
    behaviour: Behaviour
    feed: Feed
    figures: tuple[ClaimFigure, ...]
    readings: tuple[PowerReading, ...]
    bounds: tuple[Bound, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Weighed:
    """What the evidence comes to: the mean that counts, and whose it is."""

    at_v: float
    power_w: Uncertain | None
    why: str
    measured: Measured | None
    mean: Mean | None
    counted: tuple[PowerReading, ...] = ()
    counted_claims: tuple[ClaimFigure, ...] = ()
    assumptions: tuple[Assumption, ...] = ()


def vet(installation: Installation) -> Vetting:
    """Vet all loads: what each really takes, as its evidence says, and what becomes of each claim.

    A load of which nothing says what it takes is in the result too, with an estimate that is not known.
    """
    feeds = Feeds(installation)
    loads: dict[str, VettedLoad] = {}
    assumptions: list[Assumption] = []
    sources: dict[str, None] = {"jcgm-100": None}
    for name, load in installation.loads.items():
        relay = installation.gear.get(load.relay or "")
        items = taken(installation, load)
        told = _told(of_any_length(load), feeds.of(load), items, installation.basis, relay)
        loads[name] = told.vetted
        assumptions.extend(told.assumptions)
        sources.update(dict.fromkeys(told.sources))
    return Vetting(loads=loads, assumptions=tuple(assumptions), used_sources=tuple(sources))


def estimates(installation: Installation) -> Mapping[str, LoadEstimate]:
    """Return only the estimate of each load, by its name."""
    return {name: vetted.estimate for name, vetted in vet(installation).loads.items()}


@dataclass(frozen=True, slots=True)
class _Told:
    """All that is told of one load."""

    vetted: VettedLoad
    assumptions: tuple[Assumption, ...]
    sources: tuple[str, ...]


@lru_cache(maxsize=1024)
def _told(load: Load, feed: Feed, items: tuple[Taken, ...], basis: Basis, relay: Gear | None) -> _Told:
    """What is told of a load; all that it hangs on stands in the arguments."""
    found = _find(load, feed, items, basis)
    weighed = _weigh(found, relay)
    return _Told(_vetted(found, weighed), _assumptions(found, weighed), tuple(_sources(found, weighed)))


def _find(load: Load, feed: Feed, items: tuple[Taken, ...], basis: Basis) -> _Found:
    kind = behaviour(load.kind)
    readings = tuple(
        read(load, item, number=number, behaviour=kind, feed=feed) for number, item in enumerate(items)
    )
    return _Found(
        load=load,
        behaviour=kind,
        feed=feed,
        figures=claim_figures(load, kind, feed),
        readings=readings,
        bounds=bounds_of(load, feed, basis),
    )


def _weigh(found: _Found, relay: Gear | None) -> _Weighed:
    usable = tuple(reading for reading in found.readings if reading.power_w is not None)
    if usable and found.behaviour.by_demand:
        # Each reading says what was asked at that moment: the most that was seen is what they tell together.
        usable = (max(usable, key=lambda reading: reading.power_w or 0.0),)
    if usable:
        at_v = reference_v(usable, found.figures, found.feed, measured=True)
        mean = combine_readings(usable, at_v, found.behaviour)
        measured = Measured(mean=mean, at_v=at_v)
        if not (found.behaviour.by_demand and found.figures):
            return _by_readings(found, usable, measured)
        return _by_demand(found, usable, measured)
    if found.figures:
        return _by_claims(found, measured=None)
    if found.load.kind is LoadKind.COIL:
        return _by_custom(found, relay)
    why = (
        words("it is written as unknown")
        if found.load.claims_unknown
        else words("nothing says what it takes")
    )
    if found.readings:
        why += words(", and none of the readings tells it")
    return _Weighed(at_v=found.feed.nominal_v, power_w=None, why=sentence(why), measured=None, mean=None)


def _by_readings(found: _Found, usable: tuple[PowerReading, ...], measured: Measured) -> _Weighed:
    mean = measured.mean
    many = words("one reading") if len(usable) == 1 else words("{usable} readings", usable=len(usable))
    if not mean.consistent.flag:
        many += words(" that disagree with each other, so the interval spans them all")
        many += _ceramic(found, usable, measured.at_v)
    return _Weighed(
        at_v=measured.at_v,
        power_w=mean.power_w,
        why=sentence(words("measured: {many}", many=many)),
        measured=measured,
        mean=mean,
        counted=usable,
    )


def _ceramic(found: _Found, usable: tuple[PowerReading, ...], at_v: float) -> str:
    """What to ask where cold ohms promise more than running amps, as in a heater that limits itself."""
    if found.load.kind is not LoadKind.HEATER:
        return ""
    by_ohms = [power_at_w(each, at_v, found.behaviour) for each in usable if "resistance_ohm" in each.says]
    by_flow = [
        power_at_w(each, at_v, found.behaviour) for each in usable if "resistance_ohm" not in each.says
    ]
    if not by_ohms or not by_flow or min(by_ohms) <= max(by_flow):
        return ""
    return words("; a ceramic heater has such ohms cold: if it is one, write `kind: ptc heater`")


def _by_demand(found: _Found, usable: tuple[PowerReading, ...], measured: Measured) -> _Weighed:
    """What it may be asked for counts, unless it was seen to take more."""
    claimed = _by_claims(found, measured=measured)
    assert claimed.power_w is not None
    seen = replace(usable[0], power_w=measured.mean.power_w.value, at_v=measured.at_v)
    taken_w = power_at_w(seen, claimed.at_v, found.behaviour)
    if taken_w <= claimed.power_w.value:
        return claimed
    return _by_readings(found, usable, measured)


def _by_claims(found: _Found, *, measured: Measured | None) -> _Weighed:
    counted = tuple(
        figure for figure in found.figures if blocking_bound(figure, found.feed, found.bounds) is None
    )
    if not counted:
        return _by_bounds(found, measured)
    at_v = reference_v((), counted, found.feed, measured=False)
    mean = combine_claims(counted, at_v, found.behaviour)
    low, high = mean.power_w.low / mean.power_w.value, mean.power_w.high / mean.power_w.value
    who = words("one claim") if len(counted) == 1 else words("{counted} claims", counted=len(counted))
    why = words(
        "not measured: {who}, with {part} less to {high} more left open",
        who=who,
        part=percent(1 - low),
        high=percent(high - 1),
    )
    if measured is not None and mean.consistent.flag:
        why = words(
            "by {who}, with {part} less to {high} more left open: {power} were read, which is what was asked "
            "of it then, and it may be asked for more",
            who=who,
            part=percent(1 - low),
            high=percent(high - 1),
            power=watts(measured.mean.power_w.value),
        )
    if not mean.consistent.flag:
        why = words("not measured: {who} that disagree, of which the largest is taken", who=who)
    return _Weighed(
        at_v=at_v,
        power_w=_capped(mean.power_w, at_v, found.bounds),
        why=sentence(why),
        measured=measured,
        mean=mean,
        counted_claims=counted,
        assumptions=() if found.load.kind is LoadKind.COIL else (_label_assumed(found.load, mean, measured),),
    )


def _label_assumed(load: Load, mean: Mean, measured: Measured | None) -> Assumption:
    why = words("nobody measured it; how far a label may be off is own judgement")
    if measured is not None:
        why = words("it may be asked for more than was read; how far a label may be off is own judgement")
    return Assumption(
        words("{name} power", name=load.name),
        words("{low} to {high}", low=watts(mean.power_w.low), high=watts(mean.power_w.high)),
        why,
    )


def _capped(power_w: Uncertain, at_v: float, bounds: Sequence[Bound]) -> Uncertain:
    """A power whose high end is no more than what its parts let through."""
    most_w = [bound.most_a * at_v for bound in bounds if bound.most_a is not None]
    high_w = min((power_w.high, *most_w))
    return Uncertain(power_w.value, power_w.low, max(high_w, power_w.value))


def _by_bounds(found: _Found, measured: Measured | None) -> _Weighed:
    """No claim can be: what its parts are made for stands in, up to what they let through."""
    at_v = found.feed.nominal_v
    sure = [(bound.most_a, bound) for bound in found.bounds if bound.most_a is not None]
    most_a, bound = min(sure, key=lambda pair: pair[0])
    made_for_a = min(bound.rating_a if bound.rating_a is not None else most_a, most_a)
    why = words(
        "the claim can't be: taken as what the {name} is made for, {made_for_a}",
        name=bound.name,
        made_for_a=amps(made_for_a),
    )
    return _Weighed(
        at_v=at_v,
        power_w=Uncertain(made_for_a * at_v, _LEAST_SHARE * made_for_a * at_v, most_a * at_v),
        why=sentence(why),
        measured=measured,
        mean=None,
        assumptions=(
            Assumption(
                words("{name} power", name=found.load.name),
                words("{made_for_a} at {at_v}", made_for_a=watts(made_for_a * at_v), at_v=volts(at_v)),
                words(
                    "the claim can't be, nobody measured it; what the {name} is made for "
                    "stands in, own judgement",
                    name=bound.name,
                ),
            ),
        ),
    )


def _by_custom(found: _Found, relay: Gear | None) -> _Weighed:
    """A coil that nobody measured takes what such coils take; little against the wire that it hangs on."""
    rating_a = relay.rating_a if relay is not None else None
    solenoid = rating_a is not None and rating_a >= _SOLENOID_FROM_A
    power_w = _SOLENOID_W if solenoid else _COIL_W
    at_v = found.feed.nominal_v
    what = "solenoid" if solenoid else "relay"
    return _Weighed(
        at_v=at_v,
        power_w=power_w,
        why=sentence(words("assumed: the usual coil of a {what}", what=what)),
        measured=None,
        mean=None,
        assumptions=(
            Assumption(
                found.load.name,
                words(
                    "{value} ({low} to {high})",
                    value=watts(power_w.value),
                    low=watts(power_w.low),
                    high=watts(power_w.high),
                ),
                words("no coil current is written; the usual one of a {what}, ", what=what)
                + (words("own judgement") if solenoid else words("common practice")),
            ),
        ),
    )


def _vetted(found: _Found, weighed: _Weighed) -> VettedLoad:
    kind, load = found.behaviour, found.load
    estimate = LoadEstimate(
        load=load.name,
        law=kind.law,
        exponent=kind.exponent,
        at_v=weighed.at_v,
        power_w=weighed.power_w,
        known=weighed.power_w is not None,
        why=weighed.why,
    )
    at = at_voltages(estimate, found.feed, found.figures, kind.exponent_doubt)
    return VettedLoad(
        name=load.name,
        count=load.count,
        estimate=estimate,
        current_a=_current(estimate),
        resistance_ohm=_resistance(estimate),
        at=at,
        evidence=_evidence(found, weighed),
        bounds=found.bounds,
        consistent=weighed.mean.consistent if weighed.mean is not None else AGREED,
        claims=_judged(found, weighed),
        overloads=_overloads(found, at),
        remark=kind.data.remark,
    )


def _judged(found: _Found, weighed: _Weighed) -> tuple[ClaimVerdict, ...]:
    if found.load.kind is LoadKind.COIL:
        # What is written for a coil is taken as it stands: nobody sells a relay by its coil.
        return ()
    deciding = weighed.measured.mean if weighed.measured is not None else weighed.mean
    return tuple(
        judge(
            figure,
            feed=found.feed,
            behaviour=found.behaviour,
            count=found.load.count,
            measured=weighed.measured,
            bounds=found.bounds,
            agree=deciding is None or deciding.consistent.flag,
            lost=joined("; ", [each.remark for each in found.readings if each.power_w is None]),
        )
        for figure in found.figures
    )


def _current(estimate: LoadEstimate) -> Uncertain | None:
    if estimate.power_w is None:
        return None
    power_w, at_v = estimate.power_w, estimate.at_v
    return Uncertain(power_w.value / at_v, power_w.low / at_v, power_w.high / at_v)


def _resistance(estimate: LoadEstimate) -> Uncertain | None:
    if estimate.power_w is None or estimate.law is not LoadLaw.RESISTIVE:
        return None
    power_w, square = estimate.power_w, estimate.at_v**2
    return Uncertain(square / power_w.value, square / power_w.high, square / power_w.low)


def _evidence(found: _Found, weighed: _Weighed) -> tuple[Evidence, ...]:
    claims = [_claim_evidence(found, weighed, figure) for figure in found.figures]
    readings = [_reading_evidence(found, weighed, reading) for reading in found.readings]
    fitted = [_fitted_evidence(bound) for bound in found.bounds if bound.kind is not BoundKind.CIRCUIT_FUSE]
    return (*claims, *readings, *fitted)


def _claim_evidence(found: _Found, weighed: _Weighed, figure: ClaimFigure) -> Evidence:
    moved = figure.at(weighed.at_v, found.behaviour.exponent)
    spread_w = label_uncertainty_w(figure) * moved.value / figure.power_w
    said = figure.claim.power_w if figure.claim.power_w is not None else figure.claim.current_a or 0.0
    weight = 0.0
    if weighed.mean is not None and any(each is figure for each in weighed.counted_claims):
        weight = weighed.mean.weights[_place(weighed.counted_claims, figure)]
    aside = "" if weight > 0.0 else _why_aside(weighed)
    return Evidence(
        kind=EvidenceKind.CLAIM,
        says=claim_says(figure.claim),
        trust=Trust.WEAK,
        weight=weight,
        remark=remarks((figure.remark, aside)),
        power_w=moved.value,
        standard_uncertainty=spread_w / moved.value * said,
        standard_uncertainty_w=spread_w,
        by=figure.claim.by,
    )


def _place(figures: Sequence[ClaimFigure], figure: ClaimFigure) -> int:
    """Place of this very claim: two may say the same."""
    return next(place for place, each in enumerate(figures) if each is figure)


def _why_aside(weighed: _Weighed) -> str:
    return (
        words("a claim does not count against a reading")
        if weighed.counted
        else words("its own parts can't carry it")
    )


def _reading_evidence(found: _Found, weighed: _Weighed, reading: PowerReading) -> Evidence:
    power_w = None if reading.power_w is None else power_at_w(reading, weighed.at_v, found.behaviour)
    weight = 0.0
    if weighed.mean is not None and reading in weighed.counted:
        weight = weighed.mean.weights[weighed.counted.index(reading)]
    meant = other_unit(reading.says, found.feed.nominal_v, found.load.count, found.figures)
    return Evidence(
        kind=EvidenceKind.MEASURED,
        says=reading.says,
        trust=reading.trust,
        weight=weight,
        remark=remarks((reading.remark, meant)),
        power_w=power_w,
        standard_uncertainty=reading.standard_uncertainty,
        standard_uncertainty_w=None if power_w is None else reading.relative * power_w,
    )


def _fitted_evidence(bound: Bound) -> Evidence:
    says: dict[str, float | str] = {bound.kind.value: bound.name}
    if bound.rating_a is not None:
        says["rating_a"] = bound.rating_a
    if bound.most_a is not None:
        says["most_a"] = bound.most_a
    return Evidence(
        kind=EvidenceKind.FITTED, says=says, trust=Trust.BOUND, weight=0.0, remark=bound.remark
    )  # fmt: skip


def _overloads(found: _Found, at: Sequence[AtVoltage]) -> tuple[Overload, ...]:
    """Fitted parts and existing fuses that are asked for more than they are made for."""
    running = [item.current_a for item in at if item.what != "claim"]
    if not running:
        return ()
    most = max(running, key=lambda current_a: current_a.value)
    for_hours = run_of(found.load).for_hours
    over: list[Overload] = []
    for bound in found.bounds:
        limit_a = bound.hours_a if for_hours and bound.hours_a is not None else bound.rating_a
        if limit_a is None or most.value <= limit_a:
            continue
        spread_a = max((most.high - most.low) / _TWO_SIDED, 1e-9)
        over.append(
            Overload(
                bound=bound.kind,
                name=bound.name,
                current_a=most,
                limit_a=limit_a,
                rating_a=bound.rating_a,
                probability=probability_above(
                    most.value, standard_uncertainty=spread_a, threshold=limit_a
                ),
            )
        )  # fmt: skip
    return tuple(over)


def _sources(found: _Found, weighed: _Weighed) -> Iterator[str]:
    yield found.behaviour.data.source
    if found.readings:
        yield "maker-meter-data"
    if weighed.counted_claims or weighed.power_w is None:
        yield "own-judgement"
    yield from (bound.source for bound in found.bounds)


def _assumptions(found: _Found, weighed: _Weighed) -> tuple[Assumption, ...]:
    noted = list(weighed.assumptions)
    for figure in weighed.counted_claims:
        noted.extend(figure.assumptions)
    for reading in found.readings:
        noted.extend(reading.assumptions)
    return tuple(dict.fromkeys(noted))
