"""The job file: its text to the model, with every fault at its line and column, and choices back into it."""

from groundstrap.job.describe import FieldForm, JobForm, KeyForm, NamesForm, form_for, job_form
from groundstrap.job.edits import Edit, EditKind, edited
from groundstrap.job.files import decode_job, read_job_file, write_atomically, write_folder
from groundstrap.job.first_look import FirstLook, Slip, SlipKind, Source, Understood, understood
from groundstrap.job.new import NewJob, new_job_text, new_job_words, with_answer
from groundstrap.job.pins import pin
from groundstrap.job.reader import Job, read_job
from groundstrap.job.stock_edits import StockEdit, StockRow, stock_cells, stock_edited, stock_rows
from groundstrap.job.swaps import Swap, swapped

__all__ = [
    "Edit",
    "EditKind",
    "FieldForm",
    "FirstLook",
    "Job",
    "JobForm",
    "KeyForm",
    "NamesForm",
    "NewJob",
    "Slip",
    "SlipKind",
    "Source",
    "StockEdit",
    "StockRow",
    "Swap",
    "Understood",
    "decode_job",
    "edited",
    "form_for",
    "job_form",
    "new_job_text",
    "new_job_words",
    "pin",
    "read_job",
    "read_job_file",
    "stock_cells",
    "stock_edited",
    "stock_rows",
    "swapped",
    "understood",
    "with_answer",
    "write_atomically",
    "write_folder",
]
