"""On how much ground a planting drinks and catches rain, by the kind of its place [m²]."""

from __future__ import annotations

import math

from sowplan.bed.slots import pot_width_m
from sowplan.season.plan import PlanCrop, PlanPlace, Planting


def strip_area(planting: Planting, place: PlanPlace) -> float:
    """Return the ground of a bed planting: its strip, right across the bed inside the edge."""
    return planting.strip_length_m * max(place.width_m - 2 * place.edge_m, 0.0)


def pot_area(volume_l: float) -> float:
    """Return the open top of a usual round pot: 12 l are 28 cm wide (`pot_width_m`)."""
    return math.pi / 4 * pot_width_m(volume_l) ** 2


def leaf_area(planting: Planting, crop: PlanCrop, place: PlanPlace) -> float:
    """Return the ground that full-grown leaves shade over pots or a channel.

    Each plant has a round of its own spread, in a channel no longer than its share of the line.
    """
    spread = crop.spread_cm / 100
    each = math.pi / 4 * spread**2
    if planting.kind == "channel" and place.hole_spacing_m > 0:
        share = place.hole_spacing_m * len(planting.slots) / max(planting.plants, 1)
        each = min(each, spread * share)
    return planting.plants * each
