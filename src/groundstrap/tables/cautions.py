"""Cautions by hazard and step, and the figures of a battery's space."""

from __future__ import annotations

from groundstrap.errors import UnknownNameError
from groundstrap.records import dataclass
from groundstrap.tables._remember import remembered
from groundstrap.tables.table import table

__all__ = ["Caution", "Gassing", "SpaceFigure", "battery_gassing", "battery_space", "caution", "hazards"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """What can hurt someone, at which step it matters, and the words for it."""

    hazard: str
    step: str
    text: str
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Gassing:
    """Gassing current for each ampere hour by which a battery space is ventilated, margin included."""

    ma_per_ah: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SpaceFigure:
    """A figure about a battery's space, in the unit it names."""

    value: float
    unit: str
    source: str
    known: str


@remembered
def hazards() -> tuple[str, ...]:
    """Return the hazards that have a caution.

    >>> hazards()[:3]
    ('unfused battery cable', 'battery order', 'battery gas')
    """
    return tuple(row.text("hazard") for row in table("cautions"))


@remembered
def caution(hazard: str) -> Caution:
    """Return the caution for a hazard; it is for jobs that have it, after local rules and licensed practice.

    >>> caution("lithium cold charge").text, caution("mains voltage").step
    ('no charging below 0 degC', 'connect')
    """
    data = table("cautions")
    row = data.find("hazard", hazard)
    if row is None:
        raise UnknownNameError("hazard", hazard, hazards())
    return Caution(
        hazard=hazard,
        step=row.text("step"),
        text=row.text("caution"),
        source=data.source_of(row),
        known=data.known_of(row),
    )


@remembered
def battery_gassing(kind: str, stage: str = "boost") -> Gassing:
    """Return the gassing current of a lead-acid battery for ventilation. [mA/Ah]

    Source: iec-62485-2; the safety factor of five is in it.

    Parameters
    ----------
    kind : str
        ``vented`` or ``valve-regulated``.
    stage : str
        ``float`` or ``boost``.

    Examples
    --------
    >>> battery_gassing("vented").ma_per_ah, battery_gassing("valve-regulated", "float").ma_per_ah
    (20.0, 1.0)
    """
    data = table("battery_gassing")
    for row in data:
        if (row.text("kind"), row.text("stage")) == (kind, stage):
            return Gassing(ma_per_ah=row.number("ma_per_ah"), source=data.source, known=data.known)
    known = [f"{row.text('kind')}, {row.text('stage')}" for row in data]
    raise UnknownNameError("battery and stage", f"{kind}, {stage}", known)


@remembered
def battery_space(figure: str) -> SpaceFigure:
    """Return a figure about a battery's space or bond.

    Source: nec-552, cfr-33-183-420, cfr-33-183-410.

    >>> battery_space("vent opening").value, battery_space("vent opening").unit
    (1100.0, 'mm2')
    """
    data = table("battery_space")
    row = data.find("figure", figure)
    if row is None:
        raise UnknownNameError("figure", figure, [row.text("figure") for row in data])
    return SpaceFigure(
        value=row.number("value"),
        unit=row.text("unit"),
        source=data.source_of(row),
        known=data.known_of(row),
    )
