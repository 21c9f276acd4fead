"""The shelf: jobs kept with every revision, in a file of this machine or in a workshop's database."""

from groundstrap.shelf.archives import (
    export_job,
    import_job,
)
from groundstrap.shelf.beside import (
    files_beside,
)
from groundstrap.shelf.forms import (
    shelf_json,
    shelf_object,
)
from groundstrap.shelf.location import (
    data_folder,
)
from groundstrap.shelf.merging import (
    Choice,
    Choices,
)
from groundstrap.shelf.pictures import (
    clean_photo,
)
from groundstrap.shelf.records import (
    Clash,
    ClashAt,
    Imported,
    Photo,
    PhotoData,
    Revision,
    RevisionLine,
    Saved,
    ShelfJob,
    Visit,
    VisitPlace,
)
from groundstrap.shelf.shelf import (
    Shelf,
    open_shelf,
    settled,
)

__all__ = [
    "Choice",
    "Choices",
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
    "Visit",
    "VisitPlace",
    "clean_photo",
    "data_folder",
    "export_job",
    "files_beside",
    "import_job",
    "open_shelf",
    "settled",
    "shelf_json",
    "shelf_object",
]
