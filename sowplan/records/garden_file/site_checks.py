"""Whether place, time zone and climate of a garden file go together."""

from __future__ import annotations

from collections.abc import Iterator

from sowplan.problem import Problem
from sowplan.records.garden_file.rows import Row, Rows
from sowplan.records.garden_file.values.months import MONTHS
from sowplan.records.garden_file.zones import km_between, zone_cities

# How far east or west of its time zone's own meridian a garden may lie: the far west of China is
# some 45° off, the widest such gap there is.
_WIDEST_ZONE_DEGREES = 60.0
_OUTSIDE_TROPICS = 25.0
# A place so far from its time zone's city is looked at; a slip is told where without it the place
# were near that city, and so many times nearer. China reaches 4,000 km, and no slip of a place
# there comes near Shanghai.
_FAR_KM, _NEAR_KM, _TIMES_NEARER = 1500.0, 1500.0, 3.0
_ONE_MINUS = ((-1, 1), (1, -1))


def check_site(rows: Rows) -> Iterator[Problem]:
    """Find signs that latitude or longitude lacks its minus, or that the two are swapped."""
    row = rows.one("site")
    if row is None:
        return
    latitude, longitude, zone = row.get("latitude"), row.get("longitude"), row.get("timezone")
    if zone is None:
        return
    if latitude is not None and longitude is not None:
        told = _slip(row, latitude, longitude, zone)
        if told is not None:
            yield told
            return
    if longitude is not None:
        meridian = _meridian(zone)
        off = abs((longitude - meridian + 180.0) % 360.0 - 180.0)
        if off > _WIDEST_ZONE_DEGREES:
            other = abs((-longitude - meridian + 180.0) % 360.0 - 180.0)
            if other <= _WIDEST_ZONE_DEGREES:
                hint = f"Is the sign wrong? {-longitude:g} would fit."
            else:
                hint = "Are latitude and longitude swapped, or is the time zone another's?"
            message = f"This is {off:.0f} degrees from where the clock of {zone} belongs. {hint}"
            yield row.problem("longitude", message)
    if latitude is not None and _wrong_half(latitude, zone):
        half = "north" if latitude > 0 else "south"
        hint = "South of the equator it is negative." if latitude > 0 else "North it is positive."
        yield row.problem("latitude", f"This lies in the {half}, and {zone} does not. {hint}")


def _slip(row: Row, latitude: float, longitude: float, zone: str) -> Problem | None:
    """Return the problem of a place far from its time zone's city and near it but for a slip.

    The fewest slips first: one minus, the two exchanged, both minuses, exchanged and a minus.
    """
    city = zone_cities().get(zone)
    here, turned = (latitude, longitude), (longitude, latitude)
    if city is None or (apart := km_between(here, city)) <= _FAR_KM:
        return None
    for place, signs in ((here, _ONE_MINUS), (turned, ((1, 1),)), (here, ((-1, -1),)),
                         (turned, (*_ONE_MINUS, (-1, -1)))):  # fmt: skip
        slips = [(a * place[0], b * place[1]) for a, b in signs if abs(place[0]) <= 90.0]
        near, meant = min(((km_between(slip, city), slip) for slip in slips), default=(apart, here))
        if near <= _NEAR_KM and near * _TIMES_NEARER <= apart:
            break
    else:
        return None
    name = zone.rpartition("/")[2].replace("_", " ")
    what = (
        "Are latitude and longitude exchanged?"
        if place is turned
        else "Is a minus wrong? South of the equator latitude is negative, west of Greenwich "
        "longitude."
    )
    message = (
        f"This place is {apart:,.0f} km from {name}, for which its time zone is named. {what} "
        f"latitude = {meant[0]:g} and longitude = {meant[1]:g} would fit, {near:,.0f} km from it."
    )
    return row.problem("longitude" if meant[0] == latitude else "latitude", message)


