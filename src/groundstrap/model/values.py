"""Small values that every part of an installation is described with."""

from __future__ import annotations

from enum import StrEnum

from groundstrap.records import dataclass

__all__ = ["Assumption", "Basis", "Origin", "Situation", "Span", "State", "Uncertain"]


class Situation(StrEnum):
    """What the vehicle is doing while the network is looked at."""

    RESTING = "resting"
    IDLING = "idling"
    DRIVING = "driving"
    CRANKING = "cranking"
    MAINS = "mains"


class Basis(StrEnum):
    """The rule set that judges a job."""

    ROAD = "road"
    BOAT = "boat"


class State(StrEnum):
    """Whether a thing is to be built, is there already, or is to be taken out."""

    NEW = "new"
    EXISTING = "existing"
    REMOVE = "remove"


class Origin(StrEnum):
    """Where a size or rating comes from."""

    WRITTEN = "written"
    CHOSEN = "chosen"
    EXISTING = "existing"
    ASSUMED = "assumed"


@dataclass(frozen=True, slots=True)
class Uncertain:
    """A value with the ends of its 95 % interval, all in the unit that the holder's name says.

    >>> Uncertain(156.5, 148.0, 165.5).low
    148.0
    """

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Span:
    """A range that was written as such, `low..high`, in the unit that the holder's name says."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Assumption:
    """Something that nobody wrote and that the result rests on."""

    where: str
    value: str
    why: str
