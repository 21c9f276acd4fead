"""Insulations: temperature class, limits for a short circuit and an overload, and how they pass heat."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from groundstrap.errors import OutOfRangeError, UnknownNameError
from groundstrap.records import dataclass
from groundstrap.tables._remember import remembered
from groundstrap.tables.table import NotTabled, table, weakest

if TYPE_CHECKING:
    from groundstrap.tables.table import Row, Table

__all__ = [
    "DefaultInsulation",
    "Insulation",
    "default_insulation",
    "insulation",
    "insulation_for_zone",
    "insulation_names",
]

OVERLOAD_K: Final = 50.0
"""What an overload of at most 6 h may add to the class: ISO 6722-1, table of temperature classes."""

_TEMPERATURE: Final = re.compile(r"(\d+(?:\.\d+)?)\s*(?:degC|°C|C)?")
_LEAST_CLASS_C, _MOST_CLASS_C = 60.0, 250.0

_MATERIAL_BY_CLASS: Final = (
    (105.0, "PVC"),
    (150.0, "XLPE"),
    (175.0, "ETFE"),
    (200.0, "silicone"),
    (250.0, "PTFE"),
)
"""What a wire that states only its class is most likely made of, the least able first: own judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Insulation:
    """One insulation: temperatures it stands and the thermal constants of its material.

    ``known`` is about the temperatures, ``thermal_known`` about the constants.
    """

    name: str
    material: str
    class_c: float
    overload_6h_c: float
    short_circuit_c: float
    k_w_per_mk: float
    heat_j_per_m3k: float
    emissivity: float
    source: str
    short_circuit_source: str
    known: str
    thermal_known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DefaultInsulation:
    """The insulation that is taken where a job names none, and why."""

    insulation: Insulation
    why: str
    source: str
    known: str


@remembered
def insulation_names() -> tuple[str, ...]:
    """Return the names that ``insulation`` knows beside plain temperatures.

    >>> "boat cable" in insulation_names()
    True
    """
    types = tuple(row.text("type") for row in table("insulation_types"))
    classes = tuple(f"class {row.text('class')}" for row in table("iso_6722_temperature_classes"))
    return types + classes


@remembered
def insulation(name: str) -> Insulation:
    """Return an insulation by type, class letter or temperature.

    Examples
    --------
    >>> insulation("105 degC").short_circuit_c, insulation("TXL").class_c, insulation("class B").class_c
    (160.0, 125.0, 100.0)
    """
    key = " ".join(name.split())
    by_type = _by_type(key)
    if by_type is not None:
        return by_type
    by_letter = _by_letter(key)
    if by_letter is not None:
        return by_letter
    return _by_temperature(key, name)


def _by_type(key: str) -> Insulation | None:
    types = table("insulation_types")
    for row in types:
        if row.text("type").casefold() == key.casefold():
            class_c = row.number("class_c")
            return _made(
                row.text("type"), row.text("material"), class_c, types.source_of(row), types.known_of(row)
            )
    return None


def _by_letter(key: str) -> Insulation | None:
    letter = re.sub(r"^(iso 6722 )?class ", "", key.casefold())
    classes = table("iso_6722_temperature_classes")
    for row in classes:
        if row.text("class").casefold() == letter:
            name = f"class {row.text('class')}"
            return _made(
                name, row.text("material"), row.number("rated_3000_h_c"), classes.source, classes.known
            )
    return None


def _by_temperature(key: str, given: str) -> Insulation:
    found = _TEMPERATURE.fullmatch(key)
    if found is None:
        raise UnknownNameError("insulation", given, ("70 degC", "105 degC", *insulation_names()))
    class_c = float(found.group(1))
    if not _LEAST_CLASS_C <= class_c <= _MOST_CLASS_C:
        raise OutOfRangeError("insulation", "class_c", class_c, _LEAST_CLASS_C, _MOST_CLASS_C)
    material = next(name for most_c, name in _MATERIAL_BY_CLASS if class_c <= most_c)
    return _made(f"{class_c:g} degC", material, class_c, "own-judgement", "own judgement")


def _made(name: str, material: str, class_c: float, source: str, known: str) -> Insulation:
    materials: Table = table("insulation_materials")
    row: Row | None = materials.find("material", material)
    assert row is not None
    overload_c = class_c + OVERLOAD_K
    printed_c = row.maybe("short_circuit_c")
    return Insulation(
        name=name,
        material=material,
        class_c=class_c,
        overload_6h_c=overload_c,
        # No standard states one for silicone and fluoropolymers: the overload limit stands in, being safer.
        short_circuit_c=overload_c if printed_c is None else max(printed_c, class_c),
        k_w_per_mk=row.number("k_w_per_mk"),
        heat_j_per_m3k=row.number("heat_j_per_m3k"),
        emissivity=row.number("emissivity"),
        source=source,
        short_circuit_source=row.text("short_circuit_source"),
        known=weakest(known, row.text("short_circuit_known")),
        thermal_known=row.text("known"),
    )


_DEFAULTS: Final = {
    "road": (
        "PVC",
        "no insulation is named; road-vehicle PVC is taken at 70 degC, the class of its ampacity table",
    ),
    "boat": ("boat cable", "no insulation is named; boat cable is 105 degC dry"),
}


@remembered
def default_insulation(basis: str) -> DefaultInsulation:
    """Return the insulation to take where a job names none.

    >>> default_insulation("road").insulation.class_c, default_insulation("boat").insulation.class_c
    (70.0, 105.0)
    """
    if basis not in _DEFAULTS:
        raise UnknownNameError("basis", basis, _DEFAULTS)
    name, why = _DEFAULTS[basis]
    return DefaultInsulation(
        insulation=insulation(name), why=why, source="common-practice", known="common practice"
    )


@remembered
def insulation_for_zone(basis: str, hottest_c: float) -> DefaultInsulation | NotTabled:
    """Return the insulation to choose for a new wire by the hottest air on its way.

    Source: own-judgement; the least class of a short ladder of what is sold.

    >>> insulation_for_zone("road", 60).insulation.class_c, insulation_for_zone("road", 85).insulation.class_c
    (105.0, 125.0)
    """
    if basis not in _DEFAULTS:
        raise UnknownNameError("basis", basis, _DEFAULTS)
    data = table("insulation_by_zone")
    for row in data:
        if row.text("basis") == basis and hottest_c <= row.number("to_c"):
            return DefaultInsulation(
                insulation=insulation(row.text("insulation")),
                why=row.text("sold_as"),
                source=data.source_of(row),
                known=data.known_of(row),
            )
    return NotTabled(why=f"no insulation of the ladder is for air at {hottest_c:g} degC")
