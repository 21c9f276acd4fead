"""`python -m groundstrap`: the command line, where its own name is not on the path."""

from groundstrap.cli import main

if __name__ == "__main__":
    main()
