"""A plan as text for a terminal."""

from __future__ import annotations

from groundstrap.report.figures import Display
from groundstrap.report.layout import Style, laid_out
from groundstrap.report.pinned_text import pinned_line
from groundstrap.report.plan import Pinned, Plan
from groundstrap.report.plan_text import plan_lines

__all__ = ["pinned_text", "plan_text"]


def plan_text(answer: Plan, *, units: str | None = None, width: int = 80, colour: bool = False) -> str:
    """Return a plan for a terminal: the answer at a glance, then circuit by circuit why.

    Parameters
    ----------
    answer : Plan
        What `plan` or `check` said.
    units : str or None
        `metric` or `us`; left out, the job's own. They change what is shown, never what is chosen.
    width : int
        Columns of the terminal.
    colour : bool
        Whether the terminal shows colours; they never say anything that the text does not.
    """
    shown = Display.of(answer.installation, units)
    return laid_out(plan_lines(answer, Style(width=width, colour=colour, shown=shown)))


def pinned_text(pinned: Pinned, file: str) -> str:
    """Return in one line what was written into a file and which circuits were left open, and why."""
    return pinned_line(pinned, file)
