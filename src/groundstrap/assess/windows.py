"""Windows of fuses: the lowest rating that carries the load, the highest that saves the thinnest piece."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache

from groundstrap.assess.conductors import Conductor, Lie, carrying, conductor
from groundstrap.assess.curves import Strand, highest_by_curve, lead_strand, strands, wire_strands
from groundstrap.assess.ladders import Candidate, candidates, carries_share, family_at
from groundstrap.assess.lengthless import at_any_length
from groundstrap.assess.regions import Guard, guards
from groundstrap.assess.results import Reason, ReasonKind, Window
from groundstrap.assess.starts import hardest, stands_starts, starting_groups
from groundstrap.assess.thermal import overload_a
from groundstrap.assess.topology import Piece
from groundstrap.assess.wiring import Wiring
from groundstrap.model import Basis, Load, Part, PartKind, Wire
from groundstrap.records import dataclass, replace
from groundstrap.tables import NotTabled, continuous_share, slowest_curve
from groundstrap.tables.fuses import SURE_TO_OPEN
from groundstrap.units import ConductorSize

__all__ = [
    "Loop",
    "curve_limit_a",
    "fixed_limit_a",
    "fuse_window",
    "least_rating_a",
    "loop_of",
    "lowest_fitting",
    "saves",
    "steady_limit_a",
]

_SLACK = 1 + 1e-9
_MOST_RAISED = 2.0
"""Times the rating that runs a load which its start may ask for at most; own judgement."""
_OF_LOADS = frozenset({ReasonKind.LEAD, ReasonKind.LARGEST_FUSE})


@dataclass(frozen=True, slots=True)
class _Limit:
    most_a: float | None
    reason: Reason


def least_rating_a(wiring: Wiring, fuse: str, family: str | None = None) -> float | None:
    """Return the lowest rating that carries what passes a fuse and holds through every start; None without.

    No size of any wire changes it. Of a `family` where one is given, else of the part's own or usual ones.
    """
    question = ("least rating", fuse, family)
    return at_any_length(wiring, question, lambda bare: _least_rating_a(bare, fuse, family))


def _least_rating_a(wiring: Wiring, fuse: str, family: str | None) -> float | None:
    part = wiring.topology.pieces[wiring.index(fuse)].part
    assert part is not None
    ladder = candidates(family or part.family, part.kind, wiring.installation.system_v)
    carrying = _for_load(wiring, part, ladder)
    standing = _standing(wiring, part, carrying).carrying
    return standing[0].rating_a if standing else None


@dataclass(frozen=True, slots=True)
class _Standing:
    """Ratings that carry the load, from the first on that holds through every start behind it."""

    carrying: list[Candidate] | None
    raised_by: Reason | None = None
    """The start that the smaller ones would open on."""


def _standing(wiring: Wiring, part: Part, carrying: list[Candidate] | None) -> _Standing:
    """The same ratings where no start asks for more, or where what it asks for would not do.

    A start never asks for more than twice the rating that runs the load, nor for more than loads' own leads
    and makers allow: no wire mends that, and the rules tell of such a start.
    """
    if not carrying:
        return _Standing(carrying)
    groups = starting_groups(wiring, part.name)
    least = carrying[0]
    if not groups or stands_starts(wiring, part, least.family, least.rating_a, groups):
        return _Standing(carrying)
    most_a = min(_MOST_RAISED * least.rating_a, fixed_limit_a(wiring, part.name))
    for place, candidate in enumerate(carrying):
        if candidate.rating_a > most_a * _SLACK:
            break
        if stands_starts(wiring, part, candidate.family, candidate.rating_a, groups):
            worst = hardest(wiring, part, least.family, least.rating_a, groups)
            reason = Reason(
                kind=ReasonKind.INRUSH,
                where=", ".join(start.load for start in worst.starts),
                value=worst.peak_a,
                limit=least.rating_a,
                source=next((start.source for start in worst.starts if start.source), ""),
            )
            return _Standing(carrying[place:], reason)
    return _Standing(carrying)


def fixed_limit_a(wiring: Wiring, fuse: str) -> float:
    """Return what loads' own leads and their makers allow before them, whatever the wires are. [A]"""
    guard = guards(wiring.topology, wiring.tree).get(fuse)
    loads = [] if guard is None else [wiring.installation.loads[name] for name in guard.loads]
    limits = [limit.most_a for load in loads for limit in _load_limits(wiring, load)]
    return min((most_a for most_a in limits if most_a is not None), default=float("inf"))


