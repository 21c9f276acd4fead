"""The vehicle as found."""
