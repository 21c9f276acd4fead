"""Reels: which cable is cut from which reel, so that the least is bought."""

from __future__ import annotations

import math
from collections.abc import Iterator
from enum import StrEnum
from typing import Final

from groundstrap.model import Installation
from groundstrap.pack.content import Align, Block, Column, Paragraph, Section, Table
from groundstrap.pack.lists.cuts import Cut, cuts_of
from groundstrap.pack.lists.cutting import cut_stock
from groundstrap.records import dataclass
from groundstrap.report.figures import Display, number
from groundstrap.report.parts import Cable, Group, Item, cable_words, items
from groundstrap.report.plan import Plan
from groundstrap.words import Name, joined, words

__all__ = ["CableReels", "Reel", "SoldBy", "reel_section", "reels_of"]

_METRIC_M: Final = (10.0, 25.0, 50.0, 100.0)
"""Usual reels where the shop's list has none; own judgement. [m]"""
_US_M: Final = (7.62, 15.24, 30.48)
"""Usual reels where the shop's list has none: 25, 50 and 100 ft; own judgement. [m]"""
_FOOT_M: Final = 0.3048
_REEL_MM2: Final = 6.0
"""Up to here cable is usually sold in reels, above by the metre; own judgement. [mm2]"""


class SoldBy(StrEnum):
    """Where the lengths of reels come from."""

    STOCK = "stock"
    USUAL = "usual"
    METRE = "metre"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reel:
    """One reel, or one length cut off by the shop, with its cables in the order of cutting."""

    number: str
    """Of the kind of cable, by its place in the list of parts, and of the reel of it, such as 3-2."""
    length_m: float
    cuts: tuple[Cut, ...]

    @property
    def left_m(self) -> float:
        """What stays over. [m]"""
        return round(self.length_m - sum(cut.cut_m for cut in self.cuts), 6)


@dataclass(frozen=True, slots=True, kw_only=True)
class CableReels:
    """One kind of cable with its reels."""

    cable: Cable
    item: str
    """Its words in the list of parts."""
    sold_by: SoldBy
    reels: tuple[Reel, ...]
    cut_m: float
    bought_m: float
    proved: bool
    """Whether nothing less could be bought for certain."""
    bound_m: float
    """What no other choice of these reels comes below. [m]"""
    longest_reel_m: float | None = None
    """The longest reel there is, where a cable is longer still and all is bought in one length. [m]"""


def reels_of(
    plan: Plan, cuts: tuple[Cut, ...] | None = None, *, us: bool | None = None
) -> tuple[CableReels, ...]:
    """Return the reels of each kind of cable, in the order of the list of parts.

    Parameters
    ----------
    plan : Plan
        What `plan` said.
    cuts : tuple of Cut or None
        The cables, where somebody has them already.
    us : bool or None
        Whether reels are in feet; left out, as the job has its units.
    """
    cuts = cuts_of(plan) if cuts is None else cuts
    us = plan.installation.units == "us" if us is None else us
    cables = [item for item in items(plan) if item.group is Group.CABLE and item.cable is not None]
    return tuple(
        _reels(plan.installation, number, item, tuple(cut for cut in cuts if cut.cable == item.cable), us=us)
        for number, item in enumerate(cables, 1)
    )


def _reels(
    installation: Installation, place: int, item: Item, cuts: tuple[Cut, ...], *, us: bool
) -> CableReels:
    assert item.cable is not None
    lengths_m, sold_by = _lengths(installation, item, us=us)
    longest_m = max((cut.cut_m for cut in cuts), default=0.0)
    reel_m = max(lengths_m, default=None)
    too_long = reel_m is not None and longest_m > reel_m
    if reel_m is None or too_long:
        lengths_m, sold_by = (), SoldBy.METRE
    cut_m = round(sum(cut.cut_m for cut in cuts), 6)
    if sold_by is SoldBy.METRE:
        step_m = _FOOT_M if us else 1.0
        bought_m = round(math.ceil(cut_m / step_m - 1e-9) * step_m, 6)
        ordered = tuple(sorted(cuts, key=lambda cut: -cut.cut_m))
        reels: tuple[Reel, ...] = (Reel(number=f"{place}-1", length_m=bought_m, cuts=ordered),)
        longest = reel_m if too_long else None
        return _result(item, sold_by, reels, proved=True, bound_m=bought_m, reel_m=longest)
    found = cut_stock([_cm(cut.cut_m) for cut in cuts], [_whole_cm(length) for length in lengths_m])
    exact_m = {_whole_cm(length): length for length in lengths_m}
    reels = tuple(
        Reel(
            number=f"{place}-{count}",
            length_m=exact_m[reel.length],
            cuts=tuple(cuts[n] for n in reel.pieces),
        )
        for count, reel in enumerate(found.reels, 1)
    )
    return _result(item, sold_by, reels, proved=found.proved, bound_m=found.bound / 100)


def _result(
    item: Item,
    sold_by: SoldBy,
    reels: tuple[Reel, ...],
    *,
    proved: bool,
    bound_m: float,
    reel_m: float | None = None,
) -> CableReels:
    assert item.cable is not None
    return CableReels(
        cable=item.cable,
        item=item.item,
        sold_by=sold_by,
        reels=reels,
        cut_m=round(sum(cut.cut_m for reel in reels for cut in reel.cuts), 6),
        bought_m=round(sum(reel.length_m for reel in reels), 6),
        proved=proved,
        bound_m=bound_m,
        longest_reel_m=reel_m,
    )


def _cm(length_m: float) -> int:
    """A piece in whole centimetres, never shorter than it is."""
    return math.ceil(length_m * 100 - 1e-6)


