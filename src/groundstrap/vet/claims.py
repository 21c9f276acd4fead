"""Claims: what each comes to at the load's own terminals, and between which ends the truth may lie."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from groundstrap.model import Assumption, Claim, Load, LoadKind, Uncertain
from groundstrap.physics.loads import power_at_voltage_w
from groundstrap.physics.uncertainty import rectangular_uncertainty
from groundstrap.records import dataclass
from groundstrap.tables import converter_efficiency
from groundstrap.vet.feed import Feed
from groundstrap.vet.knowledge import Behaviour
from groundstrap.vet.words import amps, percent, remarks, volts, watts
from groundstrap.words import words

__all__ = [
    "RUNNING_OVER_NOMINAL",
    "ClaimFigure",
    "claim_figure",
    "claim_figures",
    "claim_says",
    "label_uncertainty_w",
]

RUNNING_OVER_NOMINAL: Final = 13.8 / 12.0
"""Where a label for '12 V' gives no voltage it was read at anything from 12.0 to 13.8 V; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimFigure:
    """A claim as the power that the load would take at `at_v`, all pieces together.

    `low_w` and `high_w` are the ends that its label, its voltage and its efficiency leave open.
    """

    claim: Claim
    at_v: float
    voltage_written: bool
    power_w: float
    low_w: float
    high_w: float
    least_w: float
    """As claimed, with the best efficiency: what the claim can't do without. [W]"""
    output_share: float
    """What it gives over what it takes; 1 for all but an inverter's power."""
    remark: str
    assumptions: tuple[Assumption, ...] = ()

    @property
    def current_a(self) -> float:
        """Current as claimed, at the claim's voltage. [A]"""
        return self.power_w / self.at_v

    def at(self, to_v: float, exponent: float) -> Uncertain:
        """Power and its two ends at another voltage. [W]"""
        scale = power_at_voltage_w(1.0, at_v=self.at_v, to_v=to_v, exponent=exponent)
        return Uncertain(self.power_w * scale, self.low_w * scale, self.high_w * scale)


def claim_figures(load: Load, behaviour: Behaviour, feed: Feed) -> tuple[ClaimFigure, ...]:
    """Return what every claim of a load comes to, in the order that they stand in the file."""
    found = (claim_figure(load, claim, behaviour, feed) for claim in load.claims)
    return tuple(figure for figure in found if figure is not None)


def claim_figure(load: Load, claim: Claim, behaviour: Behaviour, feed: Feed) -> ClaimFigure | None:
    """Return what a claim comes to; None where it names neither a power nor a current above nothing."""
    if not (claim.power_w or claim.current_a):
        return None
    gives = claim.power_w is not None and load.kind is LoadKind.INVERTER
    # The volts of an inverter's power are those of its output.
    written_v = None if gives else claim.voltage_v
    at_v = written_v if written_v is not None else feed.nominal_v
    efficiency = _efficiency(load) if gives else _Efficiency(1.0, 1.0, 1.0)
    ends_w = _ends_w(claim, at_v, behaviour, feed, written=written_v is not None)
    base_w = claim.power_w if claim.power_w is not None else (claim.current_a or 0.0) * at_v
    return ClaimFigure(
        claim=claim,
        at_v=at_v,
        voltage_written=written_v is not None,
        power_w=base_w / efficiency.typical * load.count,
        low_w=behaviour.label_low * min(ends_w) / efficiency.high * load.count,
        high_w=behaviour.label_high * max(ends_w) / efficiency.low * load.count,
        least_w=base_w / efficiency.high * load.count,
        output_share=efficiency.typical,
        remark=_remark(load, claim, behaviour, efficiency, written_v=written_v),
        assumptions=_assumptions(load, behaviour, efficiency, gives=gives),
    )


def _ends_w(
    claim: Claim, at_v: float, behaviour: Behaviour, feed: Feed, *, written: bool
) -> tuple[float, ...]:
    """Power at the claim's voltage, for each voltage that it may have been read at."""
    places = (at_v,) if written or feed.regulated else (at_v, at_v * RUNNING_OVER_NOMINAL)
    return tuple(
        power_at_voltage_w(
            claim.power_w if claim.power_w is not None else (claim.current_a or 0.0) * place_v,
            at_v=place_v,
            to_v=at_v,
            exponent=behaviour.exponent,
        )
        for place_v in places
    )


@dataclass(frozen=True, slots=True)
class _Efficiency:
    """Output over input: low, typical and high."""

    low: float
    typical: float
    high: float
    assumed: bool = False


def _efficiency(load: Load) -> _Efficiency:
    if load.efficiency_pct is not None:
        share = load.efficiency_pct / 100
        return _Efficiency(share, share, share)
    found = converter_efficiency("inverter")
    return _Efficiency(found.low / 100, found.typical / 100, found.high / 100, assumed=True)


def _remark(
    load: Load, claim: Claim, behaviour: Behaviour, efficiency: _Efficiency, *, written_v: float | None
) -> str:
    said = watts(claim.power_w) if claim.power_w is not None else amps(claim.current_a or 0.0)
    gives = (
        words(
            "{said} is what it gives; it takes that over {typical}",
            said=said,
            typical=percent(efficiency.typical),
        )
        if efficiency.typical < 1
        else ""
    )
    each = words("of each of {number_of}", number_of=load.count) if load.count > 1 else ""
    volt: str = (
        words("at {written_v}", written_v=volts(written_v))
        if written_v is not None
        else words("no voltage is given with it")
    )
    volt = "" if gives else volt
    label = behaviour.label_remark if claim.power_w is not None else ""
    return remarks((gives, each, volt, label))


def _assumptions(
    load: Load, behaviour: Behaviour, efficiency: _Efficiency, *, gives: bool
) -> tuple[Assumption, ...]:
    if not (gives and efficiency.assumed):
        return ()
    value = words(
        "{typical} ({low} to {high})",
        typical=percent(efficiency.typical),
        low=percent(efficiency.low),
        high=percent(efficiency.high),
    )
    return (
        Assumption(
            words("{name} efficiency", name=load.name),
            value,
            words("none is written for the {value}", value=behaviour.kind.value),
        ),
    )


def label_uncertainty_w(figure: ClaimFigure) -> float:
    """Return the standard uncertainty of a claim, its ends taken as rectangular. [W]"""
    return rectangular_uncertainty((figure.high_w - figure.low_w) / 2)


def claim_says(claim: Claim) -> Mapping[str, float | str]:
    """Return what was claimed, each value under its name with the unit."""
    says: dict[str, float | str] = {}
    if claim.power_w is not None:
        says["power_w"] = claim.power_w
    if claim.current_a is not None:
        says["current_a"] = claim.current_a
    if claim.voltage_v is not None:
        says["voltage_v"] = claim.voltage_v
    if claim.temperature_c is not None:
        says["temperature_c"] = claim.temperature_c
    return says
