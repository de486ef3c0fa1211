"""Towns whose monthly normals are known, and the names they go by.

``towns.csv`` and ``more_towns.csv`` open in any spreadsheet; each row says where its figures come
from. Those of the first go by their names alone; those of the second, of which many have namesakes,
only help to work out what lies between (`sowplan.site.between`).
"""

from __future__ import annotations

import csv
import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


@dataclass(frozen=True)
class Town:
    """A town and its monthly normals: mean daily minimum and maximum [°C] and rain [mm]."""

    name: str
    country: str  # ISO 3166 two letters
    latitude: float
    longitude: float
    elevation_m: float
    timezone: str
    tmin: tuple[float, ...]
    tmax: tuple[float, ...]
    rain: tuple[float, ...]
    source: str


@lru_cache(maxsize=1)
def towns() -> tuple[Town, ...]:
    """Return the towns that go by their names, by country and name."""
    return _read("towns.csv")


@lru_cache(maxsize=1)
def all_towns() -> tuple[Town, ...]:
    """Return all towns whose normals are known."""
    return towns() + _read("more_towns.csv")


def _read(file: str) -> tuple[Town, ...]:
    text = resources.files("sowplan.site").joinpath(file).read_text(encoding="utf-8")
    return tuple(
        Town(
            name=row["town"],
            country=row["country"],
            latitude=float(row["latitude"]),
            longitude=float(row["longitude"]),
            elevation_m=float(row["elevation_m"]),
            timezone=row["timezone"],
            tmin=_twelve(row, "tmin"),
            tmax=_twelve(row, "tmax"),
            rain=_twelve(row, "rain"),
            source=row["source"],
        )
        for row in csv.DictReader(text.splitlines())
    )


def named(text: str) -> tuple[Town, ...]:
    """Return the towns that go by a name, none, one or several.

    Parameters
    ----------
    text : str
        As typed: capitals and accents make no difference, a part of the name will do where no
        town has all of it, and a country's two letters may follow: ``"York, GB"``.
    """
    name, _, country = (part.strip() for part in folded(text).rpartition(","))
    if not (name and len(country) == 2):
        name, country = folded(text), ""
    here = [t for t in towns() if not country or t.country.casefold() == country]
    same = [t for t in here if folded(t.name) == name]
    return tuple(same or (t for t in here if name and name in folded(t.name)))


def folded(text: str) -> str:
    """Return a name in small letters, without accents and with single blanks."""
    parts = unicodedata.normalize("NFKD", text.casefold().replace("ø", "o").replace("ı", "i"))
    return " ".join("".join(c for c in parts if not unicodedata.combining(c)).split())


def _twelve(row: dict[str, str], what: str) -> tuple[float, ...]:
    return tuple(float(row[f"{what}_{month}"]) for month in MONTHS)
