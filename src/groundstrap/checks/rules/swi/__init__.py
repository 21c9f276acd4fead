"""Switching: contacts by class of load, relays and their coils."""
