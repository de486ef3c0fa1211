"""A start for someone without figures: the monthly normals of a garden between known towns."""

from __future__ import annotations

from dataclasses import dataclass

from sowplan.quantity import FOOT_M
from sowplan.records.garden import Climate, Units
from sowplan.records.garden_file.zones import km_between
from sowplan.site.between import KM_PER_METRE, climate_at
from sowplan.site.towns import Town, all_towns

KM_PER_MILE = 5.280 * FOOT_M
# Up to so many kilometres from the nearest town, height included, four months of five lie so near
# to what is worked out [K], and the same in °F: each town held against all the others.
_SURE = ((500.0, 2, 4), (1500.0, 3, 5), (float("inf"), 5, 9))
_AT_KM, _FAR_KM = 25.0, 500.0
"""Nearer to a town its figures are told as the garden's own; farther than that, as a guess."""
_LEVEL_M = 8.0  # heights that differ by less, a twentieth of a degree, are not told


@dataclass(frozen=True)
class Nearest:
    """The nearest town, the figures to start from, and what to know of them."""

    town: Town
    distance_km: float
    climate: Climate
    note: str
    latitude: float  # of the garden [°]


def nearest(
    latitude: float, longitude: float, elevation_m: float | None = None, units: Units = "metric"
) -> Nearest:
    """Return the figures a garden may start from: those between the towns around it.

    Parameters
    ----------
    latitude, longitude : float
        The garden [°], north and east positive.
    elevation_m : float, optional
        Its height above the sea [m]; that of the nearest town where not known.
    units : {"metric", "imperial"}
        Of the words: of the note, and of the source.

    Returns
    -------
    Nearest
        With the nearest town by way and height, and a note that says how far and how sure.
    """
    here = latitude, longitude

    def apart(town: Town) -> float:
        height = 0.0 if elevation_m is None else abs(elevation_m - town.elevation_m)
        return km_between(here, (town.latitude, town.longitude)) + KM_PER_METRE * height

    town = min(all_towns(), key=lambda t: (apart(t), t.country, t.name))
    height_m = town.elevation_m if elevation_m is None else elevation_m
    tmin, tmax, rain = climate_at(latitude, longitude, height_m)
    distance = km_between(here, (town.latitude, town.longitude))
    sure = _sure(apart(town), distance, units)
    whose = "between towns around, the nearest " if distance > _AT_KM else ""
    rise = height_m - town.elevation_m
    source = f"{whose}{town.name}, {town.country}: {sure}"
    if abs(rise) >= _LEVEL_M:
        source += f"; for {_height(rise, units)} {'above' if rise > 0 else 'below'} it"
    climate = Climate(tmin=tmin, tmax=tmax, rain=rain, source=source)
    return Nearest(town, distance, climate, _note(town, sure, distance, rise, units), latitude)


def _sure(apart_km: float, distance_km: float, units: Units) -> str:
    """Say how sure figures are so far, height included, from the nearest town.

    What is worked out between towns is no town's own: a basin shut in by hills may be farther off.
    """
    kelvin, fahrenheit = next((k, f) for km, k, f in _SURE if apart_km <= km)
    within = f"±{fahrenheit} °F" if units == "imperial" else f"±{kelvin} °C"
    return f"from memory, {'about' if distance_km <= _AT_KM else 'mostly within'} {within}"


def _height(rise_m: float, units: Units) -> str:
    if units == "imperial":
        return f"{abs(rise_m) / FOOT_M:.0f} ft"
    return f"{abs(rise_m):.0f} m"


def _note(town: Town, sure: str, distance_km: float, rise_m: float, units: Units) -> str:
    """Say where the figures come from, in gardener's words."""
    far = f"{distance_km:.0f} km"
    if units == "imperial":
        miles = round(distance_km / KM_PER_MILE)
        far = f"{miles} mile{'' if miles == 1 else 's'}"
    away = f", {far} away" if distance_km >= 0.5 and not far.startswith("0 ") else ""
    name = f"{town.name} ({town.country})"
    whose = f"those of {name}{away}"
    if distance_km > _AT_KM:
        whose = f"worked out from the towns around, of which {name} is the nearest{away}"
    height = ""
    if abs(rise_m) >= _LEVEL_M:
        height = (
            f", for the garden's height, {_height(rise_m, units)} "
            f"{'above' if rise_m > 0 else 'below'} it"
        )
    note = f"Temperatures and rain are {whose}{height}; {sure}."
    if distance_km > _FAR_KM:
        note += " That is far: take them as a first guess only."
    return note + " Put in the figures of your own weather station as soon as you have them."
