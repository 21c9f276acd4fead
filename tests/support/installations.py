"""Small installations built by hand, for tests that must not depend on the job reader."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from groundstrap.model import (
    Basis,
    Circuit,
    Element,
    Gear,
    GearKind,
    Installation,
    Load,
    LoadEstimate,
    LoadKind,
    LoadLaw,
    Part,
    PartKind,
    Passage,
    Situation,
    State,
    Stretch,
    Supply,
    SupplyKind,
    Tie,
    Uncertain,
    Wire,
    Zone,
)
from groundstrap.units import parse_size

ZONES = {
    "cabin": Zone(name="cabin", low_c=-30.0, high_c=60.0),
    "room": Zone(name="room", low_c=20.0, high_c=20.0),
    "mild": Zone(name="mild", low_c=0.0, high_c=30.0),
    "engine bay": Zone(name="engine bay", low_c=-30.0, high_c=85.0),
    "engine space": Zone(name="engine space", low_c=0.0, high_c=50.0),
}

LAWS = {
    -1.0: LoadLaw.CONSTANT_POWER,
    0.0: LoadLaw.CONSTANT_CURRENT,
    0.55: LoadLaw.FILAMENT,
    1.0: LoadLaw.RESISTIVE,
}


@dataclass(frozen=True)
class Cable:
    """A piece of cable in a path."""

    length_m: float
    size: str | None = None
    zone: str = "mild"
    laid: str | None = None
    route: str | None = None
    others: int = 0
    parallel: int = 1
    insulation: str | None = "usual"
    """As written; `usual` is 70 degC PVC on the road and boat cable on a boat, None what nobody wrote."""
    material: str = "copper"


@dataclass(frozen=True)
class Device:
    """A part in a path."""

    kind: str
    rating_a: float | None = None
    family: str | None = None
    ohm: float | None = None
    gear: str | None = None
    when: str | None = None
    zone: str = "mild"
    closes_v: float | None = None


@dataclass
class Builder:
    """Collects an installation piece by piece."""

    system_v: float = 12.0
    basis: Basis = Basis.ROAD
    body: str = "steel"
    supplies: dict[str, Supply] = field(default_factory=dict)
    gear: dict[str, Gear] = field(default_factory=dict)
    loads: dict[str, Load] = field(default_factory=dict)
    circuits: dict[str, Circuit] = field(default_factory=dict)
    ties: list[Tie] = field(default_factory=list)
    chassis: list[str] = field(default_factory=list)
    estimates: dict[str, LoadEstimate] = field(default_factory=dict)

    def battery(
        self, name: str = "battery", *, series: int = 1, ohm: float | None = 0.005, **more: object
    ) -> None:
        """Add a battery or a bank; `more` goes to the supply."""
        taps = tuple(f"{name} {k} +" for k in range(1, series))
        self.supplies[name] = Supply(
            name=name,
            kind=SupplyKind.BATTERY,
            place="bay",
            zone="mild",
            plus=f"{name} +",
            minus=f"{name} -",
            nominal_v=self.system_v,
            series=series,
            taps=taps,
            resistance_ohm=ohm,
            **more,  # type: ignore[arg-type]
        )

    def machine(self, name: str, kind: SupplyKind, *, nominal_v: float | None = None, **more: object) -> None:
        """Add an alternator, charger or converter; a converter's posts are `NAME out +` and `NAME in +`."""
        both = kind in {SupplyKind.DC_DC, SupplyKind.SOLAR_CHARGER}
        mid = " out" if both else ""
        self.supplies[name] = Supply(
            name=name,
            kind=kind,
            place="bay",
            zone="mild",
            plus=f"{name}{mid} +",
            minus=f"{name}{mid} -",
            in_plus=f"{name} in +" if both else None,
            in_minus=f"{name} in -" if both else None,
            nominal_v=nominal_v if nominal_v is not None else self.system_v,
            **more,  # type: ignore[arg-type]
        )

    def block(self, name: str, **more: object) -> None:
        """Add a block."""
        self.gear[name] = Gear(name=name, kind=GearKind.BLOCK, place="bay", zone="mild", **more)  # type: ignore[arg-type]

    def load(
        self,
        name: str,
        watts: float | None,
        *,
        exponent: float = -1.0,
        at_v: float = 12.0,
        kind: LoadKind = LoadKind.OTHER,
        **more: object,
    ) -> None:
        """Add a load and what it takes; None where nothing says it."""
        self.loads[name] = Load(
            name=name,
            kind=kind,
            place="bay",
            zone="mild",
            plus=f"{name} +",
            minus=f"{name} -",
            **more,  # type: ignore[arg-type]
        )
        self.estimates[name] = LoadEstimate(
            load=name,
            law=LAWS.get(exponent, LoadLaw.MOTOR),
            exponent=exponent,
            at_v=at_v,
            power_w=None if watts is None else Uncertain(watts, watts, watts),
            known=watts is not None,
        )

    def circuit(
        self,
        name: str,
        path: Sequence[str | Cable | Device],
        back: Sequence[str | Cable | Device] = (),
        *,
        converter: str | None = None,
        state: State = State.NEW,
        **more: object,
    ) -> None:
        """Add a circuit from points with cable and parts between them."""
        out, points = self._way(name, path, returning=False, state=state)
        home, home_points = self._way(name, back, returning=True, state=state) if back else ((), ("",))
        touched = [p.removesuffix(" +") for p in points if p.endswith(" +")]
        self.circuits[name] = Circuit(
            name=name,
            path=out,
            back=home,
            start=points[0],
            end=points[-1],
            back_end=home_points[-1] or None,
            loads=tuple(load for load in touched if load in self.loads),
            converter=converter,
            length_m=sum(e.length_m for e in out if isinstance(e, Wire)),
            state=state,
            **more,  # type: ignore[arg-type]
        )

    def _way(
        self, circuit: str, way: Sequence[str | Cable | Device], *, returning: bool, state: State
    ) -> tuple[tuple[Element, ...], tuple[str, ...]]:
        points = tuple(step for step in way if isinstance(step, str))
        elements: list[Element] = [Passage(point=points[0], what="block", name=points[0])]
        here = points[0]
        label = "return" if returning else "wire"
        counts: dict[str, int] = {}
        run_m = 0.0
        for step, after in zip(way[1:], [*way[2:], None], strict=True):
            if isinstance(step, str):
                elements.append(Passage(point=step, what="block", name=step))
                here = step
            elif isinstance(step, Cable):
                counts[label] = counts.get(label, 0) + 1
                name = f"{circuit} {label} {counts[label]}"
                there = self._next_point(circuit, after, counts, returning=returning)
                elements.append(
                    self._wire(step, name, circuit, here, there, returning=returning, state=state)
                )
                here = there
                run_m += step.length_m
            else:
                base = self._base(circuit, step, counts, returning=returning)
                counts[f"part {base}"] = 1
                counts[step.kind] = counts.get(step.kind, 0) + (0 if step.gear else 1)
                there = after if isinstance(after, str) else f"{base} out"
                elements.append(
                    self._part(
                        step, base, circuit, here, there, run_m=run_m, returning=returning, state=state
                    )
                )
                here = there
        return tuple(elements), points

    def _base(self, circuit: str, step: Device, counts: Mapping[str, int], *, returning: bool) -> str:
        if step.gear:
            return step.gear
        number = counts.get(step.kind, 0) + 1
        base = f"{circuit} {step.kind}" if number == 1 else f"{circuit} {step.kind} {number}"
        return f"{base} back" if returning else base

    def _next_point(
        self, circuit: str, after: str | Cable | Device | None, counts: Mapping[str, int], *, returning: bool
    ) -> str:
        if isinstance(after, str):
            return after
        if isinstance(after, Device):
            return f"{self._base(circuit, after, counts, returning=returning)} in"
        return f"{circuit} joint {counts.get('wire', 0)}"

    def _wire(
        self, step: Cable, name: str, circuit: str, start: str, end: str, *, returning: bool, state: State
    ) -> Wire:
        stretch = Stretch(
            zone=step.zone, length_m=step.length_m, laid=step.laid, route=step.route, others=step.others
        )
        usual = {Basis.ROAD: "PVC", Basis.BOAT: "boat cable"}[self.basis]
        return Wire(
            name=name,
            circuit=circuit,
            start=start,
            end=end,
            length_m=step.length_m,
            stretches=(stretch,),
            size=None if step.size is None else parse_size(step.size),
            parallel=step.parallel,
            material=step.material,
            insulation=usual if step.insulation == "usual" else step.insulation,
            returning=returning,
            state=state,
        )

    @staticmethod
    def _part(
        step: Device,
        base: str,
        circuit: str,
        start: str,
        end: str,
        *,
        run_m: float,
        returning: bool,
        state: State,
    ) -> Part:
        return Part(
            name=base,
            kind=PartKind(step.kind),
            circuit=circuit,
            start=start,
            end=end,
            place="bay",
            zone=step.zone,
            gear=step.gear,
            rating_a=step.rating_a,
            family=step.family,
            resistance_ohm=step.ohm,
            when=step.when,
            closes_v=step.closes_v,
            distance_m=run_m,
            returning=returning,
            state=state,
        )

    def build(self) -> Installation:
        """Return the installation."""
        first = next(s for s in self.supplies.values() if s.kind is SupplyKind.BATTERY)
        return Installation(
            title="built by hand",
            system_v=self.system_v,
            basis=self.basis,
            about={},
            units="metric",
            sizes="metric",
            body=self.body,
            supplies=self.supplies,
            gear=self.gear,
            loads=self.loads,
            circuits=self.circuits,
            places={"bay": "mild"},
            zones=ZONES,
            ties=tuple(self.ties),
            chassis_points=tuple(self.chassis),
            reference=first.minus,
        )


