"""Run the command line as ``python -m sowplan``."""

from sowplan.cli import main

if __name__ == "__main__":
    main()