def _shares(wiring: Wiring, part: Part, ladder: tuple[Candidate, ...]) -> dict[str, float | None]:
    """Share of its rating that each family of a ladder may carry where the part sits."""
    ambient_c = wiring.installation.zones[part.zone].high_c
    short = part.name in wiring.short_runs
    return {family: carries_share(family, ambient_c, short=short) for family in {c.family for c in ladder}}


def fuse_window(wiring: Wiring, guard: Guard, family: str | None = None) -> Window:
    """Return the window of one fuse: of a `family` where one is given, else of its own or the usual ones."""
    return at_any_length(wiring, ("window", guard, family), lambda bare: _fuse_window(bare, guard, family))


def _fuse_window(wiring: Wiring, guard: Guard, family: str | None) -> Window:
    part = wiring.topology.pieces[wiring.index(guard.fuse)].part
    assert part is not None
    if family is not None:
        part = replace(part, family=family)
    ladder = candidates(part.family, part.kind, wiring.installation.system_v)
    among = strands(wiring, guard)
    upper = _by_curve(wiring, part, ladder, _upper(wiring, guard, ladder), among)
    loop = upper
    if upper.limit.reason.kind in _OF_LOADS or (guard.loads and upper.limit.most_a is None):
        bare = replace(guard, loads=())
        cables = tuple(strand for strand in among if not strand.lead)
        loop = _by_curve(wiring, part, ladder, _upper(wiring, bare, ladder), cables)
    return replace(
        _window(wiring, part, ladder, upper),
        loop_limit_a=loop.limit.most_a,
        loop_reason=loop.limit.reason,
    )


@dataclass(frozen=True, slots=True)
class Loop:
    """What a fuse must save, whatever its family: the steady limit of all of it, and every piece of cable."""

    most_a: float | None
    """None where it is not known. [A]"""
    strands: tuple[Strand, ...]


def loop_of(wiring: Wiring, guard: Guard) -> Loop:
    """Return what a fuse must save."""
    return at_any_length(wiring, ("loop", guard), lambda bare: _loop_of(bare, guard))


def _loop_of(wiring: Wiring, guard: Guard) -> Loop:
    part = wiring.topology.pieces[wiring.index(guard.fuse)].part
    assert part is not None
    ladder = candidates(part.family, part.kind, wiring.installation.system_v)
    return Loop(_upper(wiring, guard, ladder).most_a, strands(wiring, guard))


def lowest_fitting(
    wiring: Wiring, guard: Guard, from_a: float, family: str | None = None
) -> Candidate | None:
    """Return the lowest rating in the window of a fuse that is still to be chosen, from a current on.

    Of a `family` where one is given, else of the part's own or usual ones; None where the window has none.
    """
    question = ("lowest fitting", guard, from_a, family)
    return at_any_length(wiring, question, lambda bare: _lowest_fitting(bare, guard, from_a, family))


def _lowest_fitting(wiring: Wiring, guard: Guard, from_a: float, family: str | None) -> Candidate | None:
    part, loop = wiring.topology.pieces[wiring.index(guard.fuse)].part, loop_of(wiring, guard)
    assert part is not None
    ladder = candidates(family or part.family, part.kind, wiring.installation.system_v)
    carrying = _for_load(wiring, part, ladder)
    first_of = _first_of(family or part.family, part.kind, wiring.installation.system_v)
    for candidate in _standing(wiring, part, carrying).carrying or () if loop.most_a is not None else ():
        if candidate.rating_a < from_a or candidate.rating_a > (loop.most_a or 0.0) * _SLACK:
            continue
        first = candidate if part.curve is not None else first_of[candidate.rating_a]
        highest = highest_by_curve(wiring, part, first.family, first.rating_a, loop.strands)
        if not isinstance(highest, NotTabled) and candidate.rating_a <= highest.rating_a * _SLACK:
            return candidate
    return None


def saves(wiring: Wiring, part: Part, loop: Loop, family: str) -> bool:
    """Tell whether the written rating of a fuse, in a family, saves all that it stands before."""
    rating_a = part.rating_a
    if rating_a is None or loop.most_a is None or rating_a > loop.most_a * _SLACK:
        return False
    highest = highest_by_curve(wiring, part, family, rating_a, loop.strands)
    return not isinstance(highest, NotTabled) and rating_a <= highest.rating_a * _SLACK


