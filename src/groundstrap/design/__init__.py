"""Choosing: the least copper, or the least price, that meets drop, ampacity, minimum size and protection."""

from groundstrap.design.answer import choose
from groundstrap.design.results import (
    Binding,
    Blame,
    Change,
    Design,
    FuseChoice,
    Loss,
    Remedy,
    RemedyKind,
    Unsolved,
)

__all__ = [
    "Binding",
    "Blame",
    "Change",
    "Design",
    "FuseChoice",
    "Loss",
    "Remedy",
    "RemedyKind",
    "Unsolved",
    "choose",
]
