"""What rules need to know about a situation as solved."""

from __future__ import annotations

from groundstrap import words as texts
from groundstrap.assess.results import Outcome
from groundstrap.checks import words
from groundstrap.checks.facts import SituationSubject
from groundstrap.checks.known import usual_idle_share, usual_rating
from groundstrap.model import Load, LoadKind, Situation, Supply, SupplyKind

__all__: list[str] = []

_UNDECIDED = frozenset({Outcome.UNSOLVED})


def situation(subject: SituationSubject) -> str:
    """Its name."""
    return subject.found.situation.value


def outcome(subject: SituationSubject) -> str | None:
    """How it ends; None where it could not be solved, or a size that nobody knows decides it."""
    if subject.found.outcome in _UNDECIDED:
        return None
    return subject.found.outcome.value


def without(subject: SituationSubject) -> str:
    """Loads that end switched off or that cycle."""
    return words.one_of(subject.found.without) or texts.words("a load")


def culprit(subject: SituationSubject) -> str:
    """The load whose smallest cut restores a working point."""
    return subject.found.culprit or texts.words("the loads")


def culprit_w(subject: SituationSubject) -> float | None:
    """Power of that load at which it holds again. [W]"""
    return subject.found.culprit_power_w


def culprit_v(subject: SituationSubject) -> float | None:
    """Voltage at that load then. [V]"""
    return subject.found.culprit_v


def engine_runs(subject: SituationSubject) -> bool:
    """Whether the engine runs and an alternator is there to charge."""
    charging = subject.found.situation in {Situation.IDLING, Situation.DRIVING}
    supplies = subject.facts.supplies.values()
    return charging and any(supply.kind is SupplyKind.ALTERNATOR for supply in supplies)


def drives(subject: SituationSubject) -> bool:
    """Whether it is the drive and not the idling engine."""
    return subject.found.situation is Situation.DRIVING


def batteries_give_least_a(subject: SituationSubject) -> float | None:
    """The same, with alternators whose rating nobody wrote at the most that is usual. [A]"""
    given_a = batteries_give_a(subject)
    return None if given_a is None else given_a - sum(_unsure_a(subject, s) for s in _alternators(subject))


def alternator_is_assumed(subject: SituationSubject) -> bool:
    """Whether the job names no alternator, so that a usual one stands in."""
    found = _alternators(subject)
    return bool(found) and all(machine.assumed for machine in found)


def batteries_give_a(subject: SituationSubject) -> float | None:
    """Current out of all batteries together with everything on; negative while they charge. [A]"""
    if subject.found.outcome in {Outcome.UNSOLVED, Outcome.NO_WORKING_POINT}:
        return None
    names = [battery.name for battery in subject.facts.batteries]
    known = [subject.found.supplies_a[name] for name in names if name in subject.found.supplies_a]
    return sum(known) if known else None


def batteries_give_mean_a(subject: SituationSubject) -> float | None:
    """The same on average, loads that pause counted by their duty. [A]"""
    given_a = batteries_give_a(subject)
    return None if given_a is None else given_a - _paused_a(subject)


def _paused_a(subject: SituationSubject) -> float:
    """What loads that pause take less on average than while they run. [A]"""
    loads = subject.facts.installation.loads
    return sum(
        subject.found.loads_a.get(name, 0.0) * (1.0 - _share_pct(subject, loads[name]) / 100.0)
        for name in subject.found.running
        if name in loads
    )


def _share_pct(subject: SituationSubject, load: Load) -> float:
    """Share of the time that a load runs; a coil as long as what its relay switches. [%]"""
    if load.kind is not LoadKind.COIL or load.relay is None:
        return load.duty.share_pct
    facts = subject.facts
    switched = [
        facts.installation.loads[each.load].duty.share_pct
        for name, found in facts.assessment.parts.items()
        if load.relay in {name, facts.parts[name].gear} and found.switch is not None
        for each in found.switch.loads
        if each.load in facts.installation.loads
    ]
    return max(switched, default=load.duty.share_pct)


def _alternators(subject: SituationSubject) -> list[Supply]:
    return [s for s in subject.facts.supplies.values() if s.kind is SupplyKind.ALTERNATOR]


def _unsure_a(subject: SituationSubject, machine: Supply) -> float:
    """How much more than was reckoned with an alternator may give, where nobody wrote it. [A]"""
    usual, share = usual_rating(machine), usual_idle_share()
    typical_a = usual.typical if machine.rating_a is None else machine.rating_a
    high_a = usual.high if machine.rating_a is None else machine.rating_a
    if subject.found.situation is not Situation.IDLING:
        return high_a - typical_a
    if machine.idle_a is not None:
        return 0.0
    if machine.idle_pct is not None:
        return (high_a - typical_a) * machine.idle_pct / 100.0
    return high_a * share.high - typical_a * share.typical


def lasting_load_a(subject: SituationSubject) -> float | None:
    """What everything on takes from alternators and batteries, loads that pause by their duty. [A]"""
    found, facts = subject.found, subject.facts
    if found.rests_on or facts.assessment.unknown_loads or found.outcome is Outcome.UNSOLVED:
        return None
    sources = {SupplyKind.ALTERNATOR, SupplyKind.BATTERY}
    given = sum(
        amps
        for name, amps in found.supplies_a.items()
        if name in facts.supplies and facts.supplies[name].kind in sources
    )
    return given - _paused_a(subject)


def alternators_give_a(subject: SituationSubject) -> float | None:
    """What all alternators give without end; None where one's rating is not written. [A]"""
    machines = [s for s in subject.facts.supplies.values() if s.kind is SupplyKind.ALTERNATOR]
    ratings = [machine.rating_a for machine in machines if machine.rating_a is not None]
    return sum(ratings) if ratings and len(ratings) == len(machines) else None