@dataclass(frozen=True, slots=True)
class _Upper:
    """The upper end: candidates that save everything, ascending, None where that is not known."""

    saving: tuple[Candidate, ...] | None
    limit: _Limit


def _by_curve(
    wiring: Wiring, part: Part, ladder: tuple[Candidate, ...], upper: _Limit, among: tuple[Strand, ...]
) -> _Upper:
    """Of the ratings within every steady limit those whose whole curve saves everything behind the fuse."""
    if upper.most_a is None:
        return _Upper(None, upper)
    unknown = _Upper(None, _Limit(None, Reason(kind=ReasonKind.UNKNOWN, where=part.name)))
    if _own_curve_unknown(wiring, part, ladder, among):
        return unknown
    saving: list[Candidate] = []
    first: _Limit | None = None
    answered = False
    for band in _bands(part, wiring.installation.system_v):
        within = [c for c in band if c.rating_a <= upper.most_a * _SLACK]
        if not within:
            continue
        highest = highest_by_curve(wiring, part, band[0].family, band[0].rating_a, among)
        if isinstance(highest, NotTabled):
            continue
        answered = True
        passing = [c for c in within if c.rating_a <= highest.rating_a * _SLACK]
        saving += passing
        first = None if passing else first
        if len(passing) < len(within) and first is None:
            kind = ReasonKind.LEAD if highest.lead else ReasonKind.CURVE
            # A slower stretch of the ladder may save less than the last rating of the one before it.
            most_a = max(highest.rating_a, saving[-1].rating_a if saving else 0.0)
            reason = Reason(kind=kind, where=highest.where, value=most_a)
            # Where its load alone heats it too far, no fuse saves it; what it may carry is the steady limit.
            first = _Limit(most_a, reason) if most_a > 0.0 else upper
    nothing_within = all(c.rating_a > upper.most_a * _SLACK for c in ladder)
    return _Upper(tuple(saving), first or upper) if answered or nothing_within else unknown


def _bands(part: Part, system_v: float) -> tuple[tuple[Candidate, ...], ...]:
    """A part's ladder cut into stretches of one curve; each rating by itself where a maker's is given."""
    if part.curve is not None:
        return tuple((candidate,) for candidate in candidates(part.family, part.kind, system_v))
    return _alike(part.family, part.kind, system_v)


@lru_cache(maxsize=64)
def _alike(family: str | None, kind: PartKind, system_v: float) -> tuple[tuple[Candidate, ...], ...]:
    bands: list[list[Candidate]] = []
    curves: list[object] = []
    for candidate in candidates(family, kind, system_v):
        curve = slowest_curve(candidate.family, candidate.rating_a)
        if bands and bands[-1][0].family == candidate.family and curves[-1] == curve:
            bands[-1].append(candidate)
        else:
            bands.append([candidate])
            curves.append(curve)
    return tuple(tuple(band) for band in bands)


@lru_cache(maxsize=64)
def _first_of(family: str | None, kind: PartKind, system_v: float) -> Mapping[float, Candidate]:
    """Rating -> the first of all that share its curve."""
    return {each.rating_a: band[0] for band in _alike(family, kind, system_v) for each in band}


def _own_curve_unknown(
    wiring: Wiring, part: Part, ladder: tuple[Candidate, ...], among: tuple[Strand, ...]
) -> bool:
    """Whether nobody knows when the fuse that is written opens."""
    if part.rating_a is None or not among:
        return False
    family = family_at(ladder, part.rating_a)
    return isinstance(highest_by_curve(wiring, part, family, part.rating_a, among), NotTabled)


def curve_limit_a(
    wiring: Wiring, wire: Wire, size: ConductorSize, fuse: str, rating_a: float, family: str
) -> float:
    """Return the highest rating by whose curve a wire of this size is saved; inf where no curve is known. [A]

    An empty `family` is the one that usually serves at that rating.
    """
    part = wiring.topology.pieces[wiring.index(fuse)].part
    assert part is not None
    if not family:
        family = family_at(candidates(part.family, part.kind, wiring.installation.system_v), rating_a)
    found = highest_by_curve(wiring, part, family, rating_a, wire_strands(wiring, wire, size))
    return float("inf") if isinstance(found, NotTabled) else found.rating_a


