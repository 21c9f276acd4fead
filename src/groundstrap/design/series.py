"""Larger ratings for chosen fuses that then open after every fuse behind them, where that costs no copper.

The wires stand as they were chosen: only ratings of a fuse's own window count, so that no wire grows for it.
Where no rating of the window does, the lowest stays and the rules tell what is lost.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from groundstrap.assess import shared_returns
from groundstrap.assess.curves import opening_at
from groundstrap.assess.faults import far_end_faults
from groundstrap.assess.ladders import candidates, family_at
from groundstrap.assess.regions import Guard
from groundstrap.assess.selectivity import fuse_pairs, is_selective
from groundstrap.assess.starts import holding_curve
from groundstrap.assess.windows import fuse_window
from groundstrap.assess.wiring import Wiring
from groundstrap.design.fuses import Fuses
from groundstrap.design.results import FuseChoice
from groundstrap.model import Part
from groundstrap.records import dataclass, replace
from groundstrap.tables import GateCurve, NotTabled

__all__ = ["later_openings"]

_MOST_TIMES = 2.0
"""A fuse is raised to twice what its load asks for at most: the wire is safe behind it, what hangs on the
wire is not. Own judgement."""

_SECONDS_TIMES = 2.0
"""A far-end fault of at least so many times the rating opens a fuse in seconds; own judgement."""


def later_openings(chosen: Fuses, fuses: Mapping[str, FuseChoice]) -> Mapping[str, FuseChoice]:
    """Return choices with higher ratings; empty where the lowest ratings will do or no other is better."""
    wiring, standing = chosen.wiring, chosen.guards
    series = _Series(wiring, _ratings(wiring, standing, fuses), chosen.faults_a)
    behind: dict[str, list[str]] = {}
    for upper, lower in fuse_pairs(wiring, series.rated):
        behind.setdefault(upper, []).append(lower)
    found: dict[str, FuseChoice] = {}
    # A feeder comes after all that stand behind it.
    for name in sorted(behind, key=lambda fuse: (len(wiring.tree.home_draws[fuse]), fuse)):
        if name not in fuses or series.opens_last(name, series.rated[name].rating_a, behind[name]):
            continue
        above = [upper for upper, lowers in behind.items() if name in lowers]
        most_a = min([series.rated[upper].rating_a for upper in above], default=float("inf"))
        for rating_a in _higher(wiring, standing[name], fuses[name]):
            if rating_a > most_a or not series.opens_last(name, rating_a, behind[name]):
                continue
            hasty = (n for n in behind[name] if not series.opens_last(name, fuses[name].rating_a, [n]))
            found[name] = replace(fuses[name], rating_a=rating_a, after=next(hasty, ""))
            series.rated[name] = found[name]
            break
    return _kept(wiring, standing, fuses, found) if found else {}


@dataclass(frozen=True, slots=True)
class _Series:
    """Every fuse of known rating, and the most current at each."""

    wiring: Wiring
    rated: dict[str, FuseChoice]
    faults_a: Mapping[str, float]

    def opens_last(self, upper: str, rating_a: float, lowers: list[str]) -> bool:
        """Whether each fuse behind one of this rating has opened before it may; True where nobody knows."""
        above = _part(self.wiring, upper)
        fast = holding_curve(self.wiring, above, self.rated[upper].family, rating_a)
        if not isinstance(fast, GateCurve):
            return True
        for name in lowers:
            lower, part, most_a = self.rated[name], _part(self.wiring, name), self.faults_a.get(name)
            slow = opening_at(self.wiring, part, lower.family, lower.rating_a, above.zone)
            if most_a is None or isinstance(slow, NotTabled):
                continue
            if not is_selective(fast, rating_a, slow, lower.rating_a, most_a):
                return False
        return True


def _ratings(
    wiring: Wiring, standing: Mapping[str, Guard], fuses: Mapping[str, FuseChoice]
) -> dict[str, FuseChoice]:
    found = dict(fuses)
    for name in standing:
        part = _part(wiring, name)
        if name not in found and part.rating_a is not None:
            ladder = candidates(part.family, part.kind, wiring.installation.system_v)
            family = part.family or family_at(ladder, part.rating_a)
            found[name] = FuseChoice(rating_a=part.rating_a, family=family)
    return found


def _higher(wiring: Wiring, guard: Guard, choice: FuseChoice) -> Iterator[float]:
    """Higher ratings of a fuse's window, of the family that was chosen."""
    for rating_a in fuse_window(wiring, guard, choice.family).ratings:
        if choice.rating_a < rating_a <= _MOST_TIMES * choice.rating_a:
            yield rating_a


def _kept(
    wiring: Wiring,
    standing: Mapping[str, Guard],
    fuses: Mapping[str, FuseChoice],
    found: Mapping[str, FuseChoice],
) -> Mapping[str, FuseChoice]:
    """Those that leave a far-end fault strong enough, and no shared way back with more than before."""
    least_a = far_end_faults(wiring)
    kept = {
        name: choice
        for name, choice in found.items()
        if least_a.get(_part(wiring, name).circuit, 0.0) >= _SECONDS_TIMES * choice.rating_a
    }
    before = shared_returns(wiring, standing, _amps(wiring, standing, fuses))
    after = shared_returns(wiring, standing, _amps(wiring, standing, {**fuses, **kept}))
    grown = any(
        name not in before or (reason.value or 0.0) > (before[name].value or 0.0) * (1 + 1e-9)
        for name, reason in after.items()
    )
    return {} if grown else kept


def _amps(wiring: Wiring, standing: Mapping[str, Guard], fuses: Mapping[str, FuseChoice]) -> dict[str, float]:
    return {name: choice.rating_a for name, choice in _ratings(wiring, standing, fuses).items()}


def _part(wiring: Wiring, name: str) -> Part:
    part = wiring.topology.pieces[wiring.index(name)].part
    assert part is not None
    return part
