"""The shelf: jobs kept with every revision, in a file of this machine or in a workshop's database."""

from groundstrap.shelf.location import data_folder
from groundstrap.shelf.records import (
    Clash,
    ClashAt,
    Photo,
    PhotoData,
    Revision,
    RevisionLine,
    Saved,
    ShelfJob,
)
from groundstrap.shelf.shelf import Shelf, open_shelf

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
