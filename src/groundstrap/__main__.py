"""`python -m groundstrap`: the command line, where its own name is not on the path."""

from groundstrap.cli import run

if __name__ == "__main__":
    run()
