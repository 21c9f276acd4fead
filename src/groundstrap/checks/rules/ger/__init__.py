"""Gear: ratings of blocks, switches, relays and connectors."""
