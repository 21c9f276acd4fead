"""What holds for any evidence: order, scale, coverage, and that nothing turns into nan."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from groundstrap.model import Claim, Fitted, Load, LoadKind, Measurement, MeterSpec
from groundstrap.vet import Verdict, VettedLoad, estimates, vet
from tests.unit.vet.evidence import BASIC, HANDHELD, a_job, a_load

METERS = st.sampled_from(
    [BASIC, HANDHELD, MeterSpec(text="1 % + 2 digits", reading_pct=1.0, digits=2.0), None]
)
VOLTS = st.floats(10.0, 15.0)
AMPS = st.floats(0.2, 200.0)
FLOWS = st.builds(
    lambda amps, volts, meter: Measurement(
        current_a=amps, voltage_v=volts, meter=meter, last_digit=0.01, voltage_last_digit=0.01
    ),
    AMPS,
    VOLTS,
    METERS,
)
OHMS = st.builds(
    lambda ohm, leads, meter: Measurement(resistance_ohm=ohm, leads_ohm=leads, meter=meter, last_digit=0.01),
    st.floats(0.05, 50.0),
    st.one_of(st.none(), st.floats(0.0, 0.6)),
    METERS,
)
CLAIMS = st.one_of(
    st.builds(Claim, power_w=st.floats(0.5, 5000.0), voltage_v=st.one_of(st.none(), VOLTS)),
    st.builds(Claim, current_a=st.floats(0.05, 400.0), voltage_v=st.one_of(st.none(), VOLTS)),
)
FITTED = st.builds(
    Fitted,
    fuse_a=st.one_of(st.none(), st.sampled_from([3.0, 5.0, 15.0, 20.0, 40.0, 100.0])),
    plug=st.one_of(st.none(), st.sampled_from(["lighter", "usb-a", "two-pole heavy 50 A"])),
)
LOADS = st.builds(
    lambda kind, claims, measured, fitted, count: a_load(
        "load", kind, claims=tuple(claims), measured=tuple(measured), fitted=fitted, count=count
    ),
    st.sampled_from(list(LoadKind)),
    st.lists(CLAIMS, max_size=3),
    st.lists(st.one_of(FLOWS, OHMS), max_size=4),
    FITTED,
    st.integers(1, 6),
)


def _vetted(load: Load, system_v: float = 12.0) -> VettedLoad:
    return vet(a_job(load, system_v=system_v)).loads[load.name]


def _replaced(load: Load, **what: object) -> Load:
    kept = {name: getattr(load, name) for name in ("claims", "measured", "fitted", "count")}
    return a_load("load", load.kind, **{**kept, **what})


@given(LOADS)
def test_every_answer_is_a_number_in_order_or_not_known(load: Load) -> None:
    found = _vetted(load)
    assert found.estimate.known is (found.estimate.power_w is not None)
    for item in found.at:
        assert 0.0 < item.power_w.low <= item.power_w.value <= item.power_w.high < math.inf
        assert item.current_a.value == pytest.approx(found.estimate.current_a(item.at_v))
    for claim in found.claims:
        assert claim.probability is None or 0.0 <= claim.probability <= 1.0
        assert claim.why.endswith(".")
        assert "nan" not in claim.why
    for piece in found.evidence:
        assert 0.0 <= piece.weight <= 1.0 + 1e-9
        assert piece.standard_uncertainty is None or piece.standard_uncertainty >= 0.0
    total = sum(piece.weight for piece in found.evidence)
    assert total == pytest.approx(1.0) or total == 0.0
    assert 0.0 <= found.consistent.p <= 1.0
    assert found.consistent.chi2 >= 0.0


@given(LOADS)
def test_the_order_of_the_evidence_does_not_matter(load: Load) -> None:
    back = _replaced(load, claims=load.claims[::-1], measured=load.measured[::-1])
    one, other = _vetted(load), _vetted(back)
    assume(one.estimate.at_v == other.estimate.at_v)  # claims for several voltages: the first one's counts
    if one.estimate.power_w is None:
        assert other.estimate.power_w is None
    else:
        assert other.estimate.power_w is not None
        assert other.estimate.power_w.value == pytest.approx(one.estimate.power_w.value, rel=1e-6)
        assert other.estimate.power_w.high == pytest.approx(one.estimate.power_w.high, rel=1e-6)
    assert [claim.verdict for claim in other.claims[::-1]] == [claim.verdict for claim in one.claims]


@given(LOADS, st.sampled_from([24.0, 48.0]))
def test_claims_scale_with_the_system(load: Load, system_v: float) -> None:
    """Twice the volts and half the amps of everything is the same power, claim for claim."""
    times = system_v / 12.0
    assume(load.kind is not LoadKind.COIL and not load.measured)
    claims = tuple(
        Claim(power_w=claim.power_w, current_a=None if claim.current_a is None else claim.current_a / times,
              voltage_v=None if claim.voltage_v is None else claim.voltage_v * times)
        for claim in load.claims
    )  # fmt: skip
    one = _vetted(_replaced(load, fitted=Fitted()))
    other = _vetted(_replaced(load, claims=claims, fitted=Fitted()), system_v)
    if one.estimate.power_w is None:
        assert other.estimate.power_w is None
        return
    assert other.estimate.power_w is not None
    assert other.estimate.power_w.value == pytest.approx(one.estimate.power_w.value)
    assert [claim.verdict for claim in other.claims] == [claim.verdict for claim in one.claims]


@given(st.lists(FLOWS, min_size=1, max_size=5))
def test_a_mean_lies_among_its_readings(flows: list[Measurement]) -> None:
    load = _vetted(a_load("load", LoadKind.ELECTRONICS, measured=tuple(flows)))
    powers = [piece.power_w for piece in load.evidence if piece.power_w is not None]
    assume(powers)
    assert load.estimate.power_w is not None
    assert min(powers) * (1 - 1e-9) <= load.estimate.power_w.value <= max(powers) * (1 + 1e-9)


@given(FLOWS, METERS)
def test_another_reading_that_says_the_same_never_widens(flow: Measurement, meter: MeterSpec | None) -> None:
    twin = Measurement(
        current_a=flow.current_a,
        voltage_v=flow.voltage_v,
        meter=meter,
        last_digit=0.01,
        voltage_last_digit=0.01,
    )
    one = _vetted(a_load("load", measured=(flow,))).estimate.power_w
    both = _vetted(a_load("load", measured=(flow, twin))).estimate.power_w
    assume(one is not None)
    assert one is not None
    assert both is not None
    assert both.high - both.low <= (one.high - one.low) * (1 + 1e-6)


@given(st.floats(1.0, 1000.0), st.floats(1.0, 3.0), FITTED, st.lists(FLOWS, max_size=2))
def test_a_bolder_claim_never_fares_better(
    watts: float, times: float, fitted: Fitted, flows: list[Measurement]
) -> None:
    rank = {
        Verdict.MET: 0,
        Verdict.UNPROVEN: 1,
        Verdict.SHORT: 2,
        Verdict.CONFLICTING: 2,
        Verdict.IMPOSSIBLE: 3,
    }
    verdicts = []
    for claimed_w in (watts, watts * times):
        load = a_load("load", claims=(Claim(power_w=claimed_w),), measured=tuple(flows), fitted=fitted)
        verdicts.append(_vetted(load).claims[0].verdict)
    assume(Verdict.CONFLICTING not in verdicts)
    assert rank[verdicts[0]] <= rank[verdicts[1]]


@given(LOADS)
def test_estimates_are_those_of_the_vetting(load: Load) -> None:
    job = a_job(load)
    assert estimates(job) == {"load": vet(job).loads["load"].estimate}
