"""Fuses in series."""
