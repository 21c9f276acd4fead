"""What the start of one load takes from the volts at another one."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap.assess.faults import impedances_at_rest
from groundstrap.assess.flows import Impedances
from groundstrap.assess.results import LoadAssessment
from groundstrap.assess.start_results import Dip, LoadStart
from groundstrap.assess.wiring import Wiring
from groundstrap.model import Load, Situation

__all__ = ["deepest_dips"]

_FELT_S = 0.01
"""Shorter starts are not felt: capacitors in a device hold its volts so long; own judgement. [s]"""


def deepest_dips(
    wiring: Wiring, loads: Mapping[str, LoadAssessment], starts: Mapping[str, LoadStart]
) -> Mapping[str, Dip]:
    """Return the deepest dip at each load that says what volts it works at, while another one starts.

    The batteries give the start alone, at rest; what ran before goes on. Where the start asks for more than
    is there nothing is left: no source turns round.
    """
    felt = [start for start in starts.values() if start.nominal.time_s >= _FELT_S]
    known = wiring.installation.loads
    victims = [n for n, found in loads.items() if known[n].works is not None and found.lowest_v is not None]
    if not felt or not victims:
        return {}
    z = impedances_at_rest(wiring)
    found: dict[str, Dip] = {}
    for name in victims:
        dips = [_dip(wiring, z, loads[name], start) for start in felt if _both_run(known, name, start.load)]
        deep = [dip for dip in dips if dip is not None]
        if deep:
            found[name] = min(deep, key=lambda dip: dip.volts_v)
    return found


def _both_run(loads: Mapping[str, Load], one: str, other: str) -> bool:
    first, second = loads[one], loads[other]
    shunned = other in first.never_with or one in second.never_with
    return one != other and not shunned and bool((first.runs & second.runs) - {Situation.CRANKING})


def _dip(wiring: Wiring, z: Impedances, at: LoadAssessment, start: LoadStart) -> Dip | None:
    victim, starter = wiring.installation.loads[at.name], wiring.installation.loads[start.load]
    ends = [wiring.node(point) for point in (victim.plus, victim.minus, starter.plus, starter.minus)]
    plus, minus, begins, returns = ends
    if at.lowest_v is None or not z.joined(plus, begins) or not z.joined(minus, returns):
        return None
    ohm = z.ohm[plus, begins] - z.ohm[plus, returns] - z.ohm[minus, begins] + z.ohm[minus, returns]
    surge_a = start.nominal.peak_a - start.nominal.running_a
    return Dip(
        load=at.name,
        by=start.load,
        volts_v=max(0.0, at.lowest_v - surge_a * float(ohm)),
        before_v=at.lowest_v,
        surge_a=surge_a,
        written=start.written,
    )
