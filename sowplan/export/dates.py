"""Days of a plan in words, with the year where the season sees a date twice; weeks and months."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from sowplan.season.plan import Plan
from sowplan.season.words import seen_twice
from sowplan.supply.wording import day_text, days_text

FEW_DAYS = 7
"""Of a month at either end of a season so few without a job are not told."""


def day_told(plan: Plan, day: date, *, weekday: bool = False) -> str:
    """Return ``"3 November"``, or ``"3 November 2027"`` where it could be that of another year."""
    return day_text(day, weekday=weekday, year=seen_twice(day, plan.site.start, plan.site.end))


def days_told(plan: Plan, first: date, last: date) -> str:
    """Return ``"3 to 17 November"``, with the year where one of them could be another year's."""
    year = any(seen_twice(day, plan.site.start, plan.site.end) for day in (first, last))
    return days_text(first, last, year=year)


def week_of(day: date, week_start: int) -> date:
    """Return the first day of a day's week, which begins on a weekday, Monday 0."""
    return day - timedelta(days=(day.weekday() - week_start) % 7)


def months(first: date, last: date) -> Iterator[tuple[date, date]]:
    """Yield each month that days from ``first`` to ``last`` touch: its first day, the next's."""
    from dateutil.relativedelta import relativedelta
    from dateutil.rrule import MONTHLY, rrule

    for month in rrule(MONTHLY, dtstart=first.replace(day=1), until=last):
        yield month.date(), month.date() + relativedelta(months=1)


def days_of_month(plan: Plan, month: date, following: date) -> int:
    """Return how many days of a month lie in the season; none, or fewer, outside it."""
    last = min(following - timedelta(days=1), plan.site.end)
    return (last - max(month, plan.site.start)).days + 1
