"""Text to SI and back, and conductor sizes to copper areas; every name of a unit stands here."""

from groundstrap.units.gauges import (
    AWG_GAUGES,
    AWG_ON_SALE,
    CIRCULAR_MIL_MM2,
    SAE_GAUGES,
    Neighbours,
    awg_area_mm2,
    awg_diameter_mm,
    awg_neighbours,
    gauge_name,
    sae_area_mm2,
)
from groundstrap.units.kinds import Kind, Unit, example_of, spellings_for, units_for, wanted_units
from groundstrap.units.quantity import (
    Quantity,
    convert,
    format_quantity,
    parse,
    parse_range,
    parse_value_or_range,
)
from groundstrap.units.sizes import ConductorSize, awg_size, metric_size, parse_size, sae_size

__all__ = [
    "AWG_GAUGES",
    "AWG_ON_SALE",
    "CIRCULAR_MIL_MM2",
    "SAE_GAUGES",
    "ConductorSize",
    "Kind",
    "Neighbours",
    "Quantity",
    "Unit",
    "awg_area_mm2",
    "awg_diameter_mm",
    "awg_neighbours",
    "awg_size",
    "convert",
    "example_of",
    "format_quantity",
    "gauge_name",
    "metric_size",
    "parse",
    "parse_range",
    "parse_size",
    "parse_value_or_range",
    "sae_area_mm2",
    "sae_size",
    "spellings_for",
    "units_for",
    "wanted_units",
]
