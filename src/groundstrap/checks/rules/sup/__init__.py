"""Supplies: what they can give, taps of banks, and situations that do not hold."""
