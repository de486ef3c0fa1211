"""Days some years on: the same date of another year, save that of a leap day."""

from __future__ import annotations

from datetime import date, timedelta

DAY = timedelta(days=1)


def later(day: date, years: int) -> date:
    """Return a day some years on, or back; 29 February is 1 March in years without one."""
    from dateutil.relativedelta import relativedelta

    there = day + relativedelta(years=years)
    return there if there.day == day.day else there + DAY  # the library stays in February


def last_later(day: date, years: int) -> date:
    """Return the last day of a time some years on: the one before the next begins.

    The last of February stays the last of February.
    """
    return later(day + DAY, years) - DAY
