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
    edited,
    form_for,
    job_form,
    stock_cells,
    stock_edited,
    stock_rows,
    swapped,
)
from groundstrap.report.first_words import FirstAnswer, SlipTold, first_look

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
    "edited",
    "first_look",
    "form_for",
    "job_form",
    "stock_cells",
    "stock_edited",
    "stock_rows",
    "swapped",
]
