"""Days of a plan in words: with the year only where the season sees that date twice."""

from __future__ import annotations

from datetime import date

from sowplan.season.plan import Plan
from sowplan.season.words import seen_twice
from sowplan.supply.wording import day_text, days_text


def day_told(plan: Plan, day: date, *, weekday: bool = False) -> str:
    """Return ``"3 November"``, or ``"3 November 2027"`` where it could be that of another year."""
    return day_text(day, weekday=weekday, year=seen_twice(day, plan.site.start, plan.site.end))


def days_told(plan: Plan, first: date, last: date) -> str:
    """Return ``"3 to 17 November"``, with the year where one of them could be another year's."""
    year = any(seen_twice(day, plan.site.start, plan.site.end) for day in (first, last))
    return days_text(first, last, year=year)
