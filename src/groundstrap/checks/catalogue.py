"""The catalogue: every rule with its record, read from the modules in `rules/` once."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable, Mapping
from functools import cache
from types import MappingProxyType

from groundstrap.checks import rules as rules_package
from groundstrap.checks.rule import Rule, Verdict
from groundstrap.errors import UnknownNameError
from groundstrap.records import dataclass, replace

__all__ = ["Entry", "areas", "entries", "rule", "rules", "wiring_entries"]

_PARTS = ("Why", "Applies to", "Known limits")
_LATER = frozenset({"end", "tst"})
"""Areas whose rules judge runs of days or readings, as no others do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A rule as its module wrote it, without what the docstring says, and the function that judges."""

    rule: Rule
    check: Callable[..., Verdict]
    module: str


@cache
def entries() -> Mapping[str, Entry]:
    """Return every rule by its id, in the order of the ids."""
    return _joined(_area_names())


@cache
def wiring_entries() -> Mapping[str, Entry]:
    """Return the rules that judge wiring by their ids: a plan reads no others."""
    return _joined(tuple(area for area in _area_names() if area not in _LATER))


def _joined(names: tuple[str, ...]) -> Mapping[str, Entry]:
    found = [entry for area in names for entry in _of_area(area)]
    return MappingProxyType({e.rule.id: e for e in sorted(found, key=lambda entry: entry.rule.id)})


@cache
def _area_names() -> tuple[str, ...]:
    return tuple(sorted(found.name for found in pkgutil.iter_modules(rules_package.__path__) if found.ispkg))


@cache
def _of_area(area: str) -> tuple[Entry, ...]:
    """The rules of one area, each from its module."""
    package = importlib.import_module(f"{rules_package.__name__}.{area}")
    names = [f"{package.__name__}.{found.name}" for found in pkgutil.iter_modules(package.__path__)]
    modules = [importlib.import_module(name) for name in names]
    return tuple(Entry(rule=each.RULE, check=each.check, module=each.__name__) for each in modules)


@cache
def rules() -> tuple[Rule, ...]:
    """Return every rule, in the order of the ids."""
    return tuple(_told(id_) for id_ in entries())


@cache
def areas() -> Mapping[str, str]:
    """Return what each area of rules is about, by the three letters that its ids begin with.

    >>> areas()["BOA"]
    'Boats: hull, bilge, vapour'
    """
    packages = {name: importlib.import_module(f"{rules_package.__name__}.{name}") for name in _area_names()}
    told = {name.upper(): inspect.getdoc(package) or "" for name, package in packages.items()}
    return MappingProxyType({name: words.rstrip(".") for name, words in told.items()})


def rule(name: str) -> Rule:
    """Return the rule with this id or slug.

    >>> rule("fuse-above-loop").id
    'PRT001'
    """
    area = name[:3].lower()
    if area in _area_names():
        # A plan asks for rules by their ids, and needs none of the other areas for it.
        found = next((each.rule.id for each in _of_area(area) if each.rule.id == name.upper()), None)
        if found is not None:
            return _told(found)
    known = _ids()
    by_slug = known.get(name) or known.get(name.lower())
    if by_slug is None:
        raise UnknownNameError("rule", name, known)
    return _told(by_slug)


@cache
def _ids() -> Mapping[str, str]:
    """Ids by slug and by id."""
    every = entries().values()
    return {entry.rule.slug: entry.rule.id for entry in every} | {id_: id_ for id_ in entries()}


@cache
def _told(id_: str) -> Rule:
    """A rule's record with what the docstring of its module says."""
    entry = next(each for each in _of_area(id_[:3].lower()) if each.rule.id == id_)
    words = inspect.getdoc(importlib.import_module(entry.module)) or ""
    statement, *_ = words.split("\n", 1)
    why, applies_to, known_limits = (_section(words, title) for title in _PARTS)
    return replace(entry.rule, statement=statement, why=why, applies_to=applies_to, known_limits=known_limits)


def _section(words: str, title: str) -> str:
    found = re.search(rf"^{title}\n-+\n(.*?)(?=^\S[^\n]*\n-+$|\Z)", words, flags=re.MULTILINE | re.DOTALL)
    return " ".join(found.group(1).split()) if found else ""
