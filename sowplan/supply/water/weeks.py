"""Litres by week and place: what the crops drink, what rain brings, when a reservoir is filled."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from sowplan.growth.covers import COVERS
from sowplan.season.plan import Plan, PlanCrop, PlanPlace, Planting
from sowplan.supply.water.coefficients import crop_coefficient, leaf_cover
from sowplan.supply.water.ground import leaf_area, pot_area, strip_area
from sowplan.supply.water.rain import RAINPROOF, effective_rain

Floats = NDArray[np.float64]

WEEK_DAYS = 7

DAILY_WATERED = 1.0
"""Least crop coefficient of pots, and of a seed bed until it is up: what is wetted every day or two
loses about what grass does, bare or planted (FAO-56 figure 29, ETo 3 to 6 mm a day: 0.9 to 1.05;
read off, from memory)."""


@dataclass(frozen=True)
class WaterWeek:
    """One week of one place, or of all; of weeks cut short by the season what falls into it."""

    start: date
    days: int  # of the season
    need_l: float  # what the crops drink
    rain_l: float  # what of it the rain brings, 0 where rain is not known
    fills: tuple[date, ...] = ()  # days on which the reservoir is filled

    @property
    def give_l(self) -> float:
        """What is left to give [l]."""
        return self.need_l - self.rain_l


@dataclass(frozen=True)
class PlaceWater:
    """The water of one place, a figure a week from the season's first to its last."""

    place: PlanPlace
    weeks: tuple[WaterWeek, ...]

    @property
    def need_l(self) -> float:
        """What the season's crops drink [l]."""
        return sum(week.need_l for week in self.weeks)

    @property
    def rain_l(self) -> float:
        """What of it the rain brings [l]."""
        return sum(week.rain_l for week in self.weeks)

    @property
    def give_l(self) -> float:
        """What is left to give in the season [l]."""
        return sum(week.give_l for week in self.weeks)

    @property
    def most(self) -> WaterWeek:
        """The week that asks for most, the first of equals."""
        return max(self.weeks, key=lambda week: (round(week.give_l, 3), -week.start.toordinal()))

    def between(self, first: date, last: date) -> tuple[float, float]:
        """Return what crops drink from one day to another, ends included, and what rain brings [l].

        Both days are of the season. Of a week that falls into it in part its share by days.
        """
        need = rain = 0.0
        for week in self.weeks:
            end = week.start + timedelta(days=WEEK_DAYS - 1)
            days = (min(end, last) - max(week.start, first)).days + 1
            if days > 0 and week.days:
                share = min(days / week.days, 1.0)
                need, rain = need + week.need_l * share, rain + week.rain_l * share
        return need, rain

    def lasts_days(self, week: WaterWeek) -> float | None:
        """Return how long a filling lasts at a week's pace if no rain comes [days].

        None without a reservoir or where nothing drinks.
        """
        if not self.place.reservoir_l or week.need_l <= 1e-6:
            return None
        return self.place.reservoir_l * week.days / week.need_l


@lru_cache(maxsize=2)  # a plan folder asks three times for the water of one frozen plan
def water(plan: Plan) -> tuple[PlaceWater, ...]:
    """Return the water of every place of a plan.

    Parameters
    ----------
    plan : Plan
        A finished season.

    Returns
    -------
    tuple of PlaceWater
        In the order of the places, those outdoors only; empty where the plan, an older one, knows
        no evapotranspiration.

    Notes
    -----
    Day by day ETc = Kc ETo (FAO-56 eq. 58), a millimetre on a square metre being a litre:

    - in a bed on the ground of the planting's strip; empty ground is left out, and so are
      seedlings in trays,
    - in pots on the open top, and beyond it on what the leaves shade,
    - in channels, which are closed, on what the leaves shade.

    Under a cover and in shade ETo falls with the light let in: in an unheated house the water
    used follows the sun's energy that enters. With three quarters let in it is between the 0.64
    of a glasshouse (Amiri, Abedi-Koupai & Eslamian 2018, evaporation pans) and the 0.84 of an
    open-sided one (capsicum); fleece by the same rule. Kc is not corrected for wind and damp
    (eq. 62), of which nothing is known. Losses of hoses and sprinklers come on top. Indoors none of
    this holds, and nothing is reckoned.
    """
    if not plan.sky or any(day.eto_mm is None for day in plan.sky):
        return ()
    sky = _Sky(plan)
    crops = {crop.key: crop for crop in plan.crops}
    by_place: dict[str, list[Planting]] = {place.name: [] for place in plan.places}
    for planting in plan.plantings:
        by_place[planting.place].append(planting)
    found = []
    for place in plan.places:
        if place.indoors is not None:
            continue
        need, rain = np.zeros(sky.days), np.zeros(sky.days)
        eto = sky.eto * sky.light_at(place)
        for planting in by_place[place.name]:
            _drink(planting, crops[planting.crop], place, sky, eto, need, rain)
        found.append(PlaceWater(place, _weeks(plan, place, need, rain)))
    return tuple(found)


