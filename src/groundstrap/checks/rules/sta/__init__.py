"""Starts: what loads take when they are switched on, and motors that stall."""
