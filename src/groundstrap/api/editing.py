"""A job's text edited and described: values put and taken out, and every key that a page may offer."""

from __future__ import annotations

from groundstrap.job import (
    Edit,
    EditKind,
    FieldForm,
    JobForm,
    KeyForm,
    NamesForm,
    edited,
    form_for,
    job_form,
)

__all__ = [
    "Edit",
    "EditKind",
    "FieldForm",
    "JobForm",
    "KeyForm",
    "NamesForm",
    "edited",
    "form_for",
    "job_form",
]
