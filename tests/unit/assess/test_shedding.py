"""What is left off where there is no working point with everything on."""

from __future__ import annotations

from groundstrap.api import read_job
from groundstrap.assess import Case, Wiring, drop_cases, parameters, wire_up
from groundstrap.assess.shedding import to_shed
from groundstrap.records import replace
from groundstrap.solve import solve_one
from groundstrap.vet import vet

FRAME = """groundstrap: 1
title: pumps at the far end
system: 12 V
loads:
{loads}
circuits:
{circuits}
"""


def wired(powers_w: dict[str, float]) -> Wiring:
    """Loads that draw constant power, each over 12 m of 1.5 mm2."""
    claims = {
        name: f"kind: electronics, claims: {{power: {power_w} W}}" for name, power_w in powers_w.items()
    }
    loads = "\n".join(f"  {name}: {{{told}}}" for name, told in claims.items())
    circuits = "\n".join(f"  {name}: {{length: 12 m, wire: 1.5 mm2}}" for name in powers_w)
    job = read_job(FRAME.format(loads=loads, circuits=circuits))
    estimates = {name: found.estimate for name, found in vet(job.installation).loads.items()}
    return wire_up(job.installation, estimates)


def works(wiring: Wiring, case: Case) -> bool:
    return solve_one(wiring.network, parameters(wiring, case)).found


def test_only_what_its_own_cable_cannot_feed_is_shed() -> None:
    """By hand: 12 m out and back of 1.5 mm2 is 0.3 ohm, so 12^2/(4 x 0.3) = 120 W at most, cold."""
    wiring = wired({"small": 20.0, "far": 300.0, "near": 30.0, "other": 280.0, "third": 290.0})
    case = drop_cases(wiring)[0]
    assert not works(wiring, case)
    shed = to_shed(wiring, case)
    assert shed == {"far", "other", "third"}
    assert works(wiring, replace(case, running=case.running - shed))


def test_one_load_too_many_is_the_one() -> None:
    """One that can have no point at all beside others that can: cutting it is enough."""
    wiring = wired({"small": 20.0, "far": 300.0})
    assert to_shed(wiring, drop_cases(wiring)[0]) == {"far"}


def test_where_everything_is_too_much_everything_goes() -> None:
    """Nothing that runs has a working point: the loads are all named, and the search ends."""
    powers_w = {f"load {number}": 300.0 + number for number in range(20)}
    wiring = wired(powers_w)
    assert to_shed(wiring, drop_cases(wiring)[0]) == set(powers_w)
