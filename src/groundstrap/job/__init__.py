"""The job file: its text to the model, with every fault at its line and column, and choices back into it.

A name is looked up when it is first used: who only plans loads nothing that edits.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from groundstrap.job.describe import FieldForm, JobForm, KeyForm, NamesForm, form_for, job_form
    from groundstrap.job.edits import Edit, EditKind, edited
    from groundstrap.job.files import decode_job, read_job_file, write_atomically, write_folder
    from groundstrap.job.first_look import FirstLook, Slip, SlipKind, Source, Understood, understood
    from groundstrap.job.forms import ValueKind
    from groundstrap.job.new import NewJob, new_job_text, new_job_words, with_answer
    from groundstrap.job.pins import pin
    from groundstrap.job.reader import Job, read_job
    from groundstrap.job.spoken import SENTENCES, Heard, Spelt, heard_in, spelt
    from groundstrap.job.stock_edits import (
        StockEdit,
        StockRow,
        stock_cells,
        stock_edited,
        stock_rows,
        with_usual_sizes,
    )
    from groundstrap.job.swaps import Swap, swapped

__all__ = [
    "SENTENCES",
    "Edit",
    "EditKind",
    "FieldForm",
    "FirstLook",
    "Heard",
    "Job",
    "JobForm",
    "KeyForm",
    "NamesForm",
    "NewJob",
    "Slip",
    "SlipKind",
    "Source",
    "Spelt",
    "StockEdit",
    "StockRow",
    "Swap",
    "Understood",
    "ValueKind",
    "decode_job",
    "edited",
    "form_for",
    "heard_in",
    "job_form",
    "new_job_text",
    "new_job_words",
    "pin",
    "read_job",
    "read_job_file",
    "spelt",
    "stock_cells",
    "stock_edited",
    "stock_rows",
    "swapped",
    "understood",
    "with_answer",
    "with_usual_sizes",
    "write_atomically",
    "write_folder",
]

_HOMES: Final = {
    "groundstrap.job.describe": (
        "FieldForm",
        "JobForm",
        "KeyForm",
        "NamesForm",
        "form_for",
        "job_form",
    ),
    "groundstrap.job.edits": (
        "Edit",
        "EditKind",
        "edited",
    ),
    "groundstrap.job.files": (
        "decode_job",
        "read_job_file",
        "write_atomically",
        "write_folder",
    ),
    "groundstrap.job.first_look": (
        "FirstLook",
        "Slip",
        "SlipKind",
        "Source",
        "Understood",
        "understood",
    ),
    "groundstrap.job.forms": ("ValueKind",),
    "groundstrap.job.new": (
        "NewJob",
        "new_job_text",
        "new_job_words",
        "with_answer",
    ),
    "groundstrap.job.pins": ("pin",),
    "groundstrap.job.reader": (
        "Job",
        "read_job",
    ),
    "groundstrap.job.spoken": (
        "SENTENCES",
        "Heard",
        "Spelt",
        "heard_in",
        "spelt",
    ),
    "groundstrap.job.stock_edits": (
        "StockEdit",
        "StockRow",
        "stock_cells",
        "stock_edited",
        "stock_rows",
        "with_usual_sizes",
    ),
    "groundstrap.job.swaps": (
        "Swap",
        "swapped",
    ),
}


def __getattr__(name: str) -> object:
    for home, names in _HOMES.items():
        if name in names:
            return getattr(importlib.import_module(home), name)
    raise AttributeError(f"groundstrap.job has no {name!r}; it has {', '.join(__all__)}")
