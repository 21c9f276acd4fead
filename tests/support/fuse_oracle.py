"""A second opinion on whether a fuse saves a wire, from the printed numbers and SciPy alone.

Nothing of the package is imported: ampacities, gates, ratings and cable come straight from the CSV files that
hold them as printed, the wire is integrated as one body whose resistance rises, and the fuse's slowest curve
is looked at on a fine grid of currents with both sides of every edge.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import quad, tanhsinh

Floats = NDArray[np.float64]
DATA = Path(__file__).resolve().parents[2] / "src" / "groundstrap" / "tables" / "data"

# IEC 60028 (copper) and IEC 60364-5-54 annex A.
ALPHA20 = 0.00393
COPPER_J_PER_M3_K = 3.45e6
# PVC and cross-linked polyethylene, J/(m3 K): common practice.
HEAT_OF = {"PVC": 1.7e6, "XLPE": 2.4e6, "silicone": 1.9e6}
# IEC 60364-5-54 table A.54.2: PVC 160 degC up to 300 mm2, XLPE 250 degC. No standard names one for silicone:
# its overload limit stands in.
SHORT_CIRCUIT_C = {"PVC": 160.0, "XLPE": 250.0, "silicone": 230.0}
BRIEF_S = 5.0
"""Up to here the short-circuit limit holds: IEC 60364-5-54."""
OVERLOAD_K = 50.0
"""ISO 6722-1: class + 50 K for an overload of at most 6 h."""
COLD_C = -30.0


@cache
def read(name: str) -> list[dict[str, str]]:
    """Read one file as printed."""
    with (DATA / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@dataclass(frozen=True)
class Cable:
    """One size as printed by ISO 6722, thin wall."""

    area_mm2: float
    ohm_per_m_20c: float
    conductor_d_mm: float
    outer_d_mm: float


def cables() -> tuple[Cable, ...]:
    """Return every preferred size."""
    return tuple(
        Cable(
            float(row["nominal_mm2"]),
            float(row["plain_mohm_per_m"]) / 1000,
            float(row["conductor_d_mm"]),
            float(row["thin_outer_d_mm"]),
        )
        for row in read("road_cable_iso_6722")
        if row["preferred"] == "yes"
    )


@dataclass(frozen=True)
class Lies:
    """Where and how a wire lies, and what it is made of."""

    basis: str
    material: str
    class_c: float
    ambient_c: float
    loaded: int


def capacity_a(cable: Cable, lies: Lies) -> float | None:
    """Ampacity by VDE 0298-4 (road, 70 degC) or 33 CFR 183.425 with the root rule for the ambient."""
    if lies.class_c <= lies.ambient_c:
        return None
    if lies.basis == "road" and lies.class_c == 70.0:
        return _by_vde(cable, lies)
    found = _by_cfr(cable, lies)
    # Thinner than 18 AWG: the 70 degC table has a row.
    return _by_vde(cable, lies) if found is None and lies.basis == "road" and lies.ambient_c < 70 else found


def _by_vde(cable: Cable, lies: Lies) -> float | None:
    column = "single_core_a" if lies.loaded == 1 else "two_or_three_loaded_a"
    rows = [r for r in read("road_ampacity_vde_0298_4") if float(r["area_mm2"]) <= cable.area_mm2 * 1.001]
    if not rows:
        return None
    amps = float(rows[-1][column])
    if lies.ambient_c > 30:
        amps *= _up("ambient_factors_vde_0298_4", "ambient_c", lies.ambient_c)
    if lies.loaded > 3:
        amps *= _up("bundle_factors_vde_0298_4", "loaded_conductors", lies.loaded)
    return amps


def _up(name: str, key: str, value: float) -> float:
    return next(float(row["factor"]) for row in read(name) if float(row[key]) >= value)


def _by_cfr(cable: Cable, lies: Lies) -> float | None:
    column = f"at_{lies.class_c:g}_c_a"
    rows = [
        row
        for row in read("boat_ampacity_33_cfr_183_table_5")
        if gauge_mm2(row["awg"]) <= cable.area_mm2 * 1.001
    ]
    if not rows:
        return None
    among = [
        float(r["factor"])
        for r in read("boat_bundle_factors_33_cfr_183")
        if float(r["loaded_from"]) <= lies.loaded
    ]
    cooler = math.sqrt((lies.class_c - max(lies.ambient_c, 30.0)) / (lies.class_c - 30.0))
    return float(rows[-1][column]) * among[-1] * cooler


def gauge_mm2(gauge: str) -> float:
    """Area by ASTM B258: 0.127 mm x 92^((36 - n) / 39), 1/0 counting as 0, 2/0 as -1."""
    number = 1 - int(gauge[0]) if gauge.endswith("/0") else int(gauge)
    return float(math.pi / 4 * (0.127 * 92 ** ((36 - number) / 39)) ** 2)


@dataclass(frozen=True)
class Fuse:
    """One rating of one type with its sure gates."""

    family: str
    rating_a: float
    kind: str
    time_lag: bool
    multiples: tuple[float, ...]
    times_s: tuple[float, ...]


@cache
def fuses() -> tuple[Fuse, ...]:
    """Return every rating of every type whose gates promise that it opens."""
    kinds = {row["family"]: row for row in read("fuse_families")}
    gates = read("fuse_gates")
    found = []
    for row in read("fuse_ratings"):
        family, rating_a = row["family"], float(row["rating_a"])
        sure = sorted(
            (float(g["share_pct"]) / 100, float(g["most_s"]))
            for g in gates
            if g["family"] == family and g["most_s"] and float(g["from_a"]) <= rating_a <= float(g["to_a"])
        )
        if len(sure) >= 2 and sure[0][0] <= 1.35:
            about = kinds[family]
            multiples, times_s = zip(*sure, strict=True)
            lag = about["time_lag"] == "yes"
            found.append(Fuse(family, rating_a, about["kind"], lag, multiples, times_s))
    return tuple(found)


def growth(fuse: Fuse, *, cold: bool) -> float:
    """Share by which its opening current grows in the cold: zinc and tin melt at 419.5 and 231.9 degC."""
    if not cold:
        return 1.0
    if fuse.kind == "breaker":
        return 1 + 0.01 * (25 - COLD_C)
    melts_c = 231.9 if fuse.time_lag else 419.5
    return math.sqrt((melts_c - COLD_C) / (melts_c - 18.0))


def slowest_s(multiples: Floats, fuse: Fuse) -> Floats:
    """Longest time to opening: never below the first gate, chords between, the heat integral beyond."""
    m, t = np.array(fuse.multiples), np.array(fuse.times_s)
    time_s = np.exp(np.interp(np.log(multiples), np.log(m), np.log(t)))
    time_s = np.where(multiples > m[-1], t[-1] * (m[-1] / multiples) ** 2, time_s)
    return np.where(multiples < m[0], np.inf, time_s)


@cache
def looked_at(fuse_multiples: tuple[float, ...], fuse_times_s: tuple[float, ...]) -> tuple[Floats, Floats]:
    """Multiples of the rating that are looked at, from 1 on, with both sides of every edge; times there."""
    fuse = Fuse("", 1.0, "", False, fuse_multiples, fuse_times_s)
    m, t = np.array(fuse_multiples), np.array(fuse_times_s)
    edges = [m * (1 - 1e-9), m, m * (1 + 1e-9)]
    if t[-1] < BRIEF_S < t[0]:
        at_5_s = float(np.exp(np.interp(-math.log(BRIEF_S), -np.log(t), np.log(m))))
        edges.append(at_5_s * np.array([1 - 1e-9, 1.0, 1 + 1e-9]))
    elif t[-1] >= BRIEF_S:
        edges.append(m[-1] * math.sqrt(t[-1] / BRIEF_S) * np.array([1 - 1e-9, 1 + 1e-9]))
    grid = np.concatenate([np.linspace(1, m[0], 12), np.geomspace(m[0], 40, 260), *edges])
    grid = np.unique(grid)
    return grid, slowest_s(grid, fuse)


class Wire:
    """One wire where it lies, from one pre-load: how long it stands each current."""

    def __init__(self, cable: Cable, lies: Lies, preload_share: float) -> None:
        """Integrate from the pre-load to class + 50 K for currents from for-ever up."""
        amps = capacity_a(cable, lies)
        assert amps is not None
        self.capacity_a = amps
        self._ohm = cable.ohm_per_m_20c
        self._ambient_c = lies.ambient_c
        copper = cable.area_mm2 * 1e-6 * COPPER_J_PER_M3_K
        ring = math.pi / 4 * (cable.outer_d_mm**2 - cable.conductor_d_mm**2) * 1e-6 * HEAT_OF[lies.material]
        # At its ampacity it settles at its class.
        self._k_m_per_w = (lies.class_c - lies.ambient_c) / (amps**2 * self._at(lies.class_c))
        start_c = self._settled_c(preload_share * amps)
        limit_c = lies.class_c + OVERLOAD_K
        for_ever_a = math.sqrt((limit_c - lies.ambient_c) / self._k_m_per_w / self._at(limit_c))
        self.for_ever_a = for_ever_a
        short_c = SHORT_CIRCUIT_C[lies.material] if lies.material != "silicone" else limit_c
        short_c = max(short_c, lies.class_c)
        self.brief_a2s = (
            quad(lambda c: copper / self._at(c), start_c, short_c)[0] if start_c < short_c else 0.0
        )
        self._log_a = np.log(for_ever_a * (1 + np.geomspace(1e-9, 60.0, 300)))
        square = np.exp(2 * self._log_a)

        def speed(temp_c: Floats, square: Floats) -> Floats:
            left_w = square * self._at(temp_c) - (temp_c - self._ambient_c) / self._k_m_per_w
            return np.asarray((copper + ring) / left_w)

        self._log_s = np.log(tanhsinh(speed, start_c, limit_c, args=(square,), rtol=1e-6).integral)

    def _at(self, temp_c: Any) -> Any:
        return self._ohm * (1 + ALPHA20 * (temp_c - 20))

    def _settled_c(self, amps: float) -> float:
        heat = amps**2 * self._ohm * self._k_m_per_w
        return float((self._ambient_c + heat * (1 - 20 * ALPHA20)) / (1 - heat * ALPHA20))

    def stood_s(self, amps: float) -> float:
        """Time that it stands a current: by the short-circuit limit up to 5 s, by class + 50 K beyond."""
        brief_s = self.brief_a2s / amps**2
        if brief_s <= BRIEF_S:
            return brief_s
        if amps <= self.for_ever_a:
            return math.inf
        return max(BRIEF_S, float(np.exp(np.interp(math.log(amps), self._log_a, self._log_s))))

    def highest_a(self, fuse: Fuse, cold: float) -> float:
        """Highest rating with a fuse's gates that leaves the wire within its limits at every current."""
        multiples, times_s = looked_at(fuse.multiples, fuse.times_s)
        return float(np.min(self._stands_a(times_s) / (multiples * cold)))

    def _stands_a(self, times_s: Floats) -> Floats:
        """Current that it stands for a time: by the short-circuit limit up to 5 s, by class + 50 K beyond."""
        with np.errstate(divide="ignore"):
            slow = np.exp(np.interp(np.log(times_s), self._log_s[::-1], self._log_a[::-1]))
            brief = np.sqrt(self.brief_a2s / times_s)
        slow = np.where(np.log(times_s) > self._log_s[0], self.for_ever_a, slow)
        return np.where(times_s <= BRIEF_S, brief, slow)


def states(
    cases: tuple[tuple[str, str, float], ...], ambients_c: tuple[float, ...]
) -> Iterator[tuple[Cable, Lies]]:
    """Yield every size in every insulation, air and bundle that has an ampacity."""
    for cable in cables():
        for basis, material, class_c in cases:
            for ambient_c in ambients_c:
                for loaded in (1, 2, 4, 7):
                    lies = Lies(basis, material, class_c, ambient_c, loaded)
                    if capacity_a(cable, lies) is not None:
                        yield cable, lies
