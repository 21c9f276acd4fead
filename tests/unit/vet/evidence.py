"""Loads with their evidence, built by hand for the tests of `vet`; all of them invented."""

from __future__ import annotations

from typing import Any

from groundstrap.model import (
    Basis,
    Claim,
    Installation,
    Load,
    LoadKind,
    Measurement,
    MeterSpec,
    ReadingSet,
)
from groundstrap.vet import VettedLoad, vet

BASIC = MeterSpec(text="basic", name="basic")
HANDHELD = MeterSpec(text="handheld", name="handheld")
BENCH = MeterSpec(text="bench", name="bench")
CLAMP = MeterSpec(text="3 % + 5 digits", reading_pct=3.0, digits=5.0)


def a_load(name: str = "warmer", kind: LoadKind = LoadKind.HEATER, **what: Any) -> Load:
    return Load(
        name=name, kind=kind, place="cabin", zone="cabin", plus=f"{name} +", minus=f"{name} -", **what
    )


def a_job(
    *loads: Load, system_v: float = 12.0, readings: tuple[ReadingSet, ...] = (), **what: Any
) -> Installation:
    given: dict[str, Any] = {"supplies": {}, "gear": {}, "circuits": {}, **what}
    return Installation(
        title="a job",
        system_v=system_v,
        basis=Basis.ROAD,
        about={},
        units="metric",
        sizes="metric",
        body="steel",
        loads={load.name: load for load in loads},
        places={},
        zones={},
        readings=readings,
        **given,
    )


def vetted(kind: LoadKind = LoadKind.HEATER, *, system_v: float = 12.0, **what: Any) -> VettedLoad:
    """One load, vetted on its own."""
    return vet(a_job(a_load(kind=kind, **what), system_v=system_v)).loads["warmer"]


def ohms(
    value: float, *, leads: float | None = 0.0, meter: MeterSpec | None = BASIC, **what: Any
) -> Measurement:
    return Measurement(resistance_ohm=value, leads_ohm=leads, meter=meter, **{"last_digit": 0.01, **what})


def flow(amps: float, volts: float | None, *, meter: MeterSpec | None = HANDHELD, **what: Any) -> Measurement:
    given = {"last_digit": 0.01, "voltage_last_digit": 0.01, **what}
    return Measurement(current_a=amps, voltage_v=volts, meter=meter, **given)


def power(watts: float, **what: Any) -> Claim:
    return Claim(power_w=watts, **what)


def current(amps: float, **what: Any) -> Claim:
    return Claim(current_a=amps, **what)
