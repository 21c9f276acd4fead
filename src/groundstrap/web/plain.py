"""Records as what JSON has: maps, lists, texts, numbers; what is none is left out."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from datetime import datetime
from enum import Enum

__all__ = ["plain"]


def plain(thing: object) -> object:
    """Return a record, or whatever stands in one, as JSON has it.

    >>> plain({"at": (1, 2.5, None), "text": "60 W"})
    {'at': [1, 2.5, None], 'text': '60 W'}
    """
    if dataclasses.is_dataclass(thing) and not isinstance(thing, type):
        values = {each.name: getattr(thing, each.name) for each in dataclasses.fields(thing)}
        return {name: plain(value) for name, value in values.items() if value is not None}
    if isinstance(thing, Enum):
        return plain(thing.value)
    if isinstance(thing, str):
        return str(thing)
    if isinstance(thing, Mapping):
        return {str(name): plain(value) for name, value in thing.items()}
    if isinstance(thing, list | tuple | set | frozenset):
        return [plain(each) for each in thing]
    if isinstance(thing, datetime):
        return thing.isoformat()
    if thing is None or isinstance(thing, bool | int | float):
        return thing
    return str(thing)
