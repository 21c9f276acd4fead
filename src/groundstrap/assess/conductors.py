"""A wire of one size where it lies: resistance, heat, published ampacity. Tables and physics meet here.

Everything is cached by size, metal, insulation and air: a chooser asks for the same few again and again.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Final, Literal

from groundstrap.assess.figures import IDLE_SHARE, LASTING_MARGIN_K, REFERENCE_RISE_K
from groundstrap.assess.results import Factor, StretchAmpacity
from groundstrap.model import Basis, Wire
from groundstrap.physics.conductor import ohm_at_temperature
from groundstrap.physics.heat import steady_temperature_c, thermal_resistance_k_m_per_w, wall_k_m_per_w
from groundstrap.physics.heated import kappa_per_a2
from groundstrap.records import dataclass
from groundstrap.tables import (
    Ampacity,
    ConductorData,
    Insulation,
    Unsuitable,
    conductor_data,
    default_insulation,
    insulation,
    material,
    published_ampacity,
)
from groundstrap.units import ConductorSize

__all__ = [
    "Carrying",
    "Conductor",
    "bundle_share",
    "carrying",
    "conductor",
    "hot_wire",
    "insulation_of",
    "lasting_factor",
    "ohm_at",
    "steady_c",
    "stretch_ampacity",
]

ENGINE_SPACE = "engine space"

_LONG_LIFE_CLASS_C: Final = 70.0
"""Up to here insulation is that of building cable, whose class holds for decades: vde-0298-4."""


@dataclass(frozen=True, slots=True, eq=False)
class Conductor:
    """One conductor of one size, metal and insulation; there is one object of each kind."""

    data: ConductorData
    insulation: Insulation
    wall_k_m_per_w: float

    @property
    def area_mm2(self) -> float:
        """Metal cross-section of one conductor. [mm2]"""
        return self.data.area_mm2


@dataclass(frozen=True, slots=True)
class HotWire:
    """Resistance of a whole wire with no current in its air, and how its own heat raises it."""

    cold_ohm: float
    kappa_per_a2: float


def insulation_of(wire: Wire, basis: Basis) -> Insulation:
    """Return the insulation that is written, or the basis' own."""
    return _insulation(wire.insulation, basis)


def _insulation(written: str | None, basis: Basis) -> Insulation:
    return insulation(written) if written else default_insulation(basis.value).insulation


def conductor(wire: Wire, size: ConductorSize, basis: Basis) -> Conductor:
    """Return one conductor of a wire, if it had this size."""
    return _of_size(size.area_mm2, size.system, wire.material, wire.insulation, basis)


@lru_cache(maxsize=4096)
def _of_size(area_mm2: float, system: str, metal: str, written: str | None, basis: Basis) -> Conductor:
    """The one object for all sizes that are alike: what was written as strands is metric cable."""
    alike: Literal["metric", "awg", "sae"] = "metric"
    if system == "awg":
        alike = "awg"
    elif system == "sae":
        alike = "sae"
    return _conductor(area_mm2, alike, metal, written, basis)


@lru_cache(maxsize=4096)
def _conductor(
    area_mm2: float, system: Literal["metric", "awg", "sae"], metal: str, written: str | None, basis: Basis
) -> Conductor:
    insulated = _insulation(written, basis)
    data = conductor_data(area_mm2, material=metal, system=system)
    wall = wall_k_m_per_w(data.conductor_d_mm, data.outer_d_mm, insulation_w_per_m_k=insulated.k_w_per_mk)
    return Conductor(data, insulated, wall)


@lru_cache(maxsize=1024)
def bundle_share(basis: Basis, insulation_c: float, loaded: int) -> float:
    """Share of its current that one of several loaded conductors may carry, by the published factors. [1]

    Physics takes the square of it as the bundle's hold on the heat: what a table allows among others heats a
    conductor as much as the full current does alone.
    """
    if loaded <= 1:
        return 1.0
    alone, among = (
        published_ampacity(
            basis=basis.value,
            insulation_c=max(insulation_c, 70.0),
            area_mm2=6.0,
            ambient_c=30.0,
            loaded_conductors=count,
        )
        for count in (1, loaded)
    )
    if isinstance(alone, Ampacity) and isinstance(among, Ampacity):
        return among.value_a / alone.value_a
    return 1.0


