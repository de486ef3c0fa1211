"""A word on the terminal while work takes longer than a second; silent in a pipe."""

from __future__ import annotations

import sys
from threading import Timer

WAIT_S = 1.0


class Waiting:
    """Shows what is being done, on stderr, from the second second on.

    Parameters
    ----------
    words : str
        ``"Setting the sheets"``.
    wait_s : float
        Seconds of work before it is told.
    """

    def __init__(self, words: str, wait_s: float = WAIT_S) -> None:
        self._words, self._status = words, None
        self._timer = Timer(wait_s, self._start) if sys.stderr.isatty() else None

    def __enter__(self) -> Waiting:
        if self._timer is not None:
            self._timer.daemon = True
            self._timer.start()
        return self

    def __exit__(self, *exc: object) -> None:
        if self._timer is not None:
            self._timer.cancel()
            self._timer.join()
        if self._status is not None:
            self._status.stop()

    def _start(self) -> None:
        from rich.console import Console

        self._status = Console(stderr=True).status(f"{self._words} …")
        self._status.start()
