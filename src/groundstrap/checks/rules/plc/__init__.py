"""Placement: water and heat where parts stand."""
