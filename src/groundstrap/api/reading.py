"""Job files: read, and written back."""

from __future__ import annotations

from groundstrap.job import (
    Job,
    decode_job,
    read_job,
    read_job_file,
    write_atomically,
    write_folder,
)

__all__ = [
    "Job",
    "decode_job",
    "read_job",
    "read_job_file",
    "write_atomically",
    "write_folder",
]
