"""The devices of a job: what the customer or somebody else brings, which no list of parts has."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from groundstrap.model import Circuit, Load, Supply, SupplyKind
from groundstrap.pack.content import Column, Paragraph, Section, Table
from groundstrap.pack.texts.mounting import mounted_loads, mounted_supplies
from groundstrap.pack.texts.phrases import Telling
from groundstrap.records import dataclass
from groundstrap.report.figures import amps, band, number, volts
from groundstrap.words import Name, joined, term, words

__all__ = ["Device", "device_section", "devices_of"]

_SUPPLIES: Final = tuple(SupplyKind)


@dataclass(frozen=True, slots=True, kw_only=True)
class Device:
    """One thing that is wired and not bought with the parts."""

    reference: str
    name: str
    one: int
    """Which of several alike; each is a thing to bring and to mount."""
    of: int
    place: str
    """Empty where it is a place of its own."""
    kind: str
    told: tuple[str, ...]
    """What the job takes it for, in words."""
    circuits: tuple[str, ...]
    """Numbers of the circuits that lead to it."""


def devices_of(telling: Telling) -> tuple[Device, ...]:
    """Return the devices that are wired and not bought with the parts, one for each that is mounted."""
    rows = [_supply(telling, supply) for supply in mounted_supplies(telling, *_SUPPLIES)]
    return (*rows, *(row for load in mounted_loads(telling) for row in _load(telling, load)))


def device_section(telling: Telling) -> Section | None:
    """Return the devices that are wired and not bought with the parts, one a row; or None."""
    rows = tuple(map(_row, devices_of(telling)))
    if not rows:
        return None
    about = Paragraph(
        words(
            "What this job wires and the list of parts does not have: the customer's own, or bought as a "
            "device. Compare each nameplate with its row before anything is cut: another device is another "
            "job."
        )
    )
    columns = (
        Column(words("No."), share=0.6),
        Column(words("Device"), share=2.2),
        Column(words("Where"), share=1.6),
        Column(words("What the job takes it for"), share=3.0),
        Column(words("Circuits"), share=0.9),
        Column(words("Comes from"), share=1.2, blank=True),
    )
    return Section(
        key="devices",
        title=words("Devices that others supply"),
        blocks=(about, Table(columns, rows, small=True)),
        new_page=False,
    )


def _row(device: Device) -> tuple[str, ...]:
    name: str = Name(device.name)
    if device.of > 1:
        name = words("{load}, {one} of {count}", load=name, one=str(device.one), count=str(device.of))
    place = Name(device.place) if device.place else ""
    told = joined("; ", (term(device.kind), *device.told))
    return device.reference, name, place, told, Name(", ".join(device.circuits)), ""


def _load(telling: Telling, load: Load) -> Iterator[Device]:
    found = telling.plan.assessment.loads.get(load.name)
    told: list[str] = []
    if found is not None and found.current_a is not None:
        drawn = band(found.current_a, "A")
        told.append(words("{amps} all together", amps=drawn) if load.count > 1 else drawn)
    if load.largest_fuse_a is not None:
        told.append(words("no fuse above {rating}", rating=amps(load.largest_fuse_a)))
    if load.stud is not None:
        told.append(words("studs {stud}", stud=Name(load.stud)))
    numbers = tuple(c.label or c.name for c in telling.circuits if load.name in c.loads)
    for one in range(1, load.count + 1):
        yield Device(
            reference=telling.refs.of(load.name),
            name=load.name,
            one=one,
            of=load.count,
            place=_place(load.place, load.name),
            kind=load.kind.value,
            told=tuple(told),
            circuits=numbers,
        )


def _supply(telling: Telling, supply: Supply) -> Device:
    told: list[str] = []
    if supply.kind is SupplyKind.BATTERY and supply.chemistry is not None:
        told.append(term(supply.chemistry))
    told.append(volts(supply.nominal_v))
    if supply.capacity_ah is not None:
        told.append(f"{number(supply.capacity_ah)} Ah")
    limit_a = supply.rating_a if supply.rating_a is not None else supply.current_a
    if limit_a is not None:
        told.append(amps(limit_a))
    if supply.power_w is not None:
        told.append(f"{number(supply.power_w)} W")
    if supply.stud is not None:
        told.append(words("studs {stud}", stud=Name(supply.stud)))
    several = supply.series * supply.parallel
    if several > 1:
        told.append(words("{count} together", count=str(several)))
    # A minus may be the bar that everything comes back to: only a battery is found by it.
    minus = supply.minus if supply.kind is SupplyKind.BATTERY else None
    points = {supply.plus, supply.in_plus, minus} - {None}
    numbers = tuple(c.label or c.name for c in telling.new if points & {c.start, c.end, *_backs(c, minus)})
    return Device(
        reference=telling.refs.of(supply.name),
        name=supply.name,
        one=1,
        of=1,
        place=_place(supply.place, supply.name),
        kind=supply.kind.value,
        told=tuple(told),
        circuits=numbers,
    )


def _backs(circuit: Circuit, minus: str | None) -> tuple[str | None, ...]:
    """Where a circuit comes back to, where a battery is looked for."""
    return () if minus is None else (circuit.back_end,)


def _place(place: str, name: str) -> str:
    return "" if place == name else place
