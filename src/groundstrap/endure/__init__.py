"""Days on the battery: what batteries and charging do over the day of a job, event by event."""

from groundstrap.endure.answers import answers
from groundstrap.endure.chances import chances
from groundstrap.endure.run import endure

__all__ = ["answers", "chances", "endure"]
