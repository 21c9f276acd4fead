"""Records: labels and readings."""
