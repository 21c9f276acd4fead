"""A whole choice, with what would help where nothing fits or a cable is far thicker than it need be."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap.assess.wiring import Wiring
from groundstrap.design.choose import settle
from groundstrap.design.eased import with_eased
from groundstrap.design.remedies import Trials, explained
from groundstrap.design.results import Design
from groundstrap.design.sized import as_chosen
from groundstrap.model import Installation, LoadEstimate
from groundstrap.records import dataclass, replace

__all__ = ["Chosen", "choose", "chosen"]


@dataclass(frozen=True, slots=True)
class Chosen:
    """A whole choice with its wiring, so that nobody has to wire it up again."""

    design: Design
    wiring: Wiring


def chosen(installation: Installation, estimates: Mapping[str, LoadEstimate]) -> Chosen:
    """Return the least copper (least price where the stock has prices) that meets everything, wired up."""
    settled = settle(installation, estimates)
    design = settled.design
    trials = Trials(installation, estimates, frozenset(each.circuit for each in design.unsolved))
    told = replace(design, unsolved=explained(settled, trials), bindings=with_eased(settled, trials))
    return Chosen(told, as_chosen(settled.task.with_fuses(design.sizes).wiring, design))


def choose(installation: Installation, estimates: Mapping[str, LoadEstimate]) -> Design:
    """Return the same without its wiring."""
    return chosen(installation, estimates).design
