"""Bands of readings from the network: all that sound vehicles differ by, each on its side, and the meter.

The same that readings are held against once they are taken, so that the sheet and the findings agree.
"""

from __future__ import annotations

from collections.abc import Sequence

from groundstrap.assess import wire_up
from groundstrap.assess.wiring import Case, Wiring
from groundstrap.locate.bands import expect
from groundstrap.locate.judged import ExpectedReading
from groundstrap.locate.taken import probe_at
from groundstrap.model import Installation, MeterSpec, Situation
from groundstrap.records import dataclass, replace
from groundstrap.vet import vet

__all__ = ["Asked", "bands_of", "wiring_read"]


@dataclass(frozen=True, slots=True)
class Asked:
    """A reading of which the bands are asked: points of volts, or what amps flow through; its meter."""

    when: Situation
    using: tuple[str, ...]
    red: str
    black: str
    meter: str


def wiring_read(installation: Installation) -> Wiring:
    """Return the wiring that readings are held against: none of them says there what a load takes.

    Parameters
    ----------
    installation : Installation
        With a size for everything, as a plan has it; its readings stay in it.
    """
    found = vet(replace(installation, readings=())).loads
    return wire_up(installation, {name: each.estimate for name, each in found.items()})


def bands_of(wiring: Wiring, asked: Sequence[Asked]) -> tuple[ExpectedReading | None, ...]:
    """Return what sound vehicles show at each; None where there are no such points, or no working point.

    Parameters
    ----------
    wiring : Wiring
        As `wiring_read` makes it.
    asked : sequence of Asked
        The readings.
    """
    found: list[ExpectedReading | None] = [None] * len(asked)
    groups: dict[tuple[Situation, tuple[str, ...]], list[int]] = {}
    for number, each in enumerate(asked):
        groups.setdefault((each.when, each.using), []).append(number)
    for (when, using), numbers in groups.items():
        probes = [probe_at(wiring.topology, asked[n].red, asked[n].black) for n in numbers]
        known = [(n, probe) for n, probe in zip(numbers, probes, strict=True) if probe is not None]
        meters = {at: _meter(asked[n].meter) for at, (n, _) in enumerate(known)}
        case = Case(situation=when, running=frozenset(using))
        shown = expect(wiring, case, [probe for _, probe in known], meters=meters) if known else ()
        for (n, _), band in zip(known, shown, strict=False):
            found[n] = band
    return tuple(found)


def _meter(name: str) -> MeterSpec:
    return MeterSpec(text=name, name=name)
