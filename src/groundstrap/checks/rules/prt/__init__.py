"""Protection: fuses, breakers, and the cable that they save."""