def _window(wiring: Wiring, part: Part, ladder: tuple[Candidate, ...], upper: _Upper) -> Window:
    needed_a = wiring.currents.pieces[part.name].continuous_a
    ambient_c = wiring.installation.zones[part.zone].high_c
    shares = _shares(wiring, part, ladder)
    carrying = _for_load(wiring, part, ladder)
    standing = _standing(wiring, part, carrying)
    least_reason = standing.raised_by or _least_reason(
        ladder, part, needed_a, ambient_c, carrying=carrying, shares=shares
    )
    carrying = standing.carrying
    most = upper.saving[-1] if upper.saving else None
    least = carrying[0] if carrying else None
    known = carrying is not None and upper.saving is not None
    saved_a = {c.rating_a for c in upper.saving or ()}
    both = [c for c in carrying or () if c.rating_a in saved_a] if known else []
    return Window(
        family=part.family if part.family is not None else (both[0].family if both else None),
        least_a=least.rating_a if least is not None else None,
        least_limit_a=needed_a,
        least_reason=least_reason,
        most_a=most.rating_a if most is not None else None,
        most_limit_a=upper.limit.most_a,
        most_reason=upper.limit.reason,
        ratings=tuple(c.rating_a for c in both),
    )


def _for_load(wiring: Wiring, part: Part, ladder: tuple[Candidate, ...]) -> list[Candidate] | None:
    """Ratings that carry the load, and below them the largest that its maker allows where that just does.

    The margin of common practice is missing then, which the rules tell; a larger fuse the maker refuses.
    """
    needed_a = wiring.currents.pieces[part.name].continuous_a
    carrying = _carrying(ladder, needed_a, _shares(wiring, part, ladder))
    most_a = _makers_limit_a(wiring, part.name)
    if carrying is None or most_a <= 0.0 or (carrying and carrying[0].rating_a <= most_a * _SLACK):
        return carrying
    ambient_c = wiring.installation.zones[part.zone].high_c
    bare = {c.family: carries_share(c.family, ambient_c, short=True) for c in ladder}
    allowed = [c for c in _carrying(ladder, needed_a, bare) or () if c.rating_a <= most_a * _SLACK]
    return [*allowed[-1:], *carrying]


def _makers_limit_a(wiring: Wiring, fuse: str) -> float:
    """Largest fuse that the makers of the loads behind one allow; 0 where none of them says. [A]"""
    guard = guards(wiring.topology, wiring.tree).get(fuse)
    loads = [] if guard is None else [wiring.installation.loads[name] for name in guard.loads]
    return min((load.largest_fuse_a for load in loads if load.largest_fuse_a is not None), default=0.0)


def _carrying(
    ladder: tuple[Candidate, ...], needed_a: float | None, shares: Mapping[str, float | None]
) -> list[Candidate] | None:
    """Ratings that carry the load where the fuse sits, ascending; None where that is not known."""
    if needed_a is None:
        return None
    if all(share is None for share in shares.values()):
        return None
    result = []
    for candidate in ladder:
        share = shares[candidate.family]
        if share is not None and needed_a <= candidate.rating_a * share * (1 + 1e-9):
            result.append(candidate)
    return result


def _least_reason(
    ladder: tuple[Candidate, ...],
    part: Part,
    needed_a: float | None,
    ambient_c: float,
    *,
    carrying: list[Candidate] | None,
    shares: Mapping[str, float | None],
) -> Reason:
    if carrying is None:
        return Reason(kind=ReasonKind.UNKNOWN, where=part.name, value=needed_a)
    if not carrying:
        return Reason(kind=ReasonKind.FAMILY, where=part.name, value=needed_a, limit=ladder[-1].rating_a)
    first = carrying[0]
    found = continuous_share(first.family, ambient_c)
    share = shares[first.family] or 1.0
    missed = needed_a is not None and needed_a > share * first.rating_a * _SLACK
    if missed and not isinstance(found, NotTabled):
        share = found.re_rating
    if first is ladder[0]:
        return Reason(kind=ReasonKind.FAMILY, where=part.name, value=needed_a, limit=first.rating_a)
    source = "" if isinstance(found, NotTabled) else found.source
    return Reason(
        kind=ReasonKind.CONTINUOUS,
        where=part.name,
        value=needed_a,
        limit=share * first.rating_a,
        source=source,
    )


def _upper(wiring: Wiring, guard: Guard, ladder: tuple[Candidate, ...]) -> _Limit:
    """The lowest of everything that the fuse must save; unknown as soon as one piece of it is."""
    lowest: _Limit | None = None
    for limit in _limits(wiring, guard):
        if limit.most_a is None:
            return limit
        if lowest is None or lowest.most_a is None or limit.most_a < lowest.most_a:
            lowest = limit
    # Where no cable stands behind a fuse, only what is made of its family ends its window.
    most_a = ladder[-1].rating_a
    return lowest or _Limit(most_a, Reason(kind=ReasonKind.FAMILY, where=guard.fuse, value=most_a))


