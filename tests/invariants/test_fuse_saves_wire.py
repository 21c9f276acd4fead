"""What is allowed is protected: every wire, air, bundle, fuse and rating beside a second opinion.

The second opinion (tests/support/fuse_oracle) shares no code with the package: gates, ratings, cable and
ampacities from the printed numbers, one body with rising resistance integrated by SciPy, a fine grid of
currents with both sides of every edge. Limits: IEC 60364-5-54 up to 5 s, class + 50 K (ISO 6722) beyond.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from typing import Any

import pytest

from groundstrap.assess import protection
from groundstrap.assess.conductors import Conductor, Lie, bundle_share, conductor
from groundstrap.assess.protection import Opening
from groundstrap.model import Basis, Wire
from groundstrap.units import parse_size
from tests.support import fuse_oracle
from tests.support.fuse_oracle import COLD_C, Cable, Fuse, Lies, fuses, growth, states

CASES = (
    ("road", "PVC", 70.0),
    ("road", "PVC", 105.0),
    ("road", "XLPE", 125.0),
    ("boat", "PVC", 105.0),
    ("road", "silicone", 200.0),
)
AMBIENTS_C = (30.0, 45.0, 60.0, 80.0)
PRELOADS = (0.4, 0.75)
"""Shares of the ampacity that flow before the overload."""
SLACK = 1e-3
"""The second opinion reads its own integral between 400 currents, which errs upwards by less than this."""


def told(line: str) -> None:
    """Say what was found; seen with -s."""
    sys.stdout.write(f"\n{line}\n")


@dataclass(frozen=True)
class Case:
    """One wire where it lies; what the second opinion allows: gates and air of the fuse -> highest rating."""

    cable: Cable
    lies: Lies
    preload_a: float
    capacity_a: float
    highest_a: dict[tuple[tuple[float, ...], tuple[float, ...], float], float]

    def allows_a(self, fuse: Fuse, cold: float) -> float:
        return min(self.highest_a[fuse.multiples, fuse.times_s, cold], self.capacity_a)


def case_of(cable: Cable, lies: Lies, preload: float) -> Case:
    wire = fuse_oracle.Wire(cable, lies, preload)
    highest = {}
    for fuse in fuses():
        for cold in (growth(fuse, cold=False), growth(fuse, cold=True)):
            key = (fuse.multiples, fuse.times_s, cold)
            if key not in highest:
                highest[key] = wire.highest_a(fuse, cold)
    return Case(cable, lies, preload * wire.capacity_a, wire.capacity_a, highest)


def all_cases(every: int = 1) -> list[Case]:
    """Each wire where it lies with each pre-load, or only one of so many."""
    where = [(cable, lies, preload) for cable, lies in states(CASES, AMBIENTS_C) for preload in PRELOADS]
    return [case_of(*each) for each in where[::every]]


@pytest.fixture(scope="module")
def some_cases() -> list[Case]:
    """One of a dozen, about 170."""
    return all_cases(12)


def ours(case: Case) -> tuple[Conductor, Lie, Basis]:
    basis = Basis(case.lies.basis)
    material, class_c = case.lies.material, case.lies.class_c
    name = "PVC" if (material, class_c) == ("PVC", 70.0) else f"{class_c:g} degC"
    wire = Wire(name="w", circuit="", start="", end="", length_m=1.0, stretches=(), insulation=name)
    one = conductor(wire, parse_size(f"{case.cable.area_mm2:g} mm2"), basis)
    lie = Lie(
        zone="",
        ambient_c=case.lies.ambient_c,
        cold_c=COLD_C,
        length_m=1.0,
        loaded=case.lies.loaded,
        engine_space=False,
        share=bundle_share(basis, class_c, case.lies.loaded),
    )
    return one, lie, basis


def verdicts(case: Case) -> Iterator[tuple[Fuse, float, bool]]:
    """Every rating with the fuse in the wire's air and in the cold, and whether it is allowed."""
    one, lie, basis = ours(case)
    for fuse in fuses():
        for fuse_c in (case.lies.ambient_c, COLD_C):
            cold = protection.growth_in_cold(fuse.family, fuse_c)
            opening = protection.opening_of(fuse.family, fuse.rating_a, cold)
            assert isinstance(opening, Opening)
            found = protection.protects(one, lie, basis, opening, preload_a=case.preload_a)
            assert found.verdict is not None
            yield fuse, growth(fuse, cold=fuse_c == COLD_C), found.verdict


