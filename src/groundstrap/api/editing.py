"""A job's text edited: values put and taken out, entries added, renamed and moved."""

from __future__ import annotations

from groundstrap.job import Edit, EditKind, edited

__all__ = ["Edit", "EditKind", "edited"]
