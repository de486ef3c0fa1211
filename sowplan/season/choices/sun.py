"""Which places are too dark for a crop: direct sun behind walls, trees and hills.

Light enters growth through the share that reaches a place. This is the other half: a crop that
wants so many hours of direct sun is kept out of places that get fewer, where a sunnier one is to be
had; where there is none, it is grown all the same and the gardener is told.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from sowplan.records.crop import Crop
from sowplan.records.garden import Bed, Garden
from sowplan.season.choices.spaces import Place
from sowplan.site.shade import DirectSun, direct_sun

SHADED = 0.25
"""Hours of direct sun below those of the open at which a place counts as shaded."""


def sun_of(garden: Garden, places: Iterable[Place]) -> dict[str, DirectSun]:
    """Return the direct sun of each place that something shades, by its name."""
    known: dict[tuple, DirectSun] = {}
    found = {}
    for place in places:
        obstacles = place.obstacles if isinstance(place, Bed) else ()
        if place.indoors is None and (obstacles or garden.site.horizon):
            if obstacles not in known:
                known[obstacles] = direct_sun(garden.site, obstacles)
            found[place.name] = known[obstacles]
    return found


def months_of(garden: Garden, crop: Crop) -> list[int]:
    """Return the months in which a crop stands for its wants, about: from maturity before them."""
    months: set[int] = set()
    for want in garden.wants:
        if want.crop == crop.key:
            first = want.start.toordinal() - round(min(crop.maturity_days, 120))
            days = range(max(first, garden.season.start.toordinal()), want.end.toordinal() + 1, 7)
            months |= {date.fromordinal(day).month for day in days}
    return sorted(months)


def too_dark(sun: DirectSun | None, crop: Crop, months: list[int]) -> bool:
    """Return whether a place is short of sun for a crop in half of its months or more.

    Months in which even the open has less sun than the crop wants are not held against it.
    """
    if sun is None or not months:
        return False
    dark = [
        m for m in months if sun.hours[m - 1] < min(crop.sun_hours, sun.open_hours[m - 1]) - SHADED
    ]
    return len(dark) * 2 >= len(months)
