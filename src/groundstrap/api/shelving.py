"""The shelf: jobs kept with every revision."""

from __future__ import annotations

from groundstrap.shelf import (
    Clash,
    ClashAt,
    Photo,
    PhotoData,
    Revision,
    RevisionLine,
    Saved,
    Shelf,
    ShelfJob,
    data_folder,
    open_shelf,
)

__all__ = [
    "Clash",
    "ClashAt",
    "Photo",
    "PhotoData",
    "Revision",
    "RevisionLine",
    "Saved",
    "Shelf",
    "ShelfJob",
    "data_folder",
    "open_shelf",
]
