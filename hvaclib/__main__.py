"""Run the suite or one of its commands: ``python -m hvaclib``."""

import sys

from hvaclib.cli import main

if __name__ == "__main__":
    sys.exit(main())
