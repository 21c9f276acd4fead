"""A whole choice, with what would help where nothing fits or a cable is far thicker than it need be."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap.design.choose import settle
from groundstrap.design.eased import with_eased
from groundstrap.design.remedies import Trials, explained
from groundstrap.design.results import Design
from groundstrap.model import Installation, LoadEstimate
from groundstrap.records import replace

__all__ = ["choose"]


def choose(installation: Installation, estimates: Mapping[str, LoadEstimate]) -> Design:
    """Return the least copper (least price where the stock has prices) that meets everything."""
    settled = settle(installation, estimates)
    design = settled.design
    trials = Trials(installation, estimates, frozenset(each.circuit for each in design.unsolved))
    return replace(design, unsolved=explained(settled, trials), bindings=with_eased(settled, trials))
