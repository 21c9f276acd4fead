"""What rules need: one typed function for each name, with the unit in the name, in one module for each kind.

A number that cannot be had is None. Whether a rule applies is a need of its own and always known from the
shape of the model.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Mapping
from types import MappingProxyType, ModuleType
from typing import Any

from groundstrap.checks.needs import (
    circuits,
    claims,
    fuses,
    gear,
    leftovers,
    loads,
    parts,
    situations,
    supplies,
    wires,
)
from groundstrap.checks.rule import About

__all__ = ["NEEDS", "Value"]

Value = float | int | bool | str | None

_MODULES: Mapping[About, ModuleType] = {
    About.CIRCUIT: circuits,
    About.LEFTOVER: leftovers,
    About.WIRE: wires,
    About.FUSE: fuses,
    About.PART: parts,
    About.GEAR: gear,
    About.LOAD: loads,
    About.CLAIM: claims,
    About.SUPPLY: supplies,
    About.SITUATION: situations,
}


def _functions(module: ModuleType) -> Mapping[str, Callable[[Any], Value]]:
    return MappingProxyType(
        {
            name: function
            for name, function in vars(module).items()
            if inspect.isfunction(function)
            and not name.startswith("_")
            and function.__module__ == module.__name__
        }
    )


NEEDS: Mapping[About, Mapping[str, Callable[[Any], Value]]] = MappingProxyType(
    {about: _functions(module) for about, module in _MODULES.items()}
)
"""Kind of thing -> name -> the function that fetches it."""
