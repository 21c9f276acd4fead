"""The day once more, put together differently: every right-hand side solves the whole network.

No slopes, no kept answers, no arrays of rows: charge by charge with the formulas of `physics.storage`, the
network by one full solve at every look, SciPy's stiff integrator at a fine tolerance, and events by its own
root search. Machines, relays, cut-offs and duty are written out again here.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from scipy.integrate import solve_ivp

from groundstrap.assess import Case, Wiring, parameters
from groundstrap.assess.topology import PieceKind
from groundstrap.model import DaySpan, PartKind, Situation, SupplyKind
from groundstrap.physics import storage
from groundstrap.solve import Law, Point, solve_one
from groundstrap.tables import batteries as tables
from groundstrap.tables import battery_resistance, charge_voltage, cold_factor

ACCEPTS = {"flooded": 0.25, "agm": 0.35, "gel": 0.25, "lfp": 0.5}
HOT_SHARE = 0.85
PAUSE_S = 60.0
FLOAT_FLOOR_A = 1e-6


@dataclass
class Battery:
    """One 12 V battery."""

    branch: int
    name: str
    chemistry: str
    rated_ah: float
    full_ohm: float
    begins_pct: float

    def __post_init__(self) -> None:
        self.wells = tables.two_wells(self.chemistry)
        self.total = self.rated_ah * self.wells.total
        self.curve = tables.open_circuit(self.chemistry)
        self.takes = tables.charge_acceptance(self.chemistry)
        self.begins = self.total - (1 - self.begins_pct / 100) * self.rated_ah
        ends = charge_voltage(self.chemistry, "absorption")
        self.absorption_v = 0.5 * (ends.low_v + ends.high_v)

    def shown(self, q1: float, q2: float, temp_c: float) -> tuple[float, float, float, float]:
        """Volts behind it, resistance both ways, share of a charge that is kept."""
        lead = self.chemistry != "lfp"
        per_k = tables.capacity_per_k(self.chemistry).typical
        head = q1 / (self.wells.share * self.total)
        below = (q1 + q2) / self.total - head
        counts = min(max(below / (1 - 1 / self.wells.total), 0.0), 1.0)
        head -= counts * (1 - head) * (1 / storage.capacity_share(temp_c, pct_per_k=per_k) - 1)
        found = cold_factor(temp_c)
        cold = math.sqrt(found.low * found.high) if lead else 1.0
        inside = min(max(head, 0.0), 1.0)
        volts = storage.open_circuit_v(
            inside,
            temp_c=temp_c,
            heads=self.curve.heads,
            volts_v=self.curve.volts_v,
            per_k_v=self.curve.per_k_v,
        )
        slope = np.diff(self.curve.volts_v) / np.diff(self.curve.heads)
        volts += (head - inside) * (slope[-1] if head > 1 else 20 * slope[0])
        ohm = storage.resistance_at_head_ohm(
            self.full_ohm * cold, head=inside, ratio_at_20_pct=tables.state_factor(self.chemistry).typical
        )
        missing = max(self.total - q1 - q2, 0.0)
        stored = storage.accepted_a(missing, temp_c=temp_c if lead else 25.0, per_h=self.takes.typical_per_h)
        stored = min(stored, ACCEPTS[self.chemistry] * self.rated_ah)
        takes = max(stored + self.takes.float_ma_per_ah / 1000 * self.rated_ah, FLOAT_FLOOR_A)
        charge = storage.charge_resistance_ohm(
            takes, emf_v=volts, ohmic_ohm=ohm, absorption_v=self.absorption_v
        )
        if not lead and temp_c < 0:
            charge = 1e5
        keeps = tables.charge_efficiency(self.chemistry)
        state = 100 * (1 - missing / self.rated_ah)
        kept = float(np.interp(state, keeps.keys, keeps.typical)) * stored / takes
        return float(volts), float(ohm), float(charge), kept

    def change(self, q1: float, q2: float, amps: float, kept: float, temp_c: float) -> tuple[float, float]:
        """Charge of both wells by time. [Ah/s]"""
        month = tables.self_discharge(self.chemistry).at_20_c_pct
        lost = storage.self_discharge_a(self.rated_ah, temp_c=temp_c, pct_per_month_20c=month)
        into = kept * amps if amps > 0 else amps
        share = self.wells.share
        flow = self.wells.rate_per_h * (share * q2 - (1 - share) * q1)
        return (into + flow - share * lost) / 3600, (-flow - (1 - share) * lost) / 3600


@dataclass
class Told:
    """What the oracle found."""

    charge_ah: list[list[float]] = field(default_factory=list)
    """Of each battery at the end of each span."""
    volts_v: list[list[float]] = field(default_factory=list)
    cuts: list[tuple[str, float]] = field(default_factory=list)
    backs: list[tuple[str, float]] = field(default_factory=list)
    relays: list[float] = field(default_factory=list)


class Oracle:
    """Runs the day of one wiring, all batteries of 12 V and one each."""

    def __init__(self, wiring: Wiring, begins_pct: dict[str, float]) -> None:
        self.wiring, self.network = wiring, wiring.network
        self.batteries = []
        for number, piece in enumerate(wiring.topology.pieces):
            if piece.kind is PieceKind.BATTERY:
                s = piece.supply
                assert s is not None
                assert s.capacity_ah is not None
                assert s.chemistry is not None
                assert s.series == s.parallel == 1
                ohm = battery_resistance(
                    s.chemistry,
                    capacity_ah=s.capacity_ah,
                    cranking_a=s.cranking_a,
                    standard=s.cranking_standard or "EN",
                ).typical_ohm
                self.batteries.append(
                    Battery(number, s.name, s.chemistry, s.capacity_ah, ohm, begins_pct[s.name])
                )
        self.off: set[str] = set()
        self.waits: dict[str, float] = {}
        self.closed = False
        self.relay = next(
            (
                n
                for n, p in enumerate(wiring.topology.pieces)
                if p.part is not None and p.part.kind is PartKind.RELAY and self._senses(n) is not None
            ),
            None,
        )

    def _senses(self, number: int) -> tuple[float, float] | None:
        part = self.wiring.topology.pieces[number].part
        gear = self.wiring.installation.gear.get(part.gear or "") if part is not None else None
        if gear is None or gear.closes_v is None or gear.opens_v is None:
            return None
        return gear.closes_v, gear.opens_v

    # ------------------------------------------------------------ one look

    def _values(self, span: DaySpan, factors: dict[str, float]) -> list[tuple[float, ...]]:
        running = list(span.using)
        case = Case(situation=span.when, running=frozenset(running))
        values = parameters(self.wiring, case)
        for name in running:
            number = self.wiring.index(name)
            law, old = self.network.branches[number].law, values[number]
            by = factors[name]
            if law is Law.RESISTOR:
                values[number] = (old[0] / by if by > 0 else math.inf,)
            else:
                values[number] = (old[0] * by, *old[1:])
        for number, piece in enumerate(self.wiring.topology.pieces):
            supply = piece.supply
            if piece.kind is PieceKind.MACHINE and supply and supply.kind is SupplyKind.ALTERNATOR:
                set_v, limit, droop = values[number]
                values[number] = (set_v, limit * HOT_SHARE, droop)
        if self.relay is not None:
            ohm = self.wiring.ends[self.wiring.topology.pieces[self.relay].name].typical
            values[self.relay] = (ohm,) if self.closed else (math.inf,)
        return values

    def _point(self, span: DaySpan, factors: dict[str, float], shown: list[tuple[float, ...]]) -> Point:
        values = self._values(span, factors)
        for battery, (emf, ohm, charge, _) in zip(self.batteries, shown, strict=True):
            values[battery.branch] = (emf, ohm, max(charge, ohm))
        found = solve_one(self.network, values)
        assert found.found
        return found

    def _duty(self, name: str, span: DaySpan) -> float:
        load = self.wiring.installation.loads[name]
        share = load.duty.share_pct / 100
        if load.kind.value == "compressor" and share < 1:
            share *= 1 + 0.04 * ((20.0 if span.temperature_c is None else span.temperature_c) - 25)
        return min(share, 1.0)

    def _mean(self, span: DaySpan, shown: list[tuple[float, ...]]) -> tuple[Point, dict[str, float]]:
        """The mean of the network's answers: each duty load on while the others stand at their mean."""
        duty = {n: 0.0 if n in self.off else self._duty(n, span) for n in span.using}
        factors = dict(duty)
        turns = [n for n, d in duty.items() if 0 < d < 1]
        point = self._point(span, factors, shown)
        for _ in range(6 if turns else 0):
            for name in turns:
                on = self._point(span, {**factors, name: 1.0}, shown)
                branch = self.wiring.index(name)
                factors[name] *= duty[name] * on.branch_a[branch] / point.branch_a[branch]
            before, point = point, self._point(span, factors, shown)
            if max(abs(a - b) for a, b in zip(before.branch_a, point.branch_a, strict=True)) < 1e-9:
                break
        return point, duty

    def look(self, q: np.ndarray, span: DaySpan) -> tuple[Point, Point, list[tuple[float, ...]]]:
        """Mean point, point with all duty loads on, and what the batteries show."""
        temp_c = 20.0 if span.temperature_c is None else span.temperature_c
        shown: list[tuple[float, ...]] = [
            b.shown(q[2 * n], q[2 * n + 1], temp_c) for n, b in enumerate(self.batteries)
        ]
        mean, duty = self._mean(span, shown)
        if all(d in {0.0, 1.0} for d in duty.values()):
            return mean, mean, shown
        on = self._point(span, {n: float(d > 0) for n, d in duty.items()}, shown)
        return mean, on, shown

    def change(self, q: np.ndarray, span: DaySpan) -> np.ndarray:
        """Right-hand side."""
        temp_c = 20.0 if span.temperature_c is None else span.temperature_c
        mean, _, shown = self.look(q, span)
        found: list[float] = []
        for n, battery in enumerate(self.batteries):
            amps = mean.branch_a[battery.branch]
            found += battery.change(q[2 * n], q[2 * n + 1], amps, shown[n][3], temp_c)
        return np.array(found)

    # ------------------------------------------------------------ events

    def _watches(self, span: DaySpan) -> list[tuple[str, str, Callable[[float, np.ndarray], float]]]:
        found: list[tuple[str, str, Callable[[float, np.ndarray], float]]] = []
        for name in span.using:
            load, branch = self.wiring.installation.loads[name], self.wiring.index(name)
            if load.works is None:
                continue
            if name not in self.off:

                def cut(_: float, q: np.ndarray, *, of: int = branch, at: float = load.works.low) -> float:
                    return self.look(q, span)[1].branch_v[of] - at

                found.append(("cut", name, cut))
            elif load.restart_v is not None or span.when is not Situation.RESTING:
                back_v = load.restart_v if load.restart_v is not None else load.works.low + 0.5

                def back(
                    t: float,
                    q: np.ndarray,
                    *,
                    of: int = branch,
                    at: float = back_v,
                    after: float = self.waits[name],
                ) -> float:
                    return at - self.look(q, span)[0].branch_v[of] if t >= after else 1.0

                found.append(("back", name, back))
        if self.relay is not None:
            start = self.wiring.topology.pieces[self.relay].start
            closes, opens = self._senses(self.relay) or (0.0, 0.0)
            if self.closed:
                found.append(("relay", "", lambda _, q: self.look(q, span)[0].node_v[start] - opens))
            else:
                found.append(("relay", "", lambda _, q: closes - self.look(q, span)[0].node_v[start]))
        return found

    def _throw(self, kind: str, name: str, t: float, told: Told) -> None:
        if kind == "cut":
            self.off.add(name)
            self.waits[name] = t + PAUSE_S
            told.cuts.append((name, t))
        elif kind == "back":
            self.off.discard(name)
            told.backs.append((name, t))
        else:
            self.closed = not self.closed
            told.relays.append(t)

    def run(self) -> Told:
        """Run the day once."""
        told, clock = Told(), 0.0
        begin = [
            x for b in self.batteries for x in (b.wells.share * b.begins, (1 - b.wells.share) * b.begins)
        ]
        q = np.array(begin)
        for span in self.wiring.installation.day:
            self.off &= set(span.using)
            end = clock + span.time_s
            while clock < end - 1e-6:
                now = [(k, n, f) for k, n, f in self._watches(span) if f(clock, q) < 0]
                if now:
                    kinds = sorted(now, key=lambda one: (one[0] != "cut", one[2](clock, q)))
                    self._throw(kinds[0][0], kinds[0][1], clock, told)
                    continue
                clock, q = self._integrate(span, clock, end, q, told)
            point = self.look(q, span)[0]
            told.charge_ah.append([float(q[2 * n] + q[2 * n + 1]) for n in range(len(self.batteries))])
            told.volts_v.append([point.branch_v[b.branch] for b in self.batteries])
        return told

    def _integrate(
        self, span: DaySpan, clock: float, end: float, q: np.ndarray, told: Told
    ) -> tuple[float, np.ndarray]:
        watches = self._watches(span)
        waits = [w for n, w in self.waits.items() if n in self.off and w > clock + 1e-6]
        stop = min([end, *waits])
        events = []
        for _, _, watch in watches:

            def event(t: float, y: np.ndarray, *, of: Callable[[float, np.ndarray], float] = watch) -> float:
                return of(t, y)

            event.terminal = True  # type: ignore[attr-defined]
            event.direction = -1  # type: ignore[attr-defined]
            events.append(event)
        found = solve_ivp(
            lambda _, y: self.change(y, span),
            (clock, stop),
            q,
            method="LSODA",
            rtol=1e-8,
            atol=1e-8,
            events=events or None,
            first_step=1.0,
            max_step=600.0,
        )
        assert found.success
        q = found.y[:, -1]
        for (kind, name, _), times in zip(watches, found.t_events or [], strict=False):
            if len(times):
                self._throw(kind, name, float(times[0]), told)
                return float(times[0]), q
        return stop, q
