"""Reference data with provenance, and typed look-ups into it.

Each table is a pair of files in ``data/``: the numbers as printed and everything about them. Nothing is read
before it is asked for. What a look-up returns says which row answered, from which source, and how well that
is known.
"""

from groundstrap.tables.ampacity import Ampacity, Factor, NotTabled, Unsuitable, published_ampacity
from groundstrap.tables.conductors import (
    ConductorData,
    Material,
    StandardSize,
    awg_area_mm2,
    conductor_data,
    material,
    materials,
    sae_area_mm2,
    standard_sizes,
)
from groundstrap.tables.insulation import (
    DefaultInsulation,
    Insulation,
    default_insulation,
    insulation,
    insulation_names,
)
from groundstrap.tables.table import Column, Reading, Row, Table, list_tables, show, weakest

__all__ = [
    "Ampacity",
    "Column",
    "ConductorData",
    "DefaultInsulation",
    "Factor",
    "Insulation",
    "Material",
    "NotTabled",
    "Reading",
    "Row",
    "StandardSize",
    "Table",
    "Unsuitable",
    "awg_area_mm2",
    "conductor_data",
    "default_insulation",
    "insulation",
    "insulation_names",
    "list_tables",
    "material",
    "materials",
    "published_ampacity",
    "sae_area_mm2",
    "show",
    "standard_sizes",
    "weakest",
]
