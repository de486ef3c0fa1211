"""Quantities and dates as a gardener says them; no locale, no clock.

What is said here is coarser than what ``quantity`` shows: a forecast of 740 g means no 738 g,
and a mark along a bed is read off a tape, in centimetres up to three metres.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from datetime import date

from sowplan.quantity import INCH_M, POUND_KG, Units, format_inches, format_step, format_temperature
from sowplan.records.garden import Indoors
from sowplan.records.garden_file.values.months import MONTHS, WEEKDAYS

PLURALS = {"bunch": "bunches"}
WHOLE = frozenset({"head", "piece", "plants"})
LEAST = {"kg": 0.03, "head": 1.0, "piece": 1.0, "plants": 1.0}
"""The least share of a harvest worth telling by itself; half of any other unit."""

ORDINALS = {2: "second", 3: "third", 4: "fourth", 5: "fifth"}


def indoors_text(indoors: Indoors, units: Units) -> str:
    """Return ``"indoors at 18 °C, 16 h of lamp (11.5 mol/m² a day)"``, or by a window."""
    warm = f"indoors at {format_temperature(indoors.temperature_c, units)}"
    if indoors.light_hours is None or indoors.ppfd is None:
        return f"{warm}, daylight of a window"
    from sowplan.site.light import tray_light

    sum_mol = tray_light(indoors.light_hours, indoors.ppfd)
    return f"{warm}, {indoors.light_hours:g} h of lamp ({sum_mol:.1f} mol/m² a day)"


def one_line(text: str) -> str:
    """Return a text without line breaks and runs of spaces, for titles and table cells."""
    return " ".join(text.split())


def by_number(name: str) -> tuple[tuple[bool, int | str], ...]:
    """Return a key to sort names by: ``"Bed 2"`` comes before ``"Bed 10"``."""
    parts = re.split(r"(\d+)", name)
    return tuple((p.isdecimal(), int(p) if p.isdecimal() else p) for p in parts)


UNDER = {"fleece": ", under fleece", "tunnel": ", under a tunnel", "glass": ", under glass"}
"""What is said behind a place, or a sowing, that has a cover over it."""


def day_text(day: date, *, weekday: bool = True, year: bool = False) -> str:
    """Return ``"Tue 3 November"``, with the year or without the weekday where asked."""
    words = [WEEKDAYS[day.weekday()][:3]] if weekday else []
    words += [str(day.day), MONTHS[day.month - 1]]
    return " ".join(words + ([str(day.year)] if year else []))


def days_text(first: date, last: date, *, year: bool = False) -> str:
    """Return ``"3 to 17 November"`` or ``"28 October to 5 November"``; one day stands alone."""
    end = day_text(last, weekday=False, year=year)
    if first == last:
        return end
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day} to {end}"
    return f"{day_text(first, weekday=False, year=year and first.year != last.year)} to {end}"


def month_text(day: date) -> str:
    """Return ``"November 2026"``."""
    return f"{MONTHS[day.month - 1]} {day.year}"


def length_text(metres: float, units: Units) -> str:
    """Return ``"85 cm"``, ``"3.4 m"``, or to the half inch ``"7½ in"``, ``"4 ft 9 in"``."""
    if units == "imperial":
        return _feet_and_inches(metres)
    return f"{_trim(metres * 100, 0)} cm" if metres < 2.995 else f"{_trim(metres, 2)} m"


def step_text(step_m: float, many: int, units: Units) -> str:
    """Return a step taken so many times along a tape: finer where what is rounded would add up.

    Up to a centimetre at the last mark is let pass: ``"22 cm"``, ``"21.65 cm"``; inches are told
    in the parts of one that a tape has (`format_step`): ``"17¾ in"``.
    """
    if units == "imperial":
        told = format_step(step_m, many)
        return length_text(step_m, units) if "½" in told or told[:-3].isdigit() else told
    value = step_m * 100
    if abs(value - round(value)) * many <= 1.0 + 1e-6:
        return length_text(step_m, units)
    return f"{_trim(value, 1 if abs(value - round(value, 1)) * many <= 1.0 else 2)} cm"


def lengths_text(metres: Sequence[float], units: Units) -> str:
    """Return ``"13, 28 and 43 cm"``, ``"2.9 and 3.1 m"``: the unit told once, or feet."""
    if units == "imperial":
        return join_words([_feet_and_inches(one) for one in metres])
    scale, decimals, unit = (100, 0, "cm") if max(metres) < 2.995 else (1, 2, "m")
    return f"{join_words([_trim(one * scale, decimals) for one in metres])} {unit}"


def span_text(start_m: float, end_m: float, units: Units) -> str:
    """Return ``"80-140 cm"``, ``"3.2-4.05 m"`` or ``"2 ft 7 in to 4 ft 7 in"``."""
    if units == "imperial":
        return f"{_feet_and_inches(start_m)} to {_feet_and_inches(end_m)}"
    if end_m < 2.995:
        return f"{_trim(start_m * 100, 0)}-{_trim(end_m * 100, 0)} cm"
    return f"{_trim(start_m, 2)}-{_trim(end_m, 2)} m"


def depth_text(millimetres: float, units: Units) -> str:
    """Return a sowing depth: ``"5 mm"``, ``"1.5 cm"``, or to an eighth of an inch ``"⅜ in"``."""
    if millimetres <= 0:
        return "on the surface"
    if units == "imperial":
        return f"{format_inches(max(millimetres / 1000 / INCH_M, 1 / 8))} deep"
    if millimetres < 10:
        return f"{_trim(millimetres, 0)} mm deep"
    return f"{_trim(millimetres / 10, 1)} cm deep"


def weight_text(kilograms: float, units: Units) -> str:
    """Return ``"240 g"``, ``"1.4 kg"``, ``"9 oz"`` or ``"3.1 lb"``."""
    if units == "imperial":
        pounds = kilograms / POUND_KG
        if pounds < 0.97:
            return f"{max(1, round(pounds * 16))} oz"
        return f"{_trim(pounds, 1 if pounds < 9.95 else 0)} lb"
    if kilograms < 0.995:
        return f"{max(10, round(kilograms * 100) * 10)} g"
    return f"{_trim(kilograms, 1 if kilograms < 20 else 0)} kg"


def amount_text(amount: float, unit: str, units: Units) -> str:
    """Return an amount of harvest: ``"9 heads"``, ``"2½ bunches"``, ``"1.4 kg"``.

    Bunches are told in whole numbers from three up, in halves below; heads, pieces and plants
    are whole. What is there at all is never told as less than the least of its kind.
    """
    if unit == "kg":
        return weight_text(amount, units) if amount > 1e-9 else "0 kg"
    if unit in WHOLE or amount >= 3:
        least = 1 if amount > 1e-9 else 0
        return count_text(max(least, math.floor(amount + 0.5 + 1e-9)), unit)
    least = 1 if amount > 1e-9 else 0
    whole, half = divmod(max(least, math.floor(amount * 2 + 0.5 + 1e-9)), 2)
    number = (str(whole) if whole else "") + ("½" if half else "") or "0"
    return f"{number} {word(unit, 1 if number in ('1', '½') else 2)}"


def is_worth_telling(amount: float, unit: str) -> bool:
    """Return whether an amount is at least the least that is told of its kind."""
    return amount > LEAST.get(unit, 0.5) - 0.05 * LEAST.get(unit, 0.5)


def word(unit: str, number: float) -> str:
    """Return a unit or noun in the form that goes with a number: ``"head"``, ``"heads"``."""
    if unit == "kg":
        return unit
    one = "plant" if unit == "plants" else unit
    return one if number == 1 else PLURALS.get(one, one + "s")


def count_text(number: int, noun: str) -> str:
    """Return ``"1 row"``, ``"3 rows"``."""
    return f"{number} {word(noun, number)}"


def stations_text(stations: int, plants_each: int) -> str:
    """Return ``"9 plants"``, or ``"15 clumps of 6"`` where several grow at each station."""
    if plants_each == 1:
        return count_text(stations, "plant")
    return f"{count_text(stations, 'clump')} of {plants_each}"


def numbers_text(numbers: Sequence[int], noun: str) -> str:
    """Return ``"holes 1-12"``, ``"every second hole from 1 to 23"``, ``"pots 1, 2 and 5"``."""
    ordered = sorted(numbers)
    if len(ordered) == 1:
        return f"{noun} {ordered[0]}"
    steps = {b - a for a, b in zip(ordered, ordered[1:], strict=False)}
    if len(steps) == 1 and (step := steps.pop()) > 1 and len(ordered) > 3:
        nth = ORDINALS.get(step, f"{step}th")
        return f"every {nth} {noun} from {ordered[0]} to {ordered[-1]}"
    return f"{word(noun, 2)} {join_words(_runs(ordered))}"


def join_words(words: Sequence[str]) -> str:
    """Return ``"a, b and c"``."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def names_text(names: Sequence[str]) -> str:
    """Return names in a row, of three and more those that differ by a number alone as one.

    ``"Wall, Pond and Gate"``, ``"Field 1, 3 and 4"``, ``"Field 1-7, 9; Tunnel 2"``.
    """
    groups: dict[str, list[int]] = {}
    parted = {name: _parted(name) for name in names}
    for stem, number in parted.values():
        if number is not None:
            groups.setdefault(stem, []).append(number)
    if len(names) < 3 or all(len(numbers) < 2 for numbers in groups.values()):
        return join_words(list(names))
    if len(groups) == 1 and all(number is not None for _, number in parted.values()):
        return " ".join(f"{stem} {join_words(_runs(sorted(its)))}" for stem, its in groups.items())
    pieces = (
        name if number is None else f"{stem} {', '.join(_runs(sorted(groups[stem])))}"
        for name, (stem, number) in parted.items()
    )
    return "; ".join(dict.fromkeys(pieces))


