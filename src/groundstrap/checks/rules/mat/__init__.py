"""Materials of conductors."""
