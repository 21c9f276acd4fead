"""What rules need: one typed function for each name, with the unit in the name, in one module for each kind.

A number that cannot be had is None. Whether a rule applies is a need of its own and always known from the
shape of the model.
"""

from __future__ import annotations

import importlib
import inspect
import re
from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType, ModuleType
from typing import Any, Final

from groundstrap.checks.rule import About, Rule

__all__ = ["NEEDS", "Value", "needs_words"]

Value = float | int | bool | str | None
_Functions = Mapping[str, Callable[[Any], Value]]

_MODULES: Final[Mapping[About, tuple[str, ...]]] = {
    About.CIRCUIT: ("circuits", "backfeed", "stranding", "tapping"),
    About.LEFTOVER: ("leftovers",),
    About.WIRE: ("wires", "termination", "failing", "bonding"),
    About.FUSE: ("fuses", "breaking", "voltages", "holders", "starting"),
    About.PART: ("parts", "switching", "plugs", "sticking", "standing"),
    About.GEAR: ("gear",),
    About.LOAD: ("loads", "astray", "dipping", "limiting", "serving", "labels"),
    About.CLAIM: ("claims",),
    About.SUPPLY: ("supplies", "charging", "strapping", "sharing"),
    About.SITUATION: ("situations",),
    About.RECORD: ("record",),
    About.BATTERY_RUN: ("battery_runs",),
    About.LOAD_RUN: ("load_runs",),
    About.SPAN_RUN: ("span_runs",),
    About.READING: ("readings_taken",),
    About.PROOF: ("proofs",),
    About.SHEET: ("readings_together",),
}
"""Kind of thing -> the modules beside this one that fetch what rules need of it."""


class _Needs(Mapping[About, _Functions]):
    """The functions that fetch, by kind of thing and name; modules of a kind are read when it is asked for.

    A plan judges neither days nor readings, and what those rest on is a fifth of the program.
    """

    def __init__(self) -> None:
        self._read: dict[About, _Functions] = {}

    def __getitem__(self, about: About) -> _Functions:
        found = self._read.get(about)
        if found is None:
            modules = [importlib.import_module(f"{__name__}.{name}") for name in _MODULES[about]]
            found = self._read[about] = _functions(modules)
        return found

    def __iter__(self) -> Iterator[About]:
        return iter(_MODULES)

    def __len__(self) -> int:
        return len(_MODULES)


def _functions(modules: list[ModuleType]) -> _Functions:
    return MappingProxyType(
        {
            name: function
            for module in modules
            for name, function in vars(module).items()
            if inspect.isfunction(function)
            and not name.startswith("_")
            and function.__module__ == module.__name__
        }
    )


NEEDS: Final[Mapping[About, _Functions]] = _Needs()
"""Kind of thing -> name -> the function that fetches it."""


_ASIDE = "source of|its name$|name of|what it is$|why |what sets that"
"""How needs begin that only help to word a finding."""


def needs_words(rule: Rule) -> tuple[str, ...]:
    """Return what a rule looks at, each in words with its unit behind it."""
    told = (_words(NEEDS[rule.about][name]) for name in rule.needs)
    return tuple(words for words in told if not re.match(_ASIDE, words))


def _words(function: Callable[[Any], Value]) -> str:
    """The first line of a need's docstring: its sentence, its unit in brackets."""
    said, _, unit = (inspect.getdoc(function) or "").split("\n", 1)[0].partition(". [")
    words = f"{said[:1].lower()}{said[1:]}".rstrip(".")
    words = re.sub(r"^true where (.*), else None\b", r"whether \1", words)
    words = re.sub(r"\bNone\b", "nothing", words)
    return f"{words} ({unit.rstrip(']')})" if unit else words
