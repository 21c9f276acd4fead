"""Voltage: drops, and what stands at the loads."""
