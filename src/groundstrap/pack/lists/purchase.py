"""What is bought: the plan's list with slack and spares, in packs and reels, and what protects cable.

How much is in the plan stands beside how much is bought, so that both can be checked against each other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Final

from groundstrap.model import Installation, PartKind, StockItem, Stretch, Wire
from groundstrap.pack.lists.cuts import Cut, cuts_of
from groundstrap.pack.lists.reels import CableReels, reels_of
from groundstrap.records import dataclass
from groundstrap.report.figures import number
from groundstrap.report.parts import Cable, Group, Item, items, laid
from groundstrap.report.plan import Plan
from groundstrap.words import words

__all__ = ["PROTECTION", "Bought", "Purchase", "purchase_of"]

PROTECTION: Final = "protection"
"""Group of heat-shrink, loom, conduit, grommets and clips, which no circuit's list has."""
_SPARE_SHARE: Final = 0.1
"""Terminals on top, at least one of each: a crimp that fails its pull is cut off; own judgement. [1]"""
_SHRINK_M: Final = ((6.0, 0.04), (35.0, 0.06), (math.inf, 0.09))
"""Heat-shrink over one crimp, up to an area; own judgement. [mm2, m]"""
_ROUTE_SLACK: Final = 0.1
"""Loom and conduit on top of the route, as of cable; own judgement. [1]"""
_SHRUNK: Final = frozenset({"ring", "tab", "splice"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought:
    """One line of what is bought."""

    group: str
    """cable, fuse, holder, block, part, terminal; or protection, which is in no circuit's list."""
    item: str
    cable: Cable | None
    """Of cable: its kind."""
    unit: str
    fitted: float
    """As in the plan: cable as laid; of what protects cable as much as is needed. [m or pieces]"""
    needed: float
    """With slack and spares. [m or pieces]"""
    spare: float
    """Of it, spares. [pieces]"""
    buy: float
    """In whole reels and packs. [m or pieces]"""
    pack: int
    """Pieces that are sold together. [pieces]"""
    reels: tuple[tuple[float, int], ...]
    """Of cable: lengths of its reels, and how many of each. [m]"""
    part: str
    """The shop's own numbers; empty where its list has none."""
    price: float | None
    """Of the whole line. None where the shop's list has none."""
    circuits: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """Everything that is bought."""

    rows: tuple[Bought, ...]

    @property
    def price(self) -> float | None:
        """Sum of the prices that are known; None where there are none."""
        known = [row.price for row in self.rows if row.price is not None]
        return sum(known) if known else None

    @property
    def all_priced(self) -> bool:
        """Whether every line has a price."""
        return all(row.price is not None for row in self.rows)


def purchase_of(
    plan: Plan, cuts: tuple[Cut, ...] | None = None, reels: tuple[CableReels, ...] | None = None
) -> Purchase:
    """Return what is bought for a plan."""
    cuts = cuts_of(plan) if cuts is None else cuts
    reels = reels_of(plan, cuts) if reels is None else reels
    by_item = {each.item: each for each in reels}
    rows = [_cable(item, by_item) if item.group is Group.CABLE else _pieces(item) for item in items(plan)]
    return Purchase(rows=(*rows, *_protection(plan, cuts)))


def _cable(item: Item, reels: Mapping[str, CableReels]) -> Bought:
    found = reels[item.item]
    lengths = [reel.length_m for reel in found.reels]
    rows = {length: _row_of(item, length) for length in lengths}
    prices = [None if row is None or row.price is None else row.price * m for m, row in rows.items()]
    known = [price for price in prices if price is not None]
    counted = {length: lengths.count(length) for length in dict.fromkeys(lengths)}
    return Bought(
        group=item.group.value,
        item=item.item,
        cable=item.cable,
        unit=item.unit,
        fitted=item.quantity,
        needed=found.cut_m,
        spare=0.0,
        buy=found.bought_m,
        pack=1,
        reels=tuple(counted.items()),
        part=_parts(row for row in rows.values()),
        price=sum(p * n for p, n in zip(known, counted.values(), strict=True))
        if len(known) == len(prices)
        else None,
        circuits=tuple(item.circuits),
    )


def _row_of(item: Item, length_m: float) -> StockItem | None:
    """The shop's line for a reel of a length; any of that cable where it is cut off."""
    exact = [row for row in item.stock if row.reel_m == length_m]
    return next(iter((*exact, *item.stock)), None)


def _parts(rows: Iterator[StockItem | None]) -> str:
    return ", ".join(dict.fromkeys(row.part for row in rows if row is not None and row.part is not None))


def _pieces(item: Item) -> Bought:
    spare = _spares(item)
    needed = item.quantity + spare
    row = item.stock[0] if item.stock else None
    pack = 1 if row is None or row.pack is None else row.pack
    buy = _whole_packs(needed, pack)
    return Bought(
        group=item.group.value,
        item=item.item,
        cable=item.cable,
        unit=item.unit,
        fitted=item.quantity,
        needed=needed,
        spare=spare,
        buy=float(buy),
        pack=pack,
        reels=(),
        part=_parts(iter((row,))),
        price=None if row is None or row.price is None else row.price * buy,
        circuits=tuple(item.circuits),
    )


def _whole_packs(pieces: float, pack: int) -> int:
    return math.ceil(pieces / pack) * pack


def _spares(item: Item) -> float:
    """One fuse of each type and rating; of terminals a share. A breaker is closed again."""
    if item.group is Group.FUSE:
        return 0.0 if item.item.startswith(PartKind.BREAKER.value) else 1.0
    if item.group is Group.TERMINAL:
        return float(max(1, math.ceil(_SPARE_SHARE * item.quantity - 1e-9)))
    return 0.0


def _protection(plan: Plan, cuts: tuple[Cut, ...]) -> Iterator[Bought]:
    for item, quantity, unit in (*_shrinks(cuts), *_looms(plan), *_grommets(plan), *_supports(plan)):
        row = _other(plan, item)
        pack = 1 if row is None or row.pack is None or unit == "m" else row.pack
        buy = math.ceil(quantity * 10 - 1e-6) / 10 if unit == "m" else float(_whole_packs(quantity, pack))
        yield Bought(
            group=PROTECTION,
            item=item,
            cable=None,
            unit=unit,
            fitted=quantity,
            needed=quantity,
            spare=0.0,
            buy=buy,
            pack=pack,
            reels=(),
            part=_parts(iter((row,))),
            price=None if row is None or row.price is None else row.price * buy,
            circuits=(),
        )


def _other(plan: Plan, item: str) -> StockItem | None:
    """The shop's line that has an item's very words."""
    stock = plan.installation.stock
    rows = () if stock is None else stock.items
    return next(
        (row for row in rows if row.item is not None and row.item.casefold() == item.casefold()), None
    )


_Quantity = tuple[str, float, str]


def _shrinks(cuts: tuple[Cut, ...]) -> Iterator[_Quantity]:
    found: dict[tuple[float, bool], float] = {}
    for cut in cuts:
        for end in (cut.start, cut.end):
            if cut.shrink_mm is not None and end.kind in _SHRUNK:
                each_m = next(m for most_mm2, m in _SHRINK_M if (cut.area_mm2 or 0.0) <= most_mm2)
                key = (cut.shrink_mm, cut.shrink_lined)
                # A splice is covered from cable to cable.
                found[key] = found.get(key, 0.0) + each_m * (2 if end.kind == "splice" else 1)
    for (width_mm, lined), length_m in sorted(found.items()):
        if lined:
            yield words("heat-shrink {width} mm, lined", width=number(width_mm)), length_m, "m"
        else:
            yield words("heat-shrink {width} mm", width=number(width_mm)), length_m, "m"


def _looms(plan: Plan) -> Iterator[_Quantity]:
    found: dict[tuple[str, float | None], float] = {}
    for bundle in plan.assessment.bundles:
        length_m = _route_m(plan.installation, bundle.route)
        key = (bundle.laid or "", bundle.bore_mm)
        found[key] = found.get(key, 0.0) + length_m * (1 + _ROUTE_SLACK)
    for (kind, bore_mm), length_m in sorted(found.items(), key=lambda each: (each[0][0], each[0][1] or 0.0)):
        if bore_mm is None:
            text = words("{kind}, bore not known", kind=_kind(kind))
        elif kind == "conduit":
            text = words("conduit, bore {bore} mm or more", bore=number(math.ceil(bore_mm)))
        else:
            text = words("split loom, bore {bore} mm", bore=number(bore_mm))
        yield text, length_m, "m"


def _kind(kind: str) -> str:
    return words("conduit") if kind == "conduit" else words("split loom")


def _stretches(installation: Installation) -> Iterator[tuple[Wire, Stretch]]:
    for circuit in installation.circuits.values():
        for wire in laid(circuit):
            yield from ((wire, stretch) for stretch in wire.stretches)


def _route_m(installation: Installation, route: str) -> float:
    """Length of a route; what was measured, else the longest piece of cable on it. [m]"""
    found = [stretch for _, stretch in _stretches(installation) if stretch.route == route]
    return max((stretch.route_m or stretch.length_m for stretch in found), default=0.0)


def _grommets(plan: Plan) -> Iterator[_Quantity]:
    holes = sorted(bundle.grommet_mm for bundle in plan.assessment.bundles if bundle.grommet_mm is not None)
    for hole_mm in dict.fromkeys(holes):
        text = words("grommet for a hole of {hole} mm", hole=number(hole_mm))
        yield text, float(holes.count(hole_mm)), "piece"


def _supports(plan: Plan) -> Iterator[_Quantity]:
    """Clips or ties: one for each distance along every route, and along each cable that follows none."""
    routes: dict[str, tuple[float, float]] = {}
    for wire, stretch in _stretches(plan.installation):
        laying = plan.assessment.laying.get(wire.name)
        if laying is None:
            continue
        name = stretch.route if stretch.route is not None else f"{wire.name} {stretch.zone}"
        length_m = stretch.route_m or stretch.length_m
        known_m, apart_m = routes.get(name, (0.0, math.inf))
        routes[name] = (max(known_m, length_m), min(apart_m, laying.support_m))
    found: dict[float, int] = {}
    for length_m, apart_m in routes.values():
        found[apart_m] = found.get(apart_m, 0) + math.ceil(length_m / apart_m - 1e-9)
    for apart_m, count in sorted(found.items()):
        yield words("clips or ties, one every {apart} cm", apart=number(100 * apart_m)), float(count), "piece"
