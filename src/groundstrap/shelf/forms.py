"""What the shelf gives out, as JSON."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import fields
from datetime import datetime
from typing import Any, Final

from groundstrap.shelf.records import (
    Clash,
    ClashAt,
    Imported,
    Photo,
    Revision,
    RevisionLine,
    Saved,
    ShelfJob,
    Visit,
    VisitPlace,
)

__all__ = ["Kept", "shelf_json", "shelf_object"]

Kept = ShelfJob | Revision | RevisionLine | Saved | Clash | Photo | Imported | Visit
_PARTS: Final = (
    ShelfJob, Revision, RevisionLine, Saved, Clash, ClashAt, Photo, Imported, Visit, VisitPlace,
)  # fmt: skip
_NAMES: Final = {
    ShelfJob: "job",
    Revision: "revision",
    RevisionLine: "revisions",
    Saved: "saved",
    Clash: "clash",
    Photo: "photos",
    Imported: "imported",
    Visit: "visit",
}


def shelf_object(thing: Kept | ClashAt | VisitPlace) -> Mapping[str, Any]:
    """Return a record of the shelf as an object for JSON: its own names, moments as ISO 8601 in UTC.

    >>> shelf_object(Saved(job_id="k3f", number=4))
    {'job_id': 'k3f', 'number': 4, 'new': True}
    """
    return {each.name: _plain(getattr(thing, each.name)) for each in fields(thing)}


def shelf_json(thing: Kept | Sequence[ShelfJob] | Sequence[RevisionLine] | Sequence[Photo]) -> str:
    """Return one JSON object, ended by a new line, with its schema in it.

    >>> print(shelf_json(Saved(job_id="k3f", number=4)), end="")
    {
      "schema": "groundstrap.shelf/1",
      "saved": {
        "job_id": "k3f",
        "number": 4,
        "new": true
      }
    }
    """
    if isinstance(thing, Sequence):
        name = {Photo: "photos", RevisionLine: "revisions"}.get(type(thing[0]), "jobs") if thing else "jobs"
        found: object = [shelf_object(each) for each in thing]
    else:
        name, found = _NAMES[type(thing)], shelf_object(thing)
    return json.dumps({"schema": "groundstrap.shelf/1", name: found}, ensure_ascii=False, indent=2) + "\n"


def _plain(value: object) -> object:
    if isinstance(value, datetime):
        return value.isoformat()
    if isinstance(value, _PARTS):
        return shelf_object(value)
    if isinstance(value, Mapping):
        return dict(value)
    if isinstance(value, tuple):
        return [_plain(each) for each in value]
    return value
