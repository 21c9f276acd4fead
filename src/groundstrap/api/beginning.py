"""Job files begun: by questions, or out of words."""

from __future__ import annotations

from groundstrap.job import NewJob, new_job_text, new_job_words, with_answer

__all__ = ["NewJob", "new_job_text", "new_job_words", "with_answer"]
