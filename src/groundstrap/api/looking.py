"""What can be looked up: rules and reference tables."""

from __future__ import annotations

from groundstrap.checks import Rule, rule
from groundstrap.checks import rules as every_rule
from groundstrap.errors import CallError, UnknownNameError
from groundstrap.tables import Table, list_tables, show

__all__ = ["explain", "rules", "table", "tables"]


def explain(name: str) -> Rule:
    """Return a rule by its id or slug: what it wants, why, where it applies and on whose word.

    Parameters
    ----------
    name : str
        Id or slug, such as PRT001 or fuse-above-loop.

    Examples
    --------
    >>> explain("fuse-above-loop").id
    'PRT001'
    """
    try:
        return rule(name)
    except UnknownNameError as error:
        wanted = "an id or a name that `groundstrap explain` lists"
        raise CallError("no rule of that name", wanted=wanted, given=name, nearest=error.nearest) from None


def rules() -> tuple[Rule, ...]:
    """Return every rule, in the order of their ids."""
    return tuple(every_rule())


def tables() -> tuple[str, ...]:
    """Return the names of all reference tables."""
    return list_tables()


def table(name: str) -> Table:
    """Return a reference table with its rows and where they come from.

    Parameters
    ----------
    name : str
        Name of the table, as `tables` lists it.
    """
    try:
        return show(name)
    except UnknownNameError as error:
        wanted = "a name that `groundstrap tables` lists"
        raise CallError("no table of that name", wanted=wanted, given=name, nearest=error.nearest) from None
