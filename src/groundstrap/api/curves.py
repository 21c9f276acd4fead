"""Time-current curves as drawings, which no plan has to load."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap.assess import time_current_curves
from groundstrap.report.curve_picture import pictures
from groundstrap.report.curve_words import drawn_line
from groundstrap.report.figures import Display
from groundstrap.report.plan import Plan

__all__ = ["curve_pictures", "curves_text"]


def curve_pictures(answer: Plan, *, units: str | None = None) -> Mapping[str, str]:
    """Return a drawing for every circuit with a fuse of known rating: file name -> SVG.

    Time over current: the fuse's band, what its closest wire stands, the load with its start, the least and
    the most fault.

    Parameters
    ----------
    answer : Plan
        What `plan` or `check` said.
    units : str or None
        `metric` or `us`; left out, the job's own.
    """
    estimates = {name: found.estimate for name, found in answer.vetting.loads.items()}
    curves = time_current_curves(answer.installation, estimates, answer.assessment)
    shown = Display.of(answer.installation, units)
    return {each.file: each.svg for each in pictures(curves, answer.installation, shown)}


def curves_text(answer: Plan, folder: str) -> str:
    """Return in one line how many drawings a folder holds, and which fuses could not be drawn."""
    return drawn_line(answer.assessment, folder)
