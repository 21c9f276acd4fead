"""What rules often ask of an installation and of what `assess` and `vet` found, looked up once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property
from typing import TYPE_CHECKING

from groundstrap.assess.results import Assessment, FuseAssessment, WireAssessment
from groundstrap.model import Circuit, Installation, Load, Part, PartKind, State, Supply, SupplyKind, Wire
from groundstrap.records import dataclass
from groundstrap.vet.results import Vetting

# A plan runs no days, and loads nothing for it; nor for readings where there are none.
if TYPE_CHECKING:
    from groundstrap.endure.results import Endurance
    from groundstrap.locate.judged import Judged

__all__ = ["Lookups"]

_JOINED = frozenset({"same", "converter negative", "charger negative"})
"""Ties without any resistance: both points are one."""


@dataclass(frozen=True)
class Lookups:
    """Installation, vetting and assessment, with what rules often ask of all three together."""

    installation: Installation
    vetting: Vetting
    assessment: Assessment
    endurance: Endurance | None = None
    """The run of its days, where one was made."""
    cure: str = ""
    """What cures what fails in that run, in words; empty where no change was found."""
    judged: Judged | None = None
    """Its readings held against the plan, where there are some."""

    @cached_property
    def circuits(self) -> Mapping[str, Circuit]:
        """Circuits that stay or are to be built."""
        return {
            name: circuit
            for name, circuit in self.installation.circuits.items()
            if circuit.state is not State.REMOVE
        }

    def circuit_read(self, points: Iterable[str]) -> str | None:
        """Return the circuit that some point, load or part is of, the first that is of one."""
        for point in points:
            if point and point in self._circuit_of:
                return self._circuit_of[point]
        return None

    @cached_property
    def _circuit_of(self) -> Mapping[str, str]:
        """Circuit of each circuit, load, part and point of theirs."""
        found = {name: name for name in self.circuits}
        for circuit in self.circuits.values():
            for name in circuit.loads:
                load = self.installation.loads.get(name)
                ends = () if load is None else (load.plus, load.minus)
                found.update(dict.fromkeys((name, *ends), circuit.name))
        for circuit in self.circuits.values():
            for part in circuit.parts:
                for point in (part.name, part.start, part.end):
                    found.setdefault(point, circuit.name)
        return found

    @cached_property
    def wires(self) -> Mapping[str, Wire]:
        """Every piece of cable by its name."""
        return {wire.name: wire for wire in self.installation.wires()}

    @cached_property
    def parts(self) -> Mapping[str, Part]:
        """Every part by its name."""
        return {part.name: part for part in self.installation.parts()}

    @cached_property
    def supplies(self) -> Mapping[str, Supply]:
        """Supplies that stay or are to be built."""
        return {n: s for n, s in self.installation.supplies.items() if s.state is not State.REMOVE}

    @cached_property
    def loads(self) -> Mapping[str, Load]:
        """Loads that stay or are to be built."""
        return {n: load for n, load in self.installation.loads.items() if load.state is not State.REMOVE}

    @cached_property
    def batteries(self) -> tuple[Supply, ...]:
        """Batteries and banks."""
        return tuple(s for s in self.supplies.values() if s.kind is SupplyKind.BATTERY)

    @cached_property
    def fuses(self) -> Mapping[str, FuseAssessment]:
        """What `assess` found about each fuse and breaker, by its name."""
        return {
            name: found
            for circuit in self.assessment.circuits.values()
            for name, found in circuit.fuses.items()
        }

    @cached_property
    def wire_findings(self) -> Mapping[str, WireAssessment]:
        """What `assess` found about each wire, by its name."""
        return {
            name: found
            for circuit in self.assessment.circuits.values()
            for name, found in circuit.wires.items()
        }

    @cached_property
    def guards(self) -> Mapping[str, tuple[FuseAssessment, ...]]:
        """The fuses that protect a wire, part or load, by its name."""
        found: dict[str, list[FuseAssessment]] = {}
        for fuse in self.fuses.values():
            for name in fuse.protects:
                found.setdefault(name, []).append(fuse)
        return {name: tuple(fuses) for name, fuses in found.items()}

    @cached_property
    def joined(self) -> Mapping[str, str]:
        """Point -> the one of its names that stands for it, for points that are tied without resistance."""
        stands: dict[str, str] = {}

        def root(point: str) -> str:
            while stands.get(point, point) != point:
                point = stands[point]
            return point

        for tie in self.installation.ties:
            if tie.kind in _JOINED:
                stands[root(tie.start)] = root(tie.end)
        return {point: root(point) for point in stands}

    def point(self, name: str) -> str:
        """Return the name that stands for a point."""
        return self.joined.get(name, name)

    def battery_at(self, point: str, *, minus: bool = False) -> Supply | None:
        """Return the battery whose plus (or minus) post a point is."""
        return self._posts.get((self.point(point), minus))

    @cached_property
    def _posts(self) -> Mapping[tuple[str, bool], Supply]:
        """Point and whether it is a minus -> the first battery whose post it is."""
        found: dict[tuple[str, bool], Supply] = {}
        for battery in self.batteries:
            found.setdefault((self.point(battery.plus), False), battery)
            found.setdefault((self.point(battery.minus), True), battery)
        return found

    @cached_property
    def rings(self) -> Mapping[str, int]:
        """Point -> the ends of cable that come to it, each parallel one counted."""
        found: dict[str, int] = {}
        for wire in self.wires.values():
            for point in (wire.start, wire.end):
                found[point] = found.get(point, 0) + wire.parallel
        return found

    @cached_property
    def sensing(self) -> tuple[Circuit, ...]:
        """Circuits with a sensor."""
        kind = PartKind.SENSOR
        return tuple(c for c in self.circuits.values() if any(part.kind is kind for part in c.parts))

    def machine_at(self, point: str) -> Supply | None:
        """Return the alternator, charger, converter or panel whose output a point is."""
        return self._outputs.get(self.point(point))

    @cached_property
    def _outputs(self) -> Mapping[str, Supply]:
        """Point -> the first machine whose output it is."""
        found: dict[str, Supply] = {}
        for supply in self.supplies.values():
            if supply.kind is not SupplyKind.BATTERY:
                found.setdefault(self.point(supply.plus), supply)
        return found

    @cached_property
    def charging_minuses(self) -> frozenset[str]:
        """Points that are the minus of a machine which no battery feeds."""
        kinds = {SupplyKind.BATTERY, SupplyKind.DC_DC}
        return frozenset(self.point(s.minus) for s in self.supplies.values() if s.kind not in kinds)

    @cached_property
    def isolators(self) -> frozenset[str]:
        """Names of what isolates a battery."""
        return frozenset(part.name for part in self.parts.values() if part.kind is PartKind.ISOLATOR)

    def on_body(self, point: str) -> bool:
        """Tell whether a point lies on the vehicle's own body or on a hull."""
        return point in self.installation.chassis_points

    @cached_property
    def links(self) -> Mapping[str, tuple[tuple[str, str], ...]]:
        """Point -> the points that cable, parts and ties lead to, each with the name of what leads there."""
        found: dict[str, list[tuple[str, str]]] = {}
        steps = [(wire.name, wire.start, wire.end) for wire in self.wires.values()]
        steps += [(part.name, part.start, part.end) for part in self.parts.values()]
        steps += [(tie.name, tie.start, tie.end) for tie in self.installation.ties]
        for name, start, end in steps:
            found.setdefault(self.point(start), []).append((self.point(end), name))
            found.setdefault(self.point(end), []).append((self.point(start), name))
        return {point: tuple(others) for point, others in found.items()}

    @cached_property
    def ways(self) -> dict[tuple[str, frozenset[str], frozenset[str]], frozenset[str]]:
        """What `reach.reached` found before."""
        return {}

    @property
    def system_v(self) -> float:
        """Nominal voltage of the vehicle. [V]"""
        return self.installation.system_v

    @property
    def basis(self) -> str:
        """Rule set that judges the job."""
        return self.installation.basis.value
