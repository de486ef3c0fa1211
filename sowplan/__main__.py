"""Run the command line: ``sowplan``, or ``python -m sowplan``."""

from __future__ import annotations

import sys


def main() -> None:
    """Run the command line; one who stops it before a command has begun sees no traceback."""
    try:
        from sowplan import cli

        cli.main()
    except KeyboardInterrupt:
        from sowplan.problem import NOTHING_WRITTEN, Exit

        print(NOTHING_WRITTEN, file=sys.stderr)
        raise SystemExit(Exit.STOPPED) from None


if __name__ == "__main__":
    main()
