"""Looking at a thing once, however many needs ask for what is found there."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TypeVar

from groundstrap.checks.facts import Subject

__all__ = ["once"]

Thing = TypeVar("Thing", bound=Subject)
Answer = TypeVar("Answer")


def once(find: Callable[[Thing], Answer]) -> Callable[[Thing], Answer]:
    """Let a function look at each thing once; what it found stays with the thing as long as that lives."""
    name = f"{find.__module__}.{find.__qualname__}"

    @wraps(find)
    def remembered(subject: Thing) -> Answer:
        kept = subject.__dict__
        if name not in kept:
            kept[name] = find(subject)
        answer: Answer = kept[name]
        return answer

    return remembered
