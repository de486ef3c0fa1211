"""What the picture of water tells: a row a place, or a kind of places, and its sums in words."""

from __future__ import annotations

import re
from dataclasses import dataclass

from sowplan.export.pictures.lettering import width
from sowplan.export.pictures.scale import ANY_FONT
from sowplan.export.pictures.style import SMALL
from sowplan.export.pictures.words import day_month, volume
from sowplan.season.plan import Plan
from sowplan.supply.water import PlaceWater, WaterWeek, total, water
from sowplan.supply.water.words import MONTHS_DAYS, water_amount
from sowplan.supply.wording import count_text

ROOM = 12  # places drawn one by one; numbered ones of a kind share a row where there are more
LITTLE = 0.05  # l a week

USUAL = "Amounts for usual weather; hot dry weeks take half as much again."
RAIN = "Where no rain comes, give its share as well."
NO_RAIN = "The garden file tells no rain, so all of it is counted as yours to give."
LEFT_OUT = "Bare ground and trays are not counted."
INDOORS = "Indoors water is not reckoned: what is lost there hangs on lamps and damp."
CAUTION = (
    "Before you water, feel the soil a finger deep or read a probe.",
    "Keep stored water cool, dark and covered; never drink it or spray it as a mist.",
    "Where a hose joins the mains, your local code says what must keep water from flowing back.",
)

_INSIDE = {"fleece": "under fleece", "tunnel": "no rain inside", "glass": "no rain inside"}


@dataclass(frozen=True)
class Row:
    """One place, or like places together."""

    name: str
    note: str
    weeks: tuple[WaterWeek, ...]
    holds: bool = False  # whether there is a reservoir
    lasts: float | None = None  # days a filling lasts without rain in the week of most need

    def sums(self, units: str) -> list[str]:
        """Return what the season and its thirstiest week ask for, and what rain brings."""
        give, rain = (sum(getattr(w, name) for w in self.weeks) for name in ("give_l", "rain_l"))
        if give <= LITTLE:
            return [f"rain is enough: {told(rain, units)}"]
        most = max(self.weeks, key=lambda w: (round(w.give_l, 3), -w.start.toordinal()))
        words = [f"{told(give, units)} to give"]
        if rain > LITTLE:
            words.append(f"{told(rain, units)} from rain")
        words.append(f"most: {told(most.give_l, units)}, week of {day_month(most.start)}")
        if self.lasts is not None:
            days = count_text(max(int(self.lasts), 1), "dry day")
            words.append(f"filled, it lasts {'months' if self.lasts > MONTHS_DAYS else days}")
        return words


def rows(plan: Plan) -> list[Row]:
    """Return a row a place that drinks, or a row a kind of numbered places where they are many."""
    drinking = [one for one in water(plan) if one.need_l > LITTLE]
    units = plan.site.units
    if len(drinking) <= ROOM:
        return [_single(one, units) for one in drinking]
    groups: dict[tuple, list[PlaceWater]] = {}
    for one in drinking:
        stem = re.sub(r"[\s-]*\d+$", "", one.place.name)
        groups.setdefault((stem, one.place.kind, one.place.cover), []).append(one)
    return [
        _single(some[0], units) if len(some) == 1 else _together(stem, some)
        for (stem, *_), some in groups.items()
    ]


def whole(plan: Plan) -> Row:
    """Return the row of the whole garden."""
    drinking = [one for one in water(plan) if one.need_l > LITTLE]
    name = "All outdoors" if _indoors(plan) & {p.place for p in plan.plantings} else "Whole garden"
    return Row(name, count_text(len(drinking), "place"), total(water(plan)))


def describe(plan: Plan) -> str:
    """Say in words what the picture shows."""
    found, units = rows(plan), plan.site.units
    if not found:
        return f"{why_empty(plan)}."
    return " ".join(f"{row.name}: {', '.join(row.sums(units))}." for row in [whole(plan), *found])


def why_empty(plan: Plan) -> str:
    """Return why there is nothing to show."""
    if plan.plantings and _indoors(plan) >= {p.place for p in plan.plantings}:
        return "Indoors water is not reckoned"
    if plan.plantings and not water(plan):
        return "This plan was made before water was reckoned: plan again to see it"
    return "Nothing grows, so nothing drinks"


def _indoors(plan: Plan) -> set[str]:
    """Return the names of the places indoors."""
    return {place.name for place in plan.places if place.indoors is not None}


def foot(plan: Plan, room: float) -> list[str]:
    """Return what must be said below the picture, in lines no wider than ``room`` [px].

    A browser without the shipped font may set them wider, so they end well before that.
    """
    if not rows(plan):
        return []
    rain = any(day.rain_mm is not None for day in plan.sky)
    some = _indoors(plan) & {p.place for p in plan.plantings}
    told = (USUAL, RAIN if rain else NO_RAIN, LEFT_OUT, *([INDOORS] if some else []), *CAUTION)
    lines = [""]
    for word in " ".join(told).split():
        longer = f"{lines[-1]} {word}".strip()
        if width(longer, SMALL) * ANY_FONT <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def told(litres: float, units: str) -> str:
    """Return an amount; gallons are US gallons, which the picture says once."""
    return water_amount(litres, units).replace("US ", "")


def _single(one: PlaceWater, units: str) -> Row:
    place = one.place
    if place.reservoir_l:
        thirstiest = max(one.weeks, key=lambda week: week.need_l / week.days)
        note = f"reservoir {volume(place.reservoir_l, units)}"
        return Row(place.name, note, one.weeks, True, one.lasts_days(thirstiest))
    inside = _INSIDE.get(place.cover, "")
    if place.kind == "channel":
        return Row(place.name, "topped up, no rain", one.weeks)
    if place.kind == "pot":
        inside = ", ".join(filter(None, (count_text(place.count, "pot"), inside)))
    return Row(place.name, inside, one.weeks)


def _together(stem: str, some: list[PlaceWater]) -> Row:
    place = some[0].place
    noun = {"bed": "beds", "channel": "channels", "pot": "sets of pots"}[place.kind]
    note = ", ".join(filter(None, (f"{len(some)} {noun}", _INSIDE.get(place.cover, ""))))
    return Row(stem, note, total(tuple(some)), any(one.place.reservoir_l for one in some))
