"""The job file: its text to the model, with every fault at its line and column, and choices back into it."""

from groundstrap.job.reader import Job, read_job

__all__ = ["Job", "read_job"]
