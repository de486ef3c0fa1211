"""Time zones on the map: the city each is named for, from the tz database's ``zone.tab``."""

from __future__ import annotations

import math
import re
from functools import cache
from pathlib import Path

EARTH_KM = 6371.0  # mean radius of the earth (IUGG: 6371.009)


@cache
def zone_places() -> tuple[tuple[str, str, float, float], ...]:
    """Return zone, country (its two letters), latitude and longitude [°] of each zone's city."""
    found = []
    for country, place, zone, *_ in _rows("zone.tab"):
        match = re.fullmatch(r"([+-]\d{4,6})([+-]\d{5,7})", place)
        if match:
            found.append((zone, country, _degrees(match[1], 2), _degrees(match[2], 3)))
    return tuple(found)


@cache
def zone_cities() -> dict[str, tuple[float, float]]:
    """Return latitude and longitude [°] of each zone's city; zones without a place are left out."""
    return {zone: (north, east) for zone, _, north, east in zone_places()}


@cache
def countries() -> dict[str, str]:
    """Return the names of countries by their two letters, as the tz database has them."""
    return {code: name for code, name, *_ in _rows("iso3166.tab")}


def _rows(name: str) -> list[list[str]]:
    import tzdata  # the package's own table: the same on every machine

    table = Path(tzdata.__file__).parent / "zoneinfo" / name
    lines = table.read_text("utf-8").splitlines()
    return [line.split("\t") for line in lines if line[:1] != "#"]


def _degrees(text: str, digits: int) -> float:
    """Read ISO 6709 degrees, minutes and perhaps seconds: ``-4253``, ``+1471900``."""
    sign, rest = (-1.0 if text[0] == "-" else 1.0), text[1:]
    whole, minutes = int(rest[:digits]), int(rest[digits : digits + 2])
    return sign * (whole + minutes / 60.0 + int(rest[digits + 2 :] or 0) / 3600.0)


def nearest_zone(latitude: float, longitude: float) -> tuple[str, float]:
    """Return the zone whose city lies nearest, and how far [km]."""
    here = latitude, longitude
    distance, zone = min((km_between(here, place), zone) for zone, place in zone_cities().items())
    return zone, distance


def zone_of_nearest_town(latitude: float, longitude: float) -> tuple[str, str]:
    """Return the town that lies nearest, and its zone."""
    here = latitude, longitude
    _, name, zone = min((km_between(here, place), name, zone) for name, place, zone in _towns())
    return name, zone


def zones_of_towns(name: str, area: str = "") -> tuple[str, ...]:
    """Return the zones of the towns of a name, each once; in one area only, such as Australia."""
    key = name.replace("_", " ").casefold()
    found = (zone for town, _, zone in _towns() if town.casefold() == key)
    return tuple(sorted({zone for zone in found if not area or zone.startswith(f"{area}/")}))


@cache
def _towns() -> tuple[tuple[str, tuple[float, float], str], ...]:
    """Return name, place [°] and zone of some 36 000 towns: `sowplan.site`'s table, as data."""
    import csv
    from importlib import resources

    table = resources.files("sowplan").joinpath("site", "cities.csv")
    return tuple(
        (row["city"], (float(row["latitude"]), float(row["longitude"])), row["timezone"])
        for row in csv.DictReader(table.read_text("utf-8").splitlines())
    )


def km_between(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Return how far [km] two places lie apart, given by latitude and longitude (haversine)."""
    a, b = math.radians(one[0]), math.radians(other[0])
    turn = math.radians(one[1] - other[1])
    h = math.sin((a - b) / 2) ** 2 + math.cos(a) * math.cos(b) * math.sin(turn / 2) ** 2
    return 2.0 * EARTH_KM * math.asin(math.sqrt(min(1.0, h)))
