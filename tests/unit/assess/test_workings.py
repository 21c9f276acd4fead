"""The sums behind an assessment add up to it, on the examples and on random jobs."""

import math
import random
from pathlib import Path

import pytest

from groundstrap import api
from groundstrap.assess.working_results import CircuitWorking
from groundstrap.assess.workings import workings_of
from groundstrap.report.plan import Plan
from tests.rules.sound_jobs import FRAMES, sound_job

EXAMPLES = sorted(Path("examples").glob("*.job.yaml"))


def _plans() -> list[Plan]:
    texts = [path.read_text(encoding="utf-8") for path in EXAMPLES]
    texts += [sound_job(random.Random(n), FRAMES[n % len(FRAMES)]).text for n in range(25)]
    return [api.plan(api.read_job(text)) for text in texts]


@pytest.fixture(scope="module", name="worked")
def _worked() -> list[tuple[Plan, dict[str, CircuitWorking]]]:
    found = []
    for plan in _plans():
        estimates = {name: each.estimate for name, each in plan.vetting.loads.items()}
        found.append((plan, dict(workings_of(plan.installation, estimates, plan.assessment))))
    return found


def _pairs(worked):
    return [(plan.assessment.circuits[name], one) for plan, each in worked for name, one in each.items()]


def test_pieces_of_a_way_lose_the_drop(worked):
    """Kirchhoff's voltage law along the way; own computation against the solved drop."""
    counted = 0
    for found, one in _pairs(worked):
        if found.drop.drop_v and one.drop is not None and not found.charging:
            assert one.drop.sum_v == pytest.approx(found.drop.drop_v, abs=1e-9), found.name
            counted += 1
    assert counted > 100


def test_every_piece_keeps_ohms_law(worked):
    """Ohm's law for each piece, and the resistance of each cable by metre, temperature and crimps."""
    for _, one in _pairs(worked):
        for piece in () if one.drop is None else one.drop.pieces:
            assert piece.share * piece.current_a * piece.ohm == pytest.approx(piece.drop_v, abs=1e-12)
            if piece.wire is not None and piece.wire.length_m > 0.0:
                warm = 1.0 + piece.alpha20_per_k * (piece.temp_c - 20.0)
                ohm = piece.ohm_per_m_20c * piece.wire.length_m * warm + piece.ends_ohm
                assert ohm == pytest.approx(piece.ohm, rel=1e-9)


def test_faults_are_volts_over_ohms(worked):
    """Thevenin: open-circuit volts over what the short sees; the parts of it are those of the way."""
    counted = 0
    for found, one in _pairs(worked):
        if one.least is not None:
            assert one.least.current_a == pytest.approx(found.fault_least_a, rel=1e-9)
            assert one.least.beside_ohm <= 1e-6
            counted += 1
        for name, most in one.most.items():
            assert most.current_a == pytest.approx(found.fuses[name].fault_most_a, rel=1e-9)
    assert counted > 80


def test_clearing_follows_from_its_gates(worked):
    """The chord between two gates in logarithms, beyond the last one its heat integral: iso-8820-1."""
    counted = 0
    for found, one in _pairs(worked):
        if one.clearing is None:
            continue
        multiple, (low, slow_s) = one.clearing.fault_a / one.clearing.rating_a, one.clearing.gates[0]
        if len(one.clearing.gates) == 1:
            time_s = slow_s * (low / multiple) ** 2
        else:
            high, quick_s = one.clearing.gates[1]
            power = math.log(quick_s / slow_s) / math.log(high / low)
            time_s = slow_s * (multiple / low) ** power
        assert time_s == pytest.approx(found.clearing_s, rel=1e-6), found.name
        counted += 1
    assert counted > 80


def test_heat_balances_at_the_steady_temperature(worked):
    """Heat made in a metre times the thermal resistance is the rise; Joule's law."""
    counted = 0
    for _, one in _pairs(worked):
        heat = one.heat
        if heat is None:
            continue
        warm = 1.0 + heat.alpha20_per_k * (heat.steady_c - 20.0)
        watts = (heat.current_a / heat.bundle_share) ** 2 * heat.ohm_per_m_20c * warm
        assert heat.ambient_c + watts * heat.k_m_per_w == pytest.approx(heat.steady_c)
        counted += 1
    assert counted > 100