def judged(some: list[Case]) -> tuple[int, int, list[str], list[str]]:
    """Pairs, refusals, pairs that are allowed and not protected, pairs refused for nothing."""
    pairs = refused = 0
    unsafe, strict = [], []
    for case in some:
        for fuse, cold, allowed in verdicts(case):
            pairs += 1
            refused += not allowed
            most_a = case.allows_a(fuse, cold)
            if allowed and fuse.rating_a > most_a * (1 + SLACK):
                unsafe.append(_told_of(case, fuse, most_a))
            if not allowed and fuse.rating_a < most_a * (1 - 2 * SLACK):
                strict.append(_told_of(case, fuse, most_a))
    return pairs, refused, unsafe, strict


def _told_of(case: Case, fuse: Fuse, most_a: float) -> str:
    return (
        f"{fuse.family} {fuse.rating_a:g} A on {case.cable.area_mm2:g} mm2 of {case.lies.class_c:g} degC in "
        f"{case.lies.ambient_c:g} degC among {case.lies.loaded}: at most {most_a:.2f} A"
    )


@pytest.mark.slow
def test_what_is_allowed_is_protected_and_nothing_is_refused_for_nothing() -> None:
    cases = all_cases()
    pairs, refused, unsafe, strict = judged(cases)
    by_curve = sum(
        fuse.rating_a <= case.capacity_a and fuse.rating_a > case.highest_a[fuse.multiples, fuse.times_s, 1.0]
        for case in cases
        for fuse in fuses()
    )
    told(
        f"{len(cases)} wires where they lie, {pairs} pairs, {refused} refused ({by_curve} within the "
        f"ampacity by the curve, fuse in the wire's air), {len(unsafe)} allowed and not protected, "
        f"{len(strict)} refused for nothing"
    )
    assert pairs > 500_000
    assert by_curve > 1000
    assert unsafe == []
    assert strict == []


# --- planted errors -----------------------------------------------------------------------------------------

Change = Callable[[pytest.MonkeyPatch], None]


def _law(**changes: Callable[[float], float]) -> Change:
    true = protection._law.__wrapped__

    def changed(*args: Any) -> Any:
        law = true(*args)
        return replace(law, **{name: change(getattr(law, name)) for name, change in changes.items()})

    return lambda patch: patch.setattr(protection, "_law", changed)


def _opening(change: Callable[[Opening], Opening]) -> Change:
    true = protection.opening_of.__wrapped__

    def changed(*args: Any) -> Any:
        return change(true(*args))

    return lambda patch: patch.setattr(protection, "opening_of", changed)


def _first_gate_at_the_rating(opening: Opening) -> Opening:
    return replace(opening, multiples=(1.0, *opening.multiples[1:]))


def _quicker_gates(opening: Opening) -> Opening:
    """The time of the next gate already at this one."""
    return replace(opening, times_s=(*opening.times_s[1:], opening.times_s[-1] / 4))


def _limit_higher(one: Conductor) -> Conductor:
    insulated = replace(one.insulation, overload_6h_c=one.insulation.overload_6h_c + 20.0)
    return replace(one, insulation=insulated)


def _higher_limit(patch: pytest.MonkeyPatch) -> None:
    true = protection._law.__wrapped__
    patch.setattr(protection, "_law", lambda one, *rest: true(_limit_higher(one), *rest))


