"""`python -m groundstrap.cli` is `groundstrap`."""

from groundstrap.cli import run

run()
