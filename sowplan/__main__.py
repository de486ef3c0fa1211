"""Run the command line: ``sowplan``, or ``python -m sowplan``."""

from __future__ import annotations

from sowplan.problem import Exit


def main() -> None:
    """Run the command line; one who stops it before it has begun sees no traceback."""
    try:
        from sowplan import cli

        cli.main()
    except KeyboardInterrupt:
        raise SystemExit(Exit.STOPPED) from None


if __name__ == "__main__":
    main()
