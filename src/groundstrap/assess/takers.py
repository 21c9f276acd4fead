"""Whatever takes current from what charges: batteries, loads, and inputs of converters."""

from __future__ import annotations

from collections.abc import Iterator

from groundstrap.model import Installation, State, SupplyKind

__all__ = ["takes"]


def takes(installation: Installation) -> Iterator[tuple[str, str]]:
    """Yield plus and minus of everything that takes current."""
    for supply in installation.supplies.values():
        if supply.state is State.REMOVE:
            continue
        if supply.kind is SupplyKind.BATTERY:
            posts = (supply.minus, *supply.taps, supply.plus)
            yield from ((high, low) for k, high in enumerate(posts) for low in posts[:k])
        elif supply.in_plus is not None and supply.in_minus is not None:
            yield supply.in_plus, supply.in_minus
    for load in installation.loads.values():
        if load.state is not State.REMOVE:
            yield load.plus, load.minus
