"""How far the making of a plan is, for whoever waits for it; and when it may be broken off.

What makes a plan tells its `Watch` what it is at, the best it has, and the bound once that is
known. Ctrl-C is `Watch.press`: until there is something to keep it ends the work at once; from then
on it ends only what stands in a `Watch.breakable` block, so that a plan always comes of it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import NamedTuple

READING = "Reading"
GROWTH = "Growth of crops"
FIRST = "A first plan"
BOUND = "What is possible"
SEARCH = "Searching"
TIDY = "Tidying beds"
REASONS = "Reasons"
WRITING = "Writing"


class Told(NamedTuple):
    """What one is at, so much ``done`` of it; 0 ``of`` 0 where nobody knows how much there is.

    ``missing`` and ``bound`` are shares of what is wanted: of the best plan so far, and of the best
    that there can be; None as long as there is none.
    """

    doing: str = ""
    done: int = 0
    of: int = 0
    missing: float | None = None
    bound: float | None = None


class Watch:
    """What is told of the making of a plan, and Ctrl-C.

    Parameters
    ----------
    tell : callable, optional
        Called with `Told` whenever there is something new. ``KeyboardInterrupt`` raised in it
        counts as Ctrl-C.
    """

    def __init__(self, tell: Callable[[Told], object] | None = None) -> None:
        self.told = Told()
        self._tell = tell
        self._wanted, self._over = 1.0, 0.0
        self._keeps = False  # there is something to keep
        self._open = False  # and what is done now may be broken off all the same
        self._pressed = False

    # -- what is told

    def begin(self, doing: str) -> None:
        """Tell what is begun, of which nobody knows how long it takes."""
        self._say(doing=doing, done=0, of=0)

    def reckon(self, wanted: float, over: float = 0.0) -> None:
        """Say what shares are of: all that is wanted in the season [want-weeks].

        ``over`` is missing of it for good, as its time is over; it counts beside what is missing
        of what is still to come, as it does in the plan's own quality.
        """
        self._wanted, self._over = wanted or 1.0, over

    def _share(self, missing: float) -> float:
        return (self._over + missing) / self._wanted

    def went(self, done: int, of: int, missing: float | None = None) -> None:
        """Tell how far it is, and what the best plan by now lacks [want-weeks]."""
        known = self.told.missing if missing is None else self._share(missing)
        self._say(done=done, of=of, missing=known)

    def found(self, missing: float) -> None:
        """Tell what the best plan so far lacks [want-weeks]."""
        self._say(missing=self._share(missing))

    def bounded(self, bound: float) -> None:
        """Tell what every plan lacks [want-weeks]."""
        self._say(bound=self._share(bound))

    def _say(self, **news) -> None:
        self.told = self.told._replace(**news)
        self._heed()
        if self._tell is None:
            return
        try:
            self._tell(self.told)
        except KeyboardInterrupt:
            self.press()

    # -- Ctrl-C

    @property
    def keeps(self) -> bool:
        """Whether there is a plan to keep whenever the work is broken off."""
        return self._keeps

    def keep(self) -> None:
        """There is a plan from now on: only what is breakable is broken off."""
        self._keeps = True

    def press(self) -> None:
        """Break off what is done now, or else what may be broken off next."""
        self._pressed = True
        if self._open or not self._keeps:
            raise KeyboardInterrupt

    def _heed(self) -> None:
        """Break off if that was asked for: Python drops what is raised while it tidies memory."""
        if self._pressed and self._open:
            raise KeyboardInterrupt

    @contextmanager
    def breakable(self) -> Iterator[None]:
        """What stands in this block may be broken off; ``KeyboardInterrupt`` comes out of it."""
        self._open = True
        try:
            self._heed()
            yield
        except KeyboardInterrupt:
            self._pressed = False
            raise
        finally:
            self._open = False
