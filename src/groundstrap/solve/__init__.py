"""The numeric core: working points of any direct-current network with heat in its conductors, one or many.

>>> cell, lamp = Branch("cell", Law.BATTERY, 1, 0), Branch("lamp", Law.RESISTOR, 1, 0)
>>> network = Network(("minus", "plus"), (cell, lamp))
>>> solve_one(network, [(12.0, 0.1, 0.1), (2.9,)]).branch_a[1]
4.0
"""

from groundstrap.solve.alike import Alike, Volts, solve_alike
from groundstrap.solve.backend import Backend
from groundstrap.solve.counting import WhatCounts, what_counts
from groundstrap.solve.cutouts import CutOut, Outcome, Settled, settle, switched_off
from groundstrap.solve.loadability import Culprit, Loadability, loadability, smallest_cut
from groundstrap.solve.nearby import Nearby, begin_nearby
from groundstrap.solve.network import Branch, Law, Network
from groundstrap.solve.results import STATUSES, Point, Rows, Status
from groundstrap.solve.run import solve_batches, solve_one, solve_rows
from groundstrap.solve.sensitivities import Reading, Sensitivity, sensitivities

__all__ = [
    "STATUSES",
    "Alike",
    "Backend",
    "Branch",
    "Culprit",
    "CutOut",
    "Law",
    "Loadability",
    "Nearby",
    "Network",
    "Outcome",
    "Point",
    "Reading",
    "Rows",
    "Sensitivity",
    "Settled",
    "Status",
    "Volts",
    "WhatCounts",
    "begin_nearby",
    "loadability",
    "sensitivities",
    "settle",
    "smallest_cut",
    "solve_alike",
    "solve_batches",
    "solve_one",
    "solve_rows",
    "switched_off",
    "what_counts",
]
