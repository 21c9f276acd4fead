"""Heat: ampacity, temperature, insulation and least sizes of conductors."""
