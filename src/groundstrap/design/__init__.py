"""Choosing: the least copper, or the least price, that meets drop, ampacity, minimum size and protection."""

from groundstrap.design.choose import choose
from groundstrap.design.results import Binding, Blame, Design, FuseChoice, Unsolved

__all__ = ["Binding", "Blame", "Design", "FuseChoice", "Unsolved", "choose"]
