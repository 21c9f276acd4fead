"""The smallest changes of a job that cure what fails in its days, each tried by running the changed job."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from groundstrap.assess import Wiring
from groundstrap.endure.results import Cure, Cures, Edit, Endurance
from groundstrap.endure.run import endure
from groundstrap.endure.scene import by_thermostat, runs_share
from groundstrap.errors import CannotDoError, GroundstrapError
from groundstrap.model import Load, LoadKind, Situation, State, Supply, SupplyKind
from groundstrap.records import dataclass
from groundstrap.words import words

__all__ = ["cures_of"]

Again = Callable[[tuple[Edit, ...]], Wiring | None]

_BIGGER: Final = (1.25, 1.5, 2.0, 3.0)
_SHORTER: Final = (0.75, 0.5, 0.25, 0.1)
_HARDLY: Final = 0.2
"""Share of what it runs now below which a load that runs less serves hardly anybody; own judgement. [1]"""
_LEAST_DUTY_PCT: Final = 2.0
"""Below it a load is as good as given away; own judgement. [%]"""
_STRONGER: Final = (1.5, 2.0, 3.0)
_EACH: Final = frozenset({"battery", "charging"})
"""Kinds of which each thing that was tried is told; of the others the last holds what came before."""
_SAME_VOLTS: Final = 0.2
_LONGER: Final = (1.5, 2.0, 3.0, 5.0)
_EARLIER_V: Final = (11.8, 12.0, 12.2, 12.4)
"""Cut-offs that are tried, at 12 V; above the last one a battery at rest has hardly given anything."""


@dataclass(frozen=True, slots=True)
class _Try:
    kind: str
    edits: tuple[Edit, ...]
    text: str
    hardly: bool = False
    """Whether it leaves hardly any use of what it changes: told last, and only where nothing better of its
    kind cures it."""


def cures_of(wiring: Wiring, run: Endurance, again: Again) -> Cures:
    """Return the least change of each kind that cures the run, and what was tried in vain.

    Source: own-judgement for the steps that are tried; each is run again.

    Parameters
    ----------
    wiring : Wiring
        The installation that was run.
    run : Endurance
        Its run.
    again : callable
        Returns the installation with values written into its job, or None where they don't go.
    """
    goal = _Goal.of(run)
    if goal is None:
        return Cures()
    found: list[Cure] = []
    poor: list[Cure] = []
    failed: list[_Try] = []
    for tries in _ways(wiring, run, goal):
        # Of each kind one is enough.
        if not tries or tries[0].kind in {cure.kind for cure in found}:
            continue
        best = _least(goal, run, again, tries)
        if best.cure is not None:
            (poor if best.hardly else found).append(best.cure)
        elif best.fails:
            failed.append(tries[-1])
    told = {cure.kind for cure in found}
    # The first one is of the dearest load alone, which changes least.
    last = [each for each in poor if each.kind not in told][:1]
    told.update(cure.kind for cure in last)
    return Cures(cures=(*found, *last), in_vain=_in_vain(failed, told))


def _in_vain(failed: list[_Try], cured: set[str]) -> tuple[str, ...]:
    """The most that was tried of each kind that does not cure it; of loads what changes all of them."""
    told: dict[str, str] = {}
    for each in failed:
        if each.kind not in cured:
            told[each.text if each.kind in _EACH else each.kind] = each.text
    return tuple(told.values())


@dataclass(frozen=True, slots=True)
class _Goal:
    """What is to be cured: starts before cut-offs."""

    starts: bool
    battery: str

    @classmethod
    def of(cls, run: Endurance) -> _Goal | None:
        failed = [start for start in run.starts if not start.can]
        if failed:
            return cls(starts=True, battery=failed[0].battery)
        if not run.cut_offs:
            return None
        return cls(
            starts=False, battery=min(run.supplies.values(), key=lambda one: one.lowest_state_pct).name
        )

    def met(self, run: Endurance) -> bool:
        """Whether a run no longer fails so."""
        return run.starts_all if self.starts else run.starts_all and not run.cut_offs

    def gain(self, before: Endurance, after: Endurance) -> str:
        """What it brings, in words."""
        if self.starts:
            return words(
                "the worst start has {after} A to spare instead of {before} A",
                after=f"{min(start.margin_a for start in after.starts):.0f}",
                before=f"{min(start.margin_a for start in before.starts):.0f}",
            )
        lowest = after.supplies[self.battery].lowest_state_pct
        return words("nothing is cut off; the battery stays above {state} %", state=f"{lowest:.0f}")


@dataclass(frozen=True, slots=True)
class _Best:
    """What some tries come to."""

    cure: Cure | None
    hardly: bool = False
    fails: bool = False
    """Whether the largest was run and does not cure it; a job that can't be planned so was not run."""


