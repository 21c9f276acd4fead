"""The length rule: how long each piece of cable between two names is, and where it runs.

From name to name the cable is as long as the route, its share of the circuit's `length`, or 20 cm within one
place. Cable steps take their part of that; the rest is the cable step without a length, or else the last gap
without one. A gap before up to 20 cm of written cable is 20 cm itself: a fuse so near the far end does
not sit on the charger.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Any, Final

from groundstrap.job.faults import Spot
from groundstrap.job.geography import SAME_PLACE_M, Geography, Leg, cut, joined, scaled
from groundstrap.job.steps import CableStep
from groundstrap.model import Stretch
from groundstrap.records import dataclass, replace

__all__ = ["UNKNOWN_LENGTH_M", "Piece", "Span", "Usual", "differ", "measure", "with_own_laying"]

UNKNOWN_LENGTH_M: Final = 3.0
"""Length that is reckoned with where an existing cable's is not known: own judgement, listed as assumed."""

_CLOSE_M: Final = 0.001
"""Lengths are written to the centimetre at best; a millimetre of difference is rounding."""


@dataclass(slots=True)
class Piece:
    """A piece of cable between two neighbours of a path; `step` is None where nothing is written of it."""

    step: CableStep | None
    key: str
    length_m: float = 0.0
    known: bool = True
    borrowed: bool = False
    """Whether the way out lends it its length, though it ends elsewhere."""
    between: str = ""
    """Its two ends in words, where nothing at all is written of it."""
    stretches: list[Stretch] = field(default_factory=list)

    @property
    def written_m(self) -> float | None:
        """Length that stands in its own step. [m]"""
        return None if self.step is None else self.step.length_m


@dataclass(slots=True)
class Span:
    """Cable from one name to the next, through parts that have no name."""

    start: str | None
    end: str | None
    pieces: list[Piece]
    spot: Spot
    length_m: float = 0.0
    route: tuple[Leg, ...] | None = None
    free: Piece | None = None
    near_m: float = SAME_PLACE_M

    @property
    def written_m(self) -> float:
        """Sum of the lengths that stand in its steps. [m]"""
        return sum(piece.written_m or 0.0 for piece in self.pieces)

    @property
    def within_one_place(self) -> bool:
        """Whether it starts and ends in one place."""
        return self.start is not None and self.start == self.end

    @property
    def open(self) -> bool:
        """Whether nothing tells how long it is but the length of the whole."""
        return not self.within_one_place and self.route is None

    def usual_m(self) -> float:
        """Return the length that routes or places give it. [m]"""
        if self.route is not None:
            return sum(leg.length_m for leg in self.route)
        if self.free is self.pieces[0] and self.free.step is None and 0.0 < self.written_m <= SAME_PLACE_M:
            return self.written_m + SAME_PLACE_M
        return max(self.near_m, self.written_m)


@dataclass(frozen=True, slots=True)
class Usual:
    """What stands in where a drawn return says nothing of its length: the way out."""

    near_m: float = SAME_PLACE_M
    """Of the one span of a return within one place. [m]"""
    whole_m: float | None = None
    """Of a return with a span that nobody measured. [m]"""
    began: str | None = None
    """Place where the way out begins; None where nobody knows."""

    def lend(self, spans: list[Span]) -> float | None:
        """Lend a return with a span that nobody measured the length of the way out, and return its own. [m]

        What is measured of it may be longer than that: then what is left is as long as the way out by itself.
        """
        lost = [span for span in spans if span.open and span.free is not None]
        if self.whole_m is None or not lost:
            return None
        if differ(self.began, spans[-1].end):
            for span in lost:
                assert span.free is not None
                span.free.borrowed = True
        told_m = sum(
            span.written_m if span in lost or span.free is None else span.usual_m() for span in spans
        )
        return self.whole_m if told_m < self.whole_m - _CLOSE_M else told_m + self.whole_m


def differ(place: str | None, other: str | None) -> bool:
    """Whether both places have a name, and not the same one."""
    return place is not None and other is not None and place != other


def measure(
    spans: list[Span],
    geography: Geography,
    *,
    whole_m: float | None,
    whole_at: Spot | None,
    existing: bool,
    usual: Usual | None = None,
) -> bool:
    """Give every piece its length and its stretches; False where that is a fault."""
    ready = True
    usual = usual or Usual()
    for span in spans:
        if not span.within_one_place and span.start is not None and span.end is not None:
            span.route = geography.route(span.start, span.end)
        ready &= _find_free(span)
    if not ready:
        return False
    if len(spans) == 1:
        spans[0].near_m = usual.near_m
    if whole_m is None:
        whole_m = usual.lend(spans)
    if whole_m is None:
        for span in spans:
            ready &= _measure_alone(span, existing=existing)
    else:
        ready = _share(spans, whole_m, whole_at)
    if ready:
        for passage, span in enumerate(spans):
            _lay(span, geography, passage)
    return ready


def _find_free(span: Span) -> bool:
    """Find the piece that takes what is left."""
    open_steps = [piece for piece in span.pieces if piece.step is not None and piece.written_m is None]
    if len(open_steps) > 1:
        step = open_steps[1].step
        assert step is not None
        step.spot.fault(
            "a length on one of them",
            reason="two pieces of cable without a length between the same two names",
        )
        return False
    gaps = [piece for piece in span.pieces if piece.step is None]
    span.free = open_steps[0] if open_steps else gaps[-1] if gaps else None
    return True


