"""The rules, one module each, in folders by area; found by the catalogue, imported by nothing else."""