def ohm_at(one: Conductor, length_m: float, temp_c: float) -> float:
    """Resistance of a length of one conductor at a temperature. [ohm]"""
    return one.data.ohm_per_m_20c * length_m * _growth(one.data.alpha20_per_k, temp_c)


@lru_cache(maxsize=1024)
def _growth(alpha20_per_k: float, temp_c: float) -> float:
    """Resistance at a temperature over that at 20 degC. [1]"""
    return ohm_at_temperature(1.0, temp_c, alpha20_per_k=alpha20_per_k)


@lru_cache(maxsize=8192)
def _thermal_resistance(one: Conductor, ambient_c: float) -> float:
    return thermal_resistance_k_m_per_w(
        ambient_c + REFERENCE_RISE_K,
        ambient_c,
        outer_d_mm=one.data.outer_d_mm,
        wall_k_m_per_w=one.wall_k_m_per_w,
        emissivity=one.insulation.emissivity,
    )


@lru_cache(maxsize=8192)
def _kappa(one: Conductor, ambient_c: float, share: float) -> float:
    """Heating constant of one conductor in its bundle. [1/A2]"""
    return float(
        kappa_per_a2(
            ohm_at(one, 1.0, ambient_c),
            _thermal_resistance(one, ambient_c) / share**2,
            alpha20_per_k=one.data.alpha20_per_k,
            ambient_c=ambient_c,
        )
    )


def hot_wire(one: Conductor, pieces: tuple[tuple[float, float, float], ...], parallel: int) -> HotWire:
    """Return resistance and heating constant of a wire from its pieces (length m, air degC, bundle share).

    The hottest piece's heating constant is taken for all of it.
    """
    ohm = sum(ohm_at(one, length_m, ambient_c) for length_m, ambient_c, _ in pieces) / parallel
    kappa = max(_kappa(one, ambient_c, share) for _, ambient_c, share in pieces)
    return HotWire(ohm, kappa / parallel**2)


@lru_cache(maxsize=16384)
def steady_c(one: Conductor, current_a: float, ambient_c: float, share: float) -> float:
    """Steady temperature of one conductor in its bundle; inf where it goes on heating. [degC]"""
    if current_a <= 0.0:
        return ambient_c
    return steady_temperature_c(
        current_a / share,
        ambient_c,
        ohm_per_m_20c=one.data.ohm_per_m_20c,
        alpha20_per_k=one.data.alpha20_per_k,
        outer_d_mm=one.data.outer_d_mm,
        wall_k_m_per_w=one.wall_k_m_per_w,
        emissivity=one.insulation.emissivity,
    )


