"""What is tried on a job whose days fail: changes of each kind, the smallest first."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from groundstrap.assess import Wiring
from groundstrap.endure.results import Edit, Endurance
from groundstrap.endure.scene import by_thermostat, runs_share
from groundstrap.endure.starts import need_of
from groundstrap.model import Load, LoadKind, Situation, State, Supply, SupplyKind
from groundstrap.records import dataclass
from groundstrap.words import joined, words

__all__ = ["Change", "Ladder", "ladders_of"]

_BIGGER: Final = (1.25, 1.5, 2.0, 3.0)
"""Times its capacity that a battery is tried with; own judgement, as all steps here. [1]"""
_SHORTER: Final = (0.75, 0.5, 0.25, 0.1)
"""Shares of what it runs now that a load is tried with. [1]"""
_HARDLY: Final = 0.2
"""Share of what it runs now below which a load that runs less serves hardly anybody; own judgement. [1]"""
_LEAST_DUTY_PCT: Final = 2.0
"""Below it a load is as good as given away; own judgement. [%]"""
_STRONGER: Final = (1.5, 2.0, 3.0)
"""Times its amps that a charger is tried with. [1]"""
_SAME_VOLTS: Final = 0.2
"""Share of a battery's volts within which a load is at them: a converter's are half or twice. [1]"""
_LONGER: Final = (1.5, 2.0, 3.0, 5.0)
"""Times its length that the longest drive is tried with. [1]"""
_EARLIER_V: Final = (11.8, 12.0, 12.2, 12.4)
"""Cut-offs that are tried, at 12 V; above the last one a battery at rest has hardly given anything. [V]"""


@dataclass(frozen=True, slots=True)
class Change:
    """One change of a job that may cure its days."""

    kind: str
    edits: tuple[Edit, ...]
    text: str
    hardly: bool = False
    """Whether it leaves hardly any use of what it changes: told last, and only where nothing better of its
    kind cures it."""


@dataclass(frozen=True, slots=True)
class Ladder:
    """Changes of one kind that grow from one to the next."""

    changes: tuple[Change, ...]
    monotone: bool = True
    """Whether one that cures it means that each larger one does; else every one of them is looked at."""


def ladders_of(wiring: Wiring, run: Endurance, battery: str, *, starts: bool) -> Iterator[Ladder]:
    """Yield what is tried, what changes least before what changes more.

    Parameters
    ----------
    wiring : Wiring
        The installation that was run.
    run : Endurance
        Its run.
    battery : str
        Name of the one that is to last longer.
    starts : bool
        Whether it is a start that fails; else loads cut off.
    """
    installation = wiring.installation
    weak = installation.supplies[battery]
    yield Ladder(tuple(_bigger(weak, run)))
    dear, thermostats = _dear(wiring, run), _thermostats(wiring, run)
    for load in dear[:2]:
        yield Ladder(tuple(_less(load)) if load.name not in thermostats else ())
    if starts:
        sees = [load for load in dear if _sees(wiring, load, weak)]
        yield Ladder(tuple(_earlier(sees[:1], weak)))
        yield Ladder(tuple(_earlier(sees, weak)) if len(sees) > 1 else ())
    yield Ladder(tuple(_less_of_all([load for load in dear if load.name not in thermostats])))
    yield Ladder(tuple(_longer_drive(wiring, run)))
    for supply in installation.supplies.values():
        if supply.kind in {SupplyKind.DC_DC, SupplyKind.MAINS_CHARGER} and supply.state is not State.REMOVE:
            yield Ladder(tuple(_stronger(supply)))
    yield from _other_feeds(wiring, weak, dear)


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


def _bigger(battery: Supply, run: Endurance) -> list[Change]:
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
        found.append(Change("battery", tuple(edits), text))
    return found


def _less(load: Load) -> list[Change]:
    found = []
    now = min(load.duty.share_pct, 100.0)
    for times in _SHORTER:
        if now * times < _LEAST_DUTY_PCT:
            continue
        edit = _rarer(load, times)
        if load.duty.run_s is not None and load.duty.every_s is not None:
            text = words(
                "{name} runs {run} every {every} in place of {now}",
                name=load.name,
                run=_time(load.duty.run_s),
                every=edit.value,
                now=_time(load.duty.every_s),
            )
        elif load.kind is LoadKind.COMPRESSOR:
            text = words("{name} runs {value} of the time at 25 degC", name=load.name, value=edit.value)
        else:
            text = words("{name} runs {value} of the time", name=load.name, value=edit.value)
        found.append(Change("load", (edit,), _told(text, times), hardly=times < _HARDLY))
    return found


def _rarer(load: Load, times: float) -> Edit:
    """What makes a load run a share of what it does now; one whose run is written comes less often."""
    duty = load.duty
    if duty.run_s is not None and duty.every_s is not None:
        return Edit(("loads", load.name, "duty", "every"), _time(_no_less(duty.every_s / times)))
    return Edit(("loads", load.name, "duty"), f"{max(min(duty.share_pct, 100.0) * times, 1.0):.0f} %")


def _no_less(seconds: float) -> float:
    """The next longer time that people write: in whole minutes above ten, else in tens of seconds. [s]"""
    unit_s = 60.0 if seconds > 600.0 else 10.0 if seconds > 60.0 else 1.0
    return unit_s * math.ceil(seconds / unit_s - 1e-9)


def _time(seconds: float) -> str:
    for unit, unit_s in (("h", 3600.0), ("min", 60.0)):
        if seconds >= unit_s and seconds % unit_s == 0.0:
            return f"{seconds / unit_s:g} {unit}"
    return f"{seconds:g} s"


def _told(text: str, times: float) -> str:
    """A load that runs less, and where hardly any use is left of it, that."""
    return words("{change}, which leaves hardly any use of it", change=text) if times < _HARDLY else text


def _less_of_all(loads: list[Load]) -> list[Change]:
    """Everything that runs at rest, each a share of what it does now."""
    if len(loads) < 2:
        return []
    found = []
    for times in _SHORTER:
        edits = tuple(_rarer(load, times) for load in loads)
        text = words(
            "all that runs at rest runs {share} % of the time that it does now", share=f"{100 * times:g}"
        )
        found.append(Change("load", edits, _told(text, times), hardly=times < _HARDLY))
    return found


def _other_feeds(wiring: Wiring, weak: Supply, dear: list[Load]) -> Iterator[Ladder]:
    """Circuits that begin at the weak battery begin at another one that is as free.

    Never at the one that starts the engine: what rests there is its start.
    """
    need = need_of(wiring)
    others = [
        supply
        for supply in wiring.installation.supplies.values()
        if supply.kind is SupplyKind.BATTERY
        and supply.state is not State.REMOVE
        and supply.nominal_v == weak.nominal_v
        and supply.name != weak.name
        and (need is None or supply.name != need.supply)
    ]
    circuits = list(dict.fromkeys(c for load in dear for c in _free_feeds(wiring, weak, load)))
    for other in others:
        found = []
        for count in sorted({1, 2, len(circuits)} & set(range(1, len(circuits) + 1))):
            moved = circuits[:count]
            edits = tuple(Edit(("circuits", name, "path", 0), other.name) for name in moved)
            text = words(
                "{circuits}: fed from {other} in place of {battery}",
                circuits=joined(", ", moved),
                other=other.name,
                battery=weak.name,
            )
            found.append(Change("feed", edits, text))
        # What the other one has to bear as well may be too much for it.
        yield Ladder(tuple(found), monotone=False)


def _free_feeds(wiring: Wiring, weak: Supply, load: Load) -> Iterator[str]:
    """Circuits that bring a load its current from a battery's own post and are not laid yet."""
    installation = wiring.installation
    for name, feeding in wiring.tree.circuits.items():
        circuit = installation.circuits[name]
        free = circuit.state is State.NEW and circuit.start == weak.plus and circuit.converter is None
        # A starter stays where it is, and so does a charger's input.
        plain = all(
            draw in installation.loads and installation.loads[draw].kind is not LoadKind.STARTER
            for draw in feeding.draws
        )
        if free and plain and load.name in feeding.loads and not (feeding.in_loop or feeding.charging):
            yield name


def _longer_drive(wiring: Wiring, run: Endurance) -> list[Change]:
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
        found.append(Change("charging", (Edit(("day", number, "driving"), f"{minutes:g} min"),), text))
    return found


def _earlier(loads: list[Load], battery: Supply) -> list[Change]:
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
        found.append(Change("cut-off", tuple(edits), text))
    return found


def _stronger(supply: Supply) -> list[Change]:
    if supply.current_a is None:
        return []
    found = []
    for times in _STRONGER:
        value = f"{5.0 * round(supply.current_a * times / 5.0):g} A"
        text = words("{name} of {value}", name=supply.name, value=value)
        found.append(Change("charging", (Edit(("supplies", supply.name, "current"), value),), text))
    return found