def _limits(wiring: Wiring, guard: Guard) -> Iterator[_Limit]:
    for name in guard.pieces:
        piece = wiring.topology.pieces[wiring.index(name)]
        if piece.wire is not None:
            yield from _own_limits(wiring, piece.wire)
        elif piece.part is not None and piece.part.kind is PartKind.CONNECTOR:
            yield from _connector_limit(wiring, piece)
    for name in guard.loads:
        yield from _load_limits(wiring, wiring.installation.loads[name])


def _own_limits(wiring: Wiring, wire: Wire) -> tuple[_Limit, ...]:
    """What fuses before a wire of its own size may be at most, for all of them."""
    return wiring.kept.once(("fuse limits", wire.name), lambda: tuple(_wire_limits(wiring, wire, wire.size)))


def _wire_limits(wiring: Wiring, wire: Wire, size: ConductorSize | None) -> Iterator[_Limit]:
    """Yield what the fuse before a wire of this size may be at most, for each reason. [A]"""
    if size is None:
        yield _Limit(None, Reason(kind=ReasonKind.UNKNOWN, where=wire.name))
        return
    one = conductor(wire, size, wiring.installation.basis)
    for lie in wiring.lies[wire.name]:
        found = carrying(one, lie, wiring.installation.basis, wire.parallel)
        if found.ampacity_a is None:
            kind = ReasonKind.UNSUITABLE if found.suitable is False else ReasonKind.UNKNOWN
            amps = 0.0 if found.suitable is False else None
            yield _Limit(amps, Reason(kind=kind, where=wire.name, value=lie.ambient_c))
            continue
        yield _Limit(
            found.ampacity_a,
            Reason(kind=ReasonKind.AMPACITY, where=wire.name, value=found.ampacity_a, source=found.source),
        )
        steady = _overload_limit_a(one, lie, wire.parallel)
        yield _Limit(steady, Reason(kind=ReasonKind.OVERLOAD, where=wire.name, value=steady))


def steady_limit_a(wiring: Wiring, wire: Wire, size: ConductorSize) -> float:
    """Return the least of those limits that are known, without the reasons; inf where none is. [A]"""
    one = conductor(wire, size, wiring.installation.basis)
    least_a = float("inf")
    for lie in wiring.lies[wire.name]:
        found = carrying(one, lie, wiring.installation.basis, wire.parallel)
        if found.ampacity_a is not None:
            least_a = min(least_a, found.ampacity_a, _overload_limit_a(one, lie, wire.parallel))
        elif found.suitable is False:
            least_a = 0.0
    return least_a


def _overload_limit_a(one: Conductor, lie: Lie, parallel: int) -> float:
    """Rating of a fuse whose sure opening keeps a wire within its overload limit. [A]"""
    return overload_a(one, lie.ambient_c, lie.share) * parallel / SURE_TO_OPEN


def _connector_limit(wiring: Wiring, piece: Piece) -> Iterator[_Limit]:
    part = piece.part
    assert part is not None
    gear = wiring.installation.gear.get(part.gear or "")
    rating = part.rating_a if part.rating_a is not None else (gear.rating_a if gear else None)
    if rating is not None:
        yield _Limit(rating, Reason(kind=ReasonKind.CONTACT, where=part.name, value=rating))


def _load_limits(wiring: Wiring, load: Load) -> Iterator[_Limit]:
    if load.largest_fuse_a is not None:
        reason = Reason(kind=ReasonKind.LARGEST_FUSE, where=load.name, value=load.largest_fuse_a)
        yield _Limit(load.largest_fuse_a, reason)
    if load.fitted.wire is None or load.fitted.fuse_a is not None:
        return
    amps = lead_ampacity_a(load, wiring.installation.basis, wiring.installation.zones[load.zone].high_c)
    kind = ReasonKind.UNKNOWN if amps is None else ReasonKind.LEAD
    yield _Limit(amps, Reason(kind=kind, where=load.name, value=amps))


def lead_ampacity_a(load: Load, basis: Basis, ambient_c: float) -> float | None:
    """Ampacity of a load's own lead, out and back side by side in the air of its place. [A]"""
    lead = lead_strand(load, basis, ambient_c)
    return carrying(lead.one, lead.lie, basis, 1).ampacity_a
