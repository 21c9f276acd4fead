"""Termination: rings, tabs, studs, and the heat that a cable brings to a part."""