def _parted(name: str) -> tuple[str, int | None]:
    """Return a name without the number at its end, and this; None where it has none."""
    stem, _, last = name.rpartition(" ")
    numbered = stem and last.isascii() and last.isdecimal() and last == str(int(last))
    return (stem, int(last)) if numbered else (name, None)


def every_text(days: int, periods: int = 2) -> str:
    """Return how often: ``"a week"``, ``"a month"``, ``"every 10 days"``; ``"in all"`` where once.

    ``days`` is the length of one period [days], ``periods`` how many of them there are.
    """
    if periods == 1:
        return "in all"
    if days in (28, 29, 30, 31):
        return "a month"
    return {1: "a day", 7: "a week", 14: "a fortnight"}.get(days, f"every {days} days")


def percent_text(share: float) -> str:
    """Return a share as ``"12 %"``; what is small but there is ``"under 1 %"``."""
    if 0 < share < 0.01:
        return "under 1 %"
    if 0.99 < share < 1:
        return "over 99 %"
    return f"{_trim(share * 100, 0)} %"


def one_year_in(share: float) -> str:
    """Return a chance as ``"one year in 10"``."""
    return f"one year in {round(1 / share)}" if share > 0 else "no year"


def _runs(ordered: Sequence[int]) -> list[str]:
    """Return ascending numbers with each run of three or more joined: ``["1-3", "5"]``."""
    parts: list[list[int]] = []
    for number in ordered:
        if parts and number == parts[-1][-1] + 1:
            parts[-1].append(number)
        else:
            parts.append([number])
    texts = []
    for part in parts:
        texts += [f"{part[0]}-{part[-1]}"] if len(part) > 2 else [str(n) for n in part]
    return texts


def _trim(value: float, decimals: int) -> str:
    """Return a number rounded half up, without zeros behind the point that say nothing."""
    scale = 10**decimals
    text = f"{math.floor(value * scale + 0.5 + 1e-9) / scale:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _feet_and_inches(metres: float) -> str:
    half_inches = math.floor(metres / INCH_M * 2 + 0.5 + 1e-9)
    feet, rest = divmod(half_inches, 24) if half_inches >= 72 else (0, half_inches)
    inches = f"{rest // 2 or ''}½" if rest % 2 else f"{rest // 2}"
    if feet and rest == 0:
        return f"{feet} ft"
    return f"{feet} ft {inches} in" if feet else f"{inches} in"
