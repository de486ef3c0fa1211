"""The fewest plants of a batch that are worth a sowing of their own: rows, handfuls, no crumbs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from sowplan.records.crop import Crop
from sowplan.season.choices.instance import DIRECT, Ints, Options, Periods, Spot, TrayShelf
from sowplan.season.choices.spaces import row_units

LARGE_CM = 40.0
"""Plants that stand so far apart are grown singly as well (common practice, no source)."""
ROWFUL = 15
"""In beds that take so many large plants in a row, too, nobody goes for one (as above)."""
BAND = 0.05
"""Shorter strips of a bed than this share of its length are more bother than use (as above)."""
HANDFUL = 3
"""Fewer small plants than this are hardly worth a sowing (common practice, no source)."""


def fewest_of(
    crop: Crop,
    options: Options,
    rooms: Mapping[int, Ints],
    periods: Periods,
    spots: Sequence[Spot],
    shelves: Sequence[TrayShelf],
    unit_m: float,
) -> Ints:
    """Return the least plants of a batch that are worth a sowing of their own, by option.

    Of a small crop sown direct as many as one period needs, or one whole row across, or as many as
    stand along the bed in its length (one pot) if that is fewer; of a small one raised or bought,
    and in any case, `HANDFUL`; in long beds as many as fill `BAND` of the smallest one, or as one
    period needs. Large plants are grown singly where a row along the bed takes fewer than
    `ROWFUL`, or where one period needs no more. Never more than are wanted in all, or than there is
    room for.

    Parameters
    ----------
    crop : Crop
        The crop.
    options : Options
        How it may be grown.
    rooms : mapping of int to ndarray of int, shape (most + 1,)
        By group of places, the units that 0, 1, 2 … plants take.
    periods : Periods
        When it is wanted.
    spots, shelves : sequence of Spot, of TrayShelf
        The places and trays there are.
    unit_m : float
        Metres of bed to a unit of room.

    Returns
    -------
    ndarray of int, shape (options,)
        Plants; 1 where nothing is wanted.
    """
    least = np.ones(len(options), np.int64)
    if not len(periods):
        return least
    large = crop.spacing_cm >= LARGE_CM
    wanted = max(1, int(np.ceil(periods.need.sum() - 1e-9)))
    needed = max(1 if large else HANDFUL, int(np.ceil(periods.need.max() - 1e-9)))
    for group, room in rooms.items():
        mine = [spot for spot in spots if spot.group == group]
        units = row_units(crop, room, unit_m) if mine[0].whole else room[1]
        row = int(np.searchsorted(room, units, side="right")) - 1
        length = min(spot.size for spot in mine)
        band = int(np.searchsorted(room, BAND * length, side="right")) - 1
        single = large and not (mine[0].whole and length * unit_m * 100 >= ROWFUL * crop.spacing_cm)
        handful = 1 if single else min(HANDFUL, needed)
        for direct in (True, False):
            here = (options.group == group) & ((options.raising == DIRECT) == direct)
            few = max(min(row, needed) if direct and not large else handful, min(band, needed))
            least[here] = min(few, wanted, len(room) - 1)
    for kind in {shelf.group for shelf in shelves}:
        cells = max(shelf.cells for shelf in shelves if shelf.group == kind)
        here = options.tray == kind
        least[here] = np.minimum(least[here], max(1, cells // 2))
    return least
