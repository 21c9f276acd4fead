"""One stretch while it runs, and some of its rows with all that a step needs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.endure.battery import Air, Batteries
from groundstrap.endure.day import Stretch
from groundstrap.endure.laws import BLOCKED_OHM
from groundstrap.endure.mean import MeanShare
from groundstrap.endure.port import Port
from groundstrap.endure.scene import Scene
from groundstrap.endure.single import MOST_BATTERIES, Seeing, Single
from groundstrap.endure.watch import Flags, Given, Seen, Watch
from groundstrap.records import dataclass, replace

__all__ = ["FINE", "Fineness", "Local", "Many", "SceneKey", "Stage", "scene_key"]

Floats = NDArray[np.float64]
Rows = NDArray[np.intp]

SceneKey = tuple[int, float, float | None]
"""Number of a span in its day, sun and temperature: what tells scenes apart."""


def scene_key(stretch: Stretch) -> SceneKey:
    """Return what tells the scene of a stretch from others of the same day."""
    return (stretch.number, stretch.sun, stretch.temperature_c)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fineness:
    """How closely time is followed."""

    tolerance: float = 3e-6
    """Error of one step over the charge of the largest battery. [1]"""
    longest_s: float = 1800.0
    """Longest step. [s]"""
    moves_v: float = 0.04
    """Move of a battery's posts after which the network is solved anew, at 12 V: the bend that is left out is
    then less than 1e-4 of the current. [V]"""


FINE: Final = Fineness()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Many:
    """In what days side by side differ: one number a row."""

    draws: Mapping[str, Floats] = field(default_factory=dict)
    """What loads take over their estimate, by name. [1]"""
    duties: Mapping[str, Floats] = field(default_factory=dict)
    """How much more of the time loads run than the job says. [1]"""
    bends: Mapping[SceneKey, Floats] = field(default_factory=dict)
    """Of loads that run in turns, by scene: current while on over that at the mean volts, as one day found
    it; one number a load. [1]"""
    warmer_k: Floats | None = None
    """By what the air is warmer than the day says. [K]"""


@dataclass(slots=True, kw_only=True, eq=False)
class Stage:
    """One stretch while it runs: its scene and everything that was found for it."""

    stretch: Stretch
    scene: Scene
    watch: Watch
    air: Air
    flags: Flags
    given: Given
    port: Port | None = None
    turned_on: Port | None = None
    means: MeanShare | None = None
    local: Local | None = None
    """All rows as they stand; None when the network has been looked at since."""


class Local:
    """Some rows of a stage: what they need for a step."""

    def __init__(self, batteries: Batteries, stage: Stage, rows: Rows) -> None:
        """Cut the rows out; a whole stage is taken as it is."""
        every = stage.flags.parted.shape[-1]
        whole = rows.size == every
        self.stage = stage
        self.batteries: Batteries = batteries if whole else batteries.rows(rows)
        self.air: Air = stage.air if whole else stage.air.rows(rows)
        assert stage.port is not None
        self.port: Port = stage.port if whole else stage.port.rows(rows)
        self.turned_on: Port | None = (
            stage.turned_on if whole or stage.turned_on is None else stage.turned_on.rows(rows)
        )
        self.flags: Flags = stage.flags if whole else stage.flags.rows(rows)
        self.given: Given = stage.given if whole else stage.given.rows(rows)
        self._full = self.flags.full[:, None]
        self._any_full = bool(self._full.any())
        self.seen: Seen | None = None
        self._seen_of: Floats | None = None
        self._single: Single | None = None
        if every == 1 and len(self.batteries.blocks) <= MOST_BATTERIES:
            self._single = Single(self.batteries, self.air, self.port, self.flags.full)
        self._sights: list[tuple[Floats, Seeing]] = []

    def sight(self, wells: Floats) -> Seeing:
        """Look at batteries and network; the last looks are kept."""
        for known, sight in self._sights:
            if known is wells:
                return sight
        if self._single is not None:
            sight = self._single.sight(wells)
            self._sights = [(wells, sight), *self._sights[:2]]
            return sight
        shown = self.batteries.shown(wells, self.air)
        if self._any_full:
            shown = replace(shown, charge_ohm=np.where(self._full, BLOCKED_OHM, shown.charge_ohm))
        answer = self.port.answer(shown)
        change = self.batteries.change(wells, answer.amps_a, shown, self.air)
        sight = Seeing(shown, answer, change)
        self._sights = [(wells, sight), *self._sights[:2]]
        return sight

    def change(self, wells: Floats) -> Floats:
        """What becomes of the wells. [Ah/s]"""
        if self._single is not None:
            return self._single.changes(wells)
        return self.sight(wells).change

    def see(self, wells: Floats) -> Seen:
        """Look at a moment; the last one is kept."""
        if self.seen is None or self._seen_of is not wells:
            sight = self.sight(wells)
            state = self.batteries.state(wells)[:, 0]
            self.seen = self.stage.watch.see(self.port, self.turned_on, sight.shown, sight.answer, state)
            self._seen_of = wells
        return self.seen

    @property
    def volts_v(self) -> Floats:
        """Of the batteries at the moment that was looked at last. [V]"""
        assert self.seen is not None
        return self.seen.volts_v

    def seen_rows(self, chosen: NDArray[np.bool_] | slice) -> Seen:
        """Some rows of what was seen last."""
        assert self.seen is not None
        return Seen(**{name: getattr(self.seen, name)[:, chosen] for name in Seen.__dataclass_fields__})
