"""What a season leaves out because it begins when it does: what would be sown before its start."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from sowplan.records.crop import Crop
from sowplan.records.garden import FixedSowing, Garden, Season, Want
from sowplan.season.choices.candidates import book_of
from sowplan.season.choices.instance import NEVER, Options, Periods

DAY = timedelta(days=1)
SOONER_DAYS = 183
"""So much sooner a season is taken to begin at the most: three months."""


@dataclass(frozen=True)
class LeftOut:
    """Times of a want that only sowings before the season could serve.

    Parameters
    ----------
    crop : str
        Key of the crop.
    first, last : date
        First day of the first such time, last day of the last.
    sow : date
        Sown by this day, each of them could be served.
    """

    crop: str
    first: date
    last: date
    sow: date


def left_out(
    garden: Garden,
    crops: dict[str, Crop],
    season: Season,
    wants: Sequence[Want],
    standing: Sequence[FixedSowing],
    earliest: date,
    safety: float = 0.5,
) -> tuple[LeftOut, ...]:
    """Return what is wanted early in a season and would have to be sown before it begins.

    What stands on its first day is reckoned to serve what it can. Room is not weighed.

    Parameters
    ----------
    garden : Garden
        The garden.
    crops : dict of str to Crop
        The crop table.
    season : Season
        The season.
    wants : sequence of Want
        What is wanted in it.
    standing : sequence of FixedSowing
        What stands when it begins.
    earliest : date
        The first day on which a season could begin instead.
    safety : float
        As for `sowplan.season.planner.make_plan`.
    """
    first = max(earliest, season.start - SOONER_DAYS * DAY)
    soon = tuple(w for w in wants if w.start < season.start + SOONER_DAYS * DAY)
    if first >= season.start or not soon:
        return ()
    end = max(season.start, min(season.end, season.start + 2 * SOONER_DAYS * DAY))
    soon = tuple(replace(w, end=min(w.end, end)) for w in soon)
    here = tuple(s for s in standing if any(w.crop == s.crop for w in soon))
    begun = replace(season, start=first, end=end)
    book = book_of(replace(garden, season=begun, wants=soon, sowings=here), crops, safety)
    found = []
    for case, crop in zip(book.instance.crops, book.crops, strict=True):
        times = _only_before(case.options, case.periods, book.index(season.start))
        if times:
            found.append(
                LeftOut(
                    crop.key,
                    book.day(min(a for a, _, _ in times)),
                    book.day(max(b for _, b, _ in times)),
                    book.day(min(sow for _, _, sow in times)),
                )
            )
    return tuple(found)


def _only_before(options: Options, periods: Periods, begin: int) -> list[tuple[int, int, int]]:
    """Return first and last day of each period served by sowings before a day alone.

    And the latest day on which what serves it is sown. What stands there serves as well, and such
    a period is not told.
    """
    found = []
    lots = options.lot_option
    fit = options.lot_ready < NEVER
    sow, stands = options.sow[lots], options.fixed[lots] >= 0
    for start, last in zip(periods.start.tolist(), periods.end.tolist(), strict=True):
        serves = fit & (options.lot_ready <= last) & (options.lot_expiry >= start)
        if np.any(serves) and not np.any(serves & (stands | (sow >= begin))):
            found.append((start, last, int(sow[serves].max())))
    return found
