"""Dates, amounts and lengths as people read them; English, the same on every machine."""

from __future__ import annotations

from datetime import date

from sowplan.quantity import VOLUME, c_to_fahrenheit
from sowplan.season.plan import Plan, PlanCrop, PlanPlace, Planting
from sowplan.supply.buying import sowings_text as sowings_words
from sowplan.supply.buying import to_come
from sowplan.supply.wording import (
    MONTHS,
    WEEKDAYS,
    amount_text,
    count_text,
    day_text,
    length_text,
    month_text,
    numbers_text,
    span_text,
)


def day_month(day: date) -> str:
    """Return ``"3 Oct"``."""
    return f"{day.day} {MONTHS[day.month - 1][:3]}"


def day_month_year(day: date) -> str:
    """Return ``"3 October 2026"``."""
    return day_text(day, weekday=False, year=True)


def weekday_day(day: date) -> str:
    """Return ``"Sat 3 Oct"``."""
    return f"{WEEKDAYS[day.weekday()][:3]} {day_month(day)}"


def span(first: date, last: date) -> str:
    """Return ``"3 to 9 Oct"`` or ``"28 Sep to 4 Oct"``; a single day where both are equal."""
    if first == last:
        return day_month(first)
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day} to {day_month(last)}"
    return f"{day_month(first)} to {day_month(last)}"


def season_name(first: date, last: date) -> str:
    """Return ``"September 2026 to May 2027"``; one month stands alone."""
    if (first.year, first.month) == (last.year, last.month):
        return month_text(first)
    start = MONTHS[first.month - 1]
    if first.year != last.year:
        start += f" {first.year}"
    return f"{start} to {month_text(last)}"


def plain(value: float) -> str:
    """Return a number with at most three figures that matter and no needless zeros."""
    if abs(value) >= 100 or abs(value - round(value)) < 0.005:
        return f"{value:.0f}"
    return f"{value:.1f}" if abs(value) >= 10 else f"{value:.2f}".rstrip("0").rstrip(".")


def amount(value: float, unit: str, units: str = "metric") -> str:
    """Return ``"3 heads"``, ``"1 bunch"``, ``"500 g"``, ``"12 plants"``."""
    return amount_text(value, unit.removesuffix("s") if unit == "plants" else unit, units)


def volume(litres: float, units: str = "metric") -> str:
    """Return ``"12 l"`` or ``"3.2 US gal"``, which says whose gallon it is."""
    if units == "imperial":
        return f"{plain(litres / VOLUME.units['us gal'])} US gal"
    return f"{plain(litres)} l"


def temperature(celsius: float, units: str = "metric") -> str:
    """Return ``"12 °C"`` or ``"54 °F"``, whole degrees."""
    value, sign = (c_to_fahrenheit(celsius), "F") if units == "imperial" else (celsius, "C")
    return f"{round(value):d} °{sign}".replace("-", "−")


def place_size(place: PlanPlace, units: str = "metric") -> str:
    """Return ``"2.4 × 0.9 m"``, ``"24 holes, indoors"`` or ``"4 pots, 12 l"``."""
    inside = ", indoors" if place.indoors is not None else ""
    if place.kind == "bed":
        if units == "imperial":
            sides = f"{length_text(place.length_m, units)} × {length_text(place.width_m, units)}"
            return sides + inside
        return f"{plain(place.length_m)} × {plain(place.width_m)} m{inside}"
    if place.kind == "channel":
        return count_text(place.holes, "hole") + inside
    return f"{count_text(place.count, 'pot')}, {volume(place.volume_l, units)}{inside}"


def where_in_place(plan: Plan, planting: Planting) -> str:
    """Return where in its place a planting stands: ``"0–75 cm"``, ``"holes 1–12"``.

    Lengths count from the bed's end, as a tape laid along the boards shows them.
    """
    if planting.kind != "bed":
        noun = "hole" if planting.kind == "channel" else "pot"
        return numbers_text(planting.slots, noun).replace("-", "–")
    start = plan.place(planting.place).edge_m + planting.strip_start_m
    end = start + planting.strip_length_m
    return span_text(start, end, plan.site.units).replace("-", "–")


def sowings_text(plan: Plan) -> str:
    """Return ``"78 sowings, in 83 plantings"``; plantings where one sowing stands in several."""
    sown = to_come(plan)
    sowings, plantings = len({p.sowing for p in sown}), len(sown)
    words = sowings_words(sown)
    return words + (f", in {count_text(plantings, 'planting')}" if plantings > sowings else "")


def harvest_text(planting: Planting) -> str:
    """Return ``"harvest 3 to 30 Oct, first 28 Sep to 9 Oct"``; of what gives nothing, so much.

    Where it was fit before it was reckoned with, there is no early and late any more.
    """
    if planting.in_vain:
        return "nothing to harvest"
    early, late = planting.harvest_start_early, planting.harvest_start_late
    first = f", first {span(early, late)}" if early < late else ""
    return f"harvest {span(planting.harvest_start, planting.harvest_end)}{first}"


def crop_names(plan: Plan) -> dict[str, PlanCrop]:
    """Return the plan's crops by key."""
    return {crop.key: crop for crop in plan.crops}
