"""Results that only some outputs show: found when somebody looks at them, and then once."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import TypeVar

__all__ = ["Later"]

Value = TypeVar("Value")


class Later(Mapping[str, Value]):
    """A mapping that is found when it is first looked at.

    >>> lengths_m = Later(lambda: {"warmer wire 1": 2.5})
    >>> lengths_m["warmer wire 1"], len(lengths_m)
    (2.5, 1)
    """

    def __init__(self, find: Callable[[], Mapping[str, Value]]) -> None:
        """Keep how it is found."""
        self._find: Callable[[], Mapping[str, Value]] | None = find
        self._found: Mapping[str, Value] = {}

    def _look(self) -> Mapping[str, Value]:
        # Several threads may look at once: then it is found twice, and the same.
        find = self._find
        if find is not None:
            self._found = find()
            self._find = None
        return self._found

    def __repr__(self) -> str:
        """What is found, as a mapping that was not put off shows it."""
        return repr(self._look())

    def __getitem__(self, name: str) -> Value:
        """What is found under a name."""
        return self._look()[name]

    def __iter__(self) -> Iterator[str]:
        """Go through the names."""
        return iter(self._look())

    def __len__(self) -> int:
        """How many there are."""
        return len(self._look())
