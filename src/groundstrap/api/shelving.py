"""The shelf: jobs kept with every revision."""

from __future__ import annotations

from groundstrap.api.shelf_texts import clash_text, history_text, jobs_text, photos_text
from groundstrap.shelf import (
    Clash,
    ClashAt,
    Imported,
    Photo,
    PhotoData,
    Revision,
    RevisionLine,
    Saved,
    Shelf,
    ShelfJob,
    clean_photo,
    data_folder,
    export_job,
    files_beside,
    import_job,
    open_shelf,
    settled,
    shelf_json,
    shelf_object,
)

__all__ = [
    "Clash",
    "ClashAt",
    "Imported",
    "Photo",
    "PhotoData",
    "Revision",
    "RevisionLine",
    "Saved",
    "Shelf",
    "ShelfJob",
    "clash_text",
    "clean_photo",
    "data_folder",
    "export_job",
    "files_beside",
    "history_text",
    "import_job",
    "jobs_text",
    "open_shelf",
    "photos_text",
    "settled",
    "shelf_json",
    "shelf_object",
]
