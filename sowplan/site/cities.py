"""Some 36 000 towns by name: where they are, how high, and by what clock they live.

``cities.csv`` is made from GeoNames (geonames.org; `sowplan.site.from_geonames`), licensed under
Creative Commons Attribution 4.0 (creativecommons.org/licenses/by/4.0): all towns of 15 000 people
and more, and capitals, as they stood in 2026; of 5 000 and more in Australia, New Zealand, South
Africa, Britain and Ireland. Changed: degrees to two decimals, people in thousands, regions by their
names there, parts of towns left out where a town goes by the same name. ``elevation_m`` is that of
GeoNames' model of heights in 2019; of towns listed since it is worked out from the towns around and
stands with a ``~`` (right within 20 m for half of them, 140 m for nine in ten), and it is empty
where no town is near. ``code`` is the region's by ISO 3166-2, of the United States, Canada and
Australia, where people write it. ``also`` has other names, of those in GeoNames the few that people
are likely to write: their own, older or shorter ones.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib import resources

from sowplan.problem import did_you_mean
from sowplan.site.towns import folded

_ALSO = 9  # column of other names


@dataclass(frozen=True)
class City:
    """A town: degrees north and east, height [m] where it is known, thousands of people."""

    name: str
    country: str  # ISO 3166 two letters
    region: str
    latitude: float
    longitude: float
    elevation_m: float | None
    timezone: str
    thousands: int
    about: bool = False  # the height is worked out from the towns around


def cities_named(name: str, country: str = "", region: str = "") -> tuple[City, ...]:
    """Return the towns of a name, the largest first.

    Parameters
    ----------
    name : str
        As typed; capitals, accents, hyphens and a shortened Saint or Mount make no difference.
    country : str
        Its two letters; empty for any.
    region : str
        As typed, by name or code; empty for any.
    """
    key, there = plain(name), plain(region)
    found = [
        _city(row)
        for row in rows(key)
        if country in ("", row[1])
        and _goes_by(row, key)
        and there in ("", plain(row[2]), row[3].casefold())
    ]
    return tuple(sorted(found, key=lambda city: (-city.thousands, city.country, city.region)))


def like(name: str, country: str, likeness: float) -> str:
    """Return which town a name may be a slip of the pen for, in a sentence; or nothing.

    Parameters
    ----------
    name : str
        As typed.
    country : str
        Its two letters; empty for any.
    likeness : float
        Least share of letters in common.
    """
    key = plain(name)
    near = {
        row[0]
        for row in rows(key)
        if country in ("", row[1])
        and row[0][:1].casefold() == key[:1]
        and abs(len(row[0]) - len(key)) <= 2
    }
    return did_you_mean(name, sorted(near), likeness=likeness)


def plain(name: str) -> str:
    """Return a name as it is compared: without accents, hyphens, points and apostrophes."""
    text = folded(name)
    for mark, instead in (("-", " "), (".", " "), ("'", ""), ("’", ""), ("‘", "")):
        text = text.replace(mark, instead)
    words = text.split()
    long = {"st": "saint", "ste": "sainte", "mt": "mount", "ft": "fort"}
    return " ".join(long.get(word, word) if n == 0 else word for n, word in enumerate(words))


def rows(key: str = "") -> list[list[str]]:
    """Return the rows of the table, as text, whose towns may go by a name as it is compared.

    Parameters
    ----------
    key : str
        The name (`plain`); empty for all. Only first letters are looked at, so that of the table
        hardly more than a tenth is taken apart, and what has other names at the end of its line.
    """
    lines = (
        line for line in _lines() if _may_begin(line[:1].casefold(), key) or not line.endswith(",")
    )
    return list(csv.reader(lines))


def _goes_by(row: list[str], key: str) -> bool:
    """Return whether a town has a name, as it is compared."""
    return key in map(plain, [row[0], *filter(None, row[_ALSO].split(";"))])


def _may_begin(letter: str, key: str) -> bool:
    """Return whether a name that begins so may be one as it is compared."""
    return not key or letter == key[:1] or not letter.isascii() or not letter.isalpha()


def _city(row: list[str]) -> City:
    name, country, region, _, north, east, height, timezone, thousands, _ = row
    return City(
        name, country, region, float(north), float(east),
        float(height.removeprefix("~")) if height else None,
        timezone, int(thousands), height.startswith("~"),
    )  # fmt: skip


@cache
def _lines() -> list[str]:
    """Return the lines of the table without its heading; no field runs over more than one."""
    text = resources.files("sowplan.site").joinpath("cities.csv").read_text(encoding="utf-8")
    return text.splitlines()[1:]