def tiny(
    watts: float = 60.0, *, exponent: float = -1.0, size: str | None = "2.5 mm2", length_m: float = 5.0
) -> Builder:
    """One battery, one load, a fuse near the battery, a switch, cable both ways."""
    job = Builder()
    job.battery()
    job.load("lamp", watts, exponent=exponent)
    cable = Cable(length_m - 0.2, size)
    job.circuit(
        "lamp",
        ["battery +", Cable(0.2, size), Device("fuse", family="regular blade"), cable, "lamp +"],
        ["lamp -", Cable(length_m, size), "battery -"],
    )
    return job


def two_level() -> Builder:
    """A feeder to a block with three branches, one common way back; the lowest common denominator of vans."""
    job = Builder()
    job.battery()
    job.machine("alternator", SupplyKind.ALTERNATOR, rating_a=90.0, idle_pct=50.0)
    job.ties.append(
        Tie(name="alternator plus", start="alternator +", end="battery +", kind="alternator", why="")
    )
    job.ties.append(
        Tie(name="alternator minus", start="alternator -", end="battery -", kind="alternator", why="")
    )
    job.block("panel")
    job.block("bus")
    job.load("warmer", 120.0, exponent=1.0)
    job.load("radio", 48.0)
    job.load("pump", 72.0, exponent=1.5)
    job.circuit(
        "feed",
        [
            "battery +",
            Cable(0.2, "10 mm2"),
            Device("fuse", 50.0, "high-current blade"),
            Cable(3.0, "10 mm2"),
            "panel",
        ],
    )
    job.circuit("negative", ["bus", Cable(3.2, "10 mm2"), "battery -"])
    for name, length_m in (("warmer", 2.0), ("radio", 3.0), ("pump", 4.0)):
        job.circuit(
            name,
            ["panel", Device("fuse", 15.0, "regular blade"), Cable(length_m, "2.5 mm2"), f"{name} +"],
            [f"{name} -", Cable(length_m, "2.5 mm2"), "bus"],
        )
    return job


SITUATIONS = tuple(Situation)
