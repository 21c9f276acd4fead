"""What to measure when the work is done: volts and amps that the solution expects, each with its band."""

from __future__ import annotations

from collections.abc import Iterator

from groundstrap.assess import CircuitAssessment, LoadAssessment, SituationAssessment
from groundstrap.model import Circuit, Load, State, Supply, Uncertain
from groundstrap.report.plan import Plan
from groundstrap.report.values import Json, known, triple

__all__ = ["expected_readings"]

_FAILS = 3.2905 / 1.9600
"""From the end of a 95 % interval to that of a 99.9 % one, of a normal distribution; beyond it, it fails."""


def expected_readings(plan: Plan) -> list[Json]:
    """Return the readings with what is expected of each, in the order of the circuits.

    Volts lost on the way are the supply's terminal to the load's, out and back apart, so that a reading does
    not hang on how full a battery is; the band comes from the load's own interval and the joints' ends.
    """
    found: list[Json] = []
    for circuit in plan.installation.circuits.values():
        if circuit.state is not State.NEW:
            continue
        for name in circuit.loads:
            load, assessed = plan.installation.loads.get(name), plan.assessment.loads.get(name)
            if load is None or assessed is None or name in {each.get("load") for each in found}:
                continue
            found += _of_load(plan, circuit, load, assessed)
    for step, each in enumerate(found, 1):
        each["step"] = step
    return found


def _of_load(plan: Plan, circuit: Circuit, load: Load, assessed: LoadAssessment) -> Iterator[Json]:
    when = assessed.working_in
    solved = None if when is None else plan.assessment.situations.get(when)
    if solved is None or assessed.current_a is None or load.name not in solved.loads_a:
        return
    base = {"when": str(when), "using": sorted(solved.running), "load": load.name}
    most = assessed.current_a
    yield known({
        **base,
        "reading": load.name,
        "expected": triple(assessed.current_a),
        "unit": "A",
        "limit": most.value + _FAILS * (most.high - most.value),
        "source": "own-computation",
    })  # fmt: skip
    if assessed.source is not None:
        supply = plan.installation.supplies[assessed.source]
        found = plan.assessment.circuits[circuit.name]
        yield from _legs(base, found, load, assessed.current_a, supply, solved)


def _legs(
    base: Json,
    found: CircuitAssessment,
    load: Load,
    current_a: Uncertain,
    supply: Supply,
    solved: SituationAssessment,
) -> Iterator[Json]:
    volts = solved.volts_v
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
        yield known({
            **base,
            "reading": f"{red} to {black}",
            "expected": triple(expected),
            "unit": "V",
            "limit": limit_v if limit_v is not None and limit_v > 0 else None,
            "source": found.drop.limit_source or "own-computation",
        })  # fmt: skip


def _joints(found: CircuitAssessment) -> tuple[float, float]:
    """How much less or more the joints and the body may lose, as shares of the drop."""
    drop = found.drop
    if drop.drop_v is None or drop.low_v is None or drop.high_v is None:
        return 1.0, 1.0
    return min(1.0, drop.low_v / drop.drop_v), max(1.0, drop.high_v / drop.drop_v)
