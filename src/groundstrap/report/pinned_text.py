"""What was pinned and what was not, in one line for the terminal."""

from __future__ import annotations

from groundstrap.report.figures import counted
from groundstrap.report.plan import Pinned

__all__ = ["pinned_line"]


def pinned_line(pinned: Pinned, file: str) -> str:
    """Return what was written into a file, and which circuits stay open because a stop stands against them.

    >>> print(pinned_line(Pinned(text="", wires=2, fuses=1, left_open={"pump": ("PRT008",)}), "a.yaml"))
    a.yaml: 2 wire sizes and 1 fuse rating written; left open, for a stop stands against it: pump (PRT008)
    """
    types = f" and {counted(pinned.types, 'fuse type')}" if pinned.types else ""
    joined = "," if types else " and"
    what = (
        f"{counted(pinned.wires, 'wire size')}{joined} {counted(pinned.fuses, 'fuse rating')}{types} written"
    )
    if not pinned.left_open:
        return f"{file}: {what}"
    names = ", ".join(f"{name} ({', '.join(rules)})" for name, rules in pinned.left_open.items())
    return f"{file}: {what}; left open, for a stop stands against it: {names}"
