"""`python -m groundstrap.cli` is `groundstrap`."""

from groundstrap.cli import main

main()
