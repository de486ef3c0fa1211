"""On which day of the days a job leaves open it is done: a day the gardener works on anyway."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date, timedelta


@dataclass
class Workdays:
    """The gardener's days, and the others on which something has to be done already."""

    work_on: tuple[int, ...]  # weekdays, Monday 0; empty: no day is better than another
    busy: set[date] = field(default_factory=set)
    away: tuple[tuple[date, date], ...] = ()  # when nobody is there
    never_on: tuple[int, ...] = ()  # weekdays on which nothing is done, at most six

    def to_harvest(self, harvest_on: tuple[int, ...]) -> Workdays:
        """Return the days on which is harvested: those named, where any are.

        Days noted in one of the two are noted in both.
        """
        if len({*harvest_on}) in (0, 7):
            return self
        others = (day for day in range(7) if day not in harvest_on)
        return replace(self, work_on=harvest_on, never_on=(*self.never_on, *others))

    @property
    def only_named(self) -> bool:
        """Whether nothing is done on any day but the working days."""
        return {*self.work_on, *self.never_on} == set(range(7))

    def within(self, first: date, last: date) -> list[date]:
        """Return the working days from ``first`` to ``last``, both included."""
        return [
            day
            for day in days(first, last)
            if day.weekday() in self.work_on and not self.is_away(day)
        ]

    def is_away(self, day: date) -> bool:
        """Return whether nobody is there on a day."""
        gone = any(first <= day <= last for first, last in self.away)
        return gone or day.weekday() in self.never_on

    def there_again(self, day: date) -> date:
        """Return a day, or the first after it on which somebody is there again."""
        while self.is_away(day):
            day += timedelta(days=1)
        return day

    def there_before(self, day: date) -> date:
        """Return a day, or the last before it on which somebody is there."""
        while self.is_away(day):
            day -= timedelta(days=1)
        return day

    def earliest(self, first: date, last: date, otherwise: date) -> date:
        """Return the earliest good day of a window.

        That is its first working day, of those on which there is other work where it has such;
        where it has none, its first day on which there is other work; where it has neither,
        ``otherwise``.
        """
        good = self._good(first, last)
        return good[0] if good else self._there(first, last, otherwise)

    def latest(self, first: date, last: date, otherwise: date) -> date:
        """Return the latest good day of a window (see `earliest`)."""
        good = self._good(first, last)
        return good[-1] if good else self._there(first, last, otherwise)

    def nearest(self, first: date, last: date, to: date) -> date:
        """Return the working day of a window that is nearest to a day, or that day itself."""
        good = self.within(first, last)
        there = self._there(first, last, to)
        return min(good, key=lambda day: (abs((day - to).days), day), default=there)

    def add(self, used: Iterable[date]) -> None:
        """Note days on which there is work."""
        self.busy.update(used)

    def _good(self, first: date, last: date) -> list[date]:
        working = self.within(first, last)
        return [day for day in working if day in self.busy] or working or self._busy(first, last)

    def _busy(self, first: date, last: date) -> list[date]:
        return [day for day in days(first, last) if day in self.busy and not self.is_away(day)]

    def _there(self, first: date, last: date, to: date) -> date:
        """Return the day of a window nearest to one on which somebody is there, else that day."""
        if not self.is_away(to):
            return to
        there = [day for day in days(first, last) if not self.is_away(day)]
        return min(there, key=lambda day: (abs((day - to).days), day), default=to)


def days(first: date, last: date) -> list[date]:
    """Return every day from ``first`` to ``last``, both included; none where last is earlier."""
    return [first + timedelta(days=n) for n in range((last - first).days + 1)]
