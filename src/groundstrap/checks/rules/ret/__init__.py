"""Returns: ways back, chassis and battery sensors."""