def total(places: tuple[PlaceWater, ...]) -> tuple[WaterWeek, ...]:
    """Return the weeks of several places together, every reservoir's fillings among them."""
    return tuple(
        WaterWeek(
            weeks[0].start,
            weeks[0].days,
            sum(week.need_l for week in weeks),
            sum(week.rain_l for week in weeks),
            tuple(sorted(day for week in weeks for day in week.fills)),
        )
        for weeks in zip(*(one.weeks for one in places), strict=True)
    )


class _Sky:
    """The season's evapotranspiration and effective rain as arrays of shape (days,)."""

    def __init__(self, plan: Plan) -> None:
        self.first = plan.sky[0].day
        self.days = len(plan.sky)
        self.months = np.array([day.day.month for day in plan.sky]) - 1
        self.eto = np.array([day.eto_mm for day in plan.sky], dtype=float)
        self.rain = effective_rain(
            [np.nan if day.rain_mm is None else day.rain_mm for day in plan.sky]
        )

    def light_at(self, place: PlanPlace) -> Floats | float:
        """Return the share of the open sky's light that reaches a place's leaves, by day."""
        under = COVERS[place.cover].light
        return under * np.array(place.light)[self.months] if place.light else under


def _drink(
    planting: Planting,
    crop: PlanCrop,
    place: PlanPlace,
    sky: _Sky,
    eto: Floats,
    need: Floats,
    rain: Floats,
) -> None:
    """Add what a planting drinks to ``need``, and the part rain brings to ``rain``, by day [l]."""
    begin = (planting.occupies_from - sky.first).days
    first, last = max(begin, 0), min((planting.cleared - sky.first).days, sky.days)
    if last <= first:
        return
    stay, age = slice(first, last), np.arange(first, last) - begin
    kc = crop_coefficient(planting, crop, age)
    if planting.kind == "bed":
        wet = strip_area(planting, place)
        ground = wet
        if planting.planting_out is None:  # kept moist until the seed is up
            up = (planting.emergence - planting.sow).days
            kc = np.where(age < up, np.maximum(kc, DAILY_WATERED), kc)
    elif planting.kind == "pot":
        wet = pot_area(place.volume_l) * len(planting.slots)
        kc = np.maximum(kc, DAILY_WATERED)
        ground = np.maximum(wet, leaf_area(planting, crop, place) * leaf_cover(planting, crop, age))
    else:  # leaves alone lose water there, from the first day as those of a full crop do
        wet, cover = 0.0, leaf_cover(planting, crop, age)
        kc = np.where(cover < 1, crop.kc_mid, kc)
        ground = leaf_area(planting, crop, place) * cover
    drunk = kc * ground * eto[stay]
    need[stay] += drunk
    if place.cover not in RAINPROOF:
        rain[stay] += np.minimum(sky.rain[stay] * wet, drunk)


def _weeks(plan: Plan, place: PlanPlace, need: Floats, rain: Floats) -> tuple[WaterWeek, ...]:
    """Gather days into the gardener's weeks."""
    first = plan.sky[0].day
    before = (first.weekday() - plan.site.week_start) % 7  # days of the first week before the sky
    starts = [0, *range(WEEK_DAYS - before, len(need), WEEK_DAYS)]
    ends = [*starts[1:], len(need)]
    away = [
        ((begin - first).days, (end - first).days)
        for begin, end in plan.site.away
        if (begin, end) not in plan.site.watered
    ]
    fills = _fills(place, need - rain, away)
    needs, rains = (np.add.reduceat(litres, starts).tolist() for litres in (need, rain))
    return tuple(
        WaterWeek(
            first + timedelta(days=WEEK_DAYS * number - before),
            end - start,
            needs[number],
            rains[number],
            tuple(first + timedelta(days=day) for day in fills if start <= day < end),
        )
        for number, (start, end) in enumerate(zip(starts, ends, strict=True))
    )


def _fills(place: PlanPlace, give: Floats, away: list[tuple[int, int]]) -> list[int]:
    """Return the days on which a reservoir is filled to the brim, at most one filling a day.

    Empty to begin with, it is filled whenever it does not hold what the day will take. What rain
    brings above the day's need is not counted on. Nobody fills it while nobody is there (first
    and last day, by number); it is filled on the eve where it would not last.
    """
    found: list[int] = []
    if not place.reservoir_l:
        return found
    gone = {day for first, last in away for day in range(first, last + 1)}
    eves = {first - 1: float(give[max(first, 0) : max(last + 1, 0)].sum()) for first, last in away}
    held = 0.0
    for day, litres in enumerate(give.tolist()):
        if day not in gone and litres + eves.get(day, 0.0) > held + 1e-9:
            found.append(day)
            held = place.reservoir_l
        held = max(held - litres, 0.0)
    return found
