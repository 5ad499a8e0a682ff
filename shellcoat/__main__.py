"""Runs the command line: `python -m shellcoat`."""

import sys

from shellcoat.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
