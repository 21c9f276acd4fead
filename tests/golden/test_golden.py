"""The examples give what they gave: our own earlier output, each change of it told in the changelog."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests.golden.cases import HERE, JOBS, made

jobs = pytest.mark.parametrize("job", JOBS, ids=lambda job: job.stem)


def assert_same(found: Any, wanted: Any, where: str) -> None:
    """Names and words the same; numbers within two in the sixth digit, where rounding may fall either way."""
    if isinstance(wanted, dict):
        assert set(found) == set(wanted), where
        for key, inner in wanted.items():
            assert_same(found[key], inner, f"{where}.{key}")
    elif isinstance(wanted, list):
        assert len(found) == len(wanted), where
        for number, inner in enumerate(wanted):
            assert_same(found[number], inner, f"{where}[{number}]")
    elif isinstance(wanted, float) and not isinstance(found, bool):
        # 2e-5: a value on the edge of its sixth digit may round to the next; the solver is exact to 1e-9.
        assert found == pytest.approx(wanted, rel=2e-5, abs=2e-8), where
    else:
        assert found == wanted, where


@jobs
@pytest.mark.parametrize("kind", ["plan", "vet"])
def test_json_is_what_it_was(job: Path, kind: str) -> None:
    name = job.name.replace(".job.yaml", f".{kind}.json")
    assert_same(json.loads(made(job)[name]), json.loads((HERE / name).read_text(encoding="utf-8")), name)


@jobs
def test_text_is_what_it_was(job: Path) -> None:
    name = job.name.replace(".job.yaml", ".plan.txt")
    assert made(job)[name].splitlines() == (HERE / name).read_text(encoding="utf-8").splitlines()


def test_every_golden_file_belongs_to_an_example() -> None:
    stems = {job.name.removesuffix(".job.yaml") for job in JOBS}
    files = {path.name for path in HERE.iterdir() if re.search(r"\.(json|txt)$", path.name)}
    assert files == {f"{stem}.{kind}" for stem in stems for kind in ("plan.json", "vet.json", "plan.txt")}
