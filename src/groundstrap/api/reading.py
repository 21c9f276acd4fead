"""Job files: read, begun, and written back."""

from __future__ import annotations

from groundstrap.job import Job, NewJob, decode_job, new_job_text, read_job, read_job_file, write_atomically

__all__ = [
    "Job",
    "NewJob",
    "decode_job",
    "new_job_text",
    "read_job",
    "read_job_file",
    "write_atomically",
]
