"""Words, days and names of a garden file: crops, families, amounts, time zones."""

from __future__ import annotations

import datetime
import re
from pathlib import Path
from typing import Any

from sowplan.problem import did_you_mean
from sowplan.records.crop_table.families import family_of
from sowplan.records.crop_table.names import find_crop, suggest_crops
from sowplan.records.garden_file.keys import Key
from sowplan.records.garden_file.values.months import (
    WEEKDAYS,
    read_day,
    read_month_day,
    read_weekday,
)
from sowplan.records.garden_file.values.rules import Around, Wrong, between, plain_number


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


def names(value: Any, key: Key, around: Around) -> tuple[str, ...]:
    """Read names: a list of texts, or one."""
    items = value if isinstance(value, list) else [value]
    if not items:
        raise Wrong(f"{key.name} is empty: leave it out, or write names such as {key.example}.")
    return tuple(dict.fromkeys(text(item, key, around) for item in items))


_DIRECT = (
    *("sown direct", "direct sown", "sow direct", "directly", "in the ground", "in place"),
    *("in situ", "outside", "outdoors", "in the bed", "where it grows"),
)
_COVERS = {
    **dict.fromkeys(("polytunnel", "poly tunnel", "hoop house", "hoops", "low tunnel"), "tunnel"),
    **dict.fromkeys(("greenhouse", "glasshouse", "cold frame", "frame", "cloche"), "glass"),
    **dict.fromkeys(("horticultural fleece", "row cover", "frost cloth"), "fleece"),
}
_ALSO = {
    **_COVERS,
    **{"celsius": "C", "fahrenheit": "F", "inches": "in", "inch": "in", '"': "in"},
    **dict.fromkeys(("tray", "trays", "in a tray", "raised", "cells", "modules"), "in trays"),
    **dict.fromkeys(_DIRECT, "direct"),
    **dict.fromkeys(("us letter", "us-letter"), "letter"),
    **dict.fromkeys(("ft", "feet", "us", "american", "english"), "imperial"),
    **dict.fromkeys(("cm", "m", "metre", "metres", "meters", "si"), "metric"),
    **dict.fromkeys(
        ("bought", "plants", "young plants", "bought young plants", "as plants", "as young plants"),
        "bought plants",
    ),
}


def choice(value: Any, key: Key, around: Around) -> str:
    """Read one of a few words."""
    word = value.strip().strip("°").casefold() if isinstance(value, str) else value
    for known in key.choices:
        if word == known.casefold():
            return known
    if isinstance(word, str) and _ALSO.get(word) in key.choices:
        return _ALSO[word]
    words = ", ".join(f'"{known}"' for known in key.choices)
    near = did_you_mean(word, key.choices) if isinstance(word, str) else ""
    raise Wrong(f"{key.name} is one of {words}.{near}")


_YES, _NO = ("yes", "true", "y", "on"), ("no", "false", "n", "off")


def yes_or_no(value: Any, key: Key, around: Around) -> bool:
    """Read ``true`` or ``false``."""
    word = value.strip().casefold() if isinstance(value, str) else value
    if isinstance(word, bool):
        return word
    if word in _YES + _NO:
        return word in _YES
    known = isinstance(word, int | float) and word in (0, 1)
    forms = ("true" if word else "false",) if known else ("true", "false")
    right = " or ".join(f"{key.name} = {form}" for form in forms)
    raise Wrong(f"{key.name} is true or false, in small letters and without quotes: {right}.")


def path(value: Any, key: Key, around: Around) -> Path:
    """Read the name of a file beside the garden file."""
    name = text(value, key, around)
    return around.folder / name


def date(value: Any, key: Key, around: Around) -> datetime.date:
    """Read a day."""
    try:
        return read_day(value)
    except ValueError as error:
        raise Wrong(f"{key.name} is a day such as {key.example}. {error}".strip()) from None


def frost_day(value: Any, key: Key, around: Around) -> tuple[int, int] | tuple[()]:
    """Read the month and the day of a frost; an empty tuple where there is never any."""
    if isinstance(value, str) and value.strip().casefold() in ("none", "never", "no frost", "no"):
        return ()
    try:
        return read_month_day(value)
    except ValueError as error:
        right = f'{key.name} is month and day, such as {key.example}, or "none".'
        raise Wrong(f"{right} {error}") from None


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
        weekend = ["Saturday", "Sunday"]
        value = {"weekend": weekend, "weekends": weekend, "any": []}.get(
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
        near = f" Did you mean '{city[0]}'?" if city else _zone_meant(name, known, around.place)
        raise Wrong(f"There is no such time zone. {right}{near}") from None
    return name


def _zone_meant(name: str, known: set[str], place: tuple[float, float] | None) -> str:
    """Return the zone meant, in a sentence: set right where it is misspelt, else by its place.

    A name that is only somewhat like it is another zone, maybe hours away.
    """
    from sowplan.records.garden_file.zones import zone_of_nearest_town, zones_of_towns

    near = did_you_mean(name, known, _MISSPELT)
    if near:
        return near
    if place is not None:
        town, zone = zone_of_nearest_town(*place)
        return f" The town nearest to this place, {town}, goes by '{zone}'."
    area, _, town = name.rpartition("/")
    zones = zones_of_towns(town, area)
    return f" {town.replace('_', ' ')} goes by '{zones[0]}'." if len(zones) == 1 else ""


_MISSPELT = 0.9
"""Least share of letters in common of a zone's name and what is a slip of the pen for it."""


def crop(value: Any, key: Key, around: Around) -> str:
    """Read a crop by its key or name; return its key."""
    if isinstance(value, list):
        raise Wrong("One table is for one crop: write a table for each.")
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
    if isinstance(value, list):
        raise Wrong("One table is for one family: write a table for each.")
    name = text(value, key, around)
    found = family_of(name, around.crops)
    if found is None:
        families = {crop.family for crop in around.crops.values()}
        near = did_you_mean(name, families) or suggest_crops(name, around.crops)
        raise Wrong(f"There is no such family or crop here.{near} Write it as {key.example}.")
    return found


def families(value: Any, key: Key, around: Around) -> str:
    """Read a botanical family, or all of them: an empty name."""
    every = ("all", "every", "any", "all families")
    if isinstance(value, str) and value.strip().casefold() in every:
        return ""
    return family(value, key, around)


_MONTHS_IN = {"month": 1.0, "year": 12.0, "season": 12.0}


def rest(value: Any, key: Key, around: Around) -> float:
    """Read how long a bed rests from a family [months]; a season counts as a year."""
    right = f'{key.name} is a text such as "3 years", "2 seasons", "18 months" or "none".'
    if value in (0, False) and value is not True:
        return 0.0
    if isinstance(value, int | float) and not isinstance(value, bool):
        raise Wrong(f'{right} Is it "{value:g} years" or "{value:g} months"?')
    if not isinstance(value, str):
        raise Wrong(right)
    words = value.strip().casefold()
    if words in ("none", "no", "off", "0", "no rest", "nothing"):
        return 0.0
    match = re.fullmatch(r"(one|a|[\d.,]+)\s*(month|year|season)s?", words)
    if match is None:
        raise Wrong(right)
    number = 1.0 if match[1] in ("one", "a") else plain_number(match[1], right)
    return between(number * _MONTHS_IN[match[2]], key, "{:g} months".format)