def _swapped(patch: pytest.MonkeyPatch) -> None:
    true = protection.growth_in_cold.__wrapped__
    patch.setattr(protection, "growth_in_cold", lambda family, fuse_c: 1 / true(family, fuse_c))


def _no_preload(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(protection, "_start_k", lambda *_: 0.0)


def _wrong_k(patch: pytest.MonkeyPatch) -> None:
    true = protection._brief_a2s
    patch.setattr(protection, "_brief_a2s", lambda one, start_c: true(one, start_c) * 100.0)


def _bare_table(patch: pytest.MonkeyPatch) -> None:
    true = protection.carrying
    patch.setattr(protection, "carrying", lambda one, lie, *rest: true(one, replace(lie, loaded=1), *rest))


def _mild_air(patch: pytest.MonkeyPatch) -> None:
    true = protection.carrying
    patch.setattr(
        protection, "carrying", lambda one, lie, *rest: true(one, replace(lie, ambient_c=30.0), *rest)
    )


def _short_limit_for_ever(patch: pytest.MonkeyPatch) -> None:
    """The limit of a short circuit asked for at every time, and not class + 50 K from 5 s on."""
    true = protection._law.__wrapped__

    def changed(one: Conductor, ambient_c: float, *rest: float) -> Any:
        return replace(true(one, ambient_c, *rest), overload_k=one.insulation.short_circuit_c - ambient_c)

    patch.setattr(protection, "_law", changed)


def _only_gates(patch: pytest.MonkeyPatch) -> None:
    """Only at the gates, and not at the currents between them or for ever."""
    module = __import__("groundstrap.physics.protection", fromlist=["_meetings"])
    patch.setattr(protection, "highest_rating", _at_gates(module))


def _at_gates(module: Any) -> Callable[..., Any]:
    true = module.highest_rating

    def changed(stands: Any, *, gate_multiples: Any, gate_most_s: Any) -> Any:
        found = true(stands, gate_multiples=gate_multiples, gate_most_s=gate_most_s)
        times = module.np.log(module.np.asarray(gate_most_s))
        rooms = module._stands_log_a(stands, times) - module.np.log(module.np.asarray(gate_multiples))
        return replace(found, rating_a=math.exp(float(rooms.min())))

    return changed


PLANTED: dict[str, Change] = {
    "k of the short circuit ten times too large": _wrong_k,
    "1.35 dropped: opens from its rating on": _opening(_first_gate_at_the_rating),
    "cold and hot swapped": _swapped,
    "limit 20 K too high": _higher_limit,
    "pre-load forgotten": _no_preload,
    "resistance that does not rise": _law(coefficient_per_k=lambda value: value * 0.0),
    "three times the heat capacity": _law(tau_s=lambda value: value * 3),
    "bundle forgotten": _bare_table,
    "air of 30 degC everywhere": _mild_air,
    "the next gate's time": _opening(_quicker_gates),
    "short-circuit limit at every time": _short_limit_for_ever,
    "gates alone, nothing between them": _only_gates,
}
CACHED = ("growth_in_cold", "opening_of", "_law", "_start_k", "_stands", "_highest", "_side")


@contextmanager
def planted(name: str) -> Iterator[None]:
    """An error in place; what was remembered is forgotten before and after."""
    _forget()
    with pytest.MonkeyPatch.context() as patch:
        PLANTED[name](patch)
        yield
    _forget()


def _forget() -> None:
    for name in CACHED:
        forget = getattr(getattr(protection, name), "cache_clear", None)
        if forget is not None:
            forget()


@pytest.mark.slow
@pytest.mark.parametrize("name", PLANTED)
def test_a_planted_error_is_caught(some_cases: list[Case], name: str) -> None:
    looked_at = 0
    with planted(name):
        for case in some_cases:
            pairs, _, unsafe, _ = judged([case])
            looked_at += pairs
            if unsafe:
                break
    told(f"{name}: {len(unsafe)} pairs allowed and not protected among the first {looked_at}: {unsafe[:1]}")
    assert unsafe