def _measure_alone(span: Span, *, existing: bool) -> bool:
    """Measure a span of a circuit that has no length of its own."""
    if span.free is None:
        span.length_m = span.written_m
        return True
    if span.open:
        if not existing:
            _unmeasured(span, span.free)
            return False
        span.free.known = False
        span.length_m = span.written_m + UNKNOWN_LENGTH_M
        return True
    span.length_m = span.usual_m()
    if span.length_m < span.written_m - _CLOSE_M:
        _too_long(span.spot, span.written_m, span.length_m, "the route between the two places")
        return False
    return True


def _unmeasured(span: Span, free: Piece) -> None:
    where = f"from {span.start or 'the unknown end'} to {span.end or 'the unknown end'}"
    wanted = "length of the circuit, of this cable, or a route between the two places"
    reason = f"nothing says how long the cable {where} is"
    if span.written_m and free.between:
        # Some of it is written: only the piece without anything is missing.
        wanted = f"a length step {free.between}, such as length: 20 cm, or a route between the two places"
        reason = f"of the cable {where} {span.written_m:g} m are written, and nothing of it {free.between}"
    span.spot.fault(wanted, reason=reason)


def _too_long(spot: Spot, written_m: float, there_m: float, what: str) -> None:
    spot.fault(
        f"pieces that fit into {there_m:g} m",
        reason=f"the pieces are {written_m:g} m, and {what} is {there_m:g} m",
    )


def _share(spans: list[Span], whole_m: float, whole_at: Spot | None) -> bool:
    """Share the length of the whole among the spans."""
    free = [span for span in spans if span.free is not None]
    for span in spans:
        span.length_m = span.written_m if span.free is None else span.usual_m()
    written_m = sum(span.written_m for span in spans)
    spot = whole_at or spans[0].spot
    if not free:
        if abs(written_m - whole_m) > _CLOSE_M:
            reason = f"the pieces of cable add up to {written_m:g} m, and no gap is left for the rest"
            spot.fault(f"{written_m:g} m, or other pieces", reason=reason)
            return False
        return True
    if written_m > whole_m - _CLOSE_M:
        rest = next((span.free.between for span in free if span.free and span.free.between), "for the rest")
        reason = f"the pieces of cable add up to {written_m:g} m, and nothing is left {rest}"
        spot.fault(f"more than {written_m:g} m, or other pieces", reason=reason)
        return False
    for takers in _takers(free):
        rest_m = whole_m - sum(span.length_m for span in spans if span not in takers)
        if _give(takers, rest_m):
            return True
    _scale(free, whole_m - sum(span.length_m for span in spans if span.free is None))
    return True


def _takers(free: list[Span]) -> list[list[Span]]:
    """Return who takes the rest, best first: spans nobody measured, those within one place, the last one."""
    unmeasured = [span for span in free if span.open]
    near = [span for span in free if span.within_one_place]
    if unmeasured:
        return [unmeasured]
    return [near, free[-1:]] if near else [free[-1:]]


def _give(takers: list[Span], rest_m: float) -> bool:
    """Share a length equally, each its written pieces at least; False where it is too little."""
    written_m = sum(span.written_m for span in takers)
    if rest_m <= written_m + _CLOSE_M:
        return False
    share_m = rest_m / len(takers)
    if all(span.written_m < share_m for span in takers):
        for span in takers:
            span.length_m = share_m
    else:
        for span in takers:
            span.length_m = span.written_m + (rest_m - written_m) / len(takers)
    return True


def _scale(free: list[Span], rest_m: float) -> None:
    """Stretch or shrink what is left of every free span in proportion: the circuit's own length rules."""
    written_m = sum(span.written_m for span in free)
    usual = [max(span.usual_m() - span.written_m, 0.01) for span in free]
    for span, usual_m in zip(free, usual, strict=True):
        span.length_m = span.written_m + (rest_m - written_m) * usual_m / sum(usual)


def _lay(span: Span, geography: Geography, passage: int) -> None:
    """Give the pieces their lengths and the stretches that they run through.

    A shortest way takes no route twice, so that pieces of one span never lie beside each other; those of two
    spans do where the way comes back.
    """
    left_m = span.length_m - span.written_m
    for piece in span.pieces:
        piece.length_m = left_m if piece is span.free else piece.written_m or 0.0
    if span.route is not None:
        along = scaled(geography.along(span.route), span.length_m)
        whole = [replace(stretch, passage=passage) for stretch in along]
    else:
        start, end = span.start or span.end or "", span.end or span.start or ""
        whole = geography.across(start, end, span.length_m)
    at_m = 0.0
    for piece in span.pieces:
        piece.stretches = cut(whole, at_m, at_m + piece.length_m)
        if piece.step is not None:
            piece.stretches = with_own_laying(piece.stretches, piece.step.fields)
        at_m += piece.length_m


def with_own_laying(stretches: list[Stretch], fields: Mapping[str, Any]) -> list[Stretch]:
    """Return the stretches as the cable's own keys say that it is laid."""
    made = stretches
    if "laid" in fields:
        made = [replace(stretch, laid=fields["laid"]) for stretch in made]
    if "others" in fields:
        made = [replace(stretch, others=fields["others"]) for stretch in made]
    return made if made is stretches else joined(made)
