"""What rules need: one typed function for each name, with the unit in the name, in one module for each kind.

A number that cannot be had is None. Whether a rule applies is a need of its own and always known from the
shape of the model.
"""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable, Mapping
from types import MappingProxyType, ModuleType
from typing import Any

from groundstrap.checks.needs import (
    astray,
    backfeed,
    battery_runs,
    bonding,
    charging,
    circuits,
    claims,
    dipping,
    failing,
    fuses,
    gear,
    holders,
    leftovers,
    limiting,
    load_runs,
    loads,
    parts,
    plugs,
    proofs,
    readings_taken,
    readings_together,
    record,
    serving,
    sharing,
    situations,
    span_runs,
    standing,
    starting,
    sticking,
    stranding,
    strapping,
    supplies,
    switching,
    tapping,
    termination,
    voltages,
    wires,
)
from groundstrap.checks.rule import About, Rule

__all__ = ["NEEDS", "Value", "needs_words"]

Value = float | int | bool | str | None

_MODULES: Mapping[About, tuple[ModuleType, ...]] = {
    About.CIRCUIT: (
        circuits,
        backfeed,
        stranding,
        tapping,
    ),
    About.LEFTOVER: (leftovers,),
    About.WIRE: (wires, termination, failing, bonding),
    About.FUSE: (fuses, voltages, holders, starting),
    About.PART: (
        parts,
        switching,
        plugs,
        sticking,
        standing,
    ),
    About.GEAR: (gear,),
    About.LOAD: (
        loads,
        astray,
        dipping,
        limiting,
        serving,
    ),
    About.CLAIM: (claims,),
    About.SUPPLY: (supplies, charging, strapping, sharing),
    About.SITUATION: (situations,),
    About.RECORD: (record,),
    About.BATTERY_RUN: (battery_runs,),
    About.LOAD_RUN: (load_runs,),
    About.SPAN_RUN: (span_runs,),
    About.READING: (readings_taken,),
    About.PROOF: (proofs,),
    About.SHEET: (readings_together,),
}


def _functions(modules: tuple[ModuleType, ...]) -> Mapping[str, Callable[[Any], Value]]:
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


NEEDS: Mapping[About, Mapping[str, Callable[[Any], Value]]] = MappingProxyType(
    {about: _functions(modules) for about, modules in _MODULES.items()}
)
"""Kind of thing -> name -> the function that fetches it."""


_ASIDE = re.compile(r"source of|its name$|name of|what it is$|why |what sets that")
"""Needs that only help to word a finding."""


def needs_words(rule: Rule) -> tuple[str, ...]:
    """Return what a rule looks at, each in words with its unit behind it."""
    told = (_words(NEEDS[rule.about][name]) for name in rule.needs)
    return tuple(words for words in told if not _ASIDE.match(words))


def _words(function: Callable[[Any], Value]) -> str:
    """The first line of a need's docstring: its sentence, its unit in brackets."""
    said, _, unit = (inspect.getdoc(function) or "").split("\n", 1)[0].partition(". [")
    words = f"{said[:1].lower()}{said[1:]}".rstrip(".")
    words = re.sub(r"^true where (.*), else None\b", r"whether \1", words)
    words = re.sub(r"\bNone\b", "nothing", words)
    return f"{words} ({unit.rstrip(']')})" if unit else words
