"""Starts and stalls of loads against their fuses and their neighbours."""
