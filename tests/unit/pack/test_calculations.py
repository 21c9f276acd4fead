"""Every printed sum is reckoned again from its own printed text, as an engineer with a calculator does."""

import math
import re
from pathlib import Path

import pytest

from groundstrap import api
from groundstrap.pack.content import Calculation, CalculationLine, Section, Table
from groundstrap.pack.texts.calculations import calculation_section
from groundstrap.report.figures import Display
from tests.rules.flawed import flawed_job

EXAMPLES = sorted(Path("examples").glob("*.job.yaml"))
SCALES = {"mV": 1e-3, "mohm": 1e-3, "mohm/m": 1e-3, "%": 1e-2, "kohm": 1e3}
NUMBER = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?)(?: (K m/W|mohm/m|mohm|kohm|ohm|degC|mV|%|[AVWsmK])(?![\w]))?")


def _half(text: str) -> float:
    """Half of the last digit that a number is printed to: five figures, idle zeros left out."""
    value = float(text)
    return 0.5 * 10.0 ** (math.floor(math.log10(value)) - 4) if value else 0.0


def _evaluated(text: str, moved: int = -1) -> tuple[float, int]:
    """Value of a printed sum, one of its numbers moved by half its last digit; how many numbers it has."""
    count = 0

    def one(found: re.Match[str]) -> str:
        nonlocal count
        value = float(found[1]) + (_half(found[1]) if count == moved else 0.0)
        count += 1
        return f"({value * SCALES.get(found[2] or '', 1.0)!r})"

    plain = NUMBER.sub(one, text)
    plain = plain.replace("×", "*").replace("²", "**2").replace("^", "**").replace("ln(", "log(")
    assert re.fullmatch(r"[\d.()e*/+\- log]+", plain), text
    return float(eval(plain, {"log": math.log, "__builtins__": {}})), count


def _reckoned_again(numbers: str, result: str) -> None:
    value, count = _evaluated(numbers)
    spread = sum(abs(_evaluated(numbers, moved)[0] - value) for moved in range(count))
    printed, _ = _evaluated(result)
    half = abs(_evaluated(result, 0)[0] - printed)
    assert abs(value - printed) <= 1.05 * (spread + half) + 1e-12, f"{numbers} = {value}, not {result}"


def _blocks(section: Section):
    yield from section.blocks
    for part in section.parts:
        yield from _blocks(part)


@pytest.fixture(scope="module", params=EXAMPLES, ids=lambda path: path.stem, name="section")
def _section(request) -> Section:
    plan = api.plan(api.read_job(request.param.read_text(encoding="utf-8")))
    return calculation_section(plan, Display.of(plan.installation))


def test_each_line_follows_from_its_numbers(section):
    lines = [line for block in _blocks(section) if isinstance(block, Calculation) for line in block.lines]
    summed = [line for line in lines if line.numbers]
    assert len(summed) > 60
    for line in summed:
        _reckoned_again(str(line.numbers), str(line.result))


def test_each_piece_of_a_drop_follows_from_its_row(section):
    counted = 0
    for block in _blocks(section):
        if not isinstance(block, Table) or len(block.columns) != 8:
            continue
        alphas = {metal: alpha for alpha, metal in re.findall(r"([\d.]+) (copper|[a-z-]+)", block.caption)}
        for name, amps, length, per_m, theta, crimps, ohm, lost in block.rows:
            if length:
                alpha = alphas[next((metal for metal in alphas if metal in name), "copper")]
                warm = f"{per_m} × {length} × (1 + {alpha} × ({theta} - 20)) + {crimps}"
                _reckoned_again(warm, str(ohm))
            _reckoned_again(f"{amps} × {ohm}", str(lost))
            counted += 1
    assert counted > 50


@pytest.mark.parametrize("seed", [3, 27, 61, 103, 118])
def test_odd_jobs_follow_from_their_numbers_too(seed):
    """Aluminium beside copper, a load on half a bank, several batteries: each line follows from its text."""
    plan = api.plan(api.read_job(flawed_job(seed).text))
    section = calculation_section(plan, Display())
    lines = [line for block in _blocks(section) if isinstance(block, Calculation) for line in block.lines]
    for line in lines:
        if line.numbers:
            _reckoned_again(str(line.numbers), str(line.result))


def test_numbers_are_those_of_the_plan():
    """The honey warmer by hand: 158 W at 12 V, resistive, at 14.8 V; 6 mm2 in nine at 45 degC."""
    plan = api.plan(api.read_job(Path("examples/hive-pickup.job.yaml").read_text(encoding="utf-8")))
    section = calculation_section(plan, Display())
    part = next(each for each in section.parts if each.key == "calculation-honey warmer")
    lines = {
        str(line.what): line
        for block in part.blocks
        if isinstance(block, Calculation)
        for line in block.lines
    }
    current = lines["Current of -E1 honey warmer"]
    assert str(current.numbers) == "157.64 W / 12 V × (14.8 V / 12 V) ^ 1"
    assert current.result == "16.201 A"
    ampacity = next(line for what, line in lines.items() if what.startswith("Ampacity"))
    assert str(ampacity.numbers) == "60 A × 0.89443 × 0.5"
    assert ampacity.result == "26.833 A"
    assert ampacity.source == "33 CFR 183.425, law on boats"


def test_a_wrong_result_is_found():
    """The check itself: a result that does not follow from its numbers fails."""
    line = CalculationLine(what="", formula="", numbers="9.4737 A × 2.5 mohm", result="23.9 mV")
    with pytest.raises(AssertionError):
        _reckoned_again(line.numbers, line.result)
