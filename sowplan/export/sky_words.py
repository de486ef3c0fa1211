"""The sky of a season in words: frost, the length of days, when growth all but stops."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from sowplan.export.dates import day_told, days_told
from sowplan.growth.succession import SHORT_DAY_H
from sowplan.quantity import format_temperature
from sowplan.season.plan import Plan, SkyDay
from sowplan.supply.wording import (
    count_text,
    day_text,
    join_words,
    one_line,
    one_year_in,
)

HARDLY_H = 1.0  # days that differ by less in a season hardly differ
GROWING_C = 5.0
"""Mean temperature of a day below which hardly anything grows: the threshold of the growing season
length among the climate indices of the WMO's expert team (ETCCDI, index GSL)."""


def frost_told(plan: Plan) -> str:
    """Return the last and first frost in one sentence, with their risk and where they are from."""
    site = plan.site
    note = f" ({one_line(site.frost_note)})" if site.frost_note else ""
    if site.last_frost is None and site.first_frost is None:
        return f"Frost: {one_line(site.frost_note) or 'no dates in this season'}."
    dated = ((site.last_frost, "last frost by"), (site.first_frost, "first frost from"))
    told = []
    for day, words in sorted(one for one in dated if one[0]):
        beyond = day.year > site.end.year  # said in a summer of the spring after it
        day_words = day_text(day, weekday=False, year=True) if beyond else day_told(plan, day)
        told.append(f"{words} {day_words}")
    text = join_words(told)
    risk = one_year_in(site.frost_risk)
    return f"{text[0].upper()}{text[1:]}, but for {risk}{note}."


def sky_told(plan: Plan) -> list[str]:
    """Return sentences on frost, the shortest and longest day, and when growth stops or is slow."""
    lines = [frost_told(plan)]
    if not plan.sky:
        return lines
    shortest = min(plan.sky, key=lambda d: d.daylength_h)
    longest = max(plan.sky, key=lambda d: d.daylength_h)
    least, most = shortest.daylength_h, longest.daylength_h
    if most - least < HARDLY_H:
        alike = f"{least:.1f}" if f"{least:.1f}" == f"{most:.1f}" else f"{least:.1f} to {most:.1f}"
        lines.append(f"Days hardly change in length: {alike} h all season.")
    else:
        ends = [f"the shortest falls {_day_of(plan, shortest)}"] if least > 0.0 else []
        falls = "" if ends else " falls"
        ends += [f"the longest{falls} {_day_of(plan, longest)}"] if most < 24.0 else []
        if ends:
            lines.append(f"Of this season's days {', '.join(ends)}.")
    for words, holds in (("does not rise", dark), ("does not set", light_all_day)):
        if days := sum(map(holds, plan.sky)):
            lines.append(f"The sun {words} {_when(plan, holds)}: {count_text(days, 'day')} in all.")
    return lines + _growth(plan)


def _day_of(plan: Plan, sky: SkyDay) -> str:
    return f"on {day_told(plan, sky.day)} ({sky.daylength_h:.1f} h)"


def _growth(plan: Plan) -> list[str]:
    """Say when growth in the open stops for cold, and when days are merely short."""
    lines = []
    cold = _when(plan, _cold)
    if cold:
        mean = format_temperature(GROWING_C, plan.site.units)
        lines.append(
            f"Growth all but stops in the open {cold}: the mean of day and night is below {mean}."
        )
    short = _when(plan, lambda d: 0.0 < d.daylength_h < SHORT_DAY_H and not _cold(d))
    if short:
        lines.append(f"Growth is slow {short}: days are shorter than {SHORT_DAY_H:.0f} h.")
    return lines


def _cold(day: SkyDay) -> bool:
    return (day.tmin_c + day.tmax_c) / 2 < GROWING_C


def dark(day: SkyDay) -> bool:
    """Return whether the sun does not rise on a day."""
    return day.daylength_h <= 0.0


def light_all_day(day: SkyDay) -> bool:
    """Return whether the sun does not set on a day."""
    return day.daylength_h >= 24.0


def _when(plan: Plan, holds: Callable[[SkyDay], bool]) -> str:
    """Return on which days something holds: ``"from 3 May to 9 August and on 2 September"``."""
    told = [
        ("on " if first == last else "from ") + days_told(plan, first, last)
        for first, last in spans(plan, holds)
    ]
    return join_words(told)


def spans(plan: Plan, holds: Callable[[SkyDay], bool]) -> list[tuple[date, date]]:
    """Return the first and last day of each run of a plan's days of which something holds."""
    found: list[tuple[date, date]] = []
    for day in sorted(one.day for one in plan.sky if holds(one)):
        if found and (day - found[-1][1]).days == 1:
            found[-1] = (found[-1][0], day)
        else:
            found.append((day, day))
    return found
