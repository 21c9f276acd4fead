"""Hands a plain test case to the solver under test: the only module here that knows it."""

from __future__ import annotations

from groundstrap.solve import Branch, Law, Network

from .plain import Case


def as_network(case: Case) -> tuple[Network, tuple[tuple[float, ...], ...]]:
    """Return the case as the solver's network and its parameters."""
    branches = tuple(
        Branch(name=f"e{index}", law=Law[e.law], start=e.start, end=e.end, feeds=e.feeds)
        for index, e in enumerate(case.elements)
    )
    nodes = tuple(f"n{index}" for index in range(case.node_count))
    return Network(nodes=nodes, branches=branches), tuple(e.values for e in case.elements)
