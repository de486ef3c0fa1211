"""A word on the terminal while work takes longer than a second; silent in a pipe."""

from __future__ import annotations

import signal
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


class OnceMore:
    """On a terminal, the first Ctrl-C is answered with words and the second ends the work."""

    def __init__(self, words: str) -> None:
        self._words = words

    def __enter__(self) -> None:
        self._before = signal.getsignal(signal.SIGINT)
        if sys.stderr.isatty():
            signal.signal(signal.SIGINT, self._first)

    def __exit__(self, *exc: object) -> None:
        signal.signal(signal.SIGINT, self._before)

    def _first(self, *_: object) -> None:
        signal.signal(signal.SIGINT, self._before)
        print(f"\n{self._words}", file=sys.stderr)
