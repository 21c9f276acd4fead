"""Boats: hull, bilge, vapour."""
