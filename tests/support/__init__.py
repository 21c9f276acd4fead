"""Independent oracles and case generators for the tests."""
