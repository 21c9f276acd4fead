"""What to measure when the work is done: volts and amps that the solution expects, each with its band."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from groundstrap.assess import CircuitAssessment, LoadAssessment, SituationAssessment
from groundstrap.model import Circuit, Load, LoadKind, MeterSpec, Situation, State, Supply, Uncertain
from groundstrap.records import dataclass
from groundstrap.report.carried import Carried, carried, within
from groundstrap.report.plan import Plan
from groundstrap.report.values import Json, known, triple
from groundstrap.vet.accuracy import accuracy_of
from groundstrap.words import words

__all__ = ["FAIL", "LOOK", "SERIES_A", "Expectation", "expectations", "expected_readings", "measured_at"]

SERIES_A = 5.0
"""Up to here a handheld meter stands in series on its 10 A range with room to spare; own judgement. [A]"""
LOOK, FAIL = 1.9600, 3.2905
"""Half-widths that hold 95 % and 99.9 % of a normal one: `normal_quantile` of 0.975 and 0.9995. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Expectation:
    """One reading of a load as the solution expects it: its amps, or the volts lost before or behind it."""

    load: str
    circuit: str
    when: Situation
    using: tuple[str, ...]
    red: str | None
    """Point of the red lead; None of a current."""
    black: str | None
    expected: Uncertain
    unit: str
    limit: float | None
    """From here on it fails: beyond 99.9 % of sound work with a handheld meter or clamp, or by a rule or
    what its fuse and cable stand where that is nearer. In `unit`."""
    allowed: float | None
    """What a rule, or its fuse and cable, allow alone."""
    source: str
    stands: Carried | None = None
    """Of a current that fails at what carries it: that."""

    @property
    def reading(self) -> str:
        """What is read: the load of a current, else both points."""
        if self.red is None or self.black is None:
            return self.load
        return words("{red} to {black}", red=self.red, black=self.black)


def expected_readings(plan: Plan) -> list[Json]:
    """Return the readings with what is expected of each, in the order of the circuits, for JSON."""
    return [
        known({
            "when": str(each.when),
            "using": list(each.using),
            "load": each.load,
            "reading": each.reading,
            "expected": triple(each.expected),
            "unit": each.unit,
            "limit": each.limit,
            "limit_by": None if each.stands is None else each.stands.name,
            "source": each.source,
            "step": step,
            "measured": measured_at(plan, each),
        })
        for step, each in enumerate(expectations(plan), 1)
    ]  # fmt: skip


def measured_at(plan: Plan, each: Expectation) -> float | None:
    """Return what was read there in the same situation with the same loads on; None where nothing was."""
    if plan.judged is None:
        return None
    coils = {load.name for load in plan.installation.loads.values() if load.kind is LoadKind.COIL}
    place = (each.red or "", each.black or "", "" if each.red is not None else each.load)
    for taken in plan.judged.readings:
        alike = (taken.red, taken.black, taken.through) == place and taken.when is each.when
        if alike and set(taken.using) - coils == set(each.using) - coils:
            return taken.measured
    return None


def expectations(plan: Plan) -> tuple[Expectation, ...]:
    """Return the readings of every load on a new circuit with what is expected of each.

    Volts lost on the way are the supply's terminal to the load's, out and back apart, so that a reading does
    not hang on how full a battery is; the band comes from the load's own interval and the joints' ends.
    """
    found: list[Expectation] = []
    for circuit in plan.installation.circuits.values():
        if circuit.state is not State.NEW:
            continue
        for name in circuit.loads:
            load, assessed = plan.installation.loads.get(name), plan.assessment.loads.get(name)
            if load is None or assessed is None or name in {each.load for each in found}:
                continue
            found += _of_load(plan, circuit, load, assessed)
    return tuple(found)


def _of_load(plan: Plan, circuit: Circuit, load: Load, assessed: LoadAssessment) -> Iterator[Expectation]:
    when = assessed.working_in
    solved = None if when is None else plan.assessment.situations.get(when)
    if solved is None or when is None or assessed.current_a is None or load.name not in solved.loads_a:
        return
    most, chance_a = assessed.current_a, _chance(assessed.current_a, "current")
    stands = carried(plan, load.name)
    stands = stands if stands is not None and stands.most_a < chance_a else None
    current = Expectation(
        load=load.name,
        circuit=circuit.name,
        when=when,
        using=tuple(sorted(solved.running)),
        red=None,
        black=None,
        expected=most,
        unit="A",
        limit=chance_a,
        allowed=None,
        source="own-computation",
    )
    if stands is None:
        yield current
    else:
        most_a = stands.most_a
        expected = within(most, stands)
        yield replace(current, expected=expected, limit=most_a, allowed=most_a, stands=stands)
    if assessed.source is not None:
        supply = plan.installation.supplies[assessed.source]
        yield from _legs(current, plan.assessment.circuits[circuit.name], load, supply, solved)


def _legs(
    base: Expectation, found: CircuitAssessment, load: Load, supply: Supply, solved: SituationAssessment
) -> Iterator[Expectation]:
    volts, current_a = solved.volts_v, base.expected
    legs = ((supply.plus, load.plus), (load.minus, supply.minus))
    if any(point not in volts for leg in legs for point in leg) or found.drop.drop_v in {None, 0.0}:
        return
    low, high = _joints(found)
    lost_v = [volts[red] - volts[black] for red, black in legs]
    for number, (red, black) in enumerate(legs):
        value_v = lost_v[number]
        if value_v <= 0.0:
            continue
        expected = Uncertain(
            value_v,
            value_v * low * current_a.low / current_a.value,
            value_v * high * current_a.high / current_a.value,
        )
        limit_v = None if found.drop.limit_v is None else found.drop.limit_v - lost_v[1 - number]
        if limit_v is not None and limit_v > 0.0:
            # What joints in good order may lose is no failure, even where the other leg leaves less.
            limit_v = max(limit_v, expected.high)
        allowed_v = limit_v if limit_v is not None and limit_v > 0.0 else None
        chance_v = _chance(expected, "voltage")
        nearer = allowed_v is not None and allowed_v < chance_v
        yield replace(
            base,
            red=red,
            black=black,
            expected=expected,
            unit="V",
            limit=allowed_v if nearer else chance_v,
            allowed=allowed_v,
            source=(found.drop.limit_source or "own-computation") if nearer else "own-computation",
        )


def _chance(expected: Uncertain, quantity: str) -> float:
    """High end of what 99.9 % of sound work reads with a handheld meter, or a clamp where that is taken."""
    name = "clamp" if quantity == "current" and expected.high > SERIES_A else "handheld"
    own = accuracy_of(quantity, expected.value, MeterSpec(text=name, name=name), last_digit=0.0).standard
    return expected.value + FAIL * math.hypot((expected.high - expected.value) / LOOK, own)


def _joints(found: CircuitAssessment) -> tuple[float, float]:
    """How much less or more the joints and the body may lose, as shares of the drop."""
    drop = found.drop
    if drop.drop_v is None or drop.low_v is None or drop.high_v is None:
        return 1.0, 1.0
    return min(1.0, drop.low_v / drop.drop_v), max(1.0, drop.high_v / drop.drop_v)
