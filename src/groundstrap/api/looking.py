"""What can be looked up: rules and reference tables."""

from __future__ import annotations

from groundstrap.checks import Rule, rule
from groundstrap.tables import Table, list_tables, show

__all__ = ["explain", "table", "tables"]


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
    return rule(name)


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
    return show(name)
