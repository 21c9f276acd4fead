"""When a current that no fuse opens brings a cable beyond its limit, against a second opinion.

Source of the reference values: IEC 60364-5-54 (short-circuit limit up to 5 s), ISO 6722 (class + 50 K
beyond), integrated by SciPy from the printed tables in `tests.support.fuse_oracle`, which imports nothing of
the package.
"""

from __future__ import annotations

import math

import pytest

from groundstrap.assess.conductors import Lie, conductor
from groundstrap.assess.protection import limit_passed
from groundstrap.assess.thermal import overload_share
from groundstrap.model import Basis, Wire
from groundstrap.units import parse_size
from tests.support import fuse_oracle

SIZES = ("0.75 mm2", "1.5 mm2", "4 mm2", "16 mm2", "50 mm2")
SHARES = (1.05, 1.3, 1.6, 2.5, 5.0, 12.0, 40.0)
"""Current over ampacity: within class + 50 K for ever, minutes, about 5 s, well under a second."""
PRELOAD = 0.5


@pytest.mark.parametrize("share", SHARES)
@pytest.mark.parametrize("size", SIZES)
def test_the_time_is_that_of_the_integration(size: str, share: float) -> None:
    parsed = parse_size(size)
    wire = Wire(name="w", circuit="", start="", end="", length_m=1.0, stretches=(), insulation="PVC")
    lie = Lie(zone="", ambient_c=40.0, cold_c=0.0, length_m=1.0, loaded=1, engine_space=False, share=1.0)
    cable = next(c for c in fuse_oracle.cables() if math.isclose(c.area_mm2, parsed.area_mm2))
    lies = fuse_oracle.Lies("road", "PVC", 70.0, 40.0, 1)
    oracle = fuse_oracle.Wire(cable, lies, PRELOAD)
    amps = share * oracle.capacity_a
    found = limit_passed(
        conductor(wire, parsed, Basis.ROAD), lie, Basis.ROAD, amps, preload_a=PRELOAD * oracle.capacity_a
    )
    assert found is not None
    # 1 %: the oracle interpolates between 300 currents, and rounds no table differently.
    assert found.after_s == pytest.approx(oracle.stood_s(amps), rel=0.01)
    assert found.limit_c == (160.0 if found.after_s < 5.0 else 120.0)


@pytest.mark.parametrize("ambient_c", [30.0, 40.0, 55.0])
def test_what_it_stands_for_ever_is_the_same_share_of_the_ampacity(ambient_c: float) -> None:
    one = conductor(
        Wire(name="w", circuit="", start="", end="", length_m=1.0, stretches=(), insulation="PVC"),
        parse_size("4 mm2"),
        Basis.ROAD,
    )
    cable = next(c for c in fuse_oracle.cables() if math.isclose(c.area_mm2, 4.0))
    oracle = fuse_oracle.Wire(cable, fuse_oracle.Lies("road", "PVC", 70.0, ambient_c, 1), PRELOAD)
    share = overload_share(one.insulation, ambient_c, one.data.alpha20_per_k)
    assert share == pytest.approx(oracle.for_ever_a / oracle.capacity_a, rel=1e-3)


def test_two_side_by_side_stand_twice_the_current_as_long() -> None:
    wire = Wire(name="w", circuit="", start="", end="", length_m=1.0, stretches=(), insulation="PVC")
    lie = Lie(zone="", ambient_c=40.0, cold_c=0.0, length_m=1.0, loaded=1, engine_space=False, share=1.0)
    one = conductor(wire, parse_size("4 mm2"), Basis.ROAD)
    alone = limit_passed(one, lie, Basis.ROAD, 100.0, preload_a=10.0)
    both = limit_passed(one, lie, Basis.ROAD, 200.0, parallel=2, preload_a=20.0)
    assert alone == both
