"""How a fuse or breaker gets its first power: a lamp in its place, then itself, then the amps."""

from __future__ import annotations

from functools import cached_property
from typing import Final

from groundstrap.assess.isolating import Isolation, isolation_of
from groundstrap.model import FUSES, Circuit, LoadKind, Part, PartKind, State, SupplyKind
from groundstrap.report.carried import carried, within
from groundstrap.report.figures import amps, band, number
from groundstrap.report.plan import Plan
from groundstrap.tables import fuse_family
from groundstrap.words import joined, words

__all__ = ["FUSES", "FirstPower", "charges_up"]

_TEST_FUSE_A: Final = 5.0
"""Fuse for first power where no lamp is at hand; common practice. [A]"""
_LAMPS_V: Final = (12.0, 24.0)
"""Lamps of 21 W are made for these; common practice. [V]"""
_CHARGING: Final = frozenset({LoadKind.INVERTER, LoadKind.CHARGER})
"""Loads with large capacitors at their input."""


class FirstPower:
    """One plan, and what each of its isolators makes dead, found once for all of its fuses."""

    def __init__(self, plan: Plan, live: Isolation | None = None) -> None:
        """Keep the plan, and what is live when, where somebody has that already."""
        self._plan = plan
        self._known = live

    def words(self, circuit: Circuit, part: Part) -> str:
        """Return the whole step of a fuse or breaker; a fuse that takes a spanner is put on a dead lead."""
        dark = words("all stays dark")
        if charges_up(self._plan, circuit):
            dark = words("it fades while the input charges, then stays dark")
        text = self._bolted(circuit, part, dark) if self.is_bolted(part) else self._plain(circuit, part, dark)
        return words("{text}.", text=self._drawn(text, circuit))

    def is_bolted(self, part: Part) -> bool:
        """Tell whether a fuse is held by nuts, so that hands and a spanner are at it."""
        if part.kind is not PartKind.FUSE:
            return False
        rated = self._plan.assessment.circuits[part.circuit].fuses.get(part.name)
        family = part.family or (None if rated is None else rated.family)
        return family is not None and "bolt" in fuse_family(family).fixing

    @cached_property
    def _live(self) -> Isolation:
        return self._known or isolation_of(self._plan.installation)

    def _plain(self, circuit: Circuit, part: Part, dark: str) -> str:
        breaker = part.kind is PartKind.BREAKER
        return words(
            "First power to '{circuit}': {lamp} {place}, loads off: {seen}. Then {last}",
            circuit=circuit.name,
            lamp=_test_lamp(self._nominal_v(circuit), part),
            place=_across(circuit, part) if breaker else _in_place(circuit, part),
            seen=dark,
            last=_last_words(part, breaker=breaker),
        )

    def _bolted(self, circuit: Circuit, part: Part, dark: str) -> str:
        """Both times that hands are at the studs, the lamp's and the fuse's, its lead is dead."""
        isolator = self._upstream(circuit)
        lamp = _test_lamp(self._nominal_v(circuit), part, fuse=False)
        if _is_one_of_several(circuit):
            lamp = words("{lamp} {place},", lamp=lamp, place=_in_place(circuit, part))
        rating = None if part.rating_a is None else amps(part.rating_a)
        fuse = words("its fuse, once its rating is settled,") if rating is None else None
        fuse = fuse or words("the {rating} fuse", rating=rating or "")
        if isolator is not None:
            return words(
                "First power to '{circuit}', its bolted fuse never on a live lead: engine and loads off, "
                "open {isolator}; {lamp} on the studs of the holder; close: {seen}. Open again, bolt {fuse} "
                "tight and cover it, close",
                circuit=circuit.name, isolator=isolator, lamp=lamp, seen=dark, fuse=fuse,
            )  # fmt: skip
        staying = (s for s in self._plan.installation.supplies.values() if s.state is not State.REMOVE)
        batteries = joined(", ", (s.name for s in staying if s.kind is SupplyKind.BATTERY))
        return words(
            "First power to '{circuit}', its bolted fuse never on a live lead: engine, chargers and loads "
            "off, negative lead off {batteries}; {lamp} on the studs of the holder; negative on: {seen}. "
            "Negative off again, bolt {fuse} tight and cover it, negative on last",
            circuit=circuit.name, batteries=batteries, lamp=lamp, seen=dark, fuse=fuse,
        )  # fmt: skip

    def _upstream(self, circuit: Circuit) -> str | None:
        """The isolator that alone makes all plus cable of a circuit dead, from both its ends."""
        out = {wire.name for wire in circuit.wires if not wire.returning}
        if not out or out - self._live.parked.keys():
            return None
        return next((name for name, left in self._live.after.items() if not out & left.keys()), None)

    def _nominal_v(self, circuit: Circuit) -> float:
        """Nominal voltage of what feeds it, which behind a converter is another than the vehicle's. [V]"""
        found = self._plan.assessment.circuits.get(circuit.name)
        supply = None if found is None else self._plan.assessment.supplies.get(found.source or "")
        return self._plan.installation.system_v if supply is None else supply.nominal_v

    def _drawn(self, text: str, circuit: Circuit) -> str:
        """With the amps of each load, which are read one after the other."""
        assessed = self._plan.assessment.loads
        loads = [assessed[name] for name in circuit.loads if name in assessed]
        known = [
            (load.name, within(load.current_a, carried(self._plan, load.name)))
            for load in loads
            if load.current_a is not None
        ]
        for before, (name, current_a) in enumerate(known):
            drawn = words("{load} {current}", load=name, current=band(current_a, "A"))
            if before:
                text = words("{text}, {drawn}", text=text, drawn=drawn)
            else:
                text = words("{text}, switch on and read {drawn}", text=text, drawn=drawn)
        return text


