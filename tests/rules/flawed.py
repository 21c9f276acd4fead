"""Random flawed jobs: a sound one with one to three mistakes in it, each a small edit such as a person makes.

A mistake is a function in one of the modules `flaws_*.py`, marked with `@flaw("PRT006")`: the rules that it
should break. It edits the draft; where the draft offers nothing to edit it adds the thing first. To add one,
write such a function: job number N begins with mistake N of the list, so that each gets its turn, and the
others in the job are drawn.
"""

from __future__ import annotations

import importlib
import random
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from tests.rules.sound_jobs import FRAMES, Draft, sound_job

Edit = Callable[[Draft], None]


@dataclass(frozen=True)
class Flaw:
    """A mistake: its name, the rules that it should break, the vehicles it can be made on, the edit."""

    name: str
    rules: tuple[str, ...]
    on: tuple[str, ...]
    edit: Edit
    alone: bool
    """Whether nothing else may go wrong in the job, for it shows only in one that is balanced just so."""


@dataclass(frozen=True)
class FlawedJob:
    """A job file with the mistakes that are in it."""

    seed: int
    text: str
    flaws: tuple[Flaw, ...]


_KNOWN: list[Flaw] = []


def flaw(*rules: str, on: tuple[str, ...] = FRAMES, alone: bool = False) -> Callable[[Edit], Edit]:
    """Mark a function as a mistake that should break these rules on these vehicles."""

    def note(edit: Edit) -> Edit:
        _KNOWN.append(Flaw(edit.__name__, rules, on, edit, alone))
        return edit

    return note


@cache
def flaws() -> tuple[Flaw, ...]:
    """Every mistake, in the order of the modules' names and of their lines."""
    for path in sorted(Path(__file__).parent.glob("flaws_*.py")):
        importlib.import_module(f"tests.rules.{path.stem}")
    return tuple(_KNOWN)


def flawed_job(seed: int) -> FlawedJob:
    """The flawed job of a number; the same number gives the same job."""
    rng = random.Random(seed)
    every = flaws()
    first = every[seed % len(every)]
    frame = rng.choice(first.on)
    draft = sound_job(rng, frame)
    others = [each for each in every if frame in each.on and each is not first and not each.alone]
    chosen = [first, *rng.sample(others, 0 if first.alone else rng.choice((0, 0, 1, 1, 2)))]
    for each in chosen:
        each.edit(draft)
    return FlawedJob(seed, draft.text, tuple(chosen))
