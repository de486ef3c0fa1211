"""Run the command line: ``sowplan``, or ``python -m sowplan``."""

from __future__ import annotations

import sys

from sowplan.problem import NOTHING_WRITTEN, Exit


def main() -> None:
    """Run the command line; one who stops it before it has begun sees no traceback."""
    try:
        from sowplan import cli
    except KeyboardInterrupt:
        print(NOTHING_WRITTEN, file=sys.stderr)
        raise SystemExit(Exit.STOPPED) from None
    try:
        cli.main()
    except KeyboardInterrupt:
        raise SystemExit(Exit.STOPPED) from None


if __name__ == "__main__":
    main()