def _whole_cm(length_m: float) -> int:
    """A reel in whole centimetres, never longer than it is."""
    return math.floor(length_m * 100 + 1e-6)


def _lengths(installation: Installation, item: Item, *, us: bool) -> tuple[tuple[float, ...], SoldBy]:
    """Lengths of reels that there are: the shop's, else usual ones; none where it is sold by the metre."""
    shop = tuple(sorted({row.reel_m for row in item.stock if row.reel_m is not None}))
    if shop:
        return shop, SoldBy.STOCK
    size = item.cable.size if item.cable is not None else None
    if item.stock or size is None or size.area_mm2 > _REEL_MM2:
        # The shop has it and names no reel: it cuts what is asked for.
        return (), SoldBy.METRE
    in_feet = us or installation.sizes == "awg"
    return (_US_M if in_feet else _METRIC_M), SoldBy.USUAL


def reel_section(plan: Plan, shown: Display, found: tuple[CableReels, ...] | None = None) -> Section:
    """Return for print the metres of each kind, and which cable is cut from which reel."""
    found = reels_of(plan, us=shown.us) if found is None else found
    if not found:
        nothing = Paragraph(words("No cable is to be laid."))
        return Section(key="reels", title=words("Reels"), blocks=(nothing,))
    columns = (
        Column(words("Reel"), share=0.5),
        Column(words("Cable"), share=1.8),
        Column(words("Length"), Align.RIGHT, share=0.8),
        Column(words("Cut in this order"), share=4.0),
        Column(words("Left"), Align.RIGHT, share=0.7),
    )
    rows = tuple(_row(each, reel, shown) for each in found for reel in each.reels)
    blocks: tuple[Block, ...] = (
        _metres(found, shown),
        Paragraph(_about(found)),
        Table(columns, rows, small=True),
        *_notes(found, shown),
    )
    return Section(key="reels", title=words("Reels"), blocks=blocks, new_page=False)


def _metres(found: tuple[CableReels, ...], shown: Display) -> Table:
    """Each kind as a shop is asked for it that cuts what is wanted."""
    columns = (
        Column(words("Cable"), share=3.0),
        Column(words("Pieces"), Align.RIGHT, share=0.7),
        Column(words("Longest"), Align.RIGHT, share=0.8),
        Column(words("All as cut"), Align.RIGHT, share=0.9),
        Column(words("Or on reels"), Align.RIGHT, share=1.2),
    )
    rows = tuple(
        (
            cable_words(each.cable, shown),
            number(sum(len(reel.cuts) for reel in each.reels)),
            shown.length(max(cut.cut_m for reel in each.reels for cut in reel.cuts)),
            shown.length(each.cut_m),
            words("by the metre") if each.sold_by is SoldBy.METRE else _counted(each, shown),
        )
        for each in found
    )
    return Table(columns, rows, caption=words("Cable by the metre, of each kind"), small=True)


def _counted(each: CableReels, shown: Display) -> str:
    lengths = [reel.length_m for reel in each.reels]
    counted = dict.fromkeys(lengths)
    return ", ".join(f"{lengths.count(length)} x {shown.length(length)}" for length in counted)


def _row(each: CableReels, reel: Reel, shown: Display) -> tuple[str, ...]:
    length: str = shown.length(reel.length_m)
    if each.sold_by is SoldBy.METRE:
        length = words("{length} cut off", length=length)
    cuts = joined("; ", (_cut(cut, shown) for cut in reel.cuts))
    left = shown.length(reel.left_m) if reel.left_m > 0 else "0"
    return Name(reel.number), cable_words(each.cable, shown), length, cuts, left


def _cut(cut: Cut, shown: Display) -> str:
    return words("{number} {length}", number=Name(f"[{cut.number}]"), length=shown.length(cut.cut_m))


def _about(found: tuple[CableReels, ...]) -> str:
    kinds = {each.sold_by for each in found}
    if SoldBy.USUAL in kinds:
        return words(
            "Each reel with the cables that are cut from it, each by its number. Lengths of reels are usual "
            "ones up to 6 mm2, above cable is sold by the metre (own judgement); a shop's own stand in its "
            "stock list, in the column reel."
        )
    return words("Each reel with the cables that are cut from it, each by its number.")


def _notes(found: tuple[CableReels, ...], shown: Display) -> Iterator[Paragraph]:
    reeled = [each for each in found if each.sold_by is not SoldBy.METRE]
    if reeled and all(each.proved for each in reeled):
        yield Paragraph(
            words("No other choice of these reels comes to less: that was proved for each cable.")
        )
    for each in reeled:
        if not each.proved:
            yield Paragraph(
                words(
                    "{item}: {bought} are bought; no choice of these reels comes below {bound}.",
                    item=each.item,
                    bought=shown.length(each.bought_m),
                    bound=shown.length(each.bound_m),
                )
            )
    for each in found:
        if each.longest_reel_m is not None:
            long = [cut for reel in each.reels for cut in reel.cuts if cut.cut_m > each.longest_reel_m]
            yield Paragraph(
                words(
                    "{item}: {cables} longer than any reel there is ({reel}), so all of this kind is asked "
                    "for in one length, cut off.",
                    item=each.item,
                    cables=joined(", ", (Name(f"[{cut.number}]") for cut in long)),
                    reel=shown.length(each.longest_reel_m),
                )
            )
    if any(each.sold_by is SoldBy.METRE and len(each.reels[0].cuts) > 1 for each in found):
        yield Paragraph(words("Cut off: have the shop give it in one length, and cut it in this order."))
