"""`python -m fizzwright` is the command `fizzwright`."""

import sys

from fizzwright.cli import main

__all__: list[str] = []

if __name__ == "__main__":
    sys.exit(main())
