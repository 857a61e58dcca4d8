"""`python -m pitchline.cli`."""

import sys

from pitchline.cli import main

if __name__ == "__main__":
    sys.exit(main())
