"""The parts list for print: what to buy, in groups, with spares, tools and the shop's own numbers."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from groundstrap.draw.references import circuits_in_order, natural
from groundstrap.model import Installation
from groundstrap.pack.content import Align, Block, Column, Items, Paragraph, Section, Table
from groundstrap.pack.lists.cuts import Cut, cuts_of
from groundstrap.pack.lists.purchase import PROTECTION, Bought, Purchase, purchase_of
from groundstrap.pack.lists.reels import CableReels, reels_of
from groundstrap.pack.lists.tools import tools_of
from groundstrap.report.figures import Display, number
from groundstrap.report.parts import Group, cable_words
from groundstrap.report.plan import Plan
from groundstrap.words import Name, words

__all__ = ["parts_section"]

_GROUPS: Final = (
    (words("Cable"), (Group.CABLE,)),
    (words("Fuses and breakers"), (Group.FUSE, Group.HOLDER)),
    (words("Blocks, switches, relays and other parts"), (Group.BLOCK, Group.PART)),
    (words("Terminals"), (Group.TERMINAL,)),
    (words("Protection of cable"), (PROTECTION,)),
)


def parts_section(
    plan: Plan,
    shown: Display,
    cuts: tuple[Cut, ...] | None = None,
    reels: tuple[CableReels, ...] | None = None,
) -> Section:
    """Return the list of parts, spares and tools for print."""
    cuts = cuts_of(plan) if cuts is None else cuts
    found = purchase_of(plan, cuts, reels_of(plan, cuts, us=shown.us) if reels is None else reels)
    blocks: list[Block] = [Paragraph(_about())]
    numbers = _circuit_numbers(plan.installation)
    for title, groups in _GROUPS:
        rows = [row for row in found.rows if row.group in groups]
        if rows:
            blocks.append(_table(title, rows, numbers, shown))
    blocks += _notes(found)
    tools = Section(
        key="tools",
        title=words("Tools for this job"),
        blocks=(Items(tools_of(plan, cuts, shown), ticks=True),),
        new_page=False,
    )
    return Section(key="parts", title=words("Parts to buy"), blocks=tuple(blocks), parts=(tools,))


def _about() -> str:
    return words(
        "What is new in this job and not there yet; the devices themselves, batteries and chargers are not "
        "on it. In the job: as planned, cable as laid. Needed: cable as cut, one spare of each fuse, one "
        "terminal in ten more (own judgement). Buy: in the shop's reels and packs."
    )


def _circuit_numbers(installation: Installation) -> dict[str, str]:
    return {circuit.name: circuit.label or circuit.name for circuit in circuits_in_order(installation)}


def _table(title: str, rows: list[Bought], numbers: dict[str, str], shown: Display) -> Table:
    columns = (
        Column(title, share=3.6),
        Column(words("In the job"), Align.RIGHT, share=0.9),
        Column(words("Needed"), Align.RIGHT, share=0.9),
        Column(words("Buy"), Align.RIGHT, share=1.2),
        Column(words("Circuits"), share=1.3),
        Column(words("Shop's No."), share=1.0),
        Column(words("Price"), Align.RIGHT, share=0.8),
    )
    return Table(columns, tuple(_row(row, numbers, shown) for row in rows), small=True)


def _row(row: Bought, numbers: dict[str, str], shown: Display) -> tuple[str, ...]:
    return (
        _item(row, shown),
        _quantity(row, row.fitted, shown),
        _quantity(row, row.needed, shown),
        _buy(row, shown),
        Name(", ".join(sorted((numbers.get(name, name) for name in row.circuits), key=natural))),
        Name(row.part),
        "" if row.price is None else f"{row.price:.2f}",
    )


def _item(row: Bought, shown: Display) -> str:
    if row.cable is not None:
        return cable_words(row.cable, shown)
    text = shown.text(row.item)
    # A text in other units is no longer one that can be translated; most have none to change.
    return row.item if text == row.item else text


def _quantity(row: Bought, quantity: float, shown: Display) -> str:
    return shown.length(quantity) if row.unit == "m" else number(quantity)


def _buy(row: Bought, shown: Display) -> str:
    """How much to buy, and how many reels or packs that is."""
    if row.reels:
        return ", ".join(f"{count} x {shown.length(length_m)}" for length_m, count in row.reels)
    buy = _quantity(row, row.buy, shown)
    if row.pack == 1:
        return buy
    return words("{buy} ({packs} x {pack})", buy=buy, packs=round(row.buy / row.pack), pack=row.pack)


def _notes(found: Purchase) -> Iterator[Block]:
    if any(row.group == PROTECTION and row.item.startswith("grommet") for row in found.rows):
        yield Paragraph(
            words("A grommet for each panel that a bundle passes: nobody wrote how many there are.")
        )
    if found.price is None:
        yield Paragraph(words("No prices: the job names no stock list that has some."))
    elif found.all_priced:
        yield Paragraph(
            words("All together: {price} by the stock list.", price=f"{found.price:.2f}"), strong=True
        )
    else:
        yield Paragraph(
            words("What has a price in the stock list: {price} together.", price=f"{found.price:.2f}"),
            strong=True,
        )