@dataclass(frozen=True, slots=True)
class Lie:
    """Where and how a piece of a wire lies."""

    zone: str
    ambient_c: float
    """Top of the zone. [degC]"""
    cold_c: float
    length_m: float
    loaded: int
    engine_space: bool
    share: float
    guessed: bool = False
    """Whether nobody wrote the insulation and the usual one does not stand this air: it is not known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Carrying:
    """What the tables allow where a wire lies, whatever its length; see `StretchAmpacity`."""

    ampacity_a: float | None
    corrected_a: float | None
    printed_a: float | None
    lasting_limit_a: float | None
    suitable: bool | None
    insulation_c: float | None
    factors: tuple[Factor, ...] = ()
    source: str = ""
    known: str = ""


def stretch_ampacity(one: Conductor, lie: Lie, basis: Basis, parallel: int) -> StretchAmpacity:
    """Return what the tables allow for one piece of a wire, all its parallel conductors together."""
    found = carrying(one, lie, basis, parallel)
    return StretchAmpacity(
        zone=lie.zone,
        ambient_c=lie.ambient_c,
        length_m=lie.length_m,
        loaded_conductors=lie.loaded,
        ampacity_a=found.ampacity_a,
        corrected_a=found.corrected_a,
        printed_a=found.printed_a,
        lasting_limit_a=found.lasting_limit_a,
        suitable=found.suitable,
        insulation_c=found.insulation_c,
        factors=found.factors,
        source=found.source,
        known=found.known,
    )


def carrying(one: Conductor, lie: Lie, basis: Basis, parallel: int) -> Carrying:
    """Return the same without place and length: it is looked up once for all wires that lie alike."""
    return _carrying(one, (lie.ambient_c, lie.loaded, lie.engine_space, lie.guessed), basis, parallel)


@lru_cache(maxsize=8192)
def _carrying(one: Conductor, laid: tuple[float, int, bool, bool], basis: Basis, parallel: int) -> Carrying:
    ambient_c, loaded, engine_space, guessed = laid
    found = published_ampacity(
        basis=basis.value,
        insulation_c=one.insulation.class_c,
        area_mm2=one.area_mm2,
        ambient_c=ambient_c,
        loaded_conductors=loaded,
        engine_space=engine_space,
    )
    if not isinstance(found, Ampacity):
        return Carrying(
            ampacity_a=None,
            corrected_a=None,
            printed_a=None,
            lasting_limit_a=None,
            suitable=False if isinstance(found, Unsuitable) and not guessed else None,
            insulation_c=None if guessed else one.insulation.class_c,
        )
    metal = _metal_factor(one.data.material.name)
    factors = tuple(Factor(name=f.name, value=f.value, source=f.source) for f in found.factors) + metal
    metal_share = math.prod(factor.value for factor in metal)
    bundle = math.prod(f.value for f in found.factors if "loaded conductors" in f.name)
    value_a = found.value_a * metal_share * parallel
    return Carrying(
        ampacity_a=value_a,
        corrected_a=value_a / bundle,
        printed_a=value_a / math.prod(factor.value for factor in found.factors),
        lasting_limit_a=value_a * lasting_factor(found.table_class_c, ambient_c),
        suitable=True,
        insulation_c=one.insulation.class_c,
        factors=factors,
        source=found.source,
        known=found.known,
    )


def lasting_factor(class_c: float, ambient_c: float) -> float:
    """Share of an ampacity that may go on round the clock, so that the insulation keeps 20 K in hand. [1]

    Source: own-judgement, the 20 K; nec-310-15, the square-root rule, by which 20 K less of insulation are
    worth as much as 20 K more of air; iec-60364-5-52, from memory: what carries no more than 30 % of its
    rating is not loaded, so it is as warm as its air whatever the hours.

    Parameters
    ----------
    class_c : float
        Class that the ampacity stands for. [degC]
    ambient_c : float
        Hottest air. [degC]

    Examples
    --------
    By hand: 105 degC in 60 degC: the root of 25 / 45. Cable of 70 degC is made for decades.

    >>> round(lasting_factor(105, 60), 3), lasting_factor(70, 60)
    (0.745, 1.0)
    """
    if class_c <= _LONG_LIFE_CLASS_C:
        return 1.0
    left_k = max(0.0, class_c - LASTING_MARGIN_K - ambient_c)
    return max(math.sqrt(left_k / (class_c - ambient_c)), IDLE_SHARE)


@lru_cache(maxsize=16)
def _metal_factor(name: str) -> tuple[Factor, ...]:
    """Factor for other metals than copper: equal heat, so the root of the resistivities' ratio."""
    ratio = material("copper").rho20_ohm_mm2_per_m / material(name).rho20_ohm_mm2_per_m
    if ratio > 0.99:
        return ()
    return (Factor(name=name, value=math.sqrt(ratio), source=material(name).source),)
