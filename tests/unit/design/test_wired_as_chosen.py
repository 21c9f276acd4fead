"""The wiring that comes with a choice is the one that wiring the chosen job up anew makes."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from pathlib import Path

import numpy as np
import pytest

from groundstrap import api
from groundstrap.assess import wire_up
from groundstrap.design.answer import chosen
from groundstrap.vet import vet

_ROOT = Path(__file__).resolve().parents[3]
_JOBS = (
    *sorted((_ROOT / "examples").glob("*.job.yaml")),
    *sorted((_ROOT / "tests" / "data" / "jobs").glob("*.job.yaml")),
)


def _same(one: object, other: object) -> bool:
    """Equality to the last bit, arrays inside included."""
    if isinstance(one, np.ndarray):
        return np.array_equal(one, other)
    if dataclasses.is_dataclass(one) and not isinstance(one, type):
        compared = [each.name for each in dataclasses.fields(one) if each.compare]
        return type(one) is type(other) and all(_same(getattr(one, n), getattr(other, n)) for n in compared)
    if isinstance(one, Mapping) and isinstance(other, Mapping):
        return list(one) == list(other) and all(_same(one[key], other[key]) for key in one)
    if isinstance(one, tuple | list) and isinstance(other, tuple | list):
        return len(one) == len(other) and all(map(_same, one, other))
    return one == other


@pytest.mark.parametrize("path", _JOBS, ids=lambda path: path.name.partition(".")[0])
def test_like_wiring_it_up_anew(path: Path) -> None:
    job = api.read_job(path.read_text(encoding="utf-8"), folder=path.parent)
    estimates = {name: found.estimate for name, found in vet(job.installation).loads.items()}
    choice = chosen(job.installation, estimates)
    anew = wire_up(choice.design.installation, estimates)
    differing = [
        each.name
        for each in dataclasses.fields(anew)
        if each.compare and not _same(getattr(anew, each.name), getattr(choice.wiring, each.name))
    ]
    assert differing == []
