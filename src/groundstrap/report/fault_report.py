"""The faults of a job file, or of a call, as lines and as one JSON object; light, for it answers at once."""

from __future__ import annotations

from groundstrap.errors import CallError, GroundstrapError, JobError
from groundstrap.report.values import Json, json_text, known

__all__ = ["error_lines", "faults_json", "faults_object"]


def faults_object(error: GroundstrapError) -> Json:
    """Return what is wrong for JSON, in the shape of the contract.

    >>> faults_object(CallError("plan needs a job file", wanted="a job file"))["faults"]
    [{'found': 'plan needs a job file', 'wanted': 'a job file'}]
    """
    if isinstance(error, JobError):
        faults = [
            known({
                "file": fault.file,
                "line": fault.line or None,
                "column": fault.column or None,
                "key": fault.key or None,
                "found": fault.found,
                "wanted": fault.wanted,
                "reason": fault.reason or None,
                "nearest": fault.nearest,
            })
            for fault in error.faults
        ]  # fmt: skip
    elif isinstance(error, CallError):
        faults = [known({"found": error.reason, "wanted": error.wanted, "nearest": error.nearest})]
    else:
        wanted = getattr(error, "wanted", getattr(error, "next_step", None))
        faults = [known({"found": str(error), "wanted": wanted, "nearest": getattr(error, "nearest", None)})]
    return {"schema": "groundstrap.faults/1", "faults": faults}


def error_lines(error: GroundstrapError) -> str:
    """Return what is wrong for a terminal: one line for each fault, the number of faults at the end.

    >>> print(error_lines(CallError("can't read van.yaml: is a directory", wanted="a job file")))
    groundstrap: can't read van.yaml: is a directory; wanted a job file
    """
    if not isinstance(error, JobError):
        return f"groundstrap: {error}"
    lines = [str(fault) for fault in error.faults]
    count = len(lines)
    return "\n".join([*lines, f"groundstrap: {count} fault{'s' if count != 1 else ''}; nothing was done"])


def faults_json(error: GroundstrapError) -> str:
    """Return what is wrong as one JSON object, as docs/results.md has it.

    Parameters
    ----------
    error : GroundstrapError
        What was raised.
    """
    return json_text(faults_object(error))
