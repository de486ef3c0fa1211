"""Places by name: towns of the table of normals, all others, cities time zones are named for."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from sowplan.problem import did_you_mean
from sowplan.records.garden_file.zones import countries, km_between, zone_places
from sowplan.site.cities import City, cities_named, like
from sowplan.site.towns import Town, folded, named, towns

_ALSO = {"uk": "GB", "england": "GB", "scotland": "GB", "wales": "GB", "usa": "US", "america": "US"}

_SLIP = 0.8
"""Least share of letters in common of a slip of the pen: "Prauge", but not Tauranga for Tarawa."""
_BY_FAR = 10
"""A town so many times as large as the next of its name is the one meant where nothing says."""
_SAME_KM = 20.0
"""Towns of one name nearer than that to a larger one are parts of it."""


@dataclass(frozen=True)
class Place:
    """Somewhere that goes by a name; degrees north and east, its height [m] where it is known."""

    name: str
    country: str  # ISO 3166 two letters
    latitude: float
    longitude: float
    timezone: str
    elevation_m: float | None = None
    region: str = ""  # state, county or the like, where names alone do not tell places apart
    height_guessed: bool = False  # worked out from the heights of the towns around

    def __str__(self) -> str:
        return ", ".join(part for part in (self.name, self.region, self.country) if part)


def places_named(text: str) -> tuple[Place, ...]:
    """Return the places that go by a name, none, one or several, the largest first.

    Parameters
    ----------
    text : str
        As typed: capitals and accents make no difference; a region and a country may follow, in
        words or as their letters: ``"York, GB"``, ``"Portland, Maine"``. A part of the name will
        do for a town of the table of normals, where no place has all of it.
    """
    for name, country, region in _readings(text):
        same = () if region else _places_of(name, country)
        with_normals = tuple(p for p in same if p.elevation_m is not None)
        found = with_normals or _cities(name, country, region) or same
        if found:
            return found
    name, country, region = _readings(text)[0]
    if region or not name:
        return ()
    return tuple(map(_of_town, named(f"{name}, {country}" if country else name)))


def meant(text: str) -> str:
    """Return which place may be meant by a name that none goes by, in a sentence; or nothing.

    A slip of the pen is set right; what is merely somewhat like it is another place, maybe an
    ocean away.
    """
    name, country, _ = _readings(text)[0]
    there = sorted({p.name for p in _places() if country in ("", p.country)})
    return did_you_mean(name, there, likeness=_SLIP) or like(name, country, _SLIP)


def _readings(text: str) -> list[tuple[str, str, str]]:
    """Return name, letters of the country, and region, as a text may be read, the likeliest first.

    The last two are empty where nothing says. ``ME`` is a country and a state.
    """
    name, *rest = (folded(part) for part in text.split(","))
    if not name or not rest:
        return [(name, "", "")]
    known = {code.casefold(): code for code in countries()}
    known |= {folded(words): code for code, words in countries().items()} | _ALSO
    *before, last = rest
    found = [(name, known[last], ", ".join(before))] if last in known else []
    if not before:
        found.append((name, "", last))
    return found or [(name, "", ", ".join(rest))]


def _places_of(name: str, country: str) -> tuple[Place, ...]:
    """Return the towns with normals and the zones' cities of a name."""
    return tuple(p for p in _places() if folded(p.name) == name and country in ("", p.country))


def _cities(name: str, country: str, region: str) -> tuple[Place, ...]:
    """Return the towns of a name, or the one of them that is the largest by far.

    Not where it is written with accents and another without, as the name is here: Salé and Sale.
    """
    found: list[City] = []
    for city in cities_named(name, country, region):
        here = (city.latitude, city.longitude)
        if all(km_between(here, (c.latitude, c.longitude)) > _SAME_KM for c in found):
            found.append(city)
    other = found and folded(found[0].name) == name != found[0].name.casefold()
    unsure = other and any(city.name.casefold() == name for city in found)
    if len(found) > 1 and found[0].thousands >= _BY_FAR * found[1].thousands and not unsure:
        found = found[:1]
    return tuple(
        Place(
            c.name, c.country, c.latitude, c.longitude, c.timezone, c.elevation_m, c.region, c.about
        )
        for c in found
    )


def _of_town(town: Town) -> Place:
    return Place(
        town.name, town.country, town.latitude, town.longitude, town.timezone, town.elevation_m
    )


@cache
def _places() -> tuple[Place, ...]:
    """Return every place, the towns first; what is a town already is no zone's city as well."""
    found = list(map(_of_town, towns()))
    there = {(folded(p.name), p.country) for p in found}
    for zone, country, latitude, longitude in zone_places():
        name = zone.rpartition("/")[2].replace("_", " ")
        if (folded(name), country) not in there:
            found.append(Place(name, country, round(latitude, 2), round(longitude, 2), zone))
    return tuple(found)