def charges_up(plan: Plan, circuit: Circuit) -> bool:
    """Tell whether power at a circuit fills capacitors: of an inverter, a charger or a converter.

    They hang on it, or behind it with no new fuse before them that still lies in its bag.
    """
    if _has_capacitors(plan, circuit):
        return True
    found = plan.assessment.circuits
    behind = (
        each
        for each in plan.installation.circuits.values()
        if each.name in found and circuit.name in found[each.name].feeders and each.state is not State.REMOVE
    )
    return any(_has_capacitors(plan, each) and not _parted(plan, circuit, each) for each in behind)


def _has_capacitors(plan: Plan, circuit: Circuit) -> bool:
    loads = (plan.installation.loads[name] for name in circuit.loads if name in plan.installation.loads)
    return circuit.converter is not None or any(load.kind in _CHARGING for load in loads)


def _parted(plan: Plan, before: Circuit, circuit: Circuit) -> bool:
    """Whether a fuse that is still out lies between a circuit and the one that feeds it."""
    feeders = plan.assessment.circuits[circuit.name].feeders
    between = feeders[feeders.index(before.name) + 1 :]
    passed = (circuit, *(plan.installation.circuits[name] for name in between))
    return any(part.kind in FUSES and part.state is State.NEW for each in passed for part in each.parts)


def _is_one_of_several(circuit: Circuit) -> bool:
    """Whether more than one fuse or breaker of a circuit gets its first power, so that each is named."""
    return sum(part.kind in FUSES and part.state is State.NEW for part in circuit.parts) > 1


def _in_place(circuit: Circuit, part: Part) -> str:
    if _is_one_of_several(circuit):
        return words("in place of {part} at {place}", part=part.name, place=part.place)
    return words("in place of its fuse")


def _across(circuit: Circuit, part: Part) -> str:
    if _is_one_of_several(circuit):
        return words("across {part} at {place}, which is open", part=part.name, place=part.place)
    return words("across its open breaker")


def _last_words(part: Part, *, breaker: bool) -> str:
    if part.rating_a is None:
        settled = words("close the breaker once its rating is settled")
        return settled if breaker else words("fit its fuse once its rating is settled")
    rating = amps(part.rating_a)
    if breaker:
        return words("close the {rating} breaker", rating=rating)
    return words("fit the {rating} fuse", rating=rating)


def _test_lamp(nominal_v: float, part: Part, *, fuse: bool = True) -> str:
    """A lamp that limits the first current; a small fuse may stand in for it where it is no larger."""
    one, other = number(_LAMPS_V[0]), number(_LAMPS_V[1])
    lamp = words("a {volts} V, 21 W lamp", volts=one)
    if nominal_v > 1.5 * _LAMPS_V[0]:
        lamp = words("a {volts} V, 21 W lamp", volts=other)
    if nominal_v > 1.5 * _LAMPS_V[1]:
        lamp = words("two lamps of {volts} V, 21 W in series", volts=other)
    small = part.rating_a is not None and part.rating_a < _TEST_FUSE_A
    if not fuse or part.kind is PartKind.BREAKER or small:
        return lamp
    return words("{lamp} (or a {rating} A fuse)", lamp=lamp, rating=number(_TEST_FUSE_A))