def _meridian(zone: str) -> float:
    """Return the meridian of a zone's standard time, the lesser of its offsets in 2025."""
    from datetime import datetime
    from zoneinfo import ZoneInfo

    offsets = [datetime(2025, month, 1, tzinfo=ZoneInfo(zone)).utcoffset() for month in (1, 7)]
    return min(offset.total_seconds() for offset in offsets if offset is not None) / 240.0


def _wrong_half(latitude: float, zone: str) -> bool:
    """Whether a latitude lies well on the other side of the equator than its time zone's city."""
    city = zone_cities().get(zone, (0.0, 0.0))[0]
    return abs(latitude) >= 12 and abs(city) >= 10 and latitude * city < 0


def check_climate(rows: Rows) -> Iterator[Problem]:
    """Find a climate given twice, by halves or not at all, and one that belongs elsewhere."""
    row = rows.one("climate")
    if row is None:
        return
    normals = [key for key in ("tmin", "tmax") if key in row.given]
    if normals and "records" in row.given:
        message = "The climate is given twice: keep either records, or tmin and tmax."
        yield row.problem("records", message)
    elif len(normals) == 1:
        other = "tmax" if normals == ["tmin"] else "tmin"
        yield row.problem(other, f"{other} is missing beside {normals[0]}: twelve values.")
    elif not normals and "records" not in row.given:
        message = (
            "Give twelve tmin and twelve tmax, January to December, or records = "
            '"weather.csv". `sowplan new` writes those of the nearest town it knows.'
        )
        yield row.problem("", message)
    if "records" in row.given and "rain" in row.given:
        yield row.problem("rain", "With records, rain is a column there, not a list here.")
    frosts = [row.get(key) for key in ("last_frost", "first_frost")]
    if () in frosts and any(frosts):
        message = (
            'Either there is frost or there is none: write both dates, or last_frost = "none".'
        )
        yield row.problem("last_frost" if frosts[0] == () else "first_frost", message, "none")
    yield from _crossed(row)
    yield from _other_half(row, rows)


def _crossed(row: Row) -> Iterator[Problem]:
    """Months in which tmin is above tmax."""
    pairs = list(zip(row.get("tmin", ()), row.get("tmax", ()), strict=False))
    months = [month for month, (low, high) in zip(MONTHS, pairs, strict=False) if low > high]
    if len(months) == 12:
        yield row.problem("tmin", "tmin is above tmax in every month: the two are swapped.")
    elif months:
        found = [f"{low:g} > {high:g}" for low, high in pairs if low > high]
        message = f"tmin is above tmax in {', '.join(months)}."
        yield row.problem("tmin", message, ", ".join(found))


def _other_half(row: Row, rows: Rows) -> Iterator[Problem]:
    """Seasons that belong to the other half of the earth."""
    site = rows.one("site")
    latitude, zone = (site.get("latitude"), site.get("timezone")) if site else (None, None)
    if latitude is None or abs(latitude) < _OUTSIDE_TROPICS:
        return
    if zone is not None and _wrong_half(latitude, zone):
        return  # said already
    north = latitude > 0
    tmax = row.get("tmax", ())
    if len(tmax) == 12:
        winter, summer = sum(tmax[m] for m in (11, 0, 1)) / 3, sum(tmax[5:8]) / 3
        if (winter - summer if north else summer - winter) > 3.0:
            warm = "December to February" if north else "June to August"
            side = "north" if north else "south"
            message = (
                f"The warm months here are {warm}, and a latitude of {latitude:g} lies in the "
                f"{side}. Is a minus missing or too many, or does the list not begin with January?"
            )
            yield row.problem("tmax", message)
            return
    late = {"last_frost": range(8, 13), "first_frost": range(2, 7)}
    early = {"last_frost": range(2, 7), "first_frost": range(8, 13)}
    for key, months in (late if north else early).items():
        day = row.get(key)
        if day and day[0] in months:
            season = "spring" if key == "last_frost" else "autumn"
            side = "north" if north else "south"
            message = (
                f"{MONTHS[day[0] - 1]} is not the {season} of the {side}. Are the two swapped?"
            )
            yield row.problem(key, message)
