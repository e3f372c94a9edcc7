"""`python -m decoder VERB …`, installed as `decoder`."""

from __future__ import annotations

import sys

from decoder.command import run


def main() -> None:
    """Run the command line and leave with its exit status."""
    sys.exit(run(sys.argv[1:]))


if __name__ == "__main__":
    main()
