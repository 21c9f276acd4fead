"""The catalogue is large, each rule is its own, and each finds something on random flawed jobs.

How many rules there are to be, how many jobs, and that no two rules look at the same things, is asked of the
catalogue as a whole; the mistakes are those of `flaws_*.py`.
"""

from __future__ import annotations

from collections import Counter, defaultdict

import pytest

from groundstrap.checks import About, Outcome, Status, rules
from tests.rules.flawed import flawed_job, flaws
from tests.rules.proofs import JOBS, proofs, table

# Rules on a run of days, and on readings, judge no job by itself: see test_days.py and test_readings.py.
STANDING = tuple(
    rule
    for rule in rules()
    if rule.status is not Status.RETIRED and not rule.about.of_days and not rule.about.of_readings
)
LEAST_RULES = 70


def test_there_are_at_least_seventy_rules() -> None:
    assert len(STANDING) >= LEAST_RULES


def test_no_two_rules_have_all_their_needs_in_common() -> None:
    by_needs: dict[tuple[About, frozenset[str]], list[str]] = defaultdict(list)
    for rule in STANDING:
        by_needs[rule.about, frozenset(rule.needs)].append(rule.id)
    assert not [ids for ids in by_needs.values() if len(ids) > 1]


@pytest.mark.slow
def test_each_rule_fails_on_some_of_500_flawed_jobs_and_each_mistake_is_found() -> None:
    """One test, so that the jobs are judged once: 66 s of one processor, two of them share it."""
    found = proofs()
    assert len(found) == JOBS == 500
    assert not [(each.seed, each.flaws, each.refused) for each in found if each.refused]
    counts = Counter(rule for each in found for rule in each.failed)
    assert not [rule.id for rule in STANDING if not counts[rule.id]], table(found)
    caught = {each.flaws[0] for each in found if set(each.expected) & each.failed}
    assert not {each.name for each in flaws()} - caught


def test_each_rule_has_a_mistake_that_is_meant_for_it() -> None:
    meant = {rule for each in flaws() for rule in each.rules}
    assert not {rule.id for rule in STANDING} - meant
    assert not meant - {rule.id for rule in STANDING}


def test_the_same_number_gives_the_same_job() -> None:
    assert flawed_job(7).text == flawed_job(7).text
    assert len({flawed_job(seed).text for seed in range(60)}) == 60


def test_a_rule_that_never_fails_has_something_to_ask() -> None:
    for rule in STANDING:
        assert Outcome.FAIL not in rule.never or Outcome.UNDETERMINED not in rule.never, rule.id