def _least(goal: _Goal, run: Endurance, again: Again, tries: list[_Try]) -> _Best:
    """The least of some tries, by size, that cures: halved between what does and what does not."""
    low, high, best = -1, len(tries) - 1, None
    largest = _meets(goal, run, again, tries[high])
    if not largest:
        return _Best(None, fails=largest is False)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if _meets(goal, run, again, tries[middle]) else (middle, high)
    # What a quick run found is run once more as every run is, and only then told.
    while best is None and high < len(tries):
        best, high = _cure(goal, run, again, tries[high]), high + 1
    return _Best(best, hardly=tries[high - 1].hardly, fails=best is None)


def _meets(goal: _Goal, run: Endurance, again: Again, one: _Try) -> bool | None:
    """Whether it cures; None where that can't be planned or run."""
    try:
        after = _after(run, again, one, quick=True)
    except CannotDoError:
        # A quick run ends at the first start that fails.
        return False
    return None if after is None else goal.met(after)


def _cure(goal: _Goal, run: Endurance, again: Again, one: _Try) -> Cure | None:
    try:
        after = _after(run, again, one, quick=False)
    except CannotDoError:
        # What a quick run still solves, a finer one may not: then it is no cure, and the others stand.
        return None
    if after is None or not goal.met(after):
        return None
    return Cure(kind=one.kind, edits=one.edits, text=one.text, gain=goal.gain(run, after), holds=True)


def _after(run: Endurance, again: Again, one: _Try, *, quick: bool) -> Endurance | None:
    try:
        changed = again(one.edits)
        if changed is None:
            return None
        return endure(changed, days=run.days, temperature_c=run.temperature_c, quick=quick)
    except CannotDoError:
        raise
    except GroundstrapError:
        return None


def _ways(wiring: Wiring, run: Endurance, goal: _Goal) -> Iterator[list[_Try]]:
    installation = wiring.installation
    battery = installation.supplies[goal.battery]
    yield _bigger(battery, run)
    thermostats = _thermostats(wiring, run)
    for load in _dear(wiring, run)[:2]:
        yield _less(load) if load.name not in thermostats else []
    if goal.starts:
        sees = [load for load in _dear(wiring, run) if _sees(wiring, load, battery)]
        yield _earlier(sees[:1], battery)
        yield _earlier(sees, battery) if len(sees) > 1 else []
    yield _less_of_all([load for load in _dear(wiring, run) if load.name not in thermostats])
    yield _longer_drive(wiring, run)
    for supply in installation.supplies.values():
        if supply.kind in {SupplyKind.DC_DC, SupplyKind.MAINS_CHARGER} and supply.state is not State.REMOVE:
            yield _stronger(supply)


def _sees(wiring: Wiring, load: Load, battery: Supply) -> bool:
    """Whether a load sees a battery's volts, which behind a converter it never does."""
    return abs(wiring.estimates[load.name].at_v / battery.nominal_v - 1.0) < _SAME_VOLTS


def _dear(wiring: Wiring, run: Endurance) -> list[Load]:
    """Loads that run at rest, by what they take over all rests of the run; never those that must not fail."""
    taken: dict[str, float] = {}
    for span in run.spans:
        if span.situation is not Situation.RESTING:
            continue
        for name in span.using:
            estimate = wiring.estimates.get(name)
            critical = wiring.installation.loads[name].critical
            if estimate is None or estimate.power_w is None or critical:
                continue
            share = runs_share(wiring.installation.loads[name], span.temperature_c)
            watt_s = estimate.power_w.value * share * (span.ends_s - span.begins_s)
            taken[name] = taken.get(name, 0.0) + watt_s
    return [wiring.installation.loads[name] for name in sorted(taken, key=lambda n: -taken[n])]


def _thermostats(wiring: Wiring, run: Endurance) -> frozenset[str]:
    """Compressors without a written duty: once one is written, the cold saves more than its least cut."""
    rests = (span.temperature_c for span in run.spans if span.situation is Situation.RESTING)
    cold = any(by_thermostat(each) <= _SHORTER[0] for each in rests)
    loads = wiring.installation.loads.values()
    return frozenset(
        load.name for load in loads if cold and load.kind is LoadKind.COMPRESSOR and not load.duty.written
    )


