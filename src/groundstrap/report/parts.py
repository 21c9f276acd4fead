"""What to buy: cable by size and insulation, fuses by rating and family, terminals by size, named parts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import field

from groundstrap.model import Circuit, Gear, Part, PartKind, State, StockItem, Wire
from groundstrap.records import dataclass
from groundstrap.report.figures import number
from groundstrap.report.plan import Plan
from groundstrap.report.values import Json, known

__all__ = ["Item", "items", "parts_list"]

_FUSES = frozenset({PartKind.FUSE, PartKind.BREAKER})
_UNSIZED = "size not known"


@dataclass(slots=True)
class Item:
    """One line of the list."""

    item: str
    unit: str
    quantity: float = 0.0
    price: float | None = None
    circuits: list[str] = field(default_factory=list)
    measure: float = 0.0
    """Area or rating, by which lines of one kind follow each other."""

    def add(self, quantity: float, circuit: str) -> None:
        """Count more of it, for a circuit."""
        self.quantity += quantity
        if circuit not in self.circuits:
            self.circuits.append(circuit)


def parts_list(plan: Plan) -> list[Json]:
    """Return the list for JSON."""
    return [
        known({
            "item": item.item,
            "quantity": item.quantity,
            "unit": item.unit,
            "price": item.price,
            "circuits": item.circuits,
        })
        for item in items(plan)
    ]  # fmt: skip


def items(plan: Plan) -> tuple[Item, ...]:
    """Return everything that is to be fitted and is not there yet, as laid: without slack or spares."""
    found: dict[str, Item] = {}
    for circuit in plan.installation.circuits.values():
        for item, quantity in _needed(plan, circuit):
            found.setdefault(item.item, item).add(quantity, circuit.name)
    for item in found.values():
        item.price = _price(plan, item)
    return tuple(sorted(found.values(), key=_order))


def _order(item: Item) -> tuple[int, str, float, str]:
    """Cable first, then fuses and terminals, then other parts; within a kind by area or rating."""
    return _rank(item), item.item.split()[0], item.measure, item.item


def _rank(item: Item) -> int:
    kinds = ("cable", "fuse", "breaker", "ring or blade terminal")
    return next((n for n, kind in enumerate(kinds) if item.item.startswith(kind)), len(kinds))


def _needed(plan: Plan, circuit: Circuit) -> Iterator[tuple[Item, float]]:
    for wire in circuit.wires:
        if circuit.state is State.NEW and wire.state is State.NEW:
            size, area_mm2 = (_UNSIZED, 0.0) if wire.size is None else (wire.size.text, wire.size.area_mm2)
            cable = Item(_cable(plan, circuit, wire), "m", measure=area_mm2)
            yield cable, wire.length_m * wire.parallel
            terminal = Item(f"ring or blade terminal, {size}", "piece", measure=area_mm2)
            yield terminal, 2.0 * wire.parallel
    for part in circuit.parts:
        gear = plan.installation.gear.get(part.gear or "")
        there = State.EXISTING in {part.state, circuit.state, State.NEW if gear is None else gear.state}
        gone = State.REMOVE in {part.state, circuit.state}
        if not there and not gone and part.kind is not PartKind.UNKNOWN:
            yield Item(_part(plan, part, gear), "piece", measure=part.rating_a or 0.0), 1.0


def _cable(plan: Plan, circuit: Circuit, wire: Wire) -> str:
    rated = plan.assessment.circuits[circuit.name].wires.get(wire.name)
    size = _UNSIZED if wire.size is None else wire.size.text
    words = ["cable", size]
    if wire.material != "copper":
        words.append(wire.material)
    if rated is not None and rated.insulation_c is not None:
        words.append(f"{number(rated.insulation_c)} degC insulation")
    if wire.colour:
        words.append(wire.colour)
    return ", ".join((words[0] + " " + words[1], *words[2:]))


def _part(plan: Plan, part: Part, gear: Gear | None) -> str:
    rating = "rating not chosen" if part.rating_a is None else f"{number(part.rating_a)} A"
    if part.kind in _FUSES:
        rated = plan.assessment.circuits[part.circuit].fuses.get(part.name)
        family = part.family or (None if rated is None else rated.family) or "any family"
        holder = f", in a {part.holder}" if part.holder else ""
        return f"{part.kind} {rating}, {family}{holder}"
    if part.rating_a is None:
        rating = "of a rating for its circuit"
    name = f" ({gear.name})" if gear is not None else ""
    return f"{part.kind} {rating}{name}"


def _price(plan: Plan, item: Item) -> float | None:
    """Price of a line where the shelf has one: cable by the metre, fuses by the piece."""
    stock = plan.installation.stock
    if stock is None:
        return None
    prices = [row.price for row in stock.items if row.price is not None and _is_on_shelf(item, row)]
    return min(prices) * item.quantity if prices else None


def _is_on_shelf(item: Item, row: StockItem) -> bool:
    """Whether a line of the shelf is what a line of the list asks for."""
    if row.kind == "wire" and row.size is not None:
        return item.item.startswith((f"cable {row.size.text},", f"cable {row.size.text} "))
    if row.kind == "fuse" and row.rating_a is not None:
        return item.item.startswith(f"fuse {number(row.rating_a)} A, {row.family}")
    return False
