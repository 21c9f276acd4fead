"""Days on the battery: starts, cut-offs, charge that comes and goes."""
