"""A place as people tell it: a town near by, or latitude and longitude."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from sowplan.site.places import Place

_DEGREES = r"([-+−]?\d+(?:\.\d+)?)°?\s*([NSEW]?)"
_LISTED = 8
"""So many places of one name are listed, the largest."""


def place_meant(text: str, option: str = "--near") -> Place:
    """Return the place meant; one told by its degrees has no name, country and time zone.

    Raises
    ------
    typer.BadParameter
        With what may be meant, where it is none or not one.
    """
    from sowplan.site.places import Place, meant, places_named

    match = re.fullmatch(rf"\s*{_DEGREES}\s*[,; ]\s*{_DEGREES}\s*", text, re.IGNORECASE)
    if match is not None:
        return Place("", "", *_degrees(match.groups(), option), "")
    found = places_named(text)
    if len(found) == 1:
        return found[0]
    if found:
        listed = "; ".join(map(str, found[:_LISTED]))
        more = f"; and {len(found) - _LISTED} smaller" if len(found) > _LISTED else ""
        raise typer.BadParameter(f"Which one is it? {listed}{more}.", param_hint=option)
    message = (
        f"No town '{text.strip()}' is known here.{meant(text)} Name a larger one near by, some "
        '15 000 people or more; or any place as "latitude, longitude" in degrees, as '
        '"-41.4, 147.1": most maps show them on a long press.'
    )
    raise typer.BadParameter(message, param_hint=option)


def _degrees(parts: tuple[str, ...], option: str) -> tuple[float, float]:
    """Return latitude and longitude of numbers with or without N, S, E and W."""
    first, half, second, side = parts
    latitude, longitude = (float(part.replace("−", "-")) for part in (first, second))
    latitude *= -1 if half.upper() == "S" else 1
    longitude *= -1 if side.upper() == "W" else 1
    swapped = half.upper() in ("E", "W") or side.upper() in ("N", "S")
    if swapped or abs(latitude) > 90 or abs(longitude) > 180:
        hint = " Are latitude and longitude swapped?" if abs(longitude) <= 90 else ""
        message = f"Latitude is within 90°, longitude within 180°, in this order.{hint}"
        raise typer.BadParameter(message, param_hint=option)
    return latitude, longitude
