"""Where the sun stands and how long the day is; the astronomy itself is astral's.

astral works a day at a time, so its declination and equation of time are taken
every fourth day and interpolated (cubic, within 0.0001°): they are smooth in
time, while the day's length near the polar circles is not.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_NODE_DAYS = 4
# Julian date of 0001-01-01 00:00 UTC less its Python ordinal, which is 1.
_JULIAN_LESS_ORDINAL = 1721424.5


def declination_and_equation(moments: Floats) -> tuple[Floats, Floats]:
    """Return the sun's declination and the equation of time.

    Parameters
    ----------
    moments : array
        Moments as day ordinals with fraction, UTC: ``date.toordinal() + hours / 24``.

    Returns
    -------
    declination : array
        [°], north positive, same shape.
    equation : array
        Equation of time [min]: sundial less clock, same shape.
    """
    moments = np.asarray(moments, dtype=float)
    return _course(float(moments.min()), float(moments.max()))(moments)


def _course(first: float, last: float) -> Callable[[Floats], tuple[Floats, Floats]]:
    """Return declination and equation of time as a function of moments between two."""
    from astral.sun import eq_of_time, sun_declination

    start = np.floor(first) - _NODE_DAYS
    count = int((last - start) / _NODE_DAYS) + 3
    days = start + _NODE_DAYS * np.arange(count)
    centuries = ((days + _JULIAN_LESS_ORDINAL - 2451545) / 36525).tolist()
    declination = np.array([sun_declination(c) for c in centuries])
    equation = np.array([eq_of_time(c) for c in centuries])

    def at(moments: Floats) -> tuple[Floats, Floats]:
        place = (moments - start) / _NODE_DAYS
        return _cubic(declination, place), _cubic(equation, place)

    return at


def daylength(latitude: float, longitude: float, start: date, days: int) -> Floats:
    """Return the time from sunrise to sunset: upper limb, standard refraction, level horizon.

    Parameters
    ----------
    latitude, longitude : float
        [°], north and east positive.
    start : date
        First day.
    days : int
        Number of days.

    Returns
    -------
    array
        [h], shape (days,): 24 in polar day, 0 in polar night. Where astral finds a
        sunrise and a sunset, their distance (within seconds).
    """
    from astral.sun import SUN_APPARENT_RADIUS, refraction_at_zenith

    midnight = start.toordinal() + np.arange(days, dtype=float)
    latitude = float(np.clip(latitude, -89.8, 89.8))
    zenith = 90.0 + SUN_APPARENT_RADIUS
    zenith = np.radians(zenith + refraction_at_zenith(zenith))
    noon = midnight + 0.5 - longitude / 360.0
    sun_at = _course(noon[0] - 1, noon[-1] + 1)
    events = []
    for side in (-1.0, 1.0):
        moment = noon
        for _ in range(3):  # the sun moves on while it climbs: its place is taken at the event
            declination, equation = sun_at(moment)
            angle = _hour_angle(latitude, declination, zenith)
            moment = noon + (side * 4.0 * angle - equation) / 1440.0
        events.append(moment)
        polar = (angle <= 0.0) | (angle >= 180.0)
        events[-1] = np.where(polar, noon + side * angle / 360.0, moment)
    return np.clip((events[1] - events[0]) * 24.0, 0.0, 24.0)


def position(latitude: float, longitude: float, moments: Floats) -> tuple[Floats, Floats]:
    """Return where the sun stands.

    Parameters
    ----------
    latitude, longitude : float
        [°], north and east positive.
    moments : array
        Day ordinals with fraction, UTC.

    Returns
    -------
    elevation : array
        Of the sun's centre above the level horizon, without refraction [°].
    azimuth : array
        From north over east [°], 0 to 360.

    Notes
    -----
    Spherical triangle pole, zenith, sun (Meeus, Astronomical Algorithms, ch. 13, from
    memory); within 0.1° of the SPA.
    """
    moments = np.asarray(moments, dtype=float)
    declination, equation = declination_and_equation(moments)
    turn = (moments % 1.0) * 360.0 + longitude + equation / 4.0 - 180.0
    hour, dec, lat = np.radians(turn), np.radians(declination), np.radians(latitude)
    sine = np.sin(lat) * np.sin(dec) + np.cos(lat) * np.cos(dec) * np.cos(hour)
    north = np.sin(dec) * np.cos(lat) - np.cos(dec) * np.sin(lat) * np.cos(hour)
    east = -np.cos(dec) * np.sin(hour)
    elevation = np.degrees(np.arcsin(np.clip(sine, -1.0, 1.0)))
    return elevation, np.degrees(np.arctan2(east, north)) % 360.0


def _hour_angle(latitude: float, declination: Floats, zenith: float) -> Floats:
    """Return half the sun's arc [°], 0 where it stays below and 180 where it stays above."""
    lat, dec = np.radians(latitude), np.radians(declination)
    cosine = (np.cos(zenith) - np.sin(lat) * np.sin(dec)) / (np.cos(lat) * np.cos(dec))
    return np.degrees(np.arccos(np.clip(cosine, -1.0, 1.0)))


def _cubic(values: Floats, place: Floats) -> Floats:
    """Interpolate between equally spaced nodes by the cubic through the four around."""
    i = np.clip(place.astype(int), 1, len(values) - 3)
    t = place - i
    a, b, c, d = values[i - 1], values[i], values[i + 1], values[i + 2]
    return (
        -a * t * (t - 1) * (t - 2) / 6
        + b * (t + 1) * (t - 1) * (t - 2) / 2
        - c * (t + 1) * t * (t - 2) / 2
        + d * (t + 1) * t * (t - 1) / 6
    )
