"""What the trade knows of each kind of load: its law, how sure that law is, how far a label may be off.

The law's exponent, what ohms tell, the hot-over-cold ratio and the remark come from the tables; what stands
here beside them is how far each may be off, which is own judgement and appears in a result's assumptions.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Final

from groundstrap.model import LoadKind, LoadLaw
from groundstrap.records import dataclass
from groundstrap.tables import LoadKindData, load_kind
from groundstrap.words import words

__all__ = ["Behaviour", "behaviour"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """How far the law and the label of a kind of load may be off; own judgement."""

    exponent: float
    """Half width of the exponent."""
    label_low: float = 0.8
    label_high: float = 1.1
    by_demand: bool = False
    """Takes what is asked of it at that moment, so that a reading does not say what it may take."""
    label_remark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Behaviour:
    """A kind of load: its law and what evidence about it is worth."""

    kind: LoadKind
    law: LoadLaw
    exponent: float
    exponent_doubt: float
    """Half width of the exponent; own judgement."""
    label_low: float
    """Share of a label's figure that the truth may be as low as; own judgement."""
    label_high: float
    by_demand: bool
    label_remark: str
    data: LoadKindData


_LAWS: Final = MappingProxyType({
    1.0: LoadLaw.RESISTIVE,
    0.55: LoadLaw.FILAMENT,
    0.0: LoadLaw.CONSTANT_CURRENT,
    1.5: LoadLaw.MOTOR,
    -1.0: LoadLaw.CONSTANT_POWER,
})  # fmt: skip

_SHAFT: Final = words("watts on a motor may be those of its shaft, and then it takes about a third more")

_DOUBTS: Final[Mapping[LoadKind, Doubt]] = MappingProxyType({
    LoadKind.HEATER: Doubt(exponent=0.0),
    LoadKind.PTC_HEATER: Doubt(exponent=0.3),
    # The two published exponents, of current and of power, disagree by 0.05.
    LoadKind.LAMP: Doubt(exponent=0.05, label_low=0.9),
    LoadKind.LED: Doubt(
        exponent=0.3,
        label_low=0.5,
        label_remark=words("watts on an LED lamp are often the sum of what its chips could take"),
    ),
    LoadKind.MOTOR: Doubt(exponent=0.75, label_high=1.4, label_remark=_SHAFT),
    LoadKind.STARTER: Doubt(exponent=0.75, label_low=0.7, label_high=1.4),
    LoadKind.COMPRESSOR: Doubt(exponent=0.2),
    LoadKind.ELECTRONICS: Doubt(exponent=0.2),
    LoadKind.INVERTER: Doubt(exponent=0.1, by_demand=True),
    LoadKind.CHARGER: Doubt(exponent=0.1, by_demand=True),
    LoadKind.PUMP: Doubt(exponent=0.5),
    LoadKind.FAN: Doubt(exponent=0.5),
    LoadKind.OTHER: Doubt(exponent=1.0),
    LoadKind.COIL: Doubt(exponent=0.0, label_low=0.9),
})  # fmt: skip


@cache
def behaviour(kind: LoadKind) -> Behaviour:
    """Return what is known of a kind of load.

    >>> behaviour(LoadKind.HEATER).law.value, behaviour(LoadKind.LED).exponent
    ('resistive', -1.0)
    """
    data, doubt = load_kind(kind.value), _DOUBTS[kind]
    return Behaviour(
        kind=kind,
        law=_LAWS[data.exponent],
        exponent=data.exponent,
        exponent_doubt=doubt.exponent,
        label_low=doubt.label_low,
        label_high=doubt.label_high,
        by_demand=doubt.by_demand,
        label_remark=doubt.label_remark,
        data=data,
    )
