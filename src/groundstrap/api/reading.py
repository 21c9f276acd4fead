"""Job files: read, begun, and written back."""

from __future__ import annotations

from groundstrap.job import (
    Job,
    NewJob,
    decode_job,
    new_job_text,
    new_job_words,
    read_job,
    read_job_file,
    with_answer,
    write_atomically,
    write_folder,
)

__all__ = [
    "Job",
    "NewJob",
    "decode_job",
    "new_job_text",
    "new_job_words",
    "read_job",
    "read_job_file",
    "with_answer",
    "write_atomically",
    "write_folder",
]
