"""Dates, amounts and lengths as people read them; English, the same on every machine."""

from __future__ import annotations

from datetime import date

from sowplan.season.plan import Plan, PlanCrop, PlanPlace, Planting

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July",
    "August", "September", "October", "November", "December",
)  # fmt: skip
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_PLURALS = {"bunch": "bunches", "foot": "feet"}
_FOOT_M, _INCH_M, _GALLON_L = 0.3048, 0.0254, 3.785411784


def day_month(day: date) -> str:
    """Return ``"3 Oct"``."""
    return f"{day.day} {MONTHS[day.month - 1][:3]}"


def day_month_year(day: date) -> str:
    """Return ``"3 October 2026"``."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


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
    """Return ``"September 2026 to May 2027"``."""
    start = MONTHS[first.month - 1]
    if first.year != last.year:
        start += f" {first.year}"
    return f"{start} to {MONTHS[last.month - 1]} {last.year}"


def plain(value: float) -> str:
    """Return a number with at most three figures that matter and no needless zeros."""
    if abs(value) >= 100 or abs(value - round(value)) < 0.005:
        return f"{value:.0f}"
    return f"{value:.1f}" if abs(value) >= 10 else f"{value:.2f}".rstrip("0").rstrip(".")


def amount(value: float, unit: str) -> str:
    """Return ``"3 heads"``, ``"1 bunch"``, ``"0.5 kg"``, ``"12 plants"``."""
    figure = plain(value)
    if unit == "kg":
        return f"{figure} kg" if value >= 0.1 or value == 0 else f"{value * 1000:.0f} g"
    one = unit.removesuffix("s") if unit == "plants" else unit
    return f"{figure} {one if figure == '1' else _PLURALS.get(one, one + 's')}"


def length(metres: float, units: str = "metric") -> str:
    """Return ``"2.4 m"``, ``"35 cm"``, or ``"7 ft 10 in"``, ``"14 in"``."""
    if units == "imperial":
        feet, inches = divmod(round(metres / _INCH_M), 12)
        if metres < 3 * _FOOT_M:
            return f"{plain(round(metres / _INCH_M * 2) / 2)} in"
        return f"{feet} ft {inches} in" if inches else f"{feet} ft"
    return f"{plain(metres)} m" if metres >= 1 else f"{plain(metres * 100)} cm"


def volume(litres: float, units: str = "metric") -> str:
    """Return ``"12 l"`` or ``"3.2 gal"`` (US gallons)."""
    return f"{plain(litres / _GALLON_L)} gal" if units == "imperial" else f"{plain(litres)} l"


def temperature(celsius: float, units: str = "metric") -> str:
    """Return ``"12 °C"`` or ``"54 °F"``, whole degrees."""
    value, sign = (celsius * 9 / 5 + 32, "F") if units == "imperial" else (celsius, "C")
    return f"{round(value):d} °{sign}".replace("-", "−")


def place_size(place: PlanPlace, units: str = "metric") -> str:
    """Return ``"2.4 × 0.9 m"``, ``"24 holes"`` or ``"4 pots, 12 l"``."""
    if place.kind == "bed":
        if units == "imperial":
            return f"{length(place.length_m, units)} × {length(place.width_m, units)}"
        return f"{plain(place.length_m)} × {plain(place.width_m)} m"
    if place.kind == "channel":
        return f"{place.holes} holes"
    pots = "pot" if place.count == 1 else "pots"
    return f"{place.count} {pots}, {volume(place.volume_l, units)}"


def bed_entry(planting: Planting) -> date:
    """Return the first day the planting takes its place: planting out, or sowing where direct."""
    return planting.planting_out or planting.sow


def numbers(values: tuple[int, ...]) -> str:
    """Return slot numbers as runs: ``"1–8, 11"``."""
    runs: list[list[int]] = []
    for value in sorted(values):
        if runs and value == runs[-1][1] + 1:
            runs[-1][1] = value
        else:
            runs.append([value, value])
    return ", ".join(str(a) if a == b else f"{a}–{b}" for a, b in runs)


def where_in_place(planting: Planting, plan: Plan) -> str:
    """Return where in its place a planting stands: ``"from 0 to 75 cm"``, ``"holes 1–12"``."""
    units = plan.site.units
    if planting.kind != "bed":
        word = "hole" if planting.kind == "channel" else "pot"
        return f"{word}{'' if len(planting.slots) == 1 else 's'} {numbers(planting.slots)}"
    end = planting.strip_start_m + planting.strip_length_m
    return f"{length(planting.strip_start_m, units)} to {length(end, units)}"


def crop_names(plan: Plan) -> dict[str, PlanCrop]:
    """Return the plan's crops by key."""
    return {crop.key: crop for crop in plan.crops}
