"""A start for someone without figures: monthly normals of towns, and which is nearest.

``towns.csv`` opens in any spreadsheet; each row says where its figures come from. A town's
temperatures are carried to a garden's height by the lapse rate of the standard atmosphere.
"""

from __future__ import annotations

import csv
import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources

from sowplan.quantity import FOOT_M
from sowplan.records.garden import Climate, Units
from sowplan.records.garden_file.zones import km_between

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
LAPSE_K_PER_M = 0.0065  # ISO 2533 standard atmosphere
# A hundred metres of height count like fifty kilometres of way: the lapse rate takes off
# most of what height does to temperature, not what it does to frost and cloud (our choice).
KM_PER_METRE = 0.5
FAR_KM = 300.0
KM_PER_MILE = 5.280 * FOOT_M
_SURE_F = {"from memory, about ±2 °C": "from memory, about ±4 °F"}
"""How sure a town's source is of its figures, for those who think in °F."""


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


@dataclass(frozen=True)
class Nearest:
    """The town to start from, its figures carried to the garden's height, and what to know."""

    town: Town
    distance_km: float
    climate: Climate
    note: str


@lru_cache(maxsize=1)
def towns() -> tuple[Town, ...]:
    """Return all towns of the built-in table, by country and name."""
    text = resources.files("sowplan.site").joinpath("towns.csv").read_text(encoding="utf-8")
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


def nearest(
    latitude: float, longitude: float, elevation_m: float | None = None, units: Units = "metric"
) -> Nearest:
    """Return the town whose figures a garden may start from.

    Parameters
    ----------
    latitude, longitude : float
        The garden [°], north and east positive.
    elevation_m : float, optional
        Its height above the sea [m]; the town's own where not known.
    units : {"metric", "imperial"}
        Of the words: of the note, and of the source.

    Returns
    -------
    Nearest
        Nearest by way and height, with a note that says how far and how sure.
    """
    here = latitude, longitude

    def apart(town: Town) -> float:
        height = 0.0 if elevation_m is None else abs(elevation_m - town.elevation_m)
        return km_between(here, (town.latitude, town.longitude)) + KM_PER_METRE * height

    town = min(towns(), key=lambda t: (apart(t), t.name))
    rise = 0.0 if elevation_m is None else elevation_m - town.elevation_m
    colder = LAPSE_K_PER_M * rise
    sure = _SURE_F.get(town.source, town.source) if units == "imperial" else town.source
    source = f"{town.name}, {town.country}: {sure}"
    if abs(colder) >= 0.05:
        lapse = "3.6 °F a thousand feet" if units == "imperial" else "6.5 °C a kilometre"
        way = "up" if rise > 0 else "down"
        source += f"; carried {_height(rise, units)} {way} at {lapse}"
    climate = Climate(
        tmin=tuple(round(t - colder, 1) for t in town.tmin),
        tmax=tuple(round(t - colder, 1) for t in town.tmax),
        rain=town.rain,
        source=source,
    )
    distance = km_between(here, (town.latitude, town.longitude))
    note = _note(f"{town.name} ({town.country})", sure, distance, rise, colder, units)
    return Nearest(town, distance, climate, note)


def _height(rise_m: float, units: Units) -> str:
    if units == "imperial":
        return f"{abs(rise_m) / FOOT_M:.0f} ft"
    return f"{abs(rise_m):.0f} m"


def _note(
    town: str, sure: str, distance_km: float, rise_m: float, colder_k: float, units: Units
) -> str:
    """Say where the figures come from, in gardener's words."""
    height = ""
    if abs(colder_k) >= 0.05:
        degrees = f"{abs(colder_k):.1f} °C"
        if units == "imperial":
            degrees = f"{abs(colder_k) * 1.8:.1f} °F"
        height = (
            f", made {degrees} {'colder' if colder_k > 0 else 'warmer'} because the garden lies "
            f"{_height(rise_m, units)} {'higher' if rise_m > 0 else 'lower'}"
        )
    far = f"{distance_km:.0f} km"
    if units == "imperial":
        miles = round(distance_km / KM_PER_MILE)
        far = f"{miles} mile{'' if miles == 1 else 's'}"
    away = f", {far} away" if distance_km >= 0.5 and not far.startswith("0 ") else ""
    note = f"Temperatures and rain are those of {town}{away}{height}; {sure}."
    if distance_km > FAR_KM:
        note += " That is far: take them as a first guess only."
    return note + " Put in the figures of your own weather station as soon as you have them."


def _twelve(row: dict[str, str], what: str) -> tuple[float, ...]:
    return tuple(float(row[f"{what}_{month}"]) for month in MONTHS)
