"""Readings against the plan: each, all together, and what they prove."""
