"""Days on the battery: what batteries and charging do over the day of a job, event by event."""
