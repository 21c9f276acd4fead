"""Negatives: isolators, fuses and switches in the way back, and the way over a hitch."""
