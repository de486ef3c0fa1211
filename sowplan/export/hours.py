"""The hours of work of a season in words, week by week."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from sowplan.season.choices.work import hours_by_day, hours_by_week
from sowplan.season.plan import Plan
from sowplan.supply.cleared import as_cleared
from sowplan.supply.wording import day_text, join_words, month_text


def hours_told(plan: Plan) -> list[str]:
    """Return the hours of a plan month by month; week by week where the gardener limits them.

    Parameters
    ----------
    plan : Plan
        Any plan; of its own limit, ``site.hours_a_week``, is said how much is used of it.
        Nothing is said where nothing is sown.

    Returns
    -------
    list of str
        Sentences, not wrapped.
    """
    # Where hours are limited that limit is kept as the plan has it: on the day its ground is free.
    done = plan if plan.site.hours_a_week is not None else as_cleared(plan)
    hours = hours_by_week(done)
    if not hours:
        return []
    busiest = max(hours, key=lambda week: (hours[week], -week.toordinal()))
    limit = plan.site.hours_a_week
    most = "" if limit is None else f"; at most {limit:g} are allowed for"
    lines = [
        f"{_hours(round(sum(hours.values())))} in all, at a gardener's pace: sowing, potting on, "
        "planting out and clearing. Harvest, watering and weeding are not counted.",
        f"Busiest is the week of {day_text(busiest, weekday=False)} with "
        f"{_hours(hours[busiest])}{most}.",
    ]
    return lines + (
        list(_weeks(hours)) if limit is not None else [_months(hours_by_day(done), plan.site.start)]
    )


def _months(hours: dict[date, float], start: date) -> str:
    """Return ``"By the month: September 2026 1.5, October 0.5 and November 2."``."""
    taken: dict[tuple[int, int], float] = {}
    for one, some in hours.items():
        day = max(one, start)  # the first week may begin before the season
        taken[day.year, day.month] = taken.get((day.year, day.month), 0.0) + some
    told, year = [], None
    for of_year, month in sorted(taken):
        name = month_text(date(of_year, month, 1))
        name = name if of_year != year else name.split()[0]
        told.append(f"{name} {_shown(taken[of_year, month])}")
        year = of_year
    return f"By the month: {join_words(told)}."


def _weeks(hours: dict[date, float]) -> Iterator[str]:
    """Yield ``"November 2026, weeks of 2, 9 and 16: 1.5, 0.5 and 2 hours."``."""
    weeks = [week for week, taken in hours.items() if taken >= 0.05]
    for month in dict.fromkeys((week.year, week.month) for week in weeks):
        mine = [week for week in weeks if (week.year, week.month) == month]
        days = join_words([str(week.day) for week in mine])
        taken = join_words([_shown(hours[week]) for week in mine])
        week = "week" if len(mine) == 1 else "weeks"
        noun = "hour" if taken == "1" else "hours"
        yield f"{month_text(mine[0])}, {week} of {days}: {taken} {noun}."


def _hours(hours: float) -> str:
    """Return ``"1 hour"``, ``"0.7 hours"``."""
    shown = _shown(hours)
    return f"{shown} hour{'' if shown == '1' else 's'}"


def _shown(hours: float) -> str:
    return f"{hours:.1f}".removesuffix(".0")
