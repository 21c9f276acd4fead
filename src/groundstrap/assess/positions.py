"""Which switches, relays and links are closed in which situation, and which loads may run then."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from groundstrap.assess.topology import Piece, PieceKind, Topology
from groundstrap.model import Installation, Load, LoadKind, PartKind, Situation, State, SupplyKind

__all__ = ["alternatives", "applies", "may_run", "opened", "running_loads", "runs_in", "waits_for_load"]

_IGNITION = frozenset({Situation.IDLING, Situation.DRIVING, Situation.CRANKING})
_ENGINE = frozenset({Situation.IDLING, Situation.DRIVING})
_BY_WHEN: Mapping[str, frozenset[Situation]] = {
    "always": frozenset(Situation),
    "ignition": _IGNITION,
    "engine": _ENGINE,
}
_WORKED_BY_HAND = frozenset({PartKind.SWITCH, PartKind.RELAY})


_WITH_KEY = frozenset({"ignition", "engine"})


def applies(installation: Installation, situation: Situation) -> bool:
    """Tell whether a situation can occur: an engine that runs needs an alternator, cranking a starter.

    A vehicle without an alternator still drives where its key feeds something: an electric one.
    """
    supplies = [s for s in installation.supplies.values() if s.state is not State.REMOVE]
    kinds = {supply.kind for supply in supplies}
    if situation in _ENGINE:
        electric = situation is Situation.DRIVING and _has_key(installation)
        return SupplyKind.ALTERNATOR in kinds or electric
    if situation is Situation.MAINS:
        return SupplyKind.MAINS_CHARGER in kinds
    if situation is Situation.CRANKING:
        return any(
            load.kind is LoadKind.STARTER
            for load in installation.loads.values()
            if load.state is not State.REMOVE
        )
    return SupplyKind.BATTERY in kinds or bool(kinds - {SupplyKind.ALTERNATOR, SupplyKind.MAINS_CHARGER})


def _has_key(installation: Installation) -> bool:
    """Whether anything is fed by the key or the engine, so that it is on while driving and off at rest."""
    return (
        any(part.when in _WITH_KEY for part in installation.parts())
        or any(g.when in _WITH_KEY and g.state is not State.REMOVE for g in installation.gear.values())
        or any(s.when in _WITH_KEY and s.state is not State.REMOVE for s in installation.supplies.values())
    )


def runs_never(installation: Installation, load: Load) -> bool:
    """Tell whether none of the situations in which a load may run can occur as the job stands."""
    if load.kind is LoadKind.STARTER and not load.runs_written:
        return False
    return not any(applies(installation, situation) for situation in load.runs)


def runs_in(load: Load, situation: Situation) -> bool:
    """Tell whether a load may run in a situation; a starter runs while cranking and at no other time."""
    if load.kind is LoadKind.STARTER and not load.runs_written:
        return situation is Situation.CRANKING
    return situation in load.runs


def may_run(installation: Installation, situation: Situation) -> tuple[str, ...]:
    """Return every load that may run in a situation, in the order of the job.

    One whose situations can't occur as the job stands counts at rest: a wire is never sized for nothing.
    """
    return tuple(
        name
        for name, load in installation.loads.items()
        if load.state is not State.REMOVE
        and (runs_in(load, situation) or (situation is Situation.RESTING and runs_never(installation, load)))
    )


def running_loads(
    installation: Installation, situation: Situation, first: str | None = None
) -> tuple[str, ...]:
    """Return a largest set of loads that may run together, `first` among them where it is given.

    Interlocked loads (`never_with`) are taken in the order of the job.
    """
    names = may_run(installation, situation)
    ordered = names if first is None else (first, *(name for name in names if name != first))
    taken: list[str] = []
    for name in ordered:
        excluded = installation.loads[name].never_with
        if all(o not in excluded and name not in installation.loads[o].never_with for o in taken):
            taken.append(name)
    return tuple(name for name in names if name in set(taken))


def opened(
    topology: Topology,
    situation: Situation,
    *,
    running: Collection[str] | None = None,
    behind: Mapping[str, frozenset[str]] | None = None,
) -> frozenset[str]:
    """Return the pieces that are open.

    Without `running` everything worked by hand or by a signal is closed; with it, such a part is closed while
    one of the loads `behind` it runs.
    """
    charging = situation in _ENGINE or (
        situation is Situation.MAINS and applies(topology.installation, Situation.MAINS)
    )
    result = set()
    for piece in topology.pieces:
        closed = _closed(topology.installation, piece, situation, charging=charging)
        if closed is None:
            closed = (
                running is None or behind is None or bool(behind.get(piece.name, frozenset()) & set(running))
            )
        if not closed:
            result.add(piece.name)
    return frozenset(result)


def alternatives(topology: Topology) -> tuple[frozenset[str], ...]:
    """Return which switches stand open in turn where a load hangs on several circuits worked by hand.

    A pump on a float switch and on a switch by hand runs off one of them at a time; with both closed, one
    circuit would feed whatever hangs on the other. One empty set where there is no such load.
    """
    return topology.kept.once("alternatives", lambda: _alternatives(topology))


def _alternatives(topology: Topology) -> tuple[frozenset[str], ...]:
    installation = topology.installation
    choices: list[tuple[frozenset[str], ...]] = []
    for load in installation.loads:
        switches = [
            frozenset(
                p.name for p in topology.pieces if p.circuit == c.name and waits_for_load(installation, p)
            )
            for c in installation.circuits.values()
            if load in c.loads and c.state is not State.REMOVE
        ]
        switched = tuple(names for names in switches if names)
        if len(switched) > 1:
            choices.append(switched)
    turns = max((len(switched) for switched in choices), default=1)
    return tuple(
        frozenset().union(
            *(
                names
                for switched in choices
                for number, names in enumerate(switched)
                if number != turn % len(switched)
            )
        )
        for turn in range(turns)
    )


def waits_for_load(installation: Installation, piece: Piece) -> bool:
    """Tell whether a piece is closed by hand or by a signal, that is while a load behind it runs."""
    return _closed(installation, piece, Situation.DRIVING, charging=True) is None


def _closed(installation: Installation, piece: Piece, situation: Situation, *, charging: bool) -> bool | None:
    """True or False where the situation says it, None where a load behind it does."""
    when = _when(installation, piece)
    if when is not None and when in _BY_WHEN:
        return situation in _BY_WHEN[when]
    part = piece.part
    if part is None or part.kind not in _WORKED_BY_HAND:
        return None if part is not None and when is not None and when != "hand" else True
    gear = installation.gear.get(part.gear or "")
    closes_v = part.closes_v if part.closes_v is not None else (gear.closes_v if gear else None)
    if closes_v is not None:
        return charging
    return None


def _when(installation: Installation, piece: Piece) -> str | None:
    if piece.part is not None:
        gear = installation.gear.get(piece.part.gear or "")
        return piece.part.when if piece.part.when is not None else (gear.when if gear else None)
    if piece.kind is PieceKind.TIE and piece.tie is not None:
        # A maker's fuse box that only lives with the ignition: what feeds it is switched.
        gear = installation.gear.get(piece.tie.end) or installation.gear.get(piece.tie.start)
        return gear.when if gear is not None else None
    return None
