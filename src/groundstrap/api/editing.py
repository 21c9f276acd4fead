"""A job's text begun, edited and described: first looks, values put and taken out, every key there may be."""

from __future__ import annotations

from groundstrap.job import (
    Edit,
    EditKind,
    FieldForm,
    FirstLook,
    JobForm,
    KeyForm,
    NamesForm,
    StockEdit,
    StockRow,
    Swap,
    ValueKind,
    edited,
    form_for,
    job_form,
    stock_cells,
    stock_edited,
    stock_rows,
    swapped,
    with_usual_sizes,
)
from groundstrap.report.fault_words import fault_said, line_said
from groundstrap.report.first_words import FirstAnswer, SlipTold, first_look
from groundstrap.report.heard_words import edits_heard

__all__ = [
    "Edit",
    "EditKind",
    "FieldForm",
    "FirstAnswer",
    "FirstLook",
    "JobForm",
    "KeyForm",
    "NamesForm",
    "SlipTold",
    "StockEdit",
    "StockRow",
    "Swap",
    "ValueKind",
    "edited",
    "edits_heard",
    "fault_said",
    "first_look",
    "form_for",
    "job_form",
    "line_said",
    "stock_cells",
    "stock_edited",
    "stock_rows",
    "swapped",
    "with_usual_sizes",
]
