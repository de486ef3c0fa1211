"""Days some years on: the same date of another year, save that of a leap day."""

from __future__ import annotations

from datetime import date, timedelta

DAY = timedelta(days=1)


def later(day: date, years: int) -> date:
    """Return a day some years on, or back; 29 February is 1 March in years without one."""
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return date(day.year + years, 3, 1)


def last_later(day: date, years: int) -> date:
    """Return the last day of a time some years on: the one before the next begins.

    The last of February stays the last of February.
    """
    return later(day + DAY, years) - DAY
