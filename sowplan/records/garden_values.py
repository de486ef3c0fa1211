"""One value of a garden file: from what TOML gives to what a record holds, or why not.

A reader takes the value, its key and what is around (`Around`), and returns the
value in the units of the records or raises `Wrong`. ``READERS`` names them by kind.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Literal

from sowplan import quantity
from sowplan.problem import did_you_mean
from sowplan.quantity import QuantityError
from sowplan.records.crop import Crop
from sowplan.records.crop_names import find_crop, suggest_crops
from sowplan.records.families import family_of
from sowplan.records.garden_keys import Key
from sowplan.records.months import MONTHS, WEEKDAYS, read_day, read_month_day, read_weekday


@dataclass(frozen=True)
class Around:
    """What a value may depend on: the folder of the file, the units it names, the crops."""

    folder: Path
    crops: Mapping[str, Crop]
    temperature: Literal["C", "F"] = "C"
    rain_mm: float = 1.0  # the size of the unit of rain


class Wrong(Exception):
    """A value that cannot be taken: what is wrong, and the text where not all of it is."""

    def __init__(self, message: str, found: str | None = None) -> None:
        super().__init__(message)
        self.message = message
        self.found = found


@dataclass(frozen=True)
class Amount:
    """How much is wanted; ``unit`` is a harvest unit, ``"kg"``, ``"plants"`` or, if open, None."""

    amount: float
    unit: str | None


# --- numbers ----------------------------------------------------------------


def _plain_number(value: Any, right: str) -> float:
    """Return a finite number from a number or a text that holds nothing else."""
    if isinstance(value, str):
        if re.fullmatch(r"\s*[+-]?\d{1,3}(,\d{3})+(\.\d*)?\s*", value):
            raise Wrong(f"{right} No commas between the digits.")
        try:
            value = float(value.replace(",", ".").replace("−", "-"))
        except ValueError:
            raise Wrong(right) from None
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise Wrong(right)
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise Wrong(right)
    return number


def _between(value: float, key: Key, show: Callable[[float], str], hint: str = "") -> float:
    low, high = key.low, key.high
    if low is not None and value < low:
        least = "above 0" if low > 0 and value <= 0 else f"at least {show(low)}"
        raise Wrong(f"{key.name} must be {least}, such as {key.example}.{hint}")
    if high is not None and value > high:
        raise Wrong(f"{key.name} must be at most {show(high)}, such as {key.example}.{hint}")
    return value


def number(value: Any, key: Key, around: Around) -> float:
    """Read a number."""
    right = f"{key.name} is a number, such as {key.example}."
    return _between(_plain_number(value, right), key, "{:g}".format)


def integer(value: Any, key: Key, around: Around) -> int:
    """Read a whole number."""
    right = f"{key.name} is a whole number, such as {key.example}."
    read = _between(_plain_number(value, right), key, "{:g}".format)
    if read != int(read):
        raise Wrong(right)
    return int(read)


def hours(value: Any, key: Key, around: Around) -> float:
    """Read hours a day: ``14`` or ``"14 h"``."""
    if isinstance(value, str):
        value = re.sub(r"\s*(?:h|hrs?|hours?)\.?(?:\s*(?:a|per)\s*day|/day)?\s*$", "", value)
    right = f"{key.name} is a number of hours a day, such as {key.example}."
    return _between(_plain_number(value, right), key, "{:g}".format)


def percent(value: Any, key: Key, around: Around) -> float:
    """Read a share: ``"10 %"``, ``10`` or ``0.1``."""
    right = f"{key.name} is a share of years, such as {key.example} or 0.1."
    text = value.strip() if isinstance(value, str) else value
    signed = isinstance(text, str) and re.fullmatch(r"(.*?)\s*(?:%|per ?cent)", text)
    read = _plain_number(signed[1] if signed else text, right)
    share = read / 100.0 if signed or read >= 1.0 else read
    return _between(share, key, lambda x: f"{100 * x:g} %")


_DEGREES = re.compile(
    r"""\s*(?P<sign>[+-])?\s*(?P<d>\d+(?:[.,]\d+)?)\s*°?
    (?:\s*(?P<m>\d+(?:\.\d+)?)\s*['′’](?:\s*(?P<s>\d+(?:\.\d+)?)\s*["″”])?)?
    \s*(?P<half>[NSEWnsew])?[a-z]*\s*""",
    re.VERBOSE,
)


def _degrees(value: Any, key: Key, halves: str, hint: Callable[[float], str]) -> float:
    right = f"{key.name} is a number of degrees, such as {key.example}."
    if isinstance(value, str):
        match = _DEGREES.fullmatch(value.replace("−", "-"))
        if match is None or (match["half"] and match["half"].upper() not in halves):
            raise Wrong(right)
        value = float(match["d"].replace(",", "."))
        value += float(match["m"] or 0) / 60 + float(match["s"] or 0) / 3600
        if match["sign"] == "-" or (match["half"] or "").upper() == halves[1]:
            value = -value
    read = _plain_number(value, right)
    return _between(read, key, "{:g}".format, hint(read))


def latitude(value: Any, key: Key, around: Around) -> float:
    """Read degrees north: ``-41.3``, ``"41.3° S"``, ``"41°18'S"``."""

    def hint(read: float) -> str:
        return " Are latitude and longitude swapped?" if abs(read) <= 180 else ""

    return _degrees(value, key, "NS", hint)


def longitude(value: Any, key: Key, around: Around) -> float:
    """Read degrees east: ``147.1``, ``"73° W"``."""
    return _degrees(value, key, "EW", lambda read: " West of Greenwich it is negative.")


_COMPASS = ("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE")
_POINTS = {name: 22.5 * n for n, name in enumerate(_COMPASS)} | {
    name.translate(str.maketrans("NSEW", "SNWE")): 22.5 * n + 180 for n, name in enumerate(_COMPASS)
}
_POINT_WORDS = {"north": "N", "south": "S", "east": "E", "west": "W"}


def bearing(value: Any, key: Key, around: Around) -> float:
    """Read a direction: degrees from north by east, or a point of the compass."""
    if isinstance(value, str):
        short = re.sub(r"[\s-]", "", value.casefold())
        for word, letter in _POINT_WORDS.items():
            short = short.replace(word, letter)
        if short.upper() in _POINTS:
            return _POINTS[short.upper()]
        value = value.replace("°", "").strip()
    right = f"{key.name} is a number of degrees from north by east, or a point such as NW."
    return _between(_plain_number(value, right), key, "{:g}".format) % 360.0


def horizon(value: Any, key: Key, around: Around) -> tuple[tuple[float, float], ...]:
    """Read a skyline: pairs of a direction and the height of the sky's edge there [°]."""
    right = f"{key.name} is a list of [direction, height in degrees], such as {key.example}."
    if not isinstance(value, list) or not value:
        raise Wrong(right)
    points = []
    for item in value:
        if not isinstance(item, list) or len(item) != 2:
            raise Wrong(right, str(item))
        height = _between(_plain_number(item[1], right), key, "{:g}°".format)
        points.append((bearing(item[0], replace(key, low=0.0, high=360.0), around), height))
    if len({at for at, _ in points}) < len(points):
        raise Wrong(f"{key.name} names a direction twice. {right}")
    return tuple(sorted(points))


# --- quantities -------------------------------------------------------------


def _quantity(
    value: Any,
    key: Key,
    read: Callable[[str], float],
    show: Callable[[float], str],
    example: str,
) -> float:
    if isinstance(value, int | float) and not isinstance(value, bool):
        raise Wrong(f"{key.name} needs a unit, in quotes: {key.name} = {example}.")
    if not isinstance(value, str):
        raise Wrong(f"{key.name} is a text in quotes, such as {example}.")
    try:
        size = read(value)
    except QuantityError as error:
        raise Wrong(error.message) from None
    return _between(size, key, show)


def length(value: Any, key: Key, around: Around) -> float:
    """Read a length [m]."""
    return _quantity(value, key, quantity.length_m, quantity.format_length, key.example)


def elevation(value: Any, key: Key, around: Around) -> float:
    """Read a height [m]; a number without a unit is in metres."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return _between(_plain_number(value, ""), key, "{:g} m".format)
    return _quantity(value, key, quantity.length_m, "{:g} m".format, key.example)


def volume(value: Any, key: Key, around: Around) -> float:
    """Read a volume [l]."""
    return _quantity(value, key, quantity.volume_l, quantity.format_volume, key.example)


def temperature(value: Any, key: Key, around: Around) -> float:
    """Read a temperature [°C]; a number without a unit is in °C."""
    return _temperature(value, key, "C")


def _temperature(value: Any, key: Key, unit: Literal["C", "F"]) -> float:
    if isinstance(value, str):
        try:
            celsius = quantity.temperature_c(value, unit)
        except QuantityError as error:
            raise Wrong(error.message) from None
    else:
        right = f"{key.name} is in °{unit}, such as {key.example}."
        celsius = _plain_number(value, right)
        celsius = quantity.fahrenheit_to_c(celsius) if unit == "F" else celsius
    hint = ""
    if unit == "C" and key.high is not None and key.high < celsius < 130:
        if key.kind == "temperatures":
            hint = ' If these are °F, add temperature_unit = "F".'
        else:
            hint = f' If this is °F, write "{celsius:g} °F".'
    if key.high is not None and celsius > key.high:
        most = quantity.format_temperature(key.high, "imperial" if unit == "F" else "metric")
        raise Wrong(f"{key.name} must be at most {most}.{hint}")
    if key.low is not None and celsius < key.low:
        least = quantity.format_temperature(key.low, "imperial" if unit == "F" else "metric")
        raise Wrong(f"{key.name} must be at least {least}.")
    return celsius


def _twelve(value: Any, key: Key, read: Callable[[Any], float]) -> tuple[float, ...]:
    if not isinstance(value, list) or len(value) != 12:
        count = f" It has {len(value)}." if isinstance(value, list) else ""
        twice = " Decimals have a point, not a comma." if count and len(value) == 24 else ""
        message = f"{key.name} takes twelve values, January to December.{count}{twice}"
        raise Wrong(message)
    values: list[float] = []
    wrong: dict[str, list[tuple[str, str]]] = {}
    for month, item in zip(MONTHS, value, strict=True):
        try:
            values.append(read(item))
        except Wrong as error:
            wrong.setdefault(error.message, []).append((month, str(item)))
    if wrong:
        parts = [
            f"{', '.join(month for month, _ in months)}: {message}"
            for message, months in wrong.items()
        ]
        found = ", ".join(text for months in wrong.values() for _, text in months)
        raise Wrong(" ".join(parts), found)
    return tuple(values)


def temperatures(value: Any, key: Key, around: Around) -> tuple[float, ...]:
    """Read twelve monthly temperatures [°C]."""
    return _twelve(value, key, lambda item: _temperature(item, key, around.temperature))


def rains(value: Any, key: Key, around: Around) -> tuple[float, ...]:
    """Read twelve monthly totals of rain [mm]."""

    def one(item: Any) -> float:
        if isinstance(item, str) and re.search(r"[a-z\"]", item):
            return _quantity(item, key, quantity.length_m, str, '"46 mm"') * 1000.0
        read = _plain_number(item, "Rain is a number, in mm unless rain_unit says otherwise.")
        return _between(read * around.rain_mm, key, "{:g} mm".format)

    return _twelve(value, key, one)


# --- words, days and names --------------------------------------------------


def text(value: Any, key: Key, around: Around) -> str:
    """Read a short text; a number is taken as one."""
    if isinstance(value, int) and not isinstance(value, bool):
        value = str(value)
    if not isinstance(value, str):
        raise Wrong(f"{key.name} is a text in quotes, such as {key.example}.")
    words = " ".join(value.split())
    if not words:
        raise Wrong(f"{key.name} is empty: write {key.meaning}, such as {key.example}.")
    if len(words) > 200 or not words.isprintable():
        raise Wrong(f"{key.name} is at most 200 letters and signs, such as {key.example}.")
    return words


def choice(value: Any, key: Key, around: Around) -> str:
    """Read one of a few words."""
    word = value.strip().strip("°").casefold() if isinstance(value, str) else value
    for known in key.choices:
        if word == known.casefold():
            return known
    longer = {"celsius": "C", "fahrenheit": "F", "inches": "in", "inch": "in", '"': "in"}
    if isinstance(word, str) and longer.get(word) in key.choices:
        return longer[word]
    words = ", ".join(f'"{known}"' for known in key.choices)
    near = did_you_mean(word, key.choices) if isinstance(word, str) else ""
    raise Wrong(f"{key.name} is one of {words}.{near}")


def path(value: Any, key: Key, around: Around) -> Path:
    """Read the name of a file beside the garden file."""
    name = text(value, key, around)
    return around.folder / name


def date(value: Any, key: Key, around: Around):
    """Read a day."""
    try:
        return read_day(value)
    except ValueError as error:
        raise Wrong(f"{key.name} is a day such as {key.example}. {error}".strip()) from None


def month_day(value: Any, key: Key, around: Around) -> tuple[int, int]:
    """Read a month and a day."""
    try:
        return read_month_day(value)
    except ValueError as error:
        raise Wrong(f"{key.name} is month and day, such as {key.example}. {error}") from None


def weekday(value: Any, key: Key, around: Around) -> int:
    """Read a weekday, Monday 0."""
    day = read_weekday(value) if isinstance(value, str) else None
    if day is None:
        near = did_you_mean(value, WEEKDAYS) if isinstance(value, str) else ""
        raise Wrong(f"{key.name} is a day of the week, such as {key.example}.{near}", str(value))
    return day


def weekdays(value: Any, key: Key, around: Around) -> tuple[int, ...]:
    """Read weekdays: a list, one name, or several in one text."""
    if isinstance(value, str):
        value = {"weekend": ["Saturday", "Sunday"], "any": []}.get(
            value.strip().casefold(), re.split(r"\s*(?:,|;|\band\b)\s*", value.strip())
        )
    if not isinstance(value, list):
        raise Wrong(f"{key.name} is a list of weekdays, such as {key.example}.")
    return tuple(sorted({weekday(item, key, around) for item in value}))


def timezone(value: Any, key: Key, around: Around) -> str:
    """Read the name of a time zone."""
    from zoneinfo import ZoneInfo, available_timezones

    right = f"{key.name} is a place of the tz database, such as {key.example}."
    if not isinstance(value, str):
        raise Wrong(right)
    name = value.strip()
    try:
        if name in ("localtime", "posixrules", "Factory") or not name.isascii():
            raise ValueError(name)
        ZoneInfo(name)
    except (ValueError, KeyError, OSError):
        known = {zone for zone in available_timezones() if "/" in zone or zone == "UTC"}
        spelled = name.replace(" ", "_").casefold()
        city = [zone for zone in sorted(known) if zone.rsplit("/")[-1].casefold() == spelled]
        near = f" Did you mean '{city[0]}'?" if city else did_you_mean(name, known)
        raise Wrong(f"There is no such time zone. {right}{near}") from None
    return name


def crop(value: Any, key: Key, around: Around) -> str:
    """Read a crop by its key or name; return its key."""
    name = text(value, key, around)
    if not around.crops:
        return name
    found = find_crop(name, around.crops)
    if found is None:
        near = suggest_crops(name, around.crops) or " `sowplan crops` lists them all."
        raise Wrong(f"There is no crop of that name.{near}")
    return found.key


def family(value: Any, key: Key, around: Around) -> str:
    """Read a botanical family: by its name, an everyday one, or a crop of it."""
    name = text(value, key, around)
    found = family_of(name, around.crops)
    if found is None:
        families = {crop.family for crop in around.crops.values()}
        near = did_you_mean(name, families) or suggest_crops(name, around.crops)
        raise Wrong(f"There is no such family or crop here.{near} Write it as {key.example}.")
    return found


_UNIT_WORDS = {
    "head": "head",
    "bunch": "bunch",
    "bunche": "bunch",
    "piece": "piece",
    "plant": "plants",
}


def amount(value: Any, key: Key, around: Around) -> Amount:
    """Read how much is wanted: ``4``, ``"6 heads"``, ``"300 g"``."""
    right = f'{key.name} is a number, or a text such as "300 g", "4 heads" or "6 plants".'
    if isinstance(value, str):
        match = re.fullmatch(r"\s*([+-]?[\d.,]+)\s*([A-Za-z]*)\s*", value)
        word = match[2].casefold().removesuffix("s") if match else "?"
        if match and not match[2]:
            value, unit = match[1], None
        elif match and word in _UNIT_WORDS:
            value, unit = match[1], _UNIT_WORDS[word]
        else:
            try:
                value, unit = quantity.mass_kg(value), "kg"
            except QuantityError as error:
                raise Wrong(right if word == "?" else error.message) from None
    else:
        unit = None
    read = _plain_number(value, right)
    if not 0 < read <= 1_000_000:
        raise Wrong(f"{key.name} must be above 0, such as {key.example}.")
    return Amount(read, unit)


_PER = {
    **dict.fromkeys(("day", "daily"), 1),
    **dict.fromkeys(("week", "weekly"), 7),
    **dict.fromkeys(("fortnight", "fortnightly", "two weeks"), 14),
    **dict.fromkeys(("month", "monthly"), 30),
    **dict.fromkeys(("quarter",), 91),
    **dict.fromkeys(("year", "yearly"), 365),
    **dict.fromkeys(("season", "once"), 0),
}


def per(value: Any, key: Key, around: Around) -> int:
    """Read how often: days from one harvest to the next; 0 for once a season."""
    right = f'{key.name} is "week", "fortnight", "month", "season" or a number of days.'
    if isinstance(value, str):
        words = re.sub(r"^(?:a|an|one|every|each|per|once a|1)\s+", "", value.strip().casefold())
        if words in _PER:
            return _PER[words]
        match = re.fullmatch(r"(\d{1,4})\s*(day|week|month)s?", words)
        if match is None and not words.isdigit():
            raise Wrong(right + did_you_mean(words, _PER))
        value = int(match[1]) * _PER[match[2]] if match else words
    return int(_between(float(integer(value, key, around)), key, "{:g} days".format))


READERS: dict[str, Callable[[Any, Key, Around], Any]] = {
    reader.__name__: reader
    for reader in (
        *(number, integer, hours, percent, latitude, longitude, bearing, horizon),
        *(length, elevation, volume, temperature, temperatures, rains),
        *(text, choice, path, date, month_day, weekday, weekdays, timezone),
        *(crop, family, amount, per),
    )
}
