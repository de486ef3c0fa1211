"""What of a bed a season leaves bare, told before anyone wonders why so little stands in it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol

from sowplan.quantity import Units, format_area
from sowplan.records.built import Built, closed_slices
from sowplan.season.words import listed

WORTH_TELLING = 0.9  # of a bed's ground in use: more is left bare beside any pipe


class NamedBed(Built, Protocol):
    """A bed as built, with its name."""

    name: str


def bare_told(beds: Iterable[NamedBed], units: Units) -> list[str]:
    """Return a sentence on each bed much of which lies beside a cut or what stands in the way.

    Parameters
    ----------
    beds : iterable of Bed or PlanPlace
        Beds of a garden file or of a plan.
    units : "metric" or "imperial"
        Of the areas told.
    """
    shaped = [bed for bed in beds if bed.keep_outs or bed.cut_m or bed.rounded_m > 0.0]
    if not shaped:
        return []
    from sowplan.bed.area import ground_of, in_strips_of

    alike: dict[str, list[str]] = {}
    for bed in shaped:
        ground, used = ground_of(bed), in_strips_of(bed)
        if used < WORTH_TELLING * ground:
            beside = listed(list(dict.fromkeys(label for _, _, label in closed_slices(bed))))
            areas = (format_area(area, units) for area in (used, ground))
            told = (
                f"the season plans {' of '.join(areas)}: rows "
                f"go across the whole width, and beside {beside} there are none."
            )
            more = " Written as two [[bed]]s, more of it is used." if bed.cut_m else ""
            alike.setdefault(told + more, []).append(bed.name)
    return [f"{listed(names)}: {told}" for told, names in alike.items()]
