"""Where a crop is raised and grown on: what a cover does to the weather inside, or a house.

A place or tray indoors has the temperature kept there, day and night, and the light of its lamps,
or that of a window; frost, rain and the weather's whims stay outside.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sowplan.growth.courses import Conditions
from sowplan.growth.covers import COVERS
from sowplan.records.crop import Crop
from sowplan.records.garden import Bed, Channel, Indoors, Pot, Site, Tray
from sowplan.site.light import tray_light
from sowplan.site.normals import day_places
from sowplan.site.series import DailySeries, Days
from sowplan.site.shade import direct_sun

# A warm tray or place without lamps stands indoors or in a heated frame, behind glass. From memory.
_WINDOW_LIGHT = 0.6
# A cover is opened when it would get hotter than this inside [°C]. Common practice, no source.
_AIRED_ABOVE_C = 28.0
# It warms by day as far as the sun shines in: in full from this daily light on [mol m-2 d-1], not
# at all in polar night. From memory: the figures of `COVERS` are of sunny days of early spring.
_SUNNY_MOL = 15.0
_YEAR_DAYS = 365.25


@dataclass(frozen=True, eq=False)
class Weather:
    """The weather at the plants: temperatures [°C] and daily light [mol m-2 d-1], shape (days,)."""

    tmin: Days
    tmax: Days
    soil: Days
    dli: Days

    @property
    def tmean(self) -> Days:
        """Return the mean of minimum and maximum [°C]."""
        return (self.tmin + self.tmax) / 2.0


def weather_under(
    cover: str, light_share: float | tuple[float, ...], series: DailySeries
) -> Weather:
    """Return the weather a place's plants get.

    Parameters
    ----------
    cover : {'none', 'fleece', 'tunnel', 'glass'}
        What is over the place.
    light_share : float or tuple of 12 floats
        Share of the open sky's light that reaches the place, 0 to 1; twelve are the months'.
    series : DailySeries
        The weather in the open.

    Returns
    -------
    Weather
        Minimum, maximum and soil temperature [°C] and daily light integral [mol m-2 d-1].
    """
    effect = COVERS[cover]
    dli = daily_share(light_share, series) * series.dli
    tmin = series.tmin + effect.night_k
    by_day_k = effect.day_k * np.minimum(dli / _SUNNY_MOL, 1.0)
    # Warming by day, but never above what airing keeps to, unless it is hotter outside.
    aired = np.maximum(series.tmax, np.minimum(series.tmax + by_day_k, _AIRED_ABOVE_C))
    tmax = np.maximum(aired, tmin)
    warmer = (tmin + tmax) / 2.0 - series.tmean
    return Weather(tmin, tmax, series.soil + warmer, dli * effect.light)


def daily_share(light_share: float | tuple[float, ...], series: DailySeries) -> float | Days:
    """Return the share of light day by day: straight lines from mid-month to mid-month."""
    if isinstance(light_share, tuple):
        place, _ = day_places(series.start, len(series))
        middles = (np.arange(12) + 0.5) * _YEAR_DAYS / 12.0
        return np.interp(place, middles, light_share, period=_YEAR_DAYS)
    return light_share


def weather_of(conditions: Conditions, series: DailySeries) -> Weather:
    """Return the weather where a crop grows on: indoors, or outdoors under its cover."""
    if conditions.indoors_c is None:
        return weather_under(conditions.cover, conditions.light_share, series)
    return _kept_at(conditions.indoors_c, conditions.lamp_dli_mol, series)


def daylength_of(conditions: Conditions, series: DailySeries) -> Days:
    """Return the hours of light a day where a crop grows on: the lamps', else the sun's."""
    if conditions.indoors_c is None or conditions.lamp_hours is None:
        return series.daylength
    return np.full(len(series), float(conditions.lamp_hours))


def weather_in_tray(conditions: Conditions, series: DailySeries) -> Weather:
    """Return the weather a tray's seedlings get: the shelf's where given, else the open air's."""
    warm, lamps = conditions.tray_temperature_c, conditions.tray_dli_mol
    if warm is not None:
        return _kept_at(warm, lamps, series)
    dli = series.dli if lamps is None else np.full(len(series), float(lamps))
    return Weather(series.tmin, series.tmax, series.tmean, dli)


def _kept_at(temperature_c: float, lamps_mol: float | None, series: DailySeries) -> Weather:
    """Return a temperature kept day and night, in the light of lamps or of a window."""
    warm = np.full(len(series), float(temperature_c))
    if lamps_mol is None:
        return Weather(warm, warm, warm, series.dli * _WINDOW_LIGHT)
    return Weather(warm, warm, warm, np.full(len(series), float(lamps_mol)))


def tray_dli(light_hours: float | None, ppfd: float | None) -> float | None:
    """Return the daily light integral of lamps [mol m-2 d-1], None where there are none.

    Parameters
    ----------
    light_hours : float or None
        Hours a day the lamps burn.
    ppfd : float or None
        Photon flux density at the seedlings [µmol m-2 s-1].
    """
    if light_hours is None or ppfd is None:
        return None
    return tray_light(light_hours, ppfd)


def conditions_of(
    crop: Crop, place: Bed | Channel | Pot, tray: Tray | None = None, site: Site | None = None
) -> Conditions:
    """Return where a crop is raised and grown on, given the place and the tray at hand.

    Parameters
    ----------
    crop : Crop
        Says whether it is raised, sown direct or either; what may be either is raised where there
        is a tray. Whether one is offered to a crop usually sown direct is for the caller to say.
    place : Bed or Channel or Pot
        Where it grows on.
    tray : Tray or None
        Where it would be raised; a crop that must be raised without a tray stands in the open air.
    site : Site or None
        Where the garden lies, for what its skyline and the bed's obstacles take of the light; the
        open sky without it.

    Returns
    -------
    Conditions
        Equal conditions give equal courses.
    """
    raised = crop.tray_days is not None and (
        crop.start == "raised"
        or (crop.start in ("either", "direct-first") and tray is not None)
        or isinstance(place, Channel)  # nothing is sown into a channel's holes
    )
    return Conditions(
        raised=raised,
        cover=place.cover,
        tray_temperature_c=tray.temperature_c if raised and tray else None,
        tray_dli_mol=tray_dli(tray.light_hours, tray.ppfd) if raised and tray else None,
        light_share=_light_share(place, site),
        film=isinstance(place, Channel),
        **_kept_in(place.indoors),
    )


def bought_for(place: Bed | Channel | Pot, site: Site | None = None) -> Conditions:
    """Return where a crop grows that is bought as young plants; see `conditions_of`."""
    return Conditions(
        True,
        place.cover,
        light_share=_light_share(place, site),
        bought=True,
        film=isinstance(place, Channel),
        **_kept_in(place.indoors),
    )


def _kept_in(indoors: Indoors | None) -> dict[str, float | None]:
    """Return the fields of `Conditions` that tell of a place indoors."""
    if indoors is None:
        return {}
    return {
        "indoors_c": indoors.temperature_c,
        "lamp_hours": indoors.light_hours,
        "lamp_dli_mol": tray_dli(indoors.light_hours, indoors.ppfd),
    }


def _light_share(place: Bed | Channel | Pot, site: Site | None) -> float | tuple[float, ...]:
    """Return the months' shares of light, or 1 where nothing stands in the way, or indoors."""
    obstacles = place.obstacles if isinstance(place, Bed) else ()
    if site is None or place.indoors is not None or not (obstacles or site.horizon):
        return 1.0
    shares = direct_sun(site, obstacles).light_share
    return tuple(round(float(share), 3) for share in shares)
