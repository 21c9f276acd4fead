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
    edited,
    form_for,
    job_form,
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
    "edited",
    "first_look",
    "form_for",
    "job_form",
]
