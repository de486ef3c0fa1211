"""Places by name: the towns of the table of normals, and the cities time zones are named for."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from sowplan.problem import did_you_mean
from sowplan.records.garden_file.zones import countries, zone_places
from sowplan.site.towns import folded, named, towns

_ALSO = {"uk": "GB", "england": "GB", "scotland": "GB", "wales": "GB", "usa": "US", "america": "US"}

_SLIP = 0.8
"""Least share of letters in common of a slip of the pen: "Prauge", but not Tauranga for Tarawa."""


@dataclass(frozen=True)
class Place:
    """Somewhere that goes by a name; degrees north and east, its height [m] where it is known."""

    name: str
    country: str  # ISO 3166 two letters
    latitude: float
    longitude: float
    timezone: str
    elevation_m: float | None = None

    def __str__(self) -> str:
        return f"{self.name}, {self.country}"


def places_named(text: str) -> tuple[Place, ...]:
    """Return the places that go by a name, none, one or several.

    Parameters
    ----------
    text : str
        As typed: capitals and accents make no difference, and a country may follow, in words or as
        its two letters: ``"York, GB"``. A part of the name will do for a town of the table, where
        no place has all of it.
    """
    name, country = _parted(text)
    same = [p for p in _places() if folded(p.name) == name and country in ("", p.country)]
    if same or not name:
        return tuple(same)
    return tuple(
        Place(t.name, t.country, t.latitude, t.longitude, t.timezone, t.elevation_m)
        for t in named(f"{name}, {country}" if country else name)
    )


def meant(text: str) -> str:
    """Return which place may be meant by a name that none goes by, in a sentence; or nothing.

    A slip of the pen is set right; what is merely somewhat like it is another place, maybe an
    ocean away. With a country that is known, the places there.
    """
    name, country = _parted(text)
    there = sorted({p.name for p in _places() if country in ("", p.country)})
    near = did_you_mean(name, there, likeness=_SLIP)
    if near or not country:
        return near
    return f" In {country} there {'is' if len(there) == 1 else 'are'} {', '.join(there)}."


def has_country(text: str) -> bool:
    """Return whether a place is told with a country that is known."""
    return bool(_parted(text)[1])


def _parted(text: str) -> tuple[str, str]:
    """Return a name, folded, and the letters of the country after it, empty where none is known."""
    name, comma, country = text.rpartition(",")
    word = folded(country)
    known = {code.casefold(): code for code in countries()}
    known |= {folded(words): code for code, words in countries().items()} | _ALSO
    if comma and word in known:
        return folded(name), known[word]
    return folded(text), ""


@cache
def _places() -> tuple[Place, ...]:
    """Return every place, the towns first; what is a town already is no zone's city as well."""
    found = [
        Place(t.name, t.country, t.latitude, t.longitude, t.timezone, t.elevation_m)
        for t in towns()
    ]
    there = {(folded(p.name), p.country) for p in found}
    for zone, country, latitude, longitude in zone_places():
        name = zone.rpartition("/")[2].replace("_", " ")
        if (folded(name), country) not in there:
            found.append(Place(name, country, round(latitude, 2), round(longitude, 2), zone))
    return tuple(found)
