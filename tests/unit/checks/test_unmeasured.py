"""What rules say without a look at lengths holds at every length, and no length is there to be looked at."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from pathlib import Path

import pytest

from groundstrap.assess import assess
from groundstrap.checks import About, Judgement, Status, rules, run
from groundstrap.checks.engine import _is_of_wiring, _judged
from groundstrap.checks.facts import Facts
from groundstrap.checks.unmeasured import Unmeasured, _room, unmeasured
from groundstrap.job import read_job
from groundstrap.model import Installation
from groundstrap.vet import vet
from groundstrap.words import Words
from tests.rules.flawed import flawed_job

EXAMPLES = Path(__file__).parents[3] / "examples"
JOBS = (
    *(path.read_text(encoding="utf-8") for path in sorted(EXAMPLES.glob("*.job.yaml"))),
    *(flawed_job(seed).text for seed in range(0, 150, 25)),
)


def _longer(text: str, share: float) -> str:
    """The same job with every length changed by a share, and by the hundredth of one more and one less."""
    turn = iter(range(10_000))

    def other(found: re.Match[str]) -> str:
        return f"{float(found[1]) * (1 + share * (1 + 0.01 * (next(turn) % 3 - 1))):.5f} {found[2]}"

    return re.sub(r"(?<![\w.-])(\d+(?:\.\d+)?) (m|cm)\b", other, text)


def _facts(text: str) -> Facts:
    installation = read_job(text, folder=EXAMPLES).installation
    vetting = vet(installation)
    estimates = {name: load.estimate for name, load in vetting.loads.items()}
    return Facts(installation, vetting, assess(installation, estimates))


def _kept(facts: Facts) -> Judgement:
    return run(facts.installation, facts.vetting, facts.assessment)


@pytest.mark.parametrize("text", JOBS, ids=range(len(JOBS)))
def test_the_same_is_said_as_if_nothing_were_kept(text: str) -> None:
    lengths = (0.0, 0.004, 1.0)
    every = [_facts(_longer(text, share)) for share in lengths]
    # What is kept is of the one before, whichever that was.
    for facts in (*every, every[0]):
        assert _kept(facts) == _judged(facts, _is_of_wiring)


def test_most_rules_are_not_asked_again_where_lengths_alone_differ() -> None:
    _room.cache_clear()
    texts = [_longer(JOBS[1], share) for share in (0.0, 0.001, 0.002)]
    first, second, third = map(_facts, texts)
    assert unmeasured(first) is None, "one that never comes again is not copied"
    bare = unmeasured(second)
    assert bare is not None
    assert unmeasured(third) is bare
    _kept(third)
    rest = bare.once(lambda: pytest.fail("was asked")).rest
    standing = [each for each in rules() if each.status is not Status.RETIRED and _is_of_wiring(each.about)]
    assert 0 < len(rest) < 0.25 * len(standing)


def test_what_hangs_on_lengths_cannot_be_looked_at() -> None:
    bare = Unmeasured(_facts(JOBS[1])).facts
    circuit = next(iter(bare.installation.circuits.values()))
    found = bare.assessment.circuits[circuit.name]
    for look in (
        lambda: circuit.length_m,
        lambda: circuit.metres,
        lambda: circuit.wires[0].length_m,
        lambda: circuit.wires[0].stretches[0].length_m,
        lambda: found.drop.drop_v,
        lambda: found.fault_least_a,
        lambda: next(iter(bare.assessment.loads.values())).highest_v,
    ):
        with pytest.raises(AttributeError):
            look()
    assert circuit.wires[0].name
    assert found.name == circuit.name


def test_a_load_more_or_another_size_is_another_job() -> None:
    _room.cache_clear()
    text = JOBS[1]
    _kept(_facts(text))
    bare = unmeasured(_facts(text))
    other = _facts(text.replace("power: 900 W", "power: 1200 W", 1))
    assert other.installation != _facts(text).installation
    assert unmeasured(other) is None
    assert unmeasured(other) is not bare


def _texts(thing: object, way: str) -> Iterator[tuple[str, str]]:
    if isinstance(thing, str):
        yield way, thing
    elif is_dataclass(thing) and not isinstance(thing, type):
        for each in fields(thing):
            yield from _texts(getattr(thing, each.name), f"{way}.{each.name}")
    elif isinstance(thing, dict):
        for key, each in thing.items():
            yield from (*_texts(key, way), *_texts(each, way))
    elif isinstance(thing, tuple | frozenset):
        for each in thing:
            yield from _texts(each, way)


@pytest.mark.parametrize("text", JOBS[:3], ids=range(3))
def test_a_job_is_in_no_language_so_that_like_ones_are_alike_in_each(text: str) -> None:
    """Words of ours read like somebody's own in English alone; only what is told of a job may be such."""
    installation: Installation = read_job(text, folder=EXAMPLES).installation
    told = {way for way, each in _texts(installation, "") if isinstance(each, Words)}
    assert told <= {".ties.why", ".assumptions.what", ".assumptions.value", ".assumptions.why"}


def test_rules_on_days_and_on_readings_are_asked_each_time() -> None:
    assert not any(_is_of_wiring(about) for about in (About.BATTERY_RUN, About.READING, About.PROOF))
