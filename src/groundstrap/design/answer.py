"""A whole choice with what would help where nothing fits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from groundstrap.design.choose import settle
from groundstrap.design.remedies import explained
from groundstrap.design.results import Design
from groundstrap.model import Installation, LoadEstimate

__all__ = ["choose"]


def choose(installation: Installation, estimates: Mapping[str, LoadEstimate]) -> Design:
    """Return the least copper (least price where the stock has prices) that meets everything."""
    settled = settle(installation, estimates)
    if not settled.design.unsolved:
        return settled.design
    return replace(settled.design, unsolved=explained(settled, installation, estimates))
