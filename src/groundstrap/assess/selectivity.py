"""Fuses in series: which currents through both may open the upper one before the lower one has."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from groundstrap.assess.curves import opening_at
from groundstrap.assess.ladders import candidates, family_at
from groundstrap.assess.lengthless import at_any_length
from groundstrap.assess.protection import Opening
from groundstrap.assess.results import FuseAssessment
from groundstrap.assess.start_results import Selectivity
from groundstrap.assess.starts import holding_curve
from groundstrap.assess.wiring import Wiring
from groundstrap.model import Part
from groundstrap.physics.selectivity import AmpsRange, Band, unselective_ranges
from groundstrap.records import dataclass, replace
from groundstrap.tables import GateCurve, NotTabled, selectivity_ratio
from groundstrap.tables.table import weakest

__all__ = ["fuse_pairs", "is_selective", "selectivity_of"]

_CLASS_T = "class T"
"""The one family with a rule of thumb of its own for what stands behind it."""


def fuse_pairs(wiring: Wiring, fuses: Mapping[str, object]) -> tuple[tuple[str, str], ...]:
    """Return each fuse with those nearest behind it: it feeds them and carries more than they do."""
    draws = wiring.tree.home_draws
    behind = {
        upper: {
            lower
            for lower in fuses
            if draws[lower] and draws[lower] < draws[upper] and _feeds(wiring, upper, lower)
        }
        for upper in fuses
    }
    return tuple(
        (upper, lower)
        for upper, under in behind.items()
        for lower in sorted(under)
        if not any(lower in behind[between] for between in under)
    )


def selectivity_of(
    wiring: Wiring, fuses: Mapping[str, FuseAssessment]
) -> Mapping[str, tuple[Selectivity, ...]]:
    """Return for each upper fuse what is to say of it and each one next behind it."""
    found: dict[str, list[Selectivity]] = {}
    names = tuple(fuses)
    for upper, lower in at_any_length(wiring, ("fuse pairs", names), lambda bare: fuse_pairs(bare, fuses)):
        found.setdefault(upper, []).append(_pair(wiring, fuses[upper], fuses[lower]))
    return {name: tuple(pairs) for name, pairs in found.items()}


@dataclass(frozen=True, slots=True)
class _Pair:
    """What is to say of two fuses at any length: without curves, and with them but for ranges."""

    blank: Selectivity
    told: Selectivity | None = None
    """None where a rating is not known."""
    fast: GateCurve | None = None
    """Curve of the upper one; None, as the lower one's, where there is none to compare."""
    slow: Opening | None = None


def _pair(wiring: Wiring, upper: FuseAssessment, lower: FuseAssessment) -> Selectivity:
    question = ("pair of fuses", upper.name, lower.name)
    found = at_any_length(wiring, question, lambda bare: _pair_at_any_length(bare, upper, lower))
    most_a = lower.fault_most_a
    if found.told is None or most_a is None:
        return replace(found.blank, most_a=most_a)
    if found.fast is None or found.slow is None:
        return replace(found.told, most_a=most_a)
    ranges = _ranges(found.fast, upper.rating_a or 0.0, found.slow, lower.rating_a or 0.0, most_a)
    return replace(found.told, most_a=most_a, ranges=ranges)


def _pair_at_any_length(wiring: Wiring, upper: FuseAssessment, lower: FuseAssessment) -> _Pair:
    loads, draws = wiring.installation.loads, wiring.tree.home_draws
    others = tuple(n for n in loads if n in draws[upper.name] - draws[lower.name])
    pair = Selectivity(
        upper=upper.name,
        lower=lower.name,
        ratio=None,
        ratio_limit=None,
        ranges=None,
        most_a=None,
        others=others,
        critical=tuple(n for n in others if loads[n].critical),
        why="the rating of one of them, or the current of a short behind them, is not known",
    )
    if upper.rating_a is None or lower.rating_a is None:
        return _Pair(pair)
    return _with_curves(wiring, pair, upper, lower)


def _with_curves(wiring: Wiring, pair: Selectivity, upper: FuseAssessment, lower: FuseAssessment) -> _Pair:
    """The pair with what its ratings and its curves say."""
    upper_a, lower_a = upper.rating_a or 0.0, lower.rating_a or 0.0
    above, below = _part(wiring, upper.name), _part(wiring, lower.name)
    families = (_family(wiring, above, upper), _family(wiring, below, lower))
    fast = holding_curve(wiring, above, families[0], upper_a)
    # In one and the same zone both are in the same air; elsewhere the lower one may be cold.
    slow = opening_at(wiring, below, families[1], lower_a, above.zone)
    rule = selectivity_ratio(_CLASS_T, "any") if families[0] == _CLASS_T else selectivity_ratio()
    found = replace(
        pair,
        ratio=upper_a / lower_a,
        ratio_limit=rule.ratio,
        alike=families[0] == families[1],
        known=rule.known,
        why="",
    )
    if isinstance(fast, NotTabled):
        return _Pair(pair, replace(found, why=fast.why))
    if isinstance(slow, NotTabled):
        return _Pair(pair, replace(found, why=slow.why))
    told = replace(found, source=fast.source, known=weakest(fast.known, slow.known))
    return _Pair(pair, told, fast, slow)


def is_selective(fast: GateCurve, upper_a: float, slow: Opening, lower_a: float, most_a: float) -> bool:
    """Tell whether the lower of two fuses has opened at every current before the upper one may."""
    return not _ranges(fast, upper_a, slow, lower_a, most_a)


@lru_cache(maxsize=4096)
def _ranges(
    fast: GateCurve, upper_a: float, slow: Opening, lower_a: float, most_a: float
) -> tuple[AmpsRange, ...]:
    return unselective_ranges(
        upper=Band(currents_a=tuple(m * upper_a for m in fast.multiples), times_s=fast.times_s),
        lower=Band(currents_a=tuple(m * lower_a for m in slow.multiples), times_s=slow.times_s),
        most_a=most_a,
    )


def _feeds(wiring: Wiring, upper: str, lower: str) -> bool:
    """Whether what passes the lower fuse comes through the circuit of the upper one."""
    above, below = _part(wiring, upper).circuit, _part(wiring, lower).circuit
    feeding = wiring.tree.circuits.get(below)
    return above == below or (feeding is not None and above in feeding.feeders)


def _part(wiring: Wiring, name: str) -> Part:
    part = wiring.topology.pieces[wiring.index(name)].part
    assert part is not None
    return part


def _family(wiring: Wiring, part: Part, found: FuseAssessment) -> str:
    ladder = candidates(part.family, part.kind, wiring.installation.system_v)
    return found.family or family_at(ladder, found.rating_a or 0.0)
