"""How much of a place so many plants take: strips of beds, holes, pots, in units of room."""

from __future__ import annotations

import math

import numpy as np

from sowplan.bed.layout import Strip
from sowplan.bed.lean import leans_over
from sowplan.bed.slots import holes_per_plant, plants_per_pot
from sowplan.bed.strips import is_long, strip_for
from sowplan.records.built import closed_slices
from sowplan.records.crop import Crop
from sowplan.records.garden import Bed, Channel, Garden, Place, Pot
from sowplan.season.choices.allowed import told_apart
from sowplan.season.choices.instance import Ints, Spot
from sowplan.season.plan import PlanPlace

MOST_UNITS = 2_500
"""Most units a bed is divided into; a long bed is reckoned in coarser ones."""


def unit_for(garden: Garden) -> float:
    """Return the metres of bed to a unit of room: 1 mm, or more where beds are long."""
    longest = max((bed.length_m for bed in garden.beds), default=1.0)
    for unit in (0.001, 0.002, 0.005):
        if longest / unit <= MOST_UNITS:
            return unit
    return 0.01


def usable(bed: Bed) -> tuple[float, float]:
    """Return the length and width inside a bed's bare edge [m]."""
    return bed.length_m - 2 * bed.edge_m, bed.width_m - 2 * bed.edge_m


def spots_of(garden: Garden, unit_m: float) -> tuple[tuple[Place, ...], tuple[Spot, ...]]:
    """Return the garden's places in file order, and each as room of a group."""
    places: tuple[Place, ...] = garden.places
    groups: dict[tuple, int] = {}
    spots = []
    for place in places:
        if isinstance(place, Bed):
            length, width = usable(place)
            size, kind = math.floor(length / unit_m + 1e-6), round(width, 4)
        elif isinstance(place, Channel):
            size, kind = place.holes, round(place.spacing_m, 4)
        else:
            size, kind = place.count, round(place.volume_l, 3)
        told = told_apart(garden, place.name)
        long = isinstance(place, Bed) and is_long(place.length_m, place.width_m)
        key = (type(place).__name__, kind, long, place.cover, light_key(place), told)
        group = groups.setdefault(key, len(groups))
        end = poleward(place, garden.site.latitude)
        closed = closed_units(place, size, unit_m) if isinstance(place, Bed) else 0
        spots.append(Spot(place.name, group, size, isinstance(place, Bed), end, closed))
    return places, tuple(spots)


def closed_units(bed: Bed | PlanPlace, size: int, unit_m: float) -> int:
    """Return the units of a bed, as bits, in which no strip across it can lie."""
    closed = 0
    for start, end, _ in closed_slices(bed):
        first = max(math.floor(start / unit_m + 1e-6), 0)
        last = min(math.ceil(end / unit_m - 1e-6), size)
        closed |= ((1 << max(last - first, 0)) - 1) << first
    return closed


def poleward(place: Place, latitude: float) -> int:
    """Return which end of a bed looks away from the midday sun: 1 its far end, -1 its near one.

    0 where it runs nearer east and west than north and south, and for what is no bed.
    """
    if not isinstance(place, Bed):
        return 0
    north = math.cos(math.radians(place.bearing_deg))
    if abs(north) < math.cos(math.radians(45.0)) - 1e-9:
        return 0
    return 1 if (north > 0) == (latitude >= 0) else -1


def stands_open(place: Place) -> bool:
    """Return whether a place is outdoors with nothing over it."""
    return place.cover == "none" and place.indoors is None


def light_key(place: Place) -> object:
    """Return what tells apart places that stand in different light, or indoors."""
    return getattr(place, "obstacles", ()), place.indoors


def room_for(crop: Crop, place: Place, size: int, unit_m: float, most: int) -> Ints:
    """Return the units that 0, 1, 2 … plants take of a place, as far as they fit and are wanted.

    Parameters
    ----------
    crop : Crop
        With its spacings and what it needs of a pot.
    place : Bed, Channel or Pot
        The place, or one like it.
    size : int
        Units of room of the largest such place.
    unit_m : float
        Metres of bed to a unit.
    most : int
        More plants than this are never wanted at once.

    Returns
    -------
    ndarray of int, shape (plants + 1,)
        Of length 1 where not even one plant fits.
    """
    if isinstance(place, Bed):
        return _strips(crop, place, size, unit_m, most)
    if isinstance(place, Channel):
        each = holes_per_plant(place.spacing_m, crop.spacing_cm / 100) if crop.channel else 0
        many = min(size // each, most) if each else 0
        return np.arange(many + 1) * each
    each = pot_takes(crop, place)
    many = min(size * each, most)
    return -(-np.arange(many + 1) // max(each, 1))


def pot_takes(crop: Crop, pot: Pot) -> int:
    """Return how many plants of a crop one pot takes."""
    spacing = crop.spacing_cm / 100, crop.row_spacing_cm / 100
    return plants_per_pot(pot.volume_l, crop.pot_litres, *spacing)


def strip_in(bed: Bed, crop: Crop, plants: int) -> Strip:
    """Return the shortest strip of a bed that holds so many plants.

    A plant somewhat wider than the bed stands in a single row and leans over the path, as
    courgettes do in narrow beds (common practice, no source).
    """
    _, width = usable(bed)
    spacing = crop.spacing_cm / 100
    if leans_over(width, spacing):
        width = spacing
    long = is_long(bed.length_m, bed.width_m)
    return strip_for(width, spacing, crop.row_spacing_cm / 100, plants, long)


def row_units(crop: Crop, room: Ints, unit_m: float) -> int:
    """Return the units of a bed that one row across takes: a shorter strip is a mere crumb.

    Rows along a bed might be of one plant each, which nobody drills or plants.
    """
    return max(int(room[1]), math.ceil(crop.row_spacing_cm / 100 / unit_m - 1e-6))


def rows_of_strip(strip: Strip) -> dict[str, object]:
    """Return a strip as the fields of a planting that say how its rows stand."""
    return {
        "strip_length_m": round(strip.length_m, 6),
        "rows": strip.rows,
        "per_row": strip.per_row,
        "row_pitch_m": round(strip.pitch_m, 6),
        "row_lead_m": round(strip.lead_m, 6),
        "along": strip.along,
    }


def _strips(crop: Crop, bed: Bed, size: int, unit_m: float, most: int) -> Ints:
    units = [0]
    while len(units) <= most:
        strip = strip_in(bed, crop, len(units))
        length = math.ceil(strip.length_m / unit_m - 1e-6)
        if strip.plants == 0 or length > size:
            break
        units += [length] * (strip.plants + 1 - len(units))
    return np.array(units[: most + 1], np.int64)