def _bigger(battery: Supply, run: Endurance) -> list[_Try]:
    found = []
    one_ah = run.supplies[battery.name].capacity_ah / battery.parallel
    for times in _BIGGER:
        ah = 5.0 * round(one_ah * times / 5.0)
        value = f"{ah:g} Ah"
        edits = [Edit(("supplies", battery.name, "capacity"), value)]
        name, now = battery.name, f"{one_ah:g}"
        text = words("{name} of {value} in place of {now} Ah", name=name, value=value, now=now)
        if battery.cranking_a is not None and battery.cranking_standard is not None:
            # One that is larger and of the same making holds more to a start as well; common practice.
            amps = f"{5.0 * round(battery.cranking_a * ah / one_ah / 5.0):g} A"
            edits.append(Edit(("supplies", battery.name, "cranking"), f"{amps} {battery.cranking_standard}"))
            text = words(
                "{name} of {value} and {amps} in place of {now} Ah and {cranking} A",
                name=name,
                value=value,
                amps=amps,
                now=now,
                cranking=f"{battery.cranking_a:g}",
            )
        found.append(_Try("battery", tuple(edits), text))
    return found


def _less(load: Load) -> list[_Try]:
    found = []
    now = min(load.duty.share_pct, 100.0)
    for times in _SHORTER:
        if now * times < _LEAST_DUTY_PCT:
            continue
        value = f"{now * times:.0f} %"
        text = words("{name} runs {value} of the time", name=load.name, value=value)
        if load.kind is LoadKind.COMPRESSOR:
            text = words("{name} runs {value} of the time at 25 degC", name=load.name, value=value)
        edits = (Edit(("loads", load.name, "duty"), value),)
        found.append(_Try("load", edits, _told(text, times), hardly=times < _HARDLY))
    return found


def _told(text: str, times: float) -> str:
    """A load that runs less, and where hardly any use is left of it, that."""
    return words("{change}, which leaves hardly any use of it", change=text) if times < _HARDLY else text


def _less_of_all(loads: list[Load]) -> list[_Try]:
    """Everything that runs at rest, each a share of what it does now."""
    if len(loads) < 2:
        return []
    found = []
    for times in _SHORTER:
        edits = tuple(
            Edit(("loads", load.name, "duty"), f"{max(min(load.duty.share_pct, 100.0) * times, 1.0):.0f} %")
            for load in loads
        )
        text = words(
            "all that runs at rest runs {share} % of the time that it does now", share=f"{100 * times:g}"
        )
        found.append(_Try("load", edits, _told(text, times), hardly=times < _HARDLY))
    return found


def _longer_drive(wiring: Wiring, run: Endurance) -> list[_Try]:
    """The longest drive of the day longer still."""
    drives = [
        (span.time_s, number)
        for number, span in enumerate(wiring.installation.day)
        if span.when is Situation.DRIVING
    ]
    if not drives or run.built_in_day:
        return []
    found = []
    now_s, number = max(drives, key=lambda one: one[0])
    for times in _LONGER:
        minutes = 5.0 * round(now_s * times / 300.0)
        text = words("the drive of {now} min takes {then} min", now=f"{now_s / 60.0:g}", then=f"{minutes:g}")
        found.append(_Try("charging", (Edit(("day", number, "driving"), f"{minutes:g} min"),), text))
    return found


def _earlier(loads: list[Load], battery: Supply) -> list[_Try]:
    """Loads that cut off while a battery still holds more than they ask for now."""
    found = []
    scale = battery.nominal_v / 12.0
    for volts in _EARLIER_V:
        low_v, edits = volts * scale, []
        for load in loads:
            high_v = max(load.works.high, 15.0 * scale) if load.works is not None else 15.0 * scale
            if load.works is None or load.works.low < low_v:
                edits.append(Edit(("loads", load.name, "works"), f"{low_v:g}..{high_v:g} V"))
        if not edits:
            continue
        text = words("{name} cuts off at {volts} V", name=loads[0].name, volts=f"{low_v:g}")
        if len(loads) > 1:
            text = words("all that runs at rest cuts off at {volts} V", volts=f"{low_v:g}")
        found.append(_Try("cut-off", tuple(edits), text))
    return found


def _stronger(supply: Supply) -> list[_Try]:
    if supply.current_a is None:
        return []
    found = []
    for times in _STRONGER:
        value = f"{5.0 * round(supply.current_a * times / 5.0):g} A"
        text = words("{name} of {value}", name=supply.name, value=value)
        found.append(_Try("charging", (Edit(("supplies", supply.name, "current"), value),), text))
    return found
