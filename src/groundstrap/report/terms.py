"""Words of the trade that stand in enumerations and tables and are said to people, by `words.term`."""

from __future__ import annotations

from collections.abc import Iterator

from groundstrap.assess import Outcome
from groundstrap.checks import Level, rules
from groundstrap.checks.rule import Caution
from groundstrap.checks.rule import Outcome as Decided
from groundstrap.checks.words import UNITS_IN_WORDS
from groundstrap.model import Basis, GearKind, LoadKind, Origin, PartKind, Situation, State, SupplyKind
from groundstrap.sources import SourceKind
from groundstrap.tables import fuse_family_names, meter_names, plug_names, show
from groundstrap.vet.results import Trust, Verdict

__all__ = ["terms"]

_ENUMERATIONS = (
    Basis,
    Caution,
    GearKind,
    Level,
    LoadKind,
    Origin,
    Outcome,
    PartKind,
    Situation,
    State,
    SupplyKind,
    Trust,
    Verdict,
)

_TABLES = (
    ("cautions", "caution"),
    ("colours_iec60757", "colour"),
    ("conductor_materials", "material"),
    ("insulation_by_zone", "insulation"),
    ("insulation_by_zone", "sold_as"),
    ("insulation_types", "type"),
    ("load_remarks", "remark"),
    ("switch_classes", "load_class"),
)
"""Tables whose words are said to people, with the column that they stand in."""


def terms() -> tuple[str, ...]:
    """Return all of them, each once."""
    return tuple(dict.fromkeys(_all()))


def _all() -> Iterator[str]:
    for enumeration in _ENUMERATIONS:
        yield from (member.value for member in enumeration if member.value)
    yield from fuse_family_names()
    for name, column in _TABLES:
        yield from (row.text(column) for row in show(name).rows)
    yield from UNITS_IN_WORDS
    yield from (kind.value.replace("-", " ") for kind in SourceKind)
    yield from ("flooded", "agm", "gel", "lfp", "resistive")
    yield from ("minimum", "label", "manual", "seller")
    yield from ("loom", "conduit", "diode", "resistor", "no", "petrol", "steel", "aluminium", "wood")
    yield from ("fibreglass", *meter_names(), *plug_names())
    open_ones = (rule for rule in rules() if Decided.UNDETERMINED not in rule.never)
    yield from (rule.topic or rule.slug.replace("-", " ") for rule in open_ones)
