"""How far the making of a plan is, and the best there is: a line on the terminal, and Ctrl-C."""

from __future__ import annotations

import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Timer, current_thread, main_thread

from sowplan.season.watch import READING, WRITING, Told, Watch

STOPS, KEEPS, STOPPING = "Ctrl-C stops", "Ctrl-C keeps this", "Stopping …"
IS_WRITTEN = "The plan found is being written; Ctrl-C again stops that."


class ProgressLine:
    """A progress line on the terminal, for work longer than a second; silent in a pipe.

    It says what is being done, moves all the while, and has the best plan so far and the bound on
    it as soon as they are known. Ctrl-C is answered at once, though to finish the best plan so far
    takes a moment more.
    """

    WAIT_S = 1.0

    def __init__(self) -> None:
        self.watch = Watch(self.show)

    def __enter__(self) -> ProgressLine:
        self._bar = self._before = None
        self._doing = ""
        self._pressed = self._writing = self._asked = False
        self.watch.begin(READING)
        self._timer = Timer(self.WAIT_S, self._start) if sys.stderr.isatty() else None
        if self._timer is not None:
            self._timer.daemon = True
            self._timer.start()
        if current_thread() is main_thread():
            self._before = signal.signal(signal.SIGINT, self._stopping)
        return self

    def __exit__(self, *exc: object) -> None:
        if self._timer is not None:
            self._timer.cancel()
            self._timer.join()
        if self._bar is not None:
            self._bar.stop()
        if self._before is not None:
            signal.signal(signal.SIGINT, self._before)

    def show(self, told: Told) -> None:
        """Show what is being done, how far it is, and what the best plan so far brings."""
        if self._bar is None:
            return
        words = []
        if told.missing is not None:
            words.append(f"{100 * (1 - told.missing):.1f} % comes")
            if told.bound is not None:
                words.append(f"at most {100 * (1 - told.bound):.1f} %")
        if told.doing != self._doing:  # what remains of it is not reckoned by what went before
            self._doing = told.doing
            self._bar.reset(self._task, description=told.doing)
        hint = STOPPING if self._pressed else KEEPS if self.watch.keeps else STOPS
        self._bar.update(
            self._task,
            completed=told.done,
            total=told.of or None,
            best=", ".join(words),
            hint=hint,
        )

    @contextmanager
    def writing(self) -> Iterator[None]:
        """While this block writes the plan, the first Ctrl-C is told so, the second ends it."""
        self._writing = True
        self.watch.begin(WRITING)
        yield

    def _stopping(self, *_: object) -> None:
        if not self._writing:
            self._pressed = True
            self.show(self.watch.told)
            self.watch.press()
        elif self._asked:
            raise KeyboardInterrupt
        else:
            self._asked = True
            print(f"\n{IS_WRITTEN}", file=sys.stderr)

    def _start(self) -> None:
        from rich.console import Console
        from rich.progress import (
            BarColumn,
            Progress,
            SpinnerColumn,
            TextColumn,
            TimeRemainingColumn,
        )

        bar = Progress(
            SpinnerColumn("line"),
            TextColumn("{task.description}"),
            BarColumn(bar_width=None),
            TextColumn("{task.fields[best]}"),
            TimeRemainingColumn(compact=True),
            TextColumn("[dim]{task.fields[hint]}"),
            console=Console(stderr=True),
            transient=True,
        )
        self._task = bar.add_task("", total=None, best="", hint="")
        bar.start()
        self._bar = bar
        self.show(self.watch.told)
