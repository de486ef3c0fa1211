"""Water in words: amounts as they are measured out, and what a week asks for."""

from __future__ import annotations

from datetime import date, timedelta

from sowplan.quantity import VOLUME, Units
from sowplan.season.plan import Plan
from sowplan.supply.water.weeks import PlaceWater, WaterWeek, total, water
from sowplan.supply.wording import count_text, join_words, one_line, word

LITTLE_L = 0.5
"""Litres a week below which nothing is told."""

PLACES_NAMED = 6

MONTHS_DAYS = 60
"""A filling that lasts longer lasts months: nobody counts the days."""


def water_amount(litres: float, units: Units) -> str:
    """Return an amount as it is measured out: to two figures, from a thousand up to three.

    Below ten in whole litres; gallons, which are larger, and what is less than a litre in tenths.

    Examples
    --------
    >>> water_amount(34.1, "metric"), water_amount(14635.0, "metric")
    ('34 l', '14 600 l')
    >>> water_amount(3.6, "metric"), water_amount(0.61, "metric")
    ('4 l', '0.6 l')
    >>> water_amount(140.5, "imperial")
    '37 US gal'
    """
    size, unit = litres, "l"
    if units == "imperial":
        size, unit = litres / VOLUME.units["us gal"], "US gal"
    if size < 10:
        size = round(size, 0 if size >= 1 and unit == "l" else 1)
    size = float(f"{size:.2g}" if size < 1000 else f"{size:.3g}")
    words = f"{size:,.0f}".replace(",", " ") if size >= 1000 else f"{size:g}"
    return f"{words} {unit}"


def a_week_l(plan: Plan, first: date, after: date) -> float:
    """Return what is to be given a week [l], on average from a first day to before another.

    Nought outside the season and where a plan does not know.
    """
    litres, days = 0.0, 0
    for week in total(water(plan)):
        begin = max(week.start, plan.sky[0].day)
        shared = (min(begin + timedelta(days=week.days), after) - max(begin, first)).days
        if shared > 0:
            litres += week.give_l * shared / week.days
            days += shared
    return litres / days * 7 if days else 0.0


def week_text(plan: Plan, on: date) -> str:
    """Return what the crops ask for in the week of a day, in one or a few sentences.

    Parameters
    ----------
    plan : Plan
        A finished season.
    on : date
        Any day of the week.

    Returns
    -------
    str
        Empty outside the season, where nothing drinks, and where an older plan does not know.
    """
    places = water(plan)
    weeks = places[0].weeks if places else ()
    number = next((n for n, week in enumerate(weeks) if 0 <= (on - week.start).days < 7), None)
    if number is None:
        return ""
    units = plan.site.units
    now = [(one, one.weeks[number]) for one in places]
    give, rain = sum(week.give_l for _, week in now), sum(week.rain_l for _, week in now)
    if give + rain <= LITTLE_L:
        return ""
    if give <= LITTLE_L:
        words = f"Usual rain is enough; if none comes, give about {water_amount(rain, units)}."
    else:
        words = f"About {water_amount(give, units)}{_shares(now, units)}."
        if rain > LITTLE_L:
            words += f" If no rain comes, {water_amount(rain, units)} more."
    fills = [one_line(one.place.name) for one, week in now if week.fills]
    if fills:
        words += f" Fill the {word('reservoir', len(fills))} of {join_words(fills)}."
    return f"{words} Feel the soil a finger deep before you water."


def _shares(now: list[tuple[PlaceWater, WaterWeek]], units: Units) -> str:
    """Return who asks for it: ``": Long bed 34 l and Rail 12 l"``; of many only how many."""
    asked = [(week.give_l, one_line(one.place.name)) for one, week in now if week.give_l > LITTLE_L]
    asked.sort(key=lambda pair: -pair[0])
    if len(asked) == 1:
        return f" for {asked[0][1]}"
    if len(asked) > PLACES_NAMED:
        return f" for {count_text(len(asked), 'place')}"
    named = join_words([f"{name} {water_amount(litres, units)}" for litres, name in asked])
    return f": {named}" if named else ""
