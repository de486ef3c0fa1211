"""How far a search is, and the best it has: a line on the terminal, and Ctrl-C."""

from __future__ import annotations

import signal
import sys
import time
from typing import NoReturn

from sowplan.commands.waiting import Waiting


class ProgressLine:
    """A progress line on the terminal, for work longer than a second; silent in a pipe.

    Ctrl-C is answered at once, though the best plan so far takes a moment more to finish.

    Parameters
    ----------
    words : str
        ``"Planning"``: what is being done.
    """

    WAIT_S = 1.0
    HINT = "Ctrl-C keeps this"

    def __init__(self, words: str) -> None:
        self._words = words

    def __enter__(self) -> ProgressLine:
        self._clock = time.monotonic
        self._from = self._clock()
        self._bar = self._before = None
        self._shown = sys.stderr.isatty()
        self._waiting = Waiting("Working out what can be sown when")
        self._waiting.__enter__()
        if self._shown:
            self._before = signal.signal(signal.SIGINT, self._stopping)
        return self

    def __exit__(self, *exc: object) -> None:
        if self._before is not None:
            signal.signal(signal.SIGINT, self._before)
        self._waiting.__exit__()
        if self._bar is not None:
            self._bar.stop()

    def show(self, done: int, rounds: int, missing: float, bound: float) -> None:
        """Show how far the work is, and what the best plan so far lacks."""
        if not self._shown or self._clock() - self._from < self.WAIT_S:
            return
        if self._bar is None:
            self._waiting.__exit__()
            self._start(rounds)
        text = f"{100 * (1 - missing):.1f} % comes, at most {100 * (1 - bound):.1f} %"
        self._bar.update(self._task, completed=done, total=rounds, best=text)

    def _stopping(self, *_: object) -> NoReturn:
        if self._bar is not None:
            self._bar.update(self._task, hint="Stopping …")
        raise KeyboardInterrupt

    def _start(self, rounds: int) -> None:
        from rich.console import Console
        from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

        self._bar = Progress(
            TextColumn(self._words),
            BarColumn(bar_width=None),
            TextColumn("{task.fields[best]}"),
            TimeRemainingColumn(),
            TextColumn("[dim]{task.fields[hint]}"),
            console=Console(stderr=True),
            transient=True,
        )
        self._task = self._bar.add_task("plan", total=rounds, best="", hint=self.HINT)
        self._bar.start()
