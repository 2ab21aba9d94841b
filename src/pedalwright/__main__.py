"""`python -m pedalwright`, the same as the `pedalwright` command."""

import sys

from pedalwright.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
