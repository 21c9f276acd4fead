"""Safety: loads that must not fail."""
